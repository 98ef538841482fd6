"""A line's way of naming its shades: which code stands for which reflect, and its dyes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from strandline.base.sources import Number
from strandline.science.hair.shades import Scale

Kind = Literal["digits", "letters"]
Dyes = tuple[tuple[str, float], ...]

REFLECTS = ("neutral", "ash", "violet", "gold", "copper", "mahogany", "red", "green")
"""Reflects a line may name; green only in a line of her own, for no code of it is shared."""


@dataclass(frozen=True, slots=True)
class Reflect:
    """A reflect of a line.

    Parameters
    ----------
    word : one of `REFLECTS`
    code : its one digit or letter
    level, stage : pairs of dye and share, peak K/S over the depth's K/S at 550 nm [1], 0-20;
        on white hair and on lightened hair
    source : of the shares
    meaning : source of what the code stands for
    """

    word: str
    code: str
    level: Dyes
    stage: Dyes
    source: str
    meaning: str

    def dyes(self, scale: Scale) -> Dyes:
        """Give its dyes on the ground of a scale."""
        return self.level if scale == "level" else self.stage


@dataclass(frozen=True, slots=True)
class Numbering:
    """A line's way of naming its shades; hashable, so that its colours are computed once.

    Parameters
    ----------
    name : neutral name of the line
    kind : 'digits' after a divider, or 'letters' after the depth
    divider : written between depth and codes, empty for letters
    also : other dividers that are read
    reflects : in the order of the file
    depth_step : its depths against the scale, levels, with spread
    second_share : a second reflect against a main one [1]
    least_depth, most_depth : depths it has
    """

    name: str
    kind: Kind
    divider: str
    also: tuple[str, ...]
    reflects: tuple[Reflect, ...]
    depth_step: Number
    second_share: Number
    least_depth: int
    most_depth: int

    def knows(self) -> str:
        """Give its codes as a sentence's part: '0 neutral, 1 ash, ...'."""
        return ", ".join(f"{one.code} {one.word}" for one in self.reflects)

    def of_word(self, word: str) -> Reflect | None:
        """Give the reflect of a word, None where the line has none."""
        return next((one for one in self.reflects if one.word == word), None)

    def of_code(self, code: str) -> Reflect | None:
        """Give the reflect of a code, None where the line has none."""
        return next((one for one in self.reflects if one.code == code), None)
