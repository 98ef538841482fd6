"""The foils of a visit as they were done: placed, skipped, moved and added, each in its place.

The facts of a chair name a section and a number. A number of the plan lies where the plan has it
unless it was placed in another section; a number beyond the plan takes the next place that is free
in the section it names. Where that is a guess, it is told.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from strandline.base.facts.visit import PlacedFoil, Visit
from strandline.science.head.zones import Zones
from strandline.service.placement.added import next_free
from strandline.service.placement.foil import Foil
from strandline.service.placement.places import zones_named
from strandline.service.placement.takes import usual
from strandline.service.plan.carried import VisitKept
from strandline.service.plan.parts import FoilRow, ScalpKept
from strandline.service.plan.placing import map_of_rows, row_of, zones_of

LOWLIGHT = "lowlight weave"
MADE_UP = "fine weave"
"""What a foil is taken as in a section without any: as at the front; common practice, no source."""
WIDTH_CM = 11.0
"""No parting is wider; common practice, no source."""


@dataclass(frozen=True)
class AsDone:
    """The foils that were in, and where their place is not the plan's.

    Parameters
    ----------
    rows : by number
    moved : number and section of foils of the plan that were placed elsewhere
    added : number and section of foils beyond the plan that have a place now
    unknown : number and section of foils whose section names no place of the head
    full : number and section of foils for which there is no room
    """

    rows: list[FoilRow]
    moved: list[tuple[int, str]] = field(default_factory=list)
    added: list[tuple[int, str]] = field(default_factory=list)
    unknown: list[tuple[int, str]] = field(default_factory=list)
    full: list[tuple[int, str]] = field(default_factory=list)

    def told(self) -> list[str]:
        """Say what of the places was not said but taken, a sentence for each kind."""
        out = []
        if self.moved:
            out.append(
                f"Foils were placed elsewhere than planned ({_said(self.moved)}): each lies at the "
                "next free place there."
            )
        if self.added:
            out.append(
                f"Foils added at the chair ({_said(self.added)}) lie at the next free place of the "
                "section they name."
            )
        if self.unknown:
            out.append(
                f"Foils added at the chair ({_said(self.unknown)}) are not on its map: no place of "
                "the head goes by that name."
            )
        if self.full:
            out.append(
                f"Foils added at the chair ({_said(self.full)}) are not on its map: it shows no "
                "room for them there."
            )
        return out


def as_done(
    rows: Sequence[FoilRow], scalp: ScalpKept, before: Sequence[VisitKept], visit: Visit
) -> AsDone:
    """Lay the foils of a visit where they were done.

    Parameters
    ----------
    rows : of the visit's plan
    scalp : the head of that plan
    before : the visits before it, whose foils leave hair for these
    visit : its facts

    Returns
    -------
    AsDone   rows in the order of their numbers

    Notes
    -----
    A foil beyond the plan takes, in the section it names, a planned place that was not used, after
    the last foil there and then before it; else the next free place (`added.next_free`). It is
    taken as the last foil there is, of its bowl where it names one.
    """
    zones = zones_of(scalp)
    planned = {row.number: row for row in rows}
    elsewhere = _elsewhere(planned, visit, zones)
    kept, strayed, moved = [], [], []
    for foil in visit.foils:
        row = planned.get(foil.number)
        if row is None:
            strayed.append(foil)
        elif foil.number in elsewhere:
            strayed.append(foil)
            moved.append(foil.number)
        else:
            kept.append(row)
    ground = _Ground(zones, list(rows), list(kept), _older(before, zones))
    done = AsDone(kept)
    for foil in strayed:
        own = planned.get(foil.number)
        found = ground.place(foil, own)
        said = (foil.number, foil.section)
        if found is None and own is not None:
            found = own  # no room there: it is in, so its hair is what the plan has
            ground.rows.append(own)
        if found is None:
            (done.full if ground.keys_of(foil.section) else done.unknown).append(said)
            continue
        done.rows.append(found)
        if found is not own:
            (done.moved if foil.number in moved else done.added).append(said)
    return replace(done, rows=sorted(done.rows, key=lambda row: row.number))


def _elsewhere(planned: Mapping[int, FoilRow], visit: Visit, zones: Zones) -> set[int]:
    """Give the foils of the plan that were placed in a section that is another place.

    A run of foils that reaches into the place it names was tapped in one go, and moves none.
    """
    runs = [
        (one.section, range(one.first_foil, one.last_foil + 1))
        for one in visit.sections
        if one.last_foil is not None
    ]
    of = {foil.number: foil.section for foil in visit.foils}
    runs += [(of[number], range(number, number + 1)) for number in visit.added if number in of]
    out: set[int] = set()
    for section, numbers in runs:
        keys = zones_named(section, zones)
        rows = [planned[number] for number in numbers if number in planned]
        there = [row for row in rows if row.section == section or _key(row) in keys]
        if keys and not there:
            out |= {row.number for row in rows if of.get(row.number) == section}
        else:
            out -= {row.number for row in rows}
    return out


def _key(row: FoilRow) -> str:
    return row.zone if row.side == "centre" else f"{row.zone} {row.side}"


def _place(row: FoilRow) -> tuple[str, float, tuple[float, float]]:
    return _key(row), row.up_cm, row.across_cm


def _older(before: Sequence[VisitKept], zones: Zones) -> list[Foil]:
    return [foil for one in before for foil in map_of_rows(one.foils, zones)]


@dataclass
class _Ground:
    """A head with foils on it, to which others come one by one.

    Parameters
    ----------
    zones : of the head
    planned : all rows of the plan
    rows : of foils that are in; a foil that is placed joins them
    older : foils of the visits before
    """

    zones: Zones
    planned: list[FoilRow]
    rows: list[FoilRow]
    older: list[Foil]

    def place(self, foil: PlacedFoil, own: FoilRow | None) -> FoilRow | None:
        """Give a foil its place in the section it names; None where there is none."""
        keys = self.keys_of(foil.section)
        if not keys or not self.planned:
            return None
        here = [row for row in self.rows if _key(row) in keys]
        like = own or self._like(here, keys, foil.bowl)
        alike = [row for row in here if _dark(row) == _dark(like)]
        after = max(alike, key=lambda row: row.number, default=None)
        open_row = None if own else self._open(keys, like)
        if open_row is not None:
            update = {"number": foil.number, "bowl": foil.bowl or open_row.bowl}
            row = open_row.model_copy(update={**update, "reason": _why(foil.section)})
        else:
            found = self._free(like, keys, after)
            if found is None:
                return None
            found = replace(found, number=foil.number, reason=_why(foil.section))
            row = row_of(found, foil.bowl or like.bowl, like.place_min)
        self.rows.append(row)
        return row

    def keys_of(self, section: str) -> tuple[str, ...]:
        """Give the zones that a section names: by its words, else by the plan's own foils."""
        named = zones_named(section, self.zones)
        own = [_key(row) for row in self.planned if row.section == section]
        return named or tuple(dict.fromkeys(own))

    def _like(self, here: Sequence[FoilRow], keys: Sequence[str], bowl: str | None) -> FoilRow:
        """Give what a foil is taken as: the last one there, of its bowl where it names one."""
        dark = bowl == "lowlight"
        there = [row for row in self.planned if _key(row) in keys]
        numbers = {row.number for row in self.planned}
        for among in ([row for row in here if row.number in numbers], there):
            same = [row for row in among if _dark(row) == dark]
            of_bowl = [row for row in same if row.bowl == bowl]
            if same:
                return max(of_bowl or same, key=lambda row: row.number)
        any_row = [row for row in self.planned if _dark(row) == dark and not row.from_cm]
        return _made_up(max(any_row or self.planned, key=lambda row: row.number), dark=dark)

    def _open(self, keys: Sequence[str], like: FoilRow) -> FoilRow | None:
        """Give a planned place that is not used: after the last that is, else before it."""
        used = {_place(row) for row in self.rows}
        there = [row for row in self.planned if _key(row) in keys and _dark(row) == _dark(like)]
        last = max((k for k, row in enumerate(there) if _place(row) in used), default=-1)
        later = [row for row in there[last + 1 :] if _place(row) not in used]
        before = [row for row in there[:last] if _place(row) not in used] if last > 0 else []
        return next(iter([*later, *before]), None)

    def _free(self, like: FoilRow, keys: Sequence[str], after: FoilRow | None) -> Foil | None:
        """Give a free place between all foils of all visits, else between those of this one."""
        one, *rest = map_of_rows([like, *([after] if after else [])], self.zones)
        mine = list(map_of_rows(self.rows, self.zones))
        last = rest[0] if rest else None
        return next_free(one, self.zones, keys, [*mine, *self.older], WIDTH_CM, last) or next_free(
            one, self.zones, keys, mine, WIDTH_CM, last
        )


def _dark(row: FoilRow) -> bool:
    return row.kind == LOWLIGHT


def _made_up(row: FoilRow, *, dark: bool) -> FoilRow:
    """Give a foil for a section that has none: a fine weave, or lowlight, of this hair."""
    take = usual(LOWLIGHT if dark else MADE_UP)
    return row.model_copy(
        update={
            "kind": take.kind,
            "grade": take.grade,
            "thickness_mm": take.thickness_mm,
            "pick_mm": take.pick_mm,
            "left_mm": take.left_mm,
            "lightener_grams": 0.0 if dark else row.lightener_grams + row.colour_grams,
            "colour_grams": row.lightener_grams + row.colour_grams if dark else 0.0,
        }
    )


def _why(section: str) -> str:
    return f"Added at the chair in '{section}', at the next free place."


def _said(foils: Sequence[tuple[int, str]]) -> str:
    """Give foils by section: 'fringe 80, 81; sides 82'."""
    by: dict[str, list[str]] = {}
    for number, section in foils:
        by.setdefault(section, []).append(str(number))
    return "; ".join(f"{section} {', '.join(numbers)}" for section, numbers in by.items())
