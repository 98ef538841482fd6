"""The toners after the rinse, on the grounds that were seen: one for each that differs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from strandline.base.facts.visit import Visit
from strandline.science.fibre import stack
from strandline.science.hair.stages import PALEST, lightened, progress_of_stage
from strandline.service.anew.habits import habit
from strandline.service.consultation.fibres import natural_hair
from strandline.service.formulate.gloss import GlossOn
from strandline.service.formulate.kinds import Kinds
from strandline.service.formulate.shadow import shadow_reach_cm
from strandline.service.formulate.toner import Tonable, toner
from strandline.service.formulate.tones import tone_for
from strandline.service.plan.assemble import Made
from strandline.service.plan.gloss_parts import GlossStep
from strandline.service.plan.glossing import gloss_steps, on_shelf
from strandline.service.plan.tonable import TODAY


def toned_anew(made: Made, visit: Visit) -> list[GlossStep]:
    """Give the gloss that is left to do.

    Parameters
    ----------
    made : the plan that is followed
    visit : with its results

    Returns
    -------
    as planned where no result was seen dry; else the root shadow as planned, and mids and ends on
    each ground seen, grounds less than a stage apart together; nothing that was applied already
    """
    done = {gloss.place for gloss in visit.glosses}
    steps = [step for step in gloss_of_visit(made, visit) if step.place not in done]
    return [step.model_copy(update={"order": n}) for n, step in enumerate(steps, 1)]


def gloss_of_visit(made: Made, visit: Visit) -> list[GlossStep]:
    """Give every gloss of the visit, done or not; as planned, or on the grounds that were seen.

    Mids that went on as planned stay as planned, whatever was seen after.
    """
    done = {gloss.place for gloss in visit.glosses}
    grounds = _grounds(visit)
    planned = made.plan.gloss
    if not grounds or "mids" in done or not any(step.place == "mids" for step in planned):
        return planned
    shadow = [step for step in planned if step.place not in ("mids", "ends")]
    several = len(grounds) > 1
    on: list[GlossOn] = []
    for areas, stage in grounds:
        on += [_named(gloss, areas, several=several) for gloss in _toner(made, stage)]
    return [*shadow, *gloss_steps(on, made.consultation.salon.light)]


def _grounds(visit: Visit) -> list[tuple[tuple[str, ...], float]]:
    """Join areas whose stages lie near: (areas, their mean stage), lightest first."""
    seen = sorted(
        ((result.stage, result.area) for result in visit.results if result.stage is not None),
        reverse=True,
    )
    out: list[list[tuple[float, str]]] = []
    for stage, area in seen:
        if out and out[-1][0][0] - stage < habit("two_grounds_stage"):
            out[-1].append((stage, area))
        else:
            out.append([(stage, area)])
    return [
        (tuple(area for _, area in one), sum(stage for stage, _ in one) / len(one)) for one in out
    ]


def _toner(made: Made, stage: float) -> Sequence[GlossOn]:
    head = made.head
    start = stack([natural_hair(head.level_mean, white=white) for white in (True, False)])
    needed = progress_of_stage(min(stage, PALEST), start)
    states = lightened(start, np.where(np.isfinite(needed), needed, 0.0))
    shares = np.array([head.gray_mean, 1 - head.gray_mean])
    tone, _ = tone_for(made.consultation.aim.tone, stage)
    seen = Kinds(states, shares, (TODAY,) * len(shares))
    hair = Tonable(seen, seen, shadow_reach_cm(head, made.bench))
    return toner(hair, tone, head, on_shelf(made.consultation), made.bench)


def _named(gloss: GlossOn, areas: tuple[str, ...], *, several: bool) -> GlossOn:
    return replace(gloss, place=f"{gloss.place}, {' and '.join(areas)}") if several else gloss
