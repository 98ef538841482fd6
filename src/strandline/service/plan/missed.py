"""What to do where the toner misses: the steps back from each miss, on the hair of this plan."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from strandline.science.fibre import DYES
from strandline.science.hair.absorbers import ground_of
from strandline.science.hair.levels import stage_of_lightness
from strandline.service.consultation.model import Consultation
from strandline.service.consultation.words import POROSITY
from strandline.service.formulate.grounds import Ground
from strandline.service.formulate.ladder import Landed, Miss, Rung, ladder, misses
from strandline.service.formulate.rules import clocks, rule
from strandline.service.formulate.solver import Asked, Bowl, Minutes, dyes_after
from strandline.service.formulate.toner import POROUS, toners_for
from strandline.service.plan.gloss_parts import GlossMiss, GlossPart, GlossStep, MissStep

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


def landed_of(step: GlossStep, c: Consultation, left_alone: str) -> Landed:
    """Give the gloss of a step as it lands, on hair of one kind that looks as the place does.

    Parameters
    ----------
    step : mids or ends, of this plan or planned anew
    c : the consultation, for the shelf
    left_alone : why nothing is lightened again today; empty where nothing speaks against it
    """
    shelf = {shade.name: shade for shade in c.shelf.gloss}
    minutes = step.minutes_high if step.best_min is None else step.best_min
    shades = tuple(shelf[part.shade] for part in step.parts)
    bowl = Bowl(shades, tuple(p.parts for p in step.parts), minutes, np.zeros(len(DYES)), 0.0)
    dyes = dyes_after(bowl, bowl.parts, minutes, "stage")
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
    asked = Asked((ground,), "stage", _within(step.minutes_high), violet_first=pale)
    held = [shade for shade in c.shelf.gloss if shade.grams > 0]
    return Landed(
        ground,
        dyes,
        bowl.colours[0].kind,
        asked,
        tuple(toners_for(held, stage)),
        step.delta_e00,
        left_alone,
    )


def _within(most: float) -> Minutes:
    """Give minutes from one on, no longer than were planned: hair toned once takes it fast."""

    def minutes(kind: str, label_min: float) -> tuple[float, ...]:
        steps = {1.0, 2.0, 3.0, *clocks()[kind].steps}
        longest = min(label_min, most)
        return tuple(sorted(one for one in steps if one <= longest)) or (longest,)

    return minutes


def _step(rung: Rung) -> MissStep:
    bowl = rung.bowl
    return MissStep(
        name=rung.name,
        what=rung.what,
        minutes=rung.minutes,
        lab=rung.lab,
        delta_e00=rung.away,
        apart_de00=rung.apart,
        parts=[]
        if bowl is None
        else [
            GlossPart(shade=shade.name, parts=part, grams=0.0)
            for shade, part in zip(bowl.shades, bowl.parts, strict=True)
        ],
        developer_vol=None if bowl is None else max(shade.developer_vol for shade in bowl.colours),
        gate=rung.gate,
    )
