"""What is seen of strands on a head, and its colours by palette.

A picture is made in two steps. `seen_of` finds the piece of hair at every place of the picture and
the light on it: geometry, once for a head and a view. `paint` looks up each piece's state in a
palette: once a week. Colours are linear sRGB inside and are averaged in linear light.

The same bytes come out on one machine. Between machines positions may differ by rounding: pictures
agree within .1 of 255 in the mean and show another strand in less than one pixel of a hundred (what
roots moved by 1e-6 cm do).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from strandline.base.errors import OutOfRangeError
from strandline.science.colour.spaces import lab_from_xyz, srgb_from_lab
from strandline.science.head.strands import Strands
from strandline.service.growout.pictures.bust import bust
from strandline.service.growout.pictures.camera import LEAST_PX, MOST_PX, Camera
from strandline.service.growout.pictures.constants import constants
from strandline.service.growout.pictures.fall import Fallen
from strandline.service.growout.pictures.flow import mixed
from strandline.service.growout.pictures.light import light_on
from strandline.service.growout.pictures.soft import softened

Floats = NDArray[np.float64]
Singles = NDArray[np.float32]
Places = NDArray[np.int32]
Picture = NDArray[np.uint8]

NO_HAIR = -1
BEHIND_CM = 0.1
"""How far under the drawn head a piece may lie and still be seen: the head is drawn plainly."""
MOST_WIDE = 12
"""Places a strand is drawn wide at most."""
FINE = ((160, 6), (500, 3), (1600, 2), (MOST_PX, 1))
"""Places a pixel in each direction, by the most pixels that a picture is wide."""
APART = 2
"""Places between the lines of one strand."""
TAPER = 3
"""Pieces over which the lines of one strand come to their ends, one after another."""
ALONG = 4.0
"""How many of its pieces' lengths towards the eye a strand lies over its neighbours, at most."""
_POINTS = 400_000


@dataclass(frozen=True, eq=False)
class Seen:
    """What is seen of a head from one place.

    Parameters
    ----------
    piece : shape (H s, W s)    strand x J + piece at each place, -1 where no hair is
    light : shape (H s, W s)    factor of its colour [1]
    behind : shape (H, W, 3)    head and ground, linear sRGB [1]
    fine : int                  s, places a pixel in each direction
    pieces : int                J
    """

    piece: Places
    light: Singles
    behind: Singles
    fine: int
    pieces: int


def width_cm(strands: Strands) -> Floats:
    """Give how wide each strand is drawn, cm, shape (N,): the hairs that it stands for.

    Notes
    -----
    Hairs grow by twos and threes out of one opening and lie partly on each other: of their widths
    side by side a share (`beside`) covers what is beneath.
    """
    return np.asarray(constants("fall")["beside"] * strands.weight * strands.diameter_um * 1e-4)


def seen_of(
    fallen: Fallen,
    camera: Camera,
    size: int,
    wide_cm: Floats | None = None,
    there: NDArray[np.bool_] | None = None,
) -> Seen:
    """Find what is seen.

    Parameters
    ----------
    fallen : N strands in J pieces
    camera : from where
    size : of the picture, pixels, 64-4000, square
    wide_cm : shape (N,)   how wide strands are drawn, of `width_cm`; one place if left out
    there : shape (N, J)   pieces that are hair; all if left out

    Raises
    ------
    OutOfRangeError   a size outside its range

    Notes
    -----
    Pieces are drawn from the farthest to the nearest, each as points at most a place apart; a piece
    that lies under the head is left out. A strand wider than a place is drawn as so many lines, set
    apart like the hairs that it stands for; widths between whole places are met in the mean: of
    strands half a place wide every second one is drawn. A line covers as many places as it steps
    on, more than its length; so many fewer are drawn. So strands cover in the mean their width x
    their length as seen, in a small picture as in a large one, and of a scalp under hair of
    thickness t (width x length over area) exp(-t) is seen, as under straws thrown at random.
    """
    if not LEAST_PX <= size <= MOST_PX:
        raise OutOfRangeError(
            f"The picture is {size} pixels wide; it must be {LEAST_PX}-{MOST_PX}.",
            "Ask for 800.",
        )
    fine = next(places for most, places in FINE if size <= most)
    axes = camera.axes
    ground, depth, skin = bust(fallen.shape, camera, size)
    at = fallen.paths.astype(np.float32) - np.asarray(camera.middle_cm, dtype=np.float32)
    scale = np.float32(size * fine / camera.height_cm)
    half = np.float32(size * fine / 2)
    x = at @ axes[0].astype(np.float32) * scale + half
    y = half - at @ axes[1].astype(np.float32) * scale
    z = at @ axes[2].astype(np.float32)
    places = np.ones(len(at))
    if wide_cm is not None:
        places = np.asarray(wide_cm) * float(scale) * _length_by_places(x, y)
    lot = mixed(np.arange(len(at), dtype=np.uint64), 1)[0] if wide_cm is not None else 0.0
    wide = np.minimum(np.floor(places + lot), MOST_WIDE).astype(np.int32)
    width = _widths(wide, fallen.pieces)
    piece = _drawn(x, y, z, depth, size, fine, width if there is None else width * there)
    light = light_on(fallen, camera, piece, z, size)
    cover = _mean((piece != NO_HAIR).astype(np.float32), size)
    ground = np.where(np.isfinite(depth), ground * _shade(cover), ground)
    behind = np.repeat(ground[..., None], 3, axis=2).astype(np.float32)
    behind[skin] *= head_tint()
    return Seen(piece, light, behind, fine, fallen.pieces)


def paint(seen: Seen, state: NDArray[np.int32], palette: Floats) -> Picture:
    """Colour what is seen.

    Parameters
    ----------
    state : shape (N, J)     place in the palette of each piece, -1 where there is none
    palette : shape (S, 3)   linear sRGB [1], 0-1; of XYZ by `linear_rgb`

    Returns
    -------
    shape (H, W, 3)   sRGB, 0-255

    Raises
    ------
    OutOfRangeError   states of other pieces than were seen, or past the palette; a palette that is
                      not within 0-1
    """
    if state.ndim != 2 or state.shape[1] != seen.pieces or state.size <= int(seen.piece.max()):
        raise OutOfRangeError(
            f"States are of shape {state.shape}; strands are drawn in {seen.pieces} pieces.",
            "Bring them to the pieces by `states_along`.",
        )
    if not np.all((palette >= 0) & (palette <= 1)):
        raise OutOfRangeError(
            f"The palette runs from {palette.min():g} to {palette.max():g}; linear sRGB is 0-1.",
            "Bring XYZ to it by `linear_rgb`.",
        )
    if state.size and int(state.max()) >= len(palette):
        raise OutOfRangeError(
            f"A state is {int(state.max())} and the palette has {len(palette)} colours.",
            "Give a colour for each state.",
        )
    size = seen.behind.shape[0]
    table = np.vstack([palette, np.zeros((1, 3))]).astype(np.float32)
    place = np.append(state.ravel(), NO_HAIR)[seen.piece]
    hair = table[place]
    most = np.append(1 / np.maximum(palette.max(axis=1), 1e-6), 1.0).astype(np.float32)
    hair *= np.minimum(seen.light, most[place])[..., None]  # never past white: hue stays
    there = (place != NO_HAIR).astype(np.float32)
    cover = _mean(there, size)
    out = _mean(hair, size) + (1 - cover)[..., None] * seen.behind
    return encoded(out)


def linear_rgb(xyz: Floats) -> Floats:
    """Give linear sRGB of XYZ under D65 for the 10 degree observer, Y = 100 for white; (..., 3)."""
    shown = srgb_from_lab(lab_from_xyz(xyz))
    return np.asarray(np.where(shown <= 0.04045, shown / 12.92, ((shown + 0.055) / 1.055) ** 2.4))


def encoded(linear: Floats | Singles) -> Picture:
    """Give sRGB, 0-255, of linear light [1]; what is brighter than the screen is its brightest."""
    steps = np.arange(65536) / 65535.0
    curve = np.where(steps <= 0.0031308, 12.92 * steps, 1.055 * steps ** (1 / 2.4) - 0.055)
    table = np.rint(255 * curve).astype(np.uint8)
    return np.asarray(table[np.rint(65535 * np.clip(linear, 0.0, 1.0)).astype(np.int32)])


def head_tint() -> Singles:
    """Give red, green and blue of the plain head against gray [1], shape (3,)."""
    number = constants("light")
    warm, pink = number["head_warmth"], number["head_pink"]
    return np.array([1 + warm, 1 - pink, 1 - warm], dtype=np.float32)


def own_order_cm(z: Singles) -> Singles:
    """Give by how much each piece lies over its neighbours, as its whole strand does, cm, (N, J).

    Strands of one depth would else come to the top by turns, piece by piece, and read as dashes;
    where one looks along them, by as much more as their pieces reach towards the eye.

    Parameters
    ----------
    z : shape (N, J + 1)   towards the eye, cm
    """
    order = np.float32(constants("light")["order_cm"])
    lot = mixed(np.arange(len(z), dtype=np.uint64), 2)[1].astype(np.float32)
    wide = np.maximum(np.float32(ALONG) * np.abs(np.diff(z, axis=1)), order)
    return np.asarray((lot - np.float32(0.5))[:, None] * wide)


def points_apiece(x: Singles, y: Singles) -> int:
    """Give how many points draw each piece, so that none are more than a place apart."""
    longest = max(float(np.abs(np.diff(part, axis=1)).max(initial=0)) for part in (x, y))
    return max(math.ceil(longest), 1)


def _length_by_places(x: Singles, y: Singles) -> Floats:
    """Give the length of each strand as seen over the places that a line of it steps on, (N,).

    Notes
    -----
    A step of (dx, dy) from anywhere in a place, both at most 1, stays there with (1 - dx)(1 - dy).
    """
    count = points_apiece(x, y)
    dx, dy = (np.abs(np.diff(part, axis=1)) for part in (x, y))
    stepped = (dx + dy - dx * dy / np.float32(count)).sum(axis=1, dtype=np.float64)
    run = np.hypot(dx, dy).sum(axis=1, dtype=np.float64)
    return np.asarray(run / np.maximum(stepped, 1e-9))


def _widths(wide: Places, pieces: int) -> Places:
    """Give in how many lines each piece is drawn, shape (N, J): they end one after another."""
    width = np.repeat(wide[:, None], pieces, axis=1)
    for last in range(1, min(TAPER, pieces) + 1):
        np.minimum(width[:, -last], last, out=width[:, -last])
    return width


def _drawn(
    x: Singles, y: Singles, z: Singles, depth: Singles, size: int, fine: int, wide: Places
) -> Places:
    """Draw from the farthest to the nearest on an image with a margin, where pieces may end."""
    edge, count = size * fine, points_apiece(x, y)
    x0, y0, x1, y1 = (part.ravel() for part in (x[:, :-1], y[:, :-1], x[:, 1:], y[:, 1:]))
    near = ((z[:, :-1] + z[:, 1:]) / 2).ravel()
    middle_x, middle_y = (x0 + x1) / 2, (y0 + y1) / 2
    inside = (middle_x >= 0) & (middle_x < edge) & (middle_y >= 0) & (middle_y < edge)
    width = wide.ravel()
    kept = np.flatnonzero(inside & (width > 0))
    row, column = (middle_y[kept] / fine).astype(np.int32), (middle_x[kept] / fine).astype(np.int32)
    kept = kept[near[kept] > depth[row, column] - BEHIND_CM]
    over = near + own_order_cm(z).ravel()
    kept = kept[np.argsort(over[kept], kind="stable")]
    margin = count // 2 + 1 + APART * MOST_WIDE
    stride = edge + 2 * margin
    image = np.full(stride * stride, NO_HAIR, dtype=np.int32)
    share = (np.arange(count, dtype=np.float32) + np.float32(0.5)) / np.float32(count)
    for start in range(0, kept.size, max(_POINTS // count, 1)):
        which = kept[start : start + max(_POINTS // count, 1)]
        turn = np.arange(int(width[which].sum())) - np.repeat(
            np.cumsum(width[which]) - width[which], width[which]
        )
        which = np.repeat(which, width[which])
        dx, dy = x1[which] - x0[which], y1[which] - y0[which]
        aside = APART * ((turn + 1) // 2) * np.where(turn % 2, 1, -1)
        aside *= np.where(np.abs(dx) > np.abs(dy), stride, 1)
        at_x = (x0[which] + np.float32(margin))[:, None] + dx[:, None] * share
        at_y = (y0[which] + np.float32(margin))[:, None] + dy[:, None] * share
        place = at_y.astype(np.int64)
        place *= stride
        place += at_x.astype(np.int64)
        place += aside[:, None]
        image[place] = which.astype(np.int32)[:, None]
    inner = image.reshape(stride, stride)[margin : margin + edge, margin : margin + edge]
    return np.ascontiguousarray(inner)


def _mean(values: Singles, size: int) -> Singles:
    """Average the places of each pixel, in linear light."""
    import cv2  # noqa: PLC0415 - slow, used here alone

    if values.shape[0] == size:
        return values
    return np.asarray(cv2.resize(values, (size, size), interpolation=cv2.INTER_AREA))


def _shade(cover: Singles) -> Singles:
    """Give how much light reaches the head beside hair [1]: less where hair lies round it."""
    number = constants("light")
    soft = softened(cover, cover.shape[0] * number["shade_share"])
    return np.asarray(1 - np.float32(number["shade"]) * soft)
