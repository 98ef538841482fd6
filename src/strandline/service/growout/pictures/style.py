"""How hair is worn: its length, curl, parting and fringe."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import get_args

import numpy as np

from strandline.base.errors import OutOfRangeError
from strandline.science.head.course import Whirl
from strandline.service.consultation.words import STRETCH, Fringe, Parting
from strandline.service.growout.pictures.constants import constants


@dataclass(frozen=True, slots=True)
class HairStyle:
    """How hair is worn.

    Parameters
    ----------
    length_cm : float      of the lengths, stretched, 1-150
    curl_factor : float    stretched over worn length [1], 1-2.5
    parting : Parting      the client's left or right, or none; 'wandering' runs to and fro
    fringe : Fringe        'short' is cut under 12 cm, 'long' is worn to the side
    fringe_depth_cm : float   from the hairline back, 1.5-10
    diameter_um : float    mean of a strand, 20-200
    parting_off_cm : float    of a side parting from the midline, 1-7
    whirls : Whirl each       where her hair turns; one at the crown if left out

    Raises
    ------
    OutOfRangeError   a figure outside its range, a word that is none of those
    """

    length_cm: float
    curl_factor: float = 1.0
    parting: Parting = "left"
    fringe: Fringe = "none"
    fringe_depth_cm: float = 5.0
    diameter_um: float = 70.0
    parting_off_cm: float = 4.0
    whirls: tuple[Whirl, ...] = ()

    def __post_init__(self) -> None:
        """Refuse what is worn by nobody."""
        for thing, value, low, high, unit in (
            ("length of the hair", self.length_cm, 1.0, 150.0, " cm"),
            ("curl, stretched over worn length,", self.curl_factor, 1.0, 2.5, ""),
            ("depth of the fringe", self.fringe_depth_cm, 1.5, 10.0, " cm"),
            ("strand diameter", self.diameter_um, 20.0, 200.0, " um"),
            ("side parting off the middle", self.parting_off_cm, 1.0, 7.0, " cm"),
        ):
            if not low <= value <= high:
                raise OutOfRangeError(
                    f"The {thing} is {value:g}{unit}; it must be {low:g}-{high:g}{unit}.",
                    "Give the stretched length in cm, curl as 1.0 for straight to 1.8 for tight."
                    if "h" in unit or not unit
                    else f"Give it in{unit}.",
                )
        for thing, word, words in (
            ("parting", self.parting, get_args(Parting)),
            ("fringe", self.fringe, get_args(Fringe)),
        ):
            if word not in words:
                raise OutOfRangeError(
                    f"The {thing} is '{word}'; it must be one of {', '.join(words)}.",
                    "Choose one of those.",
                )

    @property
    def worn_cm(self) -> float:
        """Give the length as it is worn, cm."""
        return self.length_cm / self.curl_factor

    @property
    def fringe_cm(self) -> float:
        """Give the stretched length of the fringe, cm; of no fringe, that of the lengths."""
        if self.fringe == "none":
            return self.length_cm
        return min(self.length_cm, constants("fall")[f"{self.fringe}_fringe_cm"])

    @property
    def turn_cm(self) -> float:
        """Give the stretched length of one turn of the curl, cm; infinite for straight hair."""
        if self.curl_factor < 1.005:
            return math.inf
        turn = constants("turn")
        return float(
            np.interp(
                self.curl_factor,
                [STRETCH["wavy"], STRETCH["curly"], STRETCH["tight"]],
                [turn["wavy_cm"], turn["curly_cm"], turn["tight_cm"]],
            )
        )

    @property
    def pieces(self) -> int:
        """Give in how many pieces a strand is drawn: 9 to a turn, about 1 cm at most."""
        wanted = max(self.length_cm / 0.9, 9.0 * self.length_cm / self.turn_cm)
        return int(min(max(math.ceil(wanted), 24), 200))
