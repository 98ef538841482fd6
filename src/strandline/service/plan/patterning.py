"""Whose pattern is laid today: the technique's own, or the one that the consultation names.

Her pattern says where foils lie. It never says whether any are laid: a technique without foils
lays none, and one with foils of lightener, or of lowlights, takes from her pattern that kind alone.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, replace

from strandline.base.errors import UnreachableError
from strandline.base.sources import COMMON_PRACTICE
from strandline.science.head.zones import ANSWERS
from strandline.service.care.finding import Finding, Step
from strandline.service.choose.technique import Technique
from strandline.service.consultation.bands import length_cm
from strandline.service.consultation.model import Consultation, PatternFile
from strandline.service.placement.foil import FoilMap
from strandline.service.placement.pattern import KINDS, Kind, Pattern, pattern, pattern_numbers
from strandline.service.placement.pattern_file import read_pattern
from strandline.service.placement.thin import thinner
from strandline.service.plan.parts import PatternKept

LOWLIGHT: Kind = "lowlight weave"
MOSTLY = 0.5
"""A zone is thin where more than this of it belongs to thin areas."""


@dataclass(frozen=True)
class Laying:
    """A pattern as today's service lays it.

    Parameters
    ----------
    rows : of the kinds that are laid today
    budget : fewest and most foils its spaces are scaled to; None where they stand as written
    kept : what the plan keeps of a pattern that the consultation names; None for the technique's
    told : what of it is left out, and why
    """

    rows: Pattern
    budget: tuple[int, int] | None
    kept: PatternKept | None = None
    told: tuple[Finding, ...] = ()


def named_pattern(c: Consultation) -> Pattern | None:
    """Give the pattern that a consultation names; None where it names none.

    Raises
    ------
    StrandlineError   a slip in its file, with the file's name and place
    """
    if c.pattern is None:
        return None
    if isinstance(c.pattern, PatternFile):
        return read_pattern(c.pattern.text.encode(), c.pattern.file, c.placement)
    return pattern(c.pattern, c.placement)


def laying(
    c: Consultation,
    technique: Technique,
    hers: Pattern | None,
    own: Mapping[str, float],
) -> Laying:
    """Choose today's pattern for a technique that lays foils.

    Parameters
    ----------
    hers : the pattern that the consultation names, or None
    own : her values over the numbers of `patterns.toml`, for the technique's pattern

    Notes
    -----
    Lowlights lie in a technique's pattern of light on return, and in hers, only where the hair is
    said to be too light; no ends alone are lightened in a short fringe's head.
    """
    if hers is not None:
        made = _hers(c, technique, hers)
        return instead(c, technique, hers, own) if made is None else made
    rows = pattern(technique.scale, own)
    if technique.scale == "return" and not c.aim.too_light_now:
        rows = rows.without_kinds(LOWLIGHT)
    if c.hair.fringe == "short":
        rows = rows.without_kinds("tip-out")
    return Laying(rows, technique.foils)


def thin_areas(c: Consultation) -> list[str]:
    """Give the areas that are said to be thin on a head that is not."""
    answers = {name: getattr(c.areas, name).density for name in ("front", "crown", "back")}
    return [name for name, word in answers.items() if word == "thin" and c.hair.ponytail != "thin"]


def thinned(c: Consultation, chosen: Laying) -> Pattern:
    """Take a grade less in each foil where hair is thin; a pattern she names stays as it is."""
    thin = thin_areas(c)
    if not thin or chosen.kept is not None:
        return chosen.rows
    zones = {
        zone
        for zone, areas in ANSWERS.items()
        if sum(share for area, share in areas.items() if area in thin) > MOSTLY
    }
    return thinner(chosen.rows, zones, c.placement)


def instead(
    c: Consultation, technique: Technique, hers: Pattern, own: Mapping[str, float]
) -> Laying:
    """Take the technique's pattern where hers lays nothing of today's kind, and say so."""
    return replace(laying(c, technique, None, own), told=(no_place_for(hers, technique),))


def lays_kind(foils: FoilMap, technique: Technique) -> bool:
    """Tell whether any foil is of the kind that the technique is called by."""
    return any((foil.kind == LOWLIGHT) == (technique.kind == "lowlights") for foil in foils)


@contextmanager
def told_of_file(c: Consultation, chosen: Laying) -> Iterator[None]:
    """Say of her file what its number of foils makes impossible.

    Raises
    ------
    UnreachableError   no spacing of her pattern meets that number
    """
    try:
        yield
    except UnreachableError as never:
        if chosen.kept is None or not isinstance(c.pattern, PatternFile):
            raise
        raise UnreachableError(never.what, never.do, f"{c.pattern.file}: foils") from None


def _hers(c: Consultation, technique: Technique, hers: Pattern) -> Laying | None:
    """Take of her pattern what today lays; None where that is nothing of today's kind."""
    kinds = {row.kind for rows in hers.values() for row in rows}
    rows, told = hers, []
    if technique.kind == "lowlights":
        rows = rows.without_kinds(*(kind for kind in KINDS if kind != LOWLIGHT))
        if kinds - {LOWLIGHT}:
            told.append(_left(hers, "foils of lightener", "today gives lowlights alone"))
    else:
        if not c.aim.too_light_now:
            rows = rows.without_kinds(LOWLIGHT)
            if LOWLIGHT in kinds:
                told.append(_left(hers, "lowlights", "the light is not said to be too light"))
        if c.hair.fringe == "short":
            rows = rows.without_kinds("tip-out")
        short = length_cm(c) < pattern_numbers()["tip_out_min_cm"].value
        if "tip-out" in kinds and (short or c.hair.fringe == "short"):
            why = "hair is too short for them" if short else "the fringe is short"
            told.append(_left(hers, "foils of ends only", why))
    laid = {row.kind for of_zone in rows.values() for row in of_zone}
    if not laid - {LOWLIGHT} if technique.kind == "foils" else not laid:
        return None
    kept = PatternKept(name=hers.name, own=isinstance(c.pattern, PatternFile), scaled_to=hers.foils)
    return Laying(rows, hers.foils, kept, tuple(told))


def told_of_pattern(
    hers: Pattern | None, technique: Technique, chosen: Laying | None, count: int
) -> list[Finding]:
    """Say what of a named pattern is not laid, and where its count is not the usual one.

    Parameters
    ----------
    hers : the pattern that the consultation names, or None
    chosen : the pattern that is laid; None where no foils are
    count : foils that are laid
    """
    if hers is None or technique.kind == "none":
        return []
    if chosen is None:
        return [no_place_for(hers, technique)]
    return [*chosen.told, *off_usual(chosen.kept, count, technique)]


def no_place_for(hers: Pattern, technique: Technique) -> Finding:
    """Say that nothing of her pattern is laid today."""
    if technique.foils[1] == 0:
        return _finding(
            f"The pattern '{hers.name}' is not laid: today is {technique.name}, without foils.",
            "Keep it for the visit that lays them.",
            "before",
        )
    kind = "lowlights" if technique.kind == "lowlights" else "foils of lightener"
    return _finding(
        f"The pattern '{hers.name}' lays no {kind} on this head today.",
        "The usual pattern lies in its place; look at the map, or write rows for it.",
    )


def off_usual(kept: PatternKept | None, count: int, technique: Technique) -> list[Finding]:
    """Say where her pattern comes to fewer or more foils than is usual for the technique."""
    low, high = technique.foils
    if kept is None or low <= count <= high:
        return []
    scale = f"foils = [{low}, {high}]"
    where = f"write {scale} in its file" if kept.own else f"save it as a file with {scale}"
    return [
        _finding(
            f"The pattern '{kept.name}' comes to {count} foils; {low}-{high} are usual for "
            f"{technique.name}.",
            f"It is left as it is: see that hours and price hold, or {where}.",
        )
    ]


def _left(hers: Pattern, what: str, why: str) -> Finding:
    return _finding(
        f"Of the pattern '{hers.name}' the {what} are left out: {why}.",
        "Their places stay free.",
    )


def _finding(what: str, do: str, step: Step = "foils") -> Finding:
    return Finding("caution", what, do, COMMON_PRACTICE, step, "pattern")
