"""The classes of a head's hair: by what is done to it today, its lane, and white or pigmented.

Each class carries its stretches as they are on the day, glosses on them. How much hair is of which
class is not said here: the strands say it, where they lie.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Literal

import numpy as np

from strandline.science.chemistry.fade import fade
from strandline.science.fibre import Fibre
from strandline.science.hair.mixing import natural_run_mm
from strandline.service.consultation.bands import Lane
from strandline.service.consultation.fibres import banded_hair, natural_hair
from strandline.service.consultation.reading import HeadReading
from strandline.service.formulate.gloss import GlossOn
from strandline.service.formulate.recipe import after
from strandline.service.formulate.strengths import Dose
from strandline.service.formulate.wear import cared_fade
from strandline.service.growout.look import HairClass, Layer
from strandline.service.plan.glossing import Toned
from strandline.service.plan.lifted import all_lanes, is_light, lifted
from strandline.service.practice.bench import Bench

How = Literal["left out", "foils", "lowlights", "light already", "taken again", "covered"]
"""What is done to hair today."""
_TONED = ("mids", "ends", "root shadow")
GLOSSES: dict[How, tuple[str, ...]] = {
    "foils": _TONED,
    "taken again": _TONED,
    "light already": _TONED,
    "lowlights": ("lowlights",),
    "left out": ("root shadow", "the white that is kept"),
    "covered": (),
}
"""Places of the glosses that lie on hair, one after another."""
FOIL_MM, LOWLIGHT_MM = 2.0, 3.0
"""Run of foil hair across the part line: a slice as thick as it was taken, a lowlight's pick."""
_WHOLE = 1.0
"""The share that a class is given until strands say it."""


@dataclass(frozen=True)
class Doing:
    """What is done today, and to which head.

    Parameters
    ----------
    head : as read
    doses : lightener by stretch
    glosses : by their place
    bench : her numbers
    every_days : of the violet shampoo she is told to use; None for none
    """

    head: HeadReading
    doses: tuple[Dose, ...]
    glosses: dict[str, GlossOn]
    bench: Bench
    every_days: float | None = None


def doing(head: HeadReading, doses: Sequence[Dose], toned: Toned, bench: Bench) -> Doing:
    """Put together what is done today."""
    glosses = {gloss.place: gloss for gloss in toned.on}
    every = next((one.violet_every_days for one in toned.wear if one.violet_every_days), None)
    return Doing(head, tuple(doses), glosses, bench, every)


def is_covered(lane: Lane) -> bool:
    """Say whether a lane carries old permanent or unknown colour anywhere."""
    return any(
        s.band is not None and s.band.past in ("permanent", "unknown") for s in lane.stretches
    )


def worn_fresh(head: HeadReading) -> bool:
    """Say whether the hair is kept by cover, so that it is fresh to the scalp on the day."""
    lanes = head.lanes["crown"]
    first = next((s for s in lanes[0].stretches if s.band is not None), None)
    return bool(len(lanes) == 1 and first and first.band and first.band.past == "permanent")


def kept_class(
    head: HeadReading, lane: Lane, number: int, level: float, *, white: bool
) -> HairClass:
    """Give hair as it is kept: covered fresh where cover is worn, else as it is today."""
    if worn_fresh(head):
        band = next(s.band for s in lane.stretches if s.band is not None)
        layers: tuple[Layer, ...] = (Layer(0.0, np.inf, banded_hair(band, level, white=white)),)
        return _class("covered", 0, layers, head, level, white=white)
    layers = _as_it_is(head, lane, level, white=white)
    return _class("left out", number, layers, head, level, white=white)


def hair_class(today: Doing, how: How, lane: int, level: float, *, white: bool) -> HairClass:
    """Give the hair of a lane as it is after what is done to it today.

    Parameters
    ----------
    today : what is done
    how : to this hair
    lane : place among `all_lanes`
    level : natural, of its zone
    white : white or pigmented
    """
    head = today.head
    at = all_lanes(head)[lane]
    if how in ("foils", "taken again"):
        layers = list(lifted(head, at, today.doses, level, white=white))
    else:
        layers = list(_as_it_is(head, at, level, white=white))
    for place in GLOSSES[how]:
        if place in today.glosses:
            layers = _glossed(layers, today.glosses[place], today, white=white)
    return _class(how, lane, tuple(layers), head, level, white=white)


def left_out(
    head: HeadReading, gray: float, level: float, shadow: GlossOn | None, bench: Bench
) -> tuple[HairClass, ...]:
    """Give the hair that is not light, whole, as it is left out under a shadow or under none."""
    glosses = {} if shadow is None else {"root shadow": shadow}
    today = Doing(head, (), glosses, bench)
    lanes = all_lanes(head)
    dark = [k for k, lane in enumerate(lanes) if lane.share > 0 and not is_light(lane)]
    whole = sum(lanes[k].share for k in dark)
    return tuple(
        replace(
            hair_class(today, "left out", k, level, white=white),
            share=lanes[k].share / whole * (gray if white else 1 - gray),
        )
        for k in dark
        for white in (True, False)
    )


def _class(
    how: How,
    lane: int,
    layers: tuple[Layer, ...],
    head: HeadReading,
    level: float,
    *,
    white: bool,
) -> HairClass:
    single = how in ("foils", "covered")
    name = f"{how}{'' if single and not lane else f' {lane + 1}'}, "
    name += "white" if white else "pigmented"
    foil = how in ("foils", "taken again")
    run = _run(head)
    if foil or how == "lowlights":
        run = FOIL_MM if foil else LOWLIGHT_MM
    strand = "foils" if foil else how
    return HairClass(name, _WHOLE, layers, natural_hair(level, white=white), run, strand)


def _run(head: HeadReading) -> float:
    return float(natural_run_mm(head.diameter_um / 1000, min(head.gray_mean, 0.95)))


def _cover_fade(states: Fibre, weeks: float) -> Fibre:
    return fade(states, "permanent", weeks)


def _as_it_is(head: HeadReading, lane: Lane, level: float, *, white: bool) -> tuple[Layer, ...]:
    return tuple(
        Layer(
            stretch.from_cm,
            stretch.to_cm,
            banded_hair(stretch.band, level, white=white, end_uptake=head.end_uptake),
            _cover_fade,
        )
        for stretch in lane.stretches
    )


def _glossed(layers: Sequence[Layer], gloss: GlossOn, today: Doing, *, white: bool) -> list[Layer]:
    """Put a gloss on what lies within its stretch; it wears as its kind does, cared for as told."""
    out, bench = [], today.bench
    kind = gloss.recipe.shades[0].kind
    worn = cared_fade(kind, bench["washes_per_week"], today.every_days)
    factor = gloss.factor
    if white and gloss.scale == "level":
        factor = bench["resistance_white"] / 100
    for layer in layers:
        cuts = [layer.from_cm, *(x for x in (gloss.from_cm, gloss.to_cm)), layer.to_cm]
        cuts = sorted({x for x in cuts if layer.from_cm <= x <= layer.to_cm})
        for low, high in pairwise(cuts):
            inside = gloss.from_cm <= low and high <= gloss.to_cm
            fibre = layer.fibre
            if inside and gloss.first is not None:
                fibre = after(fibre, gloss.first, gloss.first.minutes, factor, gloss.scale)
            if inside:
                fibre = after(fibre, gloss.recipe, gloss.recipe.minutes, factor, gloss.scale)
            out.append(Layer(low, high, fibre, worn if inside else layer.fade))
    return out
