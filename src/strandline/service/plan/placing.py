"""Where the foils lie: pattern, budget and head turned into a map, and the map into rows."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from functools import partial
from typing import TYPE_CHECKING

from strandline.base.errors import OutOfRangeError, UnreachableError
from strandline.science.head.course import Whirl
from strandline.science.head.scalp import Scalp
from strandline.science.head.zones import CutLines, Zones, cut_zones
from strandline.service.choose.technique import Technique
from strandline.service.consultation.model import Consultation
from strandline.service.consultation.reading import HeadReading
from strandline.service.placement.foil import Foil, FoilMap
from strandline.service.placement.pattern import Kind, Pattern
from strandline.service.placement.place import place
from strandline.service.plan.parts import FoilRow, ScalpKept, WhirlKept
from strandline.service.plan.patterning import (
    Laying,
    instead,
    laying,
    lays_kind,
    thinned,
    told_of_file,
)
from strandline.service.plan.turning import placement_number, whirl_zones, whirls_of
from strandline.service.practice.bench import Bench
from strandline.service.schedule.clock import seconds_to_place

if TYPE_CHECKING:
    from strandline.service.plan.under import Under

FEW_GRAY = 0.25
"""Where less of the back is white, only few foils go there; common practice, no source."""
WIDE = {"pitch_below_occipital_mm": 30.0, "pitch_to_crown_mm": 20.0}
"""The same partings with twice the space, for a back with little to blend."""
LIGHTENER_KINDS: tuple[Kind, ...] = ("slice", "weave", "tip-out")
PARTED = {"left": -1.0, "centre": 0.0, "right": 1.0}
"""Sides of a parting that stays; where it wanders or is none the strip lies in the middle."""
HAIRLINE = ("nape_hairline", "side_hairlines")
LOWLIGHTS = "lowlights inside the light"
"""Section of lowlights among foils of lightener: placed last, for their clock is shorter."""


@dataclass(frozen=True)
class Placed:
    """The map of today and the zones it lies on.

    Parameters
    ----------
    zones, foils : of this head
    grams_factor : product for a gram of hair, g/g
    chosen : the pattern they are laid by
    """

    zones: Zones
    foils: FoilMap
    grams_factor: float
    chosen: Laying | None = None


def scalp_of(c: Consultation) -> ScalpKept:
    """Give the measures of the client's head, and where her hair turns.

    Raises
    ------
    OutOfRangeError   measures that are no head, or lines that leave a zone without hair
    """
    side = PARTED.get(c.hair.parting)
    measures = ScalpKept(
        circumference_cm=c.hair.circumference_cm,
        centre_strip_cm=c.hair.centre_strip_cm,
        fringe_depth_cm=c.hair.fringe_depth_cm,
        front_to_nape_cm=c.hair.front_to_nape_cm,
        hairline_depth_cm=c.hair.hairline_depth_cm,
        side_end_percent=c.hair.side_end_percent,
        strip_offset_cm=side * placement_number(c, "strip_to_parting_cm") if side else 0.0,
        parting_cm=None if side is None else side * placement_number(c, "parting_off_middle_cm"),
    )
    zones = _cut_as_said(measures)
    turning = [
        WhirlKept(
            zone=zone,
            u=round(one.u, 3),
            y=round(one.y, 3),
            radius_cm=round(one.radius_cm, 3),
            angle_deg=one.angle_deg,
        )
        for zone, found in whirls_of(c, zones).items()
        for one in found
    ]
    return measures.model_copy(update={"whirls": turning})


def _cut_as_said(measures: ScalpKept) -> Zones:
    """Cut the scalp as the consultation says, and name its fields where that leaves no head."""
    try:
        Scalp(measures.circumference_cm, measures.front_to_nape_cm)
    except OutOfRangeError as none:
        fields = "hair.circumference_cm, hair.front_to_nape_cm"
        raise OutOfRangeError(none.what, none.do, fields) from None
    try:
        return zones_of(measures)
    except OutOfRangeError as none:
        fields = "hair.centre_strip_cm, hair.fringe_depth_cm, hair.hairline_depth_cm"
        raise OutOfRangeError(none.what, none.do, fields) from None


def zones_of(measures: ScalpKept) -> Zones:
    """Cut a scalp where she cuts it; its partings bend where its hair turns."""
    zones = cut_zones(
        Scalp(measures.circumference_cm, measures.front_to_nape_cm),
        CutLines(
            centre_strip_cm=measures.centre_strip_cm,
            fringe_depth_cm=measures.fringe_depth_cm,
            hairline_depth_cm=measures.hairline_depth_cm,
            strip_offset_cm=measures.strip_offset_cm,
            side_end_share=measures.side_end_percent / 100,
        ),
    )
    whirls: dict[str, tuple[Whirl, ...]] = {}
    for one in measures.whirls:
        found = Whirl(one.u, one.y, one.radius_cm, one.angle_deg)
        whirls[one.zone] = (*whirls.get(one.zone, ()), found)
    return replace(zones, whirls=whirls)


def densities(c: Consultation, head: HeadReading, zones: Zones, bench: Bench) -> dict[str, float]:
    """Give the density of each zone by key, hairs/cm2: her figure or word, thinner where she says.

    A word for an area is against the ponytail's; an expert's figure is the ponytail's in its place.
    """
    whole = c.hair.density_per_cm2 or bench["density_per_cm2"] * head.density_factor
    return {
        zone.key: whole * head.density_of(zone.answers_for) / head.density_factor for zone in zones
    }


def place_foils(
    c: Consultation,
    head: HeadReading,
    technique: Technique,
    bench: Bench,
    under: Under | None,
    hers: Pattern | None = None,
    chosen: Laying | None = None,
) -> Placed | None:
    """Lay today's foils, or none where the technique has none.

    Parameters
    ----------
    hers : the pattern that the consultation names; None for the technique's own
    chosen : a pattern to lay in place of both

    Raises
    ------
    UnreachableError   a number of foils that no spacing of the pattern meets

    Notes
    -----
    The budget sets one scale on all pitches, aimed at the middle of its range. A back with
    little gray gets twice the space. Lowlights on a return visit only where it is too light.
    Her pattern's spaces stand as she wrote them unless her file gives a number of foils.
    """
    if technique.foils[1] == 0:
        return None
    wide = WIDE if technique.kind == "foils" and head.gray["back"] < FEW_GRAY else {}
    own = {**wide, **c.placement}
    layer = layer_of(c, head, technique, bench, under)
    if chosen is None:
        named = laying(c, technique, hers, own)
        with told_of_file(c, named):
            foils = layer.laid(named)
        if hers is not None and not lays_kind(foils, technique):
            named = instead(c, technique, hers, own)
            foils = layer.laid(named)
    else:
        named = chosen
        foils = layer.laid(named)
    if technique.kind == "foils":
        foils = _lowlights_last(foils)
    return Placed(layer.zones, foils, layer.grams_factor, named)


@dataclass(frozen=True, eq=False)
class Layer:
    """A head that patterns are laid on.

    Parameters
    ----------
    zones : of the head
    grams_factor : product for a gram of hair, g/g
    laid : lays a pattern
    """

    zones: Zones
    grams_factor: float
    laid: Callable[[Laying], FoilMap]


def layer_of(
    c: Consultation, head: HeadReading, technique: Technique, bench: Bench, under: Under | None
) -> Layer:
    """Make a head ready to lay patterns on, between the foils of earlier visits."""
    factor = bench["lowlight_grams" if technique.kind == "lowlights" else "grams_per_gram_hair"]
    zones = zones_of(scalp_of(c))
    density = densities(c, head, zones, bench)

    def laid(chosen: Laying) -> FoilMap:
        lay = partial(
            place,
            zones,
            thinned(c, chosen).woven(whirl_zones(c)),
            foil_budget=chosen.budget,
            density_per_cm2=density,
            diameter_um=head.diameter_um,
            length_cm=head.length_cm,
            grams_factor=factor,
            max_parting_cm=bench["parting_max_cm"],
        )
        return _between(lay, under)

    return Layer(zones, factor, laid)


def _between(lay: Callable[..., FoilMap], under: Under | None) -> FoilMap:
    """Lay today's foils in the hair that every earlier visit left, else that the last one left."""
    if under is None:
        return lay()
    if under.older:
        every = [foil for one in (*under.older, under.last) for foil in one]
        try:
            return lay(ghosts=replace(under.last, foils=tuple(every)))
        except UnreachableError:  # too little lies between all of them: as a round by sight does
            pass
    return lay(ghosts=under.last)


def _lowlights_last(foils: FoilMap) -> FoilMap:
    light = [foil for foil in foils if foil.kind != "lowlight weave"]
    dark = [replace(f, section=LOWLIGHTS) for f in foils if f.kind == "lowlight weave"]
    numbered = tuple(replace(foil, number=n) for n, foil in enumerate([*light, *dark], 1))
    order = tuple(dict.fromkeys(foil.section for foil in numbered))
    return replace(foils, foils=numbered, order=order)


def bowl_of(
    foil: Foil,
    technique: Technique,
    weak_on: str,
    weak_foils: float,
    of_zone: Mapping[str, str] | None = None,
) -> str:
    """Name the bowl a foil is filled from: weak, main, strong or lowlight.

    Parameters
    ----------
    of_zone : by zone name, where it was chosen; None for her rule
    """
    if foil.kind == "lowlight weave":
        return "lowlight"
    if technique.dark_cover:
        return "strong"
    if of_zone is not None:
        return of_zone[foil.zone]
    if weak_on == "first" and foil.number <= weak_foils:
        return "weak"
    if weak_on == "hairline" and foil.zone in HAIRLINE:
        return "weak"
    return "main"


def foil_rows(foils: FoilMap, bowls: Mapping[int, str], bench: Bench) -> list[FoilRow]:
    """Write the foils down, rounded to what a hand can place, each with her minutes for it."""
    return [
        row_of(foil, bowls[foil.number], seconds_to_place(foil.kind, bench) / 60) for foil in foils
    ]


def row_of(foil: Foil, bowl: str, place_min: float) -> FoilRow:
    """Write one foil down."""
    return FoilRow(
        number=foil.number,
        zone=foil.zone,
        side=foil.side,
        section=foil.section,
        kind=foil.kind,
        grade=foil.grade,
        bowl=bowl,
        up_cm=round(foil.up_cm, 3),
        across_cm=(round(foil.across_cm[0], 3), round(foil.across_cm[1], 3)),
        line=_rounded(foil.line),
        outline=_rounded(foil.outline),
        length_cm=round(foil.length_cm, 2),
        thickness_mm=round(foil.thickness_mm, 2),
        pick_mm=foil.pick_mm,
        left_mm=foil.left_mm,
        flipped=foil.flipped,
        roots=foil.roots,
        hair_share=round(foil.hair_share, 5),
        from_cm=round(foil.from_cm, 2),
        hair_grams=round(foil.hair_grams, 3),
        lightener_grams=round(foil.lightener_grams, 2),
        colour_grams=round(foil.colour_grams, 2),
        place_min=round(place_min, 2),
        reason=foil.reason,
        tilt_deg=foil.tilt_deg,
        turned=foil.turned,
    )


def _rounded(points: tuple[tuple[float, float], ...]) -> list[tuple[float, float]]:
    return [(round(u, 3), round(y, 3)) for u, y in points]


def map_of_rows(rows: list[FoilRow], zones: Zones) -> FoilMap:
    """Turn kept rows back into a map, as the last visit's foils."""
    foils = tuple(
        Foil(
            **{
                **row.model_dump(exclude={"bowl", "place_min"}),
                "line": tuple(row.line),
                "outline": tuple(row.outline),
            }
        )
        for row in rows
    )
    left = {zone.key: 1.0 for zone in zones}
    for foil in foils:
        left[foil.key] = max(0.0, left.get(foil.key, 1.0) - foil.hair_share)
    return FoilMap(foils, zones, left, tuple(dict.fromkeys(foil.section for foil in foils)))
