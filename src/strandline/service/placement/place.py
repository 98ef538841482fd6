"""Lay a pattern on the zones of a head: from partings to foils.

Fixed units inside: cm in the chart, mm for thickness, pick, left and pitch.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from strandline.base.errors import OutOfRangeError
from strandline.science.head.mass import hair_grams, hairs
from strandline.science.head.zones import ALONG, NAMES, Zone, Zones
from strandline.service.placement.foil import SECTIONS, Foil, FoilMap
from strandline.service.placement.layout import Laid, lay
from strandline.service.placement.parting import Strip, partings
from strandline.service.placement.pattern import Row, pattern_numbers
from strandline.service.placement.places import SECTION_OF
from strandline.service.placement.slant import tilt_of


@dataclass(frozen=True, slots=True)
class Hair:
    """The hair that foils are laid in.

    Parameters
    ----------
    density_per_cm2 : float   hairs/cm2, 20-500
    diameter_um : float       20-200
    length_cm : float         mean, 1-200
    grams_factor : float      product per gram of hair, g/g, 0-20
    """

    density_per_cm2: float
    diameter_um: float
    length_cm: float
    grams_factor: float

    def __post_init__(self) -> None:
        """Refuse hair that does not grow on heads."""
        for name, value, low, high, unit in (
            ("density", self.density_per_cm2, 20.0, 500.0, "hairs/cm2"),
            ("length", self.length_cm, 1.0, 200.0, "cm"),
            ("product for a gram of hair", self.grams_factor, 0.0, 20.0, "g/g"),
        ):
            if not low <= value <= high:
                raise OutOfRangeError(
                    f"The {name} is {value:g} {unit}; it must be {low:g}-{high:g} {unit}.",
                    "Give it in that unit.",
                )


def place(  # noqa: PLR0913 - each is named where it is called
    zones: Zones,
    pattern: Mapping[str, Row | tuple[Row, ...]],
    *,
    foil_budget: tuple[int, int] | None = None,
    target: int | None = None,
    pitch_scale: float = 1.0,
    density_per_cm2: float | Mapping[str, float] = 223.0,
    diameter_um: float = 70.0,
    length_cm: float = 30.0,
    grams_factor: float = 4.0,
    max_parting_cm: float = 11.0,
    skip: Collection[str] = (),
    ghosts: FoilMap | None = None,
) -> FoilMap:
    """Lay a pattern on a head.

    Parameters
    ----------
    zones : Zones
    pattern : mapping of zone name, or key ('sides left'), to its row or rows
    foil_budget : (fewest, most) foils, or None to keep the pitches as they are
    target : int | None         foils aimed at within the budget; its middle if None
    pitch_scale : float         on every pitch, 0.1-20; with a budget the start of the search
    density_per_cm2 : float     hairs/cm2, 20-500, or that of every zone by key; Barman's mean by
                                default
    diameter_um : float         um, 20-200
    length_cm : float           mean length, cm, 1-200
    grams_factor : float        grams of product for a gram of hair, 0-20
    max_parting_cm : float      no parting is wider, cm, 2-20
    skip : zone names or keys   left without foils
    ghosts : FoilMap | None     last visit's foils; the new ones go between them

    Returns
    -------
    FoilMap   foils numbered in the order of work

    Raises
    ------
    OutOfRangeError    a value outside its range, or a pattern for a zone that is not there
    UnreachableError   a budget that no spacing of this pattern meets

    Notes
    -----
    Rows stand at start + k pitch from a zone's lower edge, as many as the height holds to the
    nearest; never closer than back to back, and then they take every root once. A foil takes
    density x area x picked share; its hair weighs roots x length x linear mass; its product
    is that times the factor. Partings bend round the head's whirls and are turned where a row says
    so; where foils lie already, new ones are turned as those are. By sight a hand hits the hair
    left out about 8 times in 10 (from memory).

    References
    ----------
    geometry; barman1965; patterns are common practice, no source
    """
    if foil_budget is not None:
        from strandline.service.placement.fit import fit_pitch  # noqa: PLC0415 - mutual

        pitch_scale = fit_pitch(
            zones,
            pattern,
            budget=foil_budget,
            target=target,
            start=pitch_scale,
            length_cm=length_cm,
            max_parting_cm=max_parting_cm,
            skip=skip,
            ghosts=ghosts,
        )
    dense = density_per_cm2
    by_zone = dense if isinstance(dense, Mapping) else {zone.key: dense for zone in zones}
    hair = {key: Hair(one, diameter_um, length_cm, grams_factor) for key, one in by_zone.items()}
    drafts: list[tuple[tuple[int, ...], Foil]] = []
    for zone, laid, strips in parted(
        zones, pattern, pitch_scale, length_cm, max_parting_cm, skip, ghosts
    ):
        for column, strip in enumerate(strips):
            foil = _foil(zone, laid, strip, hair[zone.key], turned=bool(zones.whirls.get(zone.key)))
            drafts.append((_turn(zone, foil, column), foil))
    drafts.sort(key=lambda draft: draft[0])
    foils = tuple(replace(foil, number=k) for k, (_, foil) in enumerate(drafts, start=1))
    left = {zone.key: 1.0 for zone in zones}
    for foil in foils:
        left[foil.key] -= foil.hair_share
    present = {foil.section for foil in foils}
    return FoilMap(
        foils=foils,
        zones=zones,
        left_out={key: max(share, 0.0) if share > -1e-9 else share for key, share in left.items()},
        order=tuple(name for name in SECTIONS if name in present),
        pattern=getattr(pattern, "name", ""),
        pitch_scale=pitch_scale,
    )


def parted(
    zones: Zones,
    pattern: Mapping[str, Row | tuple[Row, ...]],
    pitch_scale: float,
    length_cm: float,
    max_parting_cm: float,
    skip: Collection[str],
    ghosts: FoilMap | None,
) -> Iterable[tuple[Zone, Laid, tuple[Strip, ...]]]:
    """Give every parting of a pattern with its strips, zone by zone."""
    _refuse(zones, pattern, pitch_scale, max_parting_cm)
    tip_out_min = pattern_numbers()["tip_out_min_cm"].value
    for zone in zones:
        if zone.name in skip or zone.key in skip:
            continue
        found = pattern.get(zone.key, pattern.get(zone.name, ()))
        rows = (found,) if isinstance(found, Row) else tuple(found)
        if length_cm < tip_out_min:
            rows = tuple(row for row in rows if row.kind != "tip-out")
        old = ghosts.in_zone(zone.key) if ghosts is not None else ()
        tilt = _tilt(zone, rows, old)
        alike = [foil for foil in old if foil.tilt_deg == tilt]
        for one in lay(zones, zone, rows, pitch_scale, alike, tilt):
            laid = replace(one, tilt_deg=tilt)
            strips = partings(zones, zone, laid.up_cm, laid.thickness_cm, max_parting_cm, tilt)
            if strips:
                yield zone, laid, strips


def _tilt(zone: Zone, rows: Sequence[Row], old: Sequence[Foil]) -> float:
    """Give the tilt of a zone's partings: that of most old foils, else of its rows."""
    if old:
        tilts = [foil.tilt_deg for foil in old]
        return max(sorted(set(tilts)), key=tilts.count)
    return tilt_of(zone, rows[0]) if rows else 0.0


def _refuse(
    zones: Zones,
    pattern: Mapping[str, Row | tuple[Row, ...]],
    pitch_scale: float,
    max_parting_cm: float,
) -> None:
    known = {zone.key for zone in zones} | set(NAMES)
    for name in pattern:
        if name not in known:
            raise OutOfRangeError(
                f"The pattern places foils in '{name}', which this head does not have.",
                f"Choose one of: {', '.join(sorted(known))}.",
            )
    for name, found in pattern.items():
        _refuse_turns(name, (found,) if isinstance(found, Row) else tuple(found))
    if not 0.1 <= pitch_scale <= 20:
        raise OutOfRangeError(
            f"The scale on the pitches is {pitch_scale:g}; it must be 0.1-20.",
            "Give 1 for the pattern's own pitches, 2 for twice the space.",
        )
    if not 2 <= max_parting_cm <= 20:
        raise OutOfRangeError(
            f"The longest parting is {max_parting_cm:g} cm; it must be 2-20 cm.",
            "Give the width of the foil, usually 10-12 cm.",
        )


def _refuse_turns(name: str, rows: Sequence[Row]) -> None:
    """Refuse diagonals that a zone cannot have, or two of them in one zone."""
    zone = name.split(" ", maxsplit=1)[0]
    may = () if zone == "side_hairlines" else ("forward", "back")
    may = may if zone in ALONG else ("left", "right")
    turns = {(row.diagonal, row.diagonal_deg if row.diagonal else 0.0) for row in rows}
    for turn, _ in turns:
        if turn and turn not in may:
            raise OutOfRangeError(
                f"The partings of '{name}' are turned '{turn}'.",
                f"Choose one of: {', '.join(may)}." if may else "They follow the hairline.",
            )
    if len(turns) > 1:
        raise OutOfRangeError(
            f"The rows of '{name}' are turned in different ways; they would cross.",
            "Turn all rows of a zone alike.",
        )


def _foil(zone: Zone, laid: Laid, strip: Strip, hair: Hair, *, turned: bool) -> Foil:
    row = laid.row
    picked = laid.pick_mm / (laid.pick_mm + laid.left_mm) if laid.left_mm else 1.0
    from_cm = (1 - row.length_share) * hair.length_cm
    roots = hairs(hair.density_per_cm2, strip.area_cm2 * picked)
    grams = hair_grams(roots, hair.length_cm - from_cm, hair.diameter_um)
    product = grams * hair.grams_factor
    dark = row.kind == "lowlight weave"
    return Foil(
        number=0,
        zone=zone.name,
        side=zone.side,
        section="tip-outs" if row.kind == "tip-out" else SECTION_OF[zone.name],
        kind=row.kind,
        grade=row.grade,
        up_cm=laid.up_cm,
        across_cm=strip.across,
        line=strip.line,
        outline=strip.outline,
        length_cm=strip.length_cm,
        thickness_mm=laid.thickness_cm * 10,
        pick_mm=laid.pick_mm,
        left_mm=laid.left_mm,
        flipped=laid.flipped,
        roots=roots,
        hair_share=strip.area_cm2 * picked / zone.area_cm2,
        from_cm=from_cm,
        hair_grams=grams,
        lightener_grams=0.0 if dark else product,
        colour_grams=product if dark else 0.0,
        reason=row.reason,
        tilt_deg=laid.tilt_deg,
        turned=turned,
    )


def _turn(zone: Zone, foil: Foil, column: int) -> tuple[int, ...]:
    side = {"left": 1, "centre": 0, "right": 2}[zone.side]
    return (
        SECTIONS.index(foil.section),
        side,
        NAMES.index(zone.name),
        round(foil.up_cm * 1e6),
        column,
    )
