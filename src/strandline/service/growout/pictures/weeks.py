"""A head in pictures week by week: its strands fall once and are coloured by palette."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from strandline.base.errors import OutOfRangeError
from strandline.science.colour.spaces import lab_from_xyz
from strandline.science.hair.levels import level_of_lab
from strandline.science.head.on_date import NONE
from strandline.science.head.scalp import Scalp
from strandline.science.head.strands import Strands
from strandline.service.growout.palette import Coloured
from strandline.service.growout.pictures.camera import camera_on
from strandline.service.growout.pictures.fall import Fallen, fall, worn_lengths
from strandline.service.growout.pictures.raster import (
    NO_HAIR,
    Seen,
    linear_rgb,
    paint,
    seen_of,
    width_cm,
)
from strandline.service.growout.pictures.style import HairStyle
from strandline.service.growout.spread import OfStrands

Floats = NDArray[np.float64]
States = NDArray[np.int32]
Picture = NDArray[np.uint8]

MOST_WEEKS = 104
"""Two years: what is said of hair so far on is said of hair that was cut off since."""
_ROWS = 4096


@dataclass(frozen=True, eq=False)
class Dressed:
    """A look put on strands.

    Parameters
    ----------
    hair : OfStrands    all N strands, each with its class
    colours : Coloured  the classes, coloured for `weeks`
    weeks : shape (T,)  since the day
    rate_cm_per_week : usual growth
    lies_in : shape (C,)   which classes lie in the same picks, by number
    ages : shape (T,)   weeks since it was last as on the day, as `colours` has them
    """

    hair: OfStrands
    colours: Coloured
    weeks: tuple[float, ...]
    rate_cm_per_week: float
    lies_in: NDArray[np.int64]
    ages: tuple[float, ...]

    def age(self, week: float) -> float:
        """Give the weeks since it was last as on the day.

        Raises
        ------
        OutOfRangeError   a week that was not coloured
        """
        if week not in self.weeks:
            raise OutOfRangeError(
                f"Week {week:g} was not coloured.",
                f"Ask for one of {', '.join(f'{w:g}' for w in self.weeks)}.",
            )
        return self.ages[self.weeks.index(week)]

    def palette(self, week: float) -> Floats:
        """Give XYZ of every state in a week, shape (C (K + 1), 3), each class's new growth first.

        Raises
        ------
        OutOfRangeError   a week that was not coloured
        """
        lengths = self.colours.lengths[self.ages.index(self.age(week))]
        return np.concatenate([self.colours.roots[:, None, :], lengths], axis=1).reshape(-1, 3)

    def states(self, week: float, length_cm: Floats, pieces: int) -> States:
        """Give the state of each piece of each strand, shape (N, J), -1 past its tip.

        Parameters
        ----------
        length_cm : shape (N,)   stretched, that the pieces divide
        pieces : J

        Notes
        -----
        A piece has the state of its middle. Hair keeps its length where no cuts are said: what
        grows is trimmed.
        """
        age, rate = self.age(week), self.rate_cm_per_week
        begins, tip = self.hair.in_week(week, age, rate).edges(age, rate)
        middle = (np.arange(pieces) + 0.5) / pieces
        starts = self.hair.starts(self.colours.starts_cm, self.colours.grown)
        out = np.empty((len(self.hair), pieces), dtype=np.int32)
        for first in range(0, len(out), _ROWS):
            rows = slice(first, first + _ROWS)
            along = middle * length_cm[rows, None]
            place = np.zeros(along.shape, dtype=np.int32)
            for start in starts:
                place += along >= (begins[rows] + start[rows])[:, None]
            place += (self.hair.kind[rows] * (len(starts) + 1))[:, None].astype(np.int32)
            place[along > tip[rows, None]] = NONE
            out[rows] = place
        return out


@dataclass(frozen=True, eq=False)
class Figure:
    """A head whose strands have fallen.

    Parameters
    ----------
    fallen : N strands in J pieces, at the length they are worn
    wide_cm : shape (N,)   how wide each is drawn
    """

    fallen: Fallen
    wide_cm: Floats

    def states(self, look: Dressed, week: float) -> States:
        """Give the state of each of its pieces in a week."""
        return look.states(week, self.fallen.length_cm, self.fallen.pieces)

    def seen(self, look: Dressed, week: float, view: str, size: int) -> Seen:
        """Find what is seen of it in a week: hair that was shed is short.

        Raises
        ------
        OutOfRangeError   a view or a size that is none
        """
        there = self.states(look, week) != NONE
        return seen_of(self.fallen, camera_on(self.fallen, view), size, self.wide_cm, there)

    def picture(self, seen: Seen, look: Dressed, week: float) -> Picture:
        """Paint what is seen in a week, shape (H, W, 3), sRGB, 0-255."""
        return paint(seen, self.states(look, week), linear_rgb(look.palette(week)))

    def lighter_than(self, seen: Seen, look: Dressed, week: float, level: float) -> float:
        """Give the share of the hair seen that is lighter than a level [1], place by place.

        White and pigmented hairs of one pick lie side by side and are seen as their mix.
        """
        state = self.states(look, week).ravel()
        found = state[seen.piece[seen.piece != NO_HAIR]]
        palette = look.palette(week)
        area = np.bincount(found[found >= 0], minlength=len(palette)).astype(float)
        each = len(look.colours.starts_cm) + 1
        group = np.repeat(look.lies_in, each) * each + np.tile(np.arange(each), len(look.lies_in))
        whole = np.asarray(np.bincount(group, area), dtype=np.float64)
        mixed = np.stack([np.bincount(group, area * channel) for channel in palette.T], axis=1)
        kept = whole > 0
        levels = level_of_lab(lab_from_xyz(mixed[kept] / whole[kept, None]))
        return float(whole[kept][levels > level].sum() / max(float(whole.sum()), 1e-300))


def figure_of(
    scalp: Scalp, strands: Strands, style: HairStyle, length_cm: Floats | None = None
) -> Figure:
    """Let the strands of a head fall.

    Parameters
    ----------
    length_cm : shape (N,)   stretched, the longest that each comes to; as they are worn if left out
    """
    length = worn_lengths(scalp, strands, style) if length_cm is None else length_cm
    return Figure(fall(scalp, strands, style, length), width_cm(strands))


def check_weeks(weeks: Sequence[float]) -> None:
    """Refuse weeks that are none.

    Raises
    ------
    OutOfRangeError   no week, weeks before the visit, past two years, or not rising
    """
    if not weeks or not all(0 <= week <= MOST_WEEKS for week in weeks):
        told = ", ".join(f"{week:g}" for week in weeks) or "none"
        raise OutOfRangeError(
            f"The weeks to look at are {told}; they must be 0-{MOST_WEEKS}, counted "
            "from the visit.",
            "Give them in order: 0,4,8,12,16.",
        )
    if any(later <= before for before, later in pairwise(weeks)):
        raise OutOfRangeError(
            f"The weeks {', '.join(f'{week:g}' for week in weeks)} do not rise.",
            "Give them in order, each once: 0,4,8,12,16.",
        )
