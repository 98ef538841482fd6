"""What to do where the toner misses: the steps back from each miss, on the hair of this plan."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from strandline.science.fibre import DYES
from strandline.science.hair.absorbers import ground_of
from strandline.science.hair.levels import stage_of_lightness
from strandline.science.hair.shades import Scale
from strandline.service.consultation.model import Consultation
from strandline.service.consultation.words import POROSITY
from strandline.service.formulate.grounds import Ground
from strandline.service.formulate.ladder import Landed, Rung, ladder, minutes_up_to
from strandline.service.formulate.misses import Miss, misses
from strandline.service.formulate.one_or_two import LEAST_BOWL_G
from strandline.service.formulate.rules import rule
from strandline.service.formulate.solver import Asked, Bowl, dyes_after
from strandline.service.formulate.toner import POROUS, toners_for
from strandline.service.plan.gloss_parts import GlossMiss, GlossPart, GlossStep, MissStep

Floats = NDArray[np.float64]

HELD = "There is no lightener in this visit."


def misses_told(c: Consultation, steps: Sequence[GlossStep], *, lightens: bool) -> list[GlossMiss]:
    """Give the steps back from each miss of the mids; none where nothing is toned.

    Parameters
    ----------
    c, steps : the consultation, and its glosses
    lightens : lightener is used today at all
    """
    mids = next((step for step in steps if step.place == "mids"), None)
    if mids is None:
        return []
    landed = landed_of(mids, c, "" if lightens else HELD)
    ladders = [(miss, ladder(landed, miss)) for miss in misses().values()]
    return [told(mids.place, miss, rungs) for miss, rungs in ladders if len(rungs) > 1]


def told(place: str, miss: Miss, rungs: Sequence[Rung]) -> GlossMiss:
    """Write a ladder down."""
    return GlossMiss(place=place, seen=miss.said, steps=[_step(rung) for rung in rungs])


def uptake_of(c: Consultation) -> float:
    """Give the uptake of lightened lengths against sound mids, as the toner counts it [1]."""
    return POROSITY[c.hair.condition] if c.hair.condition in POROUS else 1.0


def dyes_of(step: GlossStep, c: Consultation, scale: Scale) -> tuple[Floats, str]:
    """Give the dyes that a step leaves on sound mids at its best minute, shape (D,), and its kind.

    Parameters
    ----------
    step, c : a gloss of a plan, and the consultation for its shelf
    scale : 'stage' where it tones, 'level' where it gives depth
    """
    shelf = {shade.name: shade for shade in c.shelf.gloss}
    minutes = step.minutes_high if step.best_min is None else step.best_min
    shades = tuple(shelf[part.shade] for part in step.parts)
    parts = tuple(part.parts for part in step.parts)
    bowl = Bowl(shades, parts, minutes, np.zeros(len(DYES)), 0.0)
    return dyes_after(bowl, parts, minutes, scale), bowl.colours[0].kind


def mixed_grams_of(step: GlossStep, steps: Sequence[GlossStep]) -> float:
    """Give the grams of a further bowl for a step, shade and developer together.

    Parameters
    ----------
    step : mids or ends
    steps : the glosses of the visit, in order

    Returns
    -------
    g   its own bowl; where it comes from the bowl of the step before, its share of it by length,
        in 5 g and no less than a bowl is mixed of
    """
    own = _mixed(step)
    if own:
        return own
    before = [one for one in steps if one.order < step.order and _mixed(one)]
    if not before:
        return LEAST_BOWL_G
    along = (step.to_cm - step.from_cm) / max(step.to_cm - before[-1].from_cm, 1e-9)
    return float(max(LEAST_BOWL_G, round(_mixed(before[-1]) * along / 5) * 5))


def _mixed(step: GlossStep) -> float:
    return sum(part.grams for part in step.parts) + step.developer_grams


def landed_of(
    step: GlossStep, c: Consultation, left_alone: str, steps: Sequence[GlossStep] = ()
) -> Landed:
    """Give the gloss of a step as it lands, on hair of one kind that looks as the place does.

    Parameters
    ----------
    step : mids or ends, of this plan or planned anew
    c : the consultation, for the shelf
    left_alone : why nothing is lightened again today; empty where nothing speaks against it
    steps : the glosses of the visit, one of whose bowls it may come from
    """
    dyes, kind = dyes_of(step, c, "stage")
    ground = Ground(
        ground_of(step.ground_lab).ks[None],
        np.ones(1),
        np.full(1, uptake_of(c)),
        np.array(step.aim_lab),
        keeps_side=step.place.startswith("ends"),
        deepest=step.aim_lab[0] - rule("deeper_than_asked"),
    )
    stage = float(stage_of_lightness(step.ground_lab[0]))
    pale = stage >= rule("violet_from_stage")
    asked = Asked((ground,), "stage", minutes_up_to(step.minutes_high), violet_first=pale)
    held = [shade for shade in c.shelf.gloss if shade.grams > 0]
    return Landed(
        ground,
        dyes,
        kind,
        asked,
        tuple(toners_for(held, stage)),
        mixed_grams_of(step, steps),
        step.delta_e00,
        left_alone,
    )


def _step(rung: Rung) -> MissStep:
    bowl, weighed = rung.bowl, rung.weighed
    return MissStep(
        name=rung.name,
        what=rung.what,
        minutes=rung.minutes,
        lab=rung.lab,
        delta_e00=rung.away,
        apart_de00=rung.apart,
        parts=[]
        if bowl is None or weighed is None
        else [
            GlossPart(shade=shade.name, parts=part, grams=grams)
            for shade, part, grams in zip(bowl.shades, bowl.parts, weighed.grams, strict=True)
        ],
        developer_vol=None if weighed is None else weighed.developer_vol,
        developer_grams=None if weighed is None else weighed.developer_grams,
        gate=rung.gate,
    )
