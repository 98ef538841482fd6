"""The line of regrowth: how much of a stretch is new, the edge it makes, how far it shows.

Distances from the scalp in cm, time in weeks, rates in cm a week; colours are CIELAB.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike, NDArray

from strandline.base.errors import OutOfRangeError
from strandline.science.colour.difference import delta_e00
from strandline.science.colour.spaces import lab_from_xyz, xyz_from_lab
from strandline.science.seeing.constants import constants

Floats = NDArray[np.float64]

START_BLUR_CM = constants("line")["start_blur_cm"].value
"""How evenly colour starts at the skin, one sd, cm: d0."""
RATE_SPREAD = constants("line")["rate_spread"].value
"""Growth spread between the strands of one head, one sd, share of the rate: dr."""
SEEN_FROM = constants("line")["seen_from"].value
"""Difference below which regrowth is not noticed, dE00."""
WINDOW_CM = constants("line")["window_cm"].value
"""Stretch from the scalp that is looked at, cm."""
THRESHOLD = constants("line")["threshold"].value
"""Shown growth at which a line counts as seen, dE00 cm: S*."""
EDGE_DEGREES = constants("line")["edge_degrees"].value
MIRROR_M = constants("line")["mirror_m"].value

_erfc = np.frompyfunc(math.erfc, 1, 1)


def covered_share(
    y_cm: ArrayLike,
    weeks: ArrayLike,
    *,
    rate_cm_per_week: ArrayLike,
    start_blur_cm: float = START_BLUR_CM,
    rate_spread: float = RATE_SPREAD,
) -> Floats:
    """Share of the strands that carry new growth at a distance from the scalp.

    Parameters
    ----------
    y_cm : shape (...)              distance from the scalp, cm; below 0 for material that had
                                    grown before the day, seen from its end
    weeks : shape (...)             since the day, >= 0
    rate_cm_per_week : shape (...)  mean growth, cm a week, >= 0
    start_blur_cm : float           d0, one sd of where colour starts, cm, > 0
    rate_spread : float             dr over the rate, one sd between strands [1], >= 0

    Returns
    -------
    shape (...)   [1], 0-1; the three arrays broadcast

    Raises
    ------
    OutOfRangeError   weeks or rate below 0, a start blur not above 0

    Notes
    -----
    p(y, t) = Phi((r t - y)/sqrt(d0^2 + (dr t)^2)). On the day half the strands read as new at
    y = 0, for colour is never laid to the skin itself. For a boundary that lay at b on the day,
    p(y - b, t). Shedding is left out: strands that regrow whole are in the strands themselves.
    """
    t, rate = np.asarray(weeks, dtype=float), np.asarray(rate_cm_per_week, dtype=float)
    if not (np.all(t >= 0) and np.all(rate >= 0) and start_blur_cm > 0 and rate_spread >= 0):
        raise OutOfRangeError(
            f"Growth of {np.min(rate):g} cm a week over {np.min(t):g} weeks, with a start even to "
            f"{start_blur_cm:g} cm and a spread of {rate_spread:g}, cannot be; the start must be "
            "above 0, the others 0 or more.",
            "Give weeks since the day and the rate in cm a week, about 0.26.",
        )
    grown = rate * t
    spread = np.hypot(start_blur_cm, rate_spread * grown)
    return normal_share((grown - np.asarray(y_cm, dtype=float)) / spread)


def normal_share(z: ArrayLike) -> Floats:
    """Give the normal distribution's share below z, shape (...), true in both tails."""
    scaled = np.asarray(z, dtype=float) / -math.sqrt(2.0)
    return 0.5 * np.asarray(_erfc(scaled), dtype=float)


def shown_growth(
    profile: Floats, profile_on_day: Floats, y_cm: Floats, *, seen_from: float = SEEN_FROM
) -> Floats:
    """How far, and how strongly, a profile differs from what it was on the day.

    Parameters
    ----------
    profile : shape (..., Y, 3)          CIELAB along y
    profile_on_day : shape (..., Y, 3)   the same on the day; broadcast
    y_cm : shape (Y,)                    rising from the scalp, cm
    seen_from : float                    difference that is not noticed, dE00, >= 0

    Returns
    -------
    shape (...)   S, dE00 cm, >= 0

    Raises
    ------
    OutOfRangeError   distances that do not rise, or do not match the profile

    Notes
    -----
    S = integral over the first 60 mm of max(0, dE00 - seen_from) dy, by trapezoids. A colour that
    fades counts as well; hand in the day's colours faded alike to see growth alone.
    """
    y = _rising(y_cm, profile)
    inside = y <= WINDOW_CM + 1e-9
    profile, profile_on_day = np.asarray(profile, dtype=float), np.asarray(profile_on_day)
    seen = delta_e00(profile[..., inside, :], profile_on_day[..., inside, :])
    return np.asarray(np.trapezoid(np.maximum(0.0, seen - seen_from), y[inside], axis=-1))


def edge(profile: Floats, y_cm: Floats, *, distance_m: float = MIRROR_M) -> tuple[Floats, Floats]:
    """Find the steepest step of a profile, and where it is.

    Parameters
    ----------
    profile : shape (..., Y, 3)   CIELAB along y
    y_cm : shape (Y,)             rising by even steps from the scalp, cm
    distance_m : float            from the eye to the hair, m, > 0

    Returns
    -------
    (shape (...) dE00, shape (...) cm)

    Raises
    ------
    OutOfRangeError   distances that do not rise by even steps or do not match the profile

    Notes
    -----
    max over y of dE00 between the mean colours h/2 to either side, h = 1 degree at .6 m (10.5 mm);
    means are taken of tristimulus values. At the part line the hair of the other side mirrors it,
    so new growth shorter than h/2 weighs by its length. Shown, never a gate.
    """
    y = _rising(y_cm, profile)
    steps = np.diff(y)
    if y.size < 3 or np.ptp(steps) > 1e-6 * steps[0] or abs(y[0]) > 1e-9:
        raise OutOfRangeError(
            "The distances along a profile do not rise from 0 by even steps.",
            "Give the profile from the scalp in even steps, 1 mm say.",
        )
    half_cm = 100.0 * distance_m * math.tan(math.radians(EDGE_DEGREES / 2.0))
    half = max(1, round(half_cm / float(steps[0])))
    if 2 * half >= y.size:
        raise OutOfRangeError(
            f"A profile of {y[-1]:g} cm is too short to judge an edge from {distance_m:g} m; it "
            f"must be longer than {2 * half_cm:.1f} cm.",
            "Give a longer profile, or come nearer.",
        )
    xyz = xyz_from_lab(np.asarray(profile, dtype=float))
    both = np.concatenate([np.flip(xyz[..., 1 : half + 1, :], axis=-2), xyz], axis=-2)
    # Means over the cells between samples: trapezoids summed, so that a step is met between them.
    cells = (both[..., 1:, :] + both[..., :-1, :]) / 2.0
    total = np.concatenate([np.zeros_like(cells[..., :1, :]), np.cumsum(cells, axis=-2)], axis=-2)
    mean = lab_from_xyz((total[..., half:, :] - total[..., :-half, :]) / half)
    differences = delta_e00(mean[..., :-half, :], mean[..., half:, :])
    place = np.argmax(differences, axis=-1)
    steepest = np.take_along_axis(differences, place[..., None], axis=-1)[..., 0]
    return np.asarray(steepest), np.asarray(y[place])


def _rising(y_cm: Floats, profile: Floats) -> Floats:
    y = np.asarray(y_cm, dtype=float)
    shape = np.shape(profile)
    if y.ndim != 1 or np.any(np.diff(y) <= 0) or len(shape) < 2 or shape[-2:] != (y.size, 3):
        raise OutOfRangeError(
            f"A profile of shape {shape} stands over distances of shape {y.shape}; the distances "
            "must rise, one for each CIELAB colour.",
            "Give y in cm from the scalp and the profile as (..., Y, 3).",
        )
    return y
