"""A visit as the fold gives it: what was placed, seen, felt and done, each with its time.

Times are UTC text, 2026-12-09T10:05:00.000Z; minutes are to the hundredth, cut, not rounded.
None stands where the facts do not say.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import Any, Literal

from strandline.base.facts.fact import Fact
from strandline.base.facts.understand import Flag


@dataclass(frozen=True, slots=True)
class Section:
    """A section: its foils from first to last, the first one's start and the tap at its end."""

    section: str
    first_foil: int
    last_foil: int | None
    start: str | None
    end: str | None
    bowl: str | None


@dataclass(frozen=True, slots=True)
class PlacedFoil:
    """A foil that is in: its section and bowl, when it went in, when and how it came out."""

    number: int
    section: str
    bowl: str | None
    start: str | None
    out: str | None
    how: Literal["wiped", "rinsed"] | None
    in_min: float | None


@dataclass(frozen=True, slots=True)
class Bowl:
    """A bowl as mixed and what was left of it."""

    bowl: str
    time: str
    developer_vol: float
    developer_grams: float
    powder_grams: float
    colour_grams: float | None
    left_grams: float | None
    left_amount: str | None

    @property
    def mixed_grams(self) -> float:
        """Give what was weighed into the bowl [g]."""
        return self.developer_grams + self.powder_grams + (self.colour_grams or 0.0)

    @property
    def used_grams(self) -> float | None:
        """Give what went onto the hair: mixed less residue [g].

        Returns
        -------
        None where no residue was weighed, or more of it than was mixed, so that no figure is true
        """
        left = 0.0 if self.left_amount == "none" else self.left_grams
        if left is None or left > self.mixed_grams:
            return None
        return self.mixed_grams - left


@dataclass(frozen=True, slots=True)
class Seen:
    """A check: of a foil or a section, its minutes in, the stage seen and how surely."""

    time: str
    foil: int | None
    section: str | None
    band: str | None
    stage: float
    sureness: str
    dried: bool | None
    minutes: float | None


@dataclass(frozen=True, slots=True)
class Out:
    """A wipe or a rinse: of foils, a section, a gloss's place; a rinse of none is of the head."""

    time: str
    foils: tuple[int, ...] | None
    section: str | None
    place: str | None


@dataclass(frozen=True, slots=True)
class Gloss:
    """A gloss: where, what, how far it was last seen to have turned, and its minutes."""

    place: str
    recipe: str
    time: str
    turned: str | None
    tone: str | None
    rinsed: str | None
    minutes: float | None


@dataclass(frozen=True, slots=True)
class Change:
    """What changed."""

    time: str
    what: str
    minutes: float | None
    foils: tuple[int, ...] | None
    section: str | None
    why: str | None


@dataclass(frozen=True, slots=True)
class Feeling:
    """What the client felt, and the rinse of the whole head that followed."""

    time: str
    what: str
    where: str | None
    rinsed: str | None


@dataclass(frozen=True, slots=True)
class AreaResult:
    """An area as judged after the rinse."""

    time: str
    area: str
    stage: float | None
    evenness: str
    tone: str | None
    remedy: str | None


@dataclass(frozen=True, slots=True)
class TestDone:
    """A test and what it showed."""

    __test__ = False

    time: str
    test: str
    outcome: str
    where: str | None


@dataclass(frozen=True, slots=True)
class Note:
    """Words, and whose."""

    time: str
    by: str
    text: str


@dataclass(frozen=True, slots=True)
class Conflict:
    """Facts that cannot both stand: the one that was folded and those left.

    Parameters
    ----------
    code : 'same_id' one name, two contents; 'two_sections' a foil in the range of both
    foils : the foils in question, empty for 'same_id'
    kept, left : facts
    """

    code: Literal["same_id", "two_sections"]
    foils: tuple[int, ...]
    kept: Fact
    left: tuple[Fact, ...]


@dataclass(frozen=True, slots=True)
class Visit:
    """All that the facts of one visit say, whatever order they came in.

    Parameters
    ----------
    stream : the visit's name
    client, date, plan, started, offset : as begun; offset in minutes ahead of UTC
    ended, outcome : as ended
    sections, foils, dropped, added : what is in, by section and by foil
    bowls, checks, wipes, rinses, glosses, changes, feelings, tests, notes : in time
    results, results_before : the last judgement of each area, and those it replaced
    rinse_now : burning, pain or heat was felt, and the whole head not rinsed since
    taken_back : ids of facts that were slips
    conflicts, flagged : to be shown
    """

    stream: str
    client: str | None
    date: str | None
    plan: str | None
    started: str | None
    offset: int | None
    ended: str | None
    outcome: str | None
    sections: tuple[Section, ...]
    foils: tuple[PlacedFoil, ...]
    dropped: tuple[int, ...]
    added: tuple[int, ...]
    bowls: tuple[Bowl, ...]
    checks: tuple[Seen, ...]
    wipes: tuple[Out, ...]
    rinses: tuple[Out, ...]
    glosses: tuple[Gloss, ...]
    changes: tuple[Change, ...]
    feelings: tuple[Feeling, ...]
    rinse_now: bool
    results: tuple[AreaResult, ...]
    results_before: tuple[AreaResult, ...]
    tests: tuple[TestDone, ...]
    notes: tuple[Note, ...]
    taken_back: tuple[str, ...]
    conflicts: tuple[Conflict, ...]
    flagged: tuple[Flag, ...]

    @property
    def foils_done(self) -> frozenset[int]:
        """Give the numbers of the foils that were placed and not dropped."""
        return frozenset(foil.number for foil in self.foils)

    def as_json(self) -> dict[str, Any]:
        """Give the visit as every language must fold it, `foils_done` spelt out."""
        out = {one.name: _plain(getattr(self, one.name)) for one in fields(self)}
        return {**out, "foils_done": sorted(self.foils_done)}


def _plain(value: Any) -> Any:  # noqa: ANN401  # any part of a visit
    if isinstance(value, tuple):
        return [_plain(one) for one in value]
    if isinstance(value, Flag | Fact):
        return value.as_json()
    if hasattr(value, "__dataclass_fields__"):
        shallow = {name: getattr(value, name) for name in value.__dataclass_fields__}
        return {name: _plain(one) for name, one in shallow.items()}
    return value
