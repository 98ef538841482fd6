"""The hair on top as classes: in today's foils or left out, by lane, white or pigmented.

Each class carries its stretches as they are on the day, glosses on them.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

import numpy as np

from strandline.science.chemistry.fade import fade
from strandline.science.fibre import Fibre
from strandline.science.hair.levels import lightened
from strandline.science.hair.mixing import natural_run_mm
from strandline.service.consultation.bands import Lane
from strandline.service.consultation.fibres import banded_hair, natural_hair
from strandline.service.consultation.model import Band
from strandline.service.consultation.reading import HeadReading
from strandline.service.formulate.gloss import GlossOn
from strandline.service.formulate.recipe import after
from strandline.service.formulate.strengths import Dose
from strandline.service.growout.cover import solid_cover
from strandline.service.growout.look import HairClass, Layer
from strandline.service.plan.glossing import Toned
from strandline.service.plan.placing import LIGHTENER_KINDS, Placed
from strandline.service.practice.bench import Bench


def _cover_fade(states: Fibre, weeks: float) -> Fibre:
    return fade(states, "permanent", weeks)


def _run(head: HeadReading, gray: float) -> float:
    diameter = head.diameter_um / 1000
    return float(natural_run_mm(diameter, min(gray, 0.95)))


def as_kept(head: HeadReading, gray: float, level: float) -> tuple[HairClass, ...]:
    """Give hair as it is kept: covered fresh where cover is worn, else as it is today."""
    lanes = head.lanes["crown"]
    first = next((s for s in lanes[0].stretches if s.band is not None), None)
    if len(lanes) == 1 and first and first.band and first.band.past == "permanent":
        pair = tuple(banded_hair(first.band, level, white=white) for white in (True, False))
        roots = natural_hair(level, white=True), natural_hair(level, white=False)
        return solid_cover(gray, roots, (pair[0], pair[1]), head.diameter_um / 1000)
    return tuple(_left(head, lanes, 1.0, gray, level))


def _left(
    head: HeadReading,
    lanes: Sequence[Lane],
    share: float,
    gray: float,
    level: float,
    shadow: GlossOn | None = None,
    bench: Bench | None = None,
) -> Iterator[HairClass]:
    """Give the classes of hair in no foil: its lanes as they are, under the root shadow."""
    whole = sum(lane.share for lane in lanes)
    for number, lane in enumerate(lanes):
        for white in (True, False):
            part = share * lane.share / whole * (gray if white else 1 - gray)
            layers = [
                Layer(
                    stretch.from_cm,
                    stretch.to_cm,
                    banded_hair(stretch.band, level, white=white, end_uptake=head.end_uptake),
                    _cover_fade,
                )
                for stretch in lane.stretches
            ]
            if shadow is not None and bench is not None:
                layers = _glossed(layers, shadow, white=white, bench=bench)
            name = f"left out {number + 1}, {'white' if white else 'pigmented'}"
            root = natural_hair(level, white=white)
            yield HairClass(name, part, tuple(layers), root, _run(head, gray), "left out")


def left_out(
    head: HeadReading, gray: float, level: float, shadow: GlossOn | None, bench: Bench
) -> tuple[HairClass, ...]:
    """Give the hair that is not light, whole, as it is left out under a shadow or under none."""
    dark = [one for one in head.lanes["crown"] if not _has(one, "lightened")]
    if not dark:
        return ()
    return tuple(_closed(list(_left(head, dark, 1.0, gray, level, shadow, bench))))


def as_planned(
    head: HeadReading,
    placed: Placed | None,
    doses: Sequence[Dose],
    toned: Toned,
    gray: float,
    level: float,
    bench: Bench,
) -> tuple[HairClass, ...]:
    """Give hair as planned: foils lifted, glossed, and what is left out as it is."""
    glosses = {gloss.place: gloss for gloss in toned.on}
    shadow, mids = glosses.get("root shadow"), glosses.get("mids")
    lanes = list(head.lanes["crown"])
    light = [one for one in lanes if _has(one, "lightened")]
    dark = [one for one in lanes if not _has(one, "lightened")]
    taken = _share_on_top(placed, *LIGHTENER_KINDS)
    low = _share_on_top(placed, "lowlight weave")
    out: list[HairClass] = []
    if light and not doses:
        out += _toned_lanes(head, light, gray, level, shadow, mids, bench)
        light = []
        rest = sum(one.share for one in dark)
        return (*out, *_left(head, dark, rest, gray, level, shadow, bench)) if dark else tuple(out)
    if doses and dark:
        out += _in_foils(head, dark, doses, taken, gray, level, (mids, shadow), bench)
    if low and "lowlights" in glosses:
        out += _in_lowlights(head, lanes, low, gray, level, glosses["lowlights"], bench)
    used = sum(one.share for one in out)
    if light:
        share = min(sum(one.share for one in light), 1 - used)
        out += _toned_lanes(head, light, gray, level, shadow, mids, bench, share=share)
        used += share
    kept = glosses.get("the white that is kept")
    left = list(_left(head, dark or lanes, max(0.0, 1 - used), gray, level, shadow, bench))
    if kept is not None:
        left = [_with(one, kept, bench) for one in left]
    return tuple(_closed([*out, *left]))


def _closed(classes: Sequence[HairClass]) -> Iterator[HairClass]:
    total = sum(one.share for one in classes)
    for one in classes:
        yield HairClass(one.name, one.share / total, one.layers, one.root, one.run_mm, one.strand)


def _has(lane: Lane, past: str) -> bool:
    return any(s.band is not None and s.band.past == past for s in lane.stretches)


def _share_on_top(placed: Placed | None, *kinds: str) -> float:
    if placed is None:
        return 0.0
    return sum(
        foil.hair_share
        for foil in placed.foils.in_zone("top")
        if foil.kind in kinds and foil.kind != "tip-out"
    )


def _in_foils(
    head: HeadReading,
    dark: Sequence[Lane],
    doses: Sequence[Dose],
    share: float,
    gray: float,
    level: float,
    glosses: tuple[GlossOn | None, ...],
    bench: Bench,
) -> Iterator[HairClass]:
    lane = max(dark, key=lambda one: one.share)
    for white in (True, False):
        layers = []
        for start, end, band, dose in _lifted(lane, doses):
            fibre = banded_hair(band, level, white=white, end_uptake=head.end_uptake)
            if dose is not None:
                gained = dose.lift.progress_at(dose.due_min)
                fibre = lightened(fibre, np.array([gained]))
            layers.append(Layer(start, end, fibre))
        for gloss in glosses:
            if gloss is not None:
                layers = _glossed(layers, gloss, white=white, bench=bench)
        part = share * (gray if white else 1 - gray)
        name = f"foils, {'white' if white else 'pigmented'}"
        root = natural_hair(level, white=white)
        yield HairClass(name, part, tuple(layers), root, _foil_run(head), "foils")


def _foil_run(head: HeadReading) -> float:
    """Give the run of foil hair across the part line: a slice, lying as thick as it was taken."""
    return max(2.0, head.diameter_um / 1000)


def _lifted(
    lane: Lane, doses: Sequence[Dose]
) -> Iterator[tuple[float, float, Band | None, Dose | None]]:
    """Cut a lane where a dose begins or ends; of two bowls on a stretch the later counts."""
    cuts = sorted(
        {0.0, lane.stretches[-1].to_cm}
        | {s.from_cm for s in lane.stretches}
        | {x for dose in doses for x in (dose.from_cm, dose.to_cm)}
    )
    for low, high in pairwise(cuts):
        middle = (low + high) / 2
        stretch = next((s for s in lane.stretches if s.from_cm <= middle < s.to_cm), None)
        if stretch is None or high - low < 1e-6:
            continue
        dose = None
        for one in doses:
            if one.from_cm <= middle < one.to_cm:
                dose = one
        yield low, high, stretch.band, dose


def _in_lowlights(
    head: HeadReading,
    lanes: Sequence[Lane],
    share: float,
    gray: float,
    level: float,
    gloss: GlossOn,
    bench: Bench,
) -> Iterator[HairClass]:
    for one in _left(head, lanes, share, gray, level):
        changed = _with(one, gloss, bench)
        name = one.name.replace("left out", "lowlights")
        yield HairClass(name, one.share, changed.layers, one.root, 3.0, "lowlights")


def _toned_lanes(
    head: HeadReading,
    lanes: Sequence[Lane],
    gray: float,
    level: float,
    shadow: GlossOn | None,
    mids: GlossOn | None,
    bench: Bench,
    share: float | None = None,
) -> Iterator[HairClass]:
    whole = sum(lane.share for lane in lanes) if share is None else share
    for one in _left(head, lanes, whole, gray, level):
        layers = list(one.layers)
        white = one.name.endswith("white")
        for gloss in (mids, shadow):
            if gloss is not None:
                layers = _glossed(layers, gloss, white=white, bench=bench)
        name = one.name.replace("left out", "light already")
        yield HairClass(name, one.share, tuple(layers), one.root, one.run_mm, "light already")


def _with(one: HairClass, gloss: GlossOn, bench: Bench) -> HairClass:
    white = one.name.endswith("white")
    layers = _glossed(list(one.layers), gloss, white=white, bench=bench)
    return HairClass(one.name, one.share, tuple(layers), one.root, one.run_mm, one.strand)


def _glossed(layers: Sequence[Layer], gloss: GlossOn, *, white: bool, bench: Bench) -> list[Layer]:
    """Put a gloss on what lies within its stretch."""
    out = []
    factor = bench["resistance_white"] / 100 if white and gloss.scale == "level" else 1.0
    for layer in layers:
        cuts = [layer.from_cm, *(x for x in (gloss.from_cm, gloss.to_cm)), layer.to_cm]
        cuts = sorted({x for x in cuts if layer.from_cm <= x <= layer.to_cm})
        for low, high in pairwise(cuts):
            inside = gloss.from_cm <= low and high <= gloss.to_cm
            fibre = layer.fibre
            if inside:
                fibre = after(fibre, gloss.recipe, gloss.recipe.minutes, factor, gloss.scale)
            out.append(Layer(low, high, fibre, None if inside else layer.fade))
    return out
