"""What a screen gets of a head that it turns: strands, their classes, and colours by week.

Geometry is told once. What differs between ways to keep the hair is the class of each strand and a
table of colours, week by class by stretch; what is between weeks is one number for each way, the
weeks since it was last as on the day. A place on a strand is told by its distance from the scalp,
stretched. Its hair is new where that is less than the strand's start plus its growth; farther out
the distance past that says which stretch it lies in.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from strandline.base.errors import OutOfRangeError
from strandline.service.growout.pictures.camera import VIEWS, camera_on
from strandline.service.growout.pictures.raster import NO_HAIR, linear_rgb
from strandline.service.growout.pictures.weeks import Dressed, Figure
from strandline.service.growout.screen.fair import fair_order
from strandline.service.growout.screen.head_mesh import Mesh
from strandline.service.growout.screen.lighting import lighting

Floats = NDArray[np.float64]
Bytes = NDArray[np.uint8]

MOST_STRANDS = 8000
MOST_PLACES = 460_000
"""Vertices of all strands: what fits a slow line, and the memory of a telephone."""
FEWEST = 1500


@dataclass(frozen=True, eq=False)
class Way:
    """One way to keep the hair, on all N strands that are told.

    Parameters
    ----------
    name : in words
    planned : it is the plan
    kind : shape (N,)        class of each strand
    starts_cm : shape (K,)   where each stretch begins on the day, from the scalp
    grown : shape (K,)       which of these lie on each strand by its own growth
    colour : shape (T, C, K + 1, 3)   sRGB, 0-255, new growth first
    ages : shape (T,)        weeks since it was last as on the day
    """

    name: str
    planned: bool
    kind: NDArray[np.int64]
    starts_cm: Floats
    grown: NDArray[np.bool_]
    colour: Bytes
    ages: tuple[float, ...]


@dataclass(frozen=True, eq=False)
class Turned:
    """A head for a screen, N strands of V places each; any first n of them stand for all.

    Parameters
    ----------
    place : shape (N, V, 3)    cm, to the right, to the front, up, in equal stretched steps
    light : shape (N, V)       factor for how open each place lies [1], about 1 where it is seen
    length_cm : shape (N,)     stretched
    growth : shape (N,)        cm a week, stretched
    start_cm : shape (N,)      where what was laid to the scalp begins on the day
    shed_week : shape (N,)     when it is shed; infinite where never
    tip_cm : shape (N,)        of its hair on the day; infinite for its whole length
    wide_cm : shape (N,)       hairs it stands for, side by side
    rate : the usual growth, cm a week
    weeks : shape (T,)         of the colours
    ways : to keep the hair
    views : name to (turn, tilt in degrees; middle right, front, up and height in cm; what the light
            comes to in the mean of the hair seen [1])
    head, head_light : what lies beneath, and how open each of its corners lies
    """

    place: Floats
    light: Floats
    length_cm: Floats
    growth: Floats
    start_cm: Floats
    shed_week: Floats
    tip_cm: Floats
    wide_cm: Floats
    rate: float
    weeks: tuple[float, ...]
    ways: tuple[Way, ...]
    views: Mapping[str, tuple[float, ...]]
    head: Mesh
    head_light: Floats

    def __len__(self) -> int:
        """Give N."""
        return len(self.place)

    def state(self, way: int, week: int, along_cm: Floats) -> NDArray[np.int64]:
        """Give stretch of each strand at a distance: 0 new growth, k the k-th, -1 past its tip.

        Parameters
        ----------
        way, week : places among `ways` and `weeks`
        along_cm : shape (N,)   stretched, from the scalp
        """
        one = self.ways[way]
        age = one.ages[week]
        grown = self.growth * age
        shed = self.shed_week <= age
        anew = self.growth * (age - np.minimum(self.shed_week, age))
        tip = np.where(shed, anew, self.tip_cm + grown)
        begins = np.where(shed, np.inf, self.start_cm + grown)
        pace = (self.growth / self.rate)[:, None]
        own = np.maximum.accumulate(one.starts_cm * np.where(one.grown, pace, 1.0), axis=1)
        found = (along_cm[:, None] >= begins[:, None] + own).sum(axis=1)
        return np.where(along_cm > np.minimum(tip, self.length_cm), NO_HAIR, found)

    def colours(self, way: int, week: int, along_cm: Floats) -> tuple[Bytes, NDArray[np.bool_]]:
        """Give sRGB of each strand at a distance, shape (N, 3), and where there is hair, (N,)."""
        state, one = self.state(way, week, along_cm), self.ways[way]
        return one.colour[week, one.kind, np.maximum(state, 0)], state != NO_HAIR


def turned(figure: Figure, looks: Mapping[str, Dressed], planned: str, most: int = 0) -> Turned:
    """Bring a head to what a screen gets.

    Parameters
    ----------
    figure : whose strands have fallen
    looks : at least one, on those strands and in the same weeks, by name
    planned : which of them is the plan
    most : strands to tell, 1 on; as many as `strands_told` says if left out

    Raises
    ------
    OutOfRangeError   a plan that is none of the looks
    """
    if planned not in looks:
        raise OutOfRangeError(
            f"'{planned}' is none of the ways to keep the hair.", f"Name one of {', '.join(looks)}."
        )
    fallen = figure.fallen
    hair = looks[planned].hair
    order = _order(figure, list(looks.values()))
    told = order[: most or strands_told(len(order), fallen.pieces + 1)]
    shed = hair.shed_week[told]
    rate = looks[planned].rate_cm_per_week
    lit = lighting(figure, told)
    return Turned(
        place=fallen.paths[told].astype(float),
        light=lit.strands,
        length_cm=fallen.length_cm[told],
        growth=rate * hair.pace[told],
        start_cm=hair.start_cm[told],
        shed_week=shed,
        tip_cm=hair.tip_cm[told],
        wide_cm=figure.wide_cm[told] * figure.wide_cm.sum() / figure.wide_cm[told].sum(),
        rate=rate,
        weeks=looks[planned].weeks,
        ways=tuple(_way(name, look, told, planned=name == planned) for name, look in looks.items()),
        views={view: (*_view(figure, view), lit.means[view]) for view in VIEWS},
        head=lit.mesh,
        head_light=lit.head,
    )


def strands_told(count: int, places: int) -> int:
    """Give how many strands are told, of `count` with so many places each."""
    return min(count, MOST_STRANDS, max(MOST_PLACES // places, FEWEST))


def srgb_bytes(xyz: Floats) -> Bytes:
    """Give sRGB, 0-255, of XYZ under D65 for the 10 degree observer, Y = 100 for white."""
    linear = linear_rgb(xyz)
    shown = np.where(linear <= 0.0031308, 12.92 * linear, 1.055 * linear ** (1 / 2.4) - 0.055)
    return np.asarray(np.rint(255 * np.clip(shown, 0.0, 1.0)), dtype=np.uint8)


def _way(name: str, look: Dressed, told: NDArray[np.int64], *, planned: bool) -> Way:
    shape = (len(look.weeks), *look.colours.lengths.shape[1:2], len(look.colours.starts_cm) + 1, 3)
    palette = np.stack([look.palette(week) for week in look.weeks])
    return Way(
        name,
        planned,
        look.hair.kind[told],
        look.colours.starts_cm,
        look.colours.grown,
        srgb_bytes(palette).reshape(shape),
        look.ages,
    )


def _order(figure: Figure, looks: Sequence[Dressed]) -> NDArray[np.int64]:
    """Order strands fairly: by class in every look, then by where they grow."""
    root = figure.fallen.paths[:, 0].astype(float)
    kinds = [look.hair.kind for look in looks[::-1]]
    return fair_order((*kinds, np.floor(root[:, 2] / 3), np.floor(root[:, 1] / 3), root[:, 0]))


def _view(figure: Figure, view: str) -> tuple[float, ...]:
    camera = camera_on(figure.fallen, view)
    return (camera.turn_deg, camera.tilt_deg, *camera.middle_cm, camera.height_cm)
