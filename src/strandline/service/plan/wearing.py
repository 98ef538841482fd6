"""How the glosses of a plan are worn at home, and when the gloss is done again."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from strandline.science.hair.absorbers import ground_of
from strandline.service.consultation.model import Consultation
from strandline.service.formulate.grounds import Ground
from strandline.service.formulate.solver import Bowl, dyes_after
from strandline.service.formulate.wear import LIGHTNESS, Wear, gone_weeks, wear_of
from strandline.service.plan.gloss_parts import GlossStep, KindLasts, WearPart
from strandline.service.plan.missed import uptake_of
from strandline.service.practice.bench import Bench

Floats = NDArray[np.float64]

TONED = ("mids", "the white that is kept")
"""Places whose tone is worn, the first there counts; and lowlights, whose depth is."""
LOW = "lowlights"


def wear_told(c: Consultation, steps: Sequence[GlossStep], bench: Bench) -> list[WearPart]:
    """Give how the tone of mids or white, and the depth of lowlights, are worn.

    Parameters
    ----------
    c : the consultation, for the shelf
    steps : the glosses
    bench : her washes a week, and when a gloss is usually done again
    """
    washes, until = bench["washes_per_week"], bench["gloss_return_low"]
    out = []
    toned = next((step for place in TONED for step in steps if step.place == place), None)
    if toned is not None:
        ground, dyes, kind = _as_worn(toned, c, bench)
        worn = wear_of(ground, dyes, kind, until, washes)
        out.append(_part(toned.place, worn, washes, worn.said()))
    low = next((step for step in steps if step.place == LOW), None)
    if low is not None:
        ground, dyes, kind = _as_worn(low, c, bench)
        gone = gone_weeks(ground, dyes, kind, washes, of=LIGHTNESS)
        worn = Wear(kind, gone, gone, None, gone, gone, None, ())
        words = f"The depth of the lowlights is mostly gone after about {gone:.0f} weeks."
        out.append(_part(LOW, worn, washes, words))
    return out


def gloss_weeks(wear: Sequence[WearPart], bench: Bench) -> tuple[float, float]:
    """Give the weeks in which the gloss is done again, in her range.

    From a week before it is mostly gone by itself until it is mostly gone with care.

    Parameters
    ----------
    wear : as `wear_told`
    bench : her range
    """
    low, high = bench.pair("gloss_return")
    toned = next((one for one in wear if one.place != LOW), None)
    if toned is None:
        return low, high
    first = np.clip(np.floor(toned.gone_weeks) - 1, low, high)
    last = np.clip(np.ceil(toned.cared_gone_weeks), first, high)
    return float(first), float(last)


def _as_worn(step: GlossStep, c: Consultation, bench: Bench) -> tuple[Ground, Floats, str]:
    """Give the ground of a step with the colour to wear as its aim, its dyes, and their kind."""
    shelf = {shade.name: shade for shade in c.shelf.gloss}
    shades = tuple(shelf[part.shade] for part in step.parts)
    minutes = step.minutes_high if step.best_min is None else step.best_min
    low = step.place == LOW
    bowl = Bowl(shades, tuple(p.parts for p in step.parts), minutes, np.zeros(0), 0.0)
    dyes = dyes_after(bowl, bowl.parts, minutes, "level" if low else "stage")
    uptake = uptake_of(c)
    if low or step.place == TONED[1]:
        light = any(band.past == "lightened" for band in c.bands)
        uptake = uptake if light else bench["resistance_white"] / 100
    aim = np.array(step.aim_lab if step.wear_lab is None else step.wear_lab)
    ks = ground_of(step.ground_lab).ks[None]
    return Ground(ks, np.ones(1), np.full(1, uptake), aim), dyes, bowl.colours[0].kind


def _part(place: str, worn: Wear, washes: float, words: str) -> WearPart:
    return WearPart(
        place=place,
        kind=worn.kind,
        washes_per_week=washes,
        seen_weeks=worn.seen_weeks,
        gone_weeks=worn.gone_weeks,
        violet_every_days=worn.every_days,
        cared_seen_weeks=worn.cared_seen_weeks,
        cared_gone_weeks=worn.cared_gone_weeks,
        dulls_days=worn.dulls_days,
        by_kind=[KindLasts(kind=kind, weeks=weeks) for kind, weeks in worn.by_kind],
        words=words,
    )
