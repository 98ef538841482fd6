"""A head to be timed: its blocks of foils, the hands that do it, and what may be chosen."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cache

from strandline.base.errors import OutOfRangeError
from strandline.base.sources import Number, numbers, toml_beside
from strandline.service.practice.bench import Bench
from strandline.service.schedule.blocks import Block, in_range

MOST_BLOCKS = 10
MOST_BANDS = 20
MOST_VOLS = 16
"""Beyond these a search of every way is not a matter of seconds."""
LARGEST_CODE = 2**62
"""Strengths in the order of work are kept as one whole number."""
LONGEST_HOURS = 16.0
"""No working day is longer; it bounds the tables of the search."""


@cache
def constants() -> dict[str, Number]:
    """Load the numbers of `schedule.toml`."""
    return numbers(toml_beside(__package__, "schedule.toml"), "schedule.toml")


def _known(name: str) -> float:
    return constants()[name].value


@dataclass(frozen=True, slots=True)
class Hands:
    """Her pace and a helper's, in whole seconds.

    Parameters
    ----------
    bowl, section, wipe, rinse : s for a bowl, a new section, one foil wiped, one rinse
    second : s for the second stretch of a foil where it is painted later or of another bowl
    bowl_foils, bowl_seconds : what a bowl serves, and its longest age, s
    helper : a second pair of hands wipes, and hands foils while there is nothing to wipe
    saving : share of the placing time saved while the helper is free [0-1)
    """

    bowl: int
    section: int
    wipe: int
    rinse: int
    second: int
    bowl_foils: int
    bowl_seconds: int
    helper: bool = False
    saving: float = 0.0

    def __post_init__(self) -> None:
        """Refuse times below 0 and bowls for no foil."""
        for name in ("bowl", "section", "wipe", "rinse", "second", "bowl_seconds"):
            in_range(f"The time '{name}'", getattr(self, name), "s", zero=True)
        in_range("The number of foils a bowl serves", self.bowl_foils, "foils")
        if not 0 <= self.saving < 1:
            raise OutOfRangeError(
                f"A helper saves {self.saving:g} of the placing; it must be 0 to below 1.",
                "Give it as a share: .22 for 22 %.",
            )

    def pace(self, seconds: float, *, helped: bool) -> int:
        """Give the whole seconds that a foil takes."""
        return round(seconds * (1.0 - self.saving if helped else 1.0))


def hands_of(bench: Bench, *, helper: bool = False) -> Hands:
    """Read her pace off the bench."""
    return Hands(
        bowl=round(bench["seconds_bowl"]),
        section=round(bench["seconds_new_section"]),
        wipe=round(bench["minutes_wipe_20"] * 60 / 20),
        rinse=round(bench["minutes_rinse"] * 60),
        second=round(bench["seconds_second_stretch"]),
        bowl_foils=round(bench["bowl_foils"]),
        bowl_seconds=round(bench["bowl_minutes"] * 60),
        helper=helper,
        saving=bench["helper_saving"] / 100,
    )


@dataclass(frozen=True, slots=True)
class Wishes:
    """What counts as there, and what her time weighs; the defaults are of `schedule.toml`.

    Parameters
    ----------
    window_min : a foil out so much before its aim still counts as there, min, >= 0
    past_ok : a foil past its aim by so much still counts as there, stage, >= 0
    ahead_ok : the same for a stretch that runs ahead of its foil and is covered afterwards
    chair_dose : harm worth a minute less in the chair, minutes at 6 % per minute, >= 0
    alike : burdens within a step of this are alike, minutes at 6 %, >= 0: then fewer strengths
        are the better, and the weaker first
    """

    window_min: float = field(default_factory=lambda: _known("window_min"))
    past_ok: float = field(default_factory=lambda: _known("past_ok_stage"))
    ahead_ok: float = field(default_factory=lambda: _known("ahead_ok_stage"))
    chair_dose: float = field(default_factory=lambda: _known("chair_minute_dose"))
    alike: float = field(default_factory=lambda: _known("alike_dose"))

    def __post_init__(self) -> None:
        """Refuse what is below 0."""
        in_range("The window round an aim", self.window_min, "min", zero=True)
        in_range("What may be past an aim", self.past_ok, "stage", zero=True)
        in_range("What may run ahead of an aim", self.ahead_ok, "stage", zero=True)
        in_range("What a minute weighs", self.chair_dose, "min at 6 %", zero=True)
        in_range("What counts as alike", self.alike, "min at 6 %", zero=True)


@dataclass(frozen=True, eq=False)
class Problem:
    """What may be chosen for a head.

    Parameters
    ----------
    blocks : in her usual order of work
    hands : her pace
    orders : orders allowed, each the places of all blocks; none for the usual one alone
    wishes : what counts as there
    most_strengths : in one service, >= 1; two, three in a correction
    most_wipes : blocks that may be wiped by themselves, >= 0; None for all
    rinses : 1, or 2 where some may be rinsed while the rest works on
    other_orders : outside her usual run, tried only as a way out
    one_run : a strength that was left for another is not taken up again: its bowl dries
    """

    blocks: tuple[Block, ...]
    hands: Hands
    orders: tuple[tuple[int, ...], ...] = ()
    wishes: Wishes = field(default_factory=Wishes)
    most_strengths: int = 2
    most_wipes: int | None = None
    rinses: int = 1
    other_orders: tuple[tuple[int, ...], ...] = ()
    one_run: bool = False

    def __post_init__(self) -> None:
        """Refuse a head that cannot be searched."""
        if not self.blocks:
            raise OutOfRangeError(
                "There are no foils to time.", "Give at least one block of foils."
            )
        self._check_size()
        for order in (*self.orders, *self.other_orders):
            if sorted(order) != list(range(len(self.blocks))):
                raise OutOfRangeError(
                    f"An order of work is {order}; it must name each of the "
                    f"{len(self.blocks)} blocks once, from 0.",
                    "Give the places of all blocks.",
                )
        numbers_of = [foil.number for block in self.blocks for foil in block.foils]
        if len(set(numbers_of)) < len(numbers_of):
            raise OutOfRangeError(
                "A foil number stands in two places.", "Number the foils of a head once each."
            )
        if self.most_strengths < 1 or (self.most_wipes or 0) < 0 or self.rinses not in (1, 2):
            raise OutOfRangeError(
                f"{self.most_strengths} strengths, {self.most_wipes} wipes and {self.rinses} "
                "rinses are allowed; it must be at least 1, at least 0, and 1 or 2.",
                "Allow two strengths, any number of wipes and one rinse to begin with.",
            )

    def _check_size(self) -> None:
        bands = sum(len(block.bands) for block in self.blocks)
        if len(self.vols) ** bands > LARGEST_CODE:
            raise OutOfRangeError(
                f"{len(self.vols)} strengths may be poured on {bands} stretches of hair; they are "
                "too many to be searched.",
                "Allow fewer strengths, or join neighbours that are alike.",
            )
        for thing, count, most in (
            ("blocks", len(self.blocks), MOST_BLOCKS),
            ("stretches of hair", bands, MOST_BANDS),
            ("strengths", len(self.vols), MOST_VOLS),
        ):
            if count > most:
                raise OutOfRangeError(
                    f"A head of {count} {thing} is to be timed; it must be at most {most}.",
                    "Join neighbours that are alike.",
                )

    @property
    def run(self) -> tuple[tuple[int, ...], ...]:
        """The orders allowed."""
        return self.orders or (tuple(range(len(self.blocks))),)

    @property
    def vols(self) -> tuple[float, ...]:
        """Every strength that may be poured, vol, rising."""
        return tuple(
            sorted({c.vol for block in self.blocks for band in block.bands for c in band.choices})
        )

    @property
    def grams(self) -> float:
        """Hair in all foils, g."""
        return sum(foil.grams for block in self.blocks for foil in block.foils)
