"""How fast lightener works: progress along the path against minutes.

    x(t) = exp(eta) tau(t),  tau(t) = integral_0^t exp(-n kd u)(1 - exp(-u/lag)) du
    eta = mu + product + client + day + foil + gamma [old colour] + n ln(C/6) + zone

C is the bottle's nominal percent. A fresh bowl begins tau anew; x adds. Fixed units: minutes.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

import numpy as np
from numpy.typing import ArrayLike, NDArray

from strandline.base.errors import OutOfRangeError
from strandline.base.sources import Number, numbers
from strandline.science.chemistry.developer import percent_nominal
from strandline.science.fibre import Fibre

Floats = NDArray[np.float64]
REFERENCE_PERCENT = 6.0
HALF_GRAY = 0.5
_HALVINGS = 60
LONGEST_MIN = 1000.0


@cache
def constants() -> dict[str, Number]:
    """Load the numbers of `lift.toml`."""
    text = files(__package__ or "").joinpath("lift.toml").read_text("utf-8")
    return numbers(tomllib.loads(text), "lift.toml")


def tau(minutes: ArrayLike, *, lag_min: float, decay: ArrayLike) -> Floats:
    """Effective time of a bowl.

    Parameters
    ----------
    minutes : shape (...)   since it was applied, >= 0
    lag_min : float         before lift begins, > 0
    decay : shape (...)     n kd, 1/min, >= 0

    Returns
    -------
    shape (...)   min

    Raises
    ------
    OutOfRangeError   minutes below 0

    Notes
    -----
    Closed form of the integral: E(a) - E(a + 1/lag), E(k) = (1 - exp(-k t))/k.
    """
    t = np.asarray(minutes, dtype=float)
    if not np.all(t >= 0):
        raise OutOfRangeError(
            f"Lightener is said to have worked for {np.min(t):g} min; it must be 0 or more.",
            "Count from when it was applied.",
        )
    a = np.asarray(decay, dtype=float)
    return _saturated(t, a) - _saturated(t, a + 1.0 / lag_min)


def _saturated(t: Floats, rate: Floats) -> Floats:
    t, rate = np.broadcast_arrays(t, rate)
    slow = rate < 1e-12
    safe = np.where(slow, 1.0, rate)
    return np.where(slow, t, -np.expm1(-safe * t) / safe)


@dataclass(frozen=True)
class Rate:
    """The rate of one stretch at one strength, by draw.

    Parameters
    ----------
    eta : shape (D,)        log rate
    exponent : shape (D,)   n
    """

    eta: Floats
    exponent: Floats

    def progress(self, minutes: float) -> Floats:
        """Give the progress after some minutes of one bowl, shape (D,)."""
        known = constants()
        decay = self.exponent * known["decay_per_min"].value
        return np.asarray(
            np.exp(self.eta) * tau(minutes, lag_min=known["lag_min"].value, decay=decay)
        )

    def minutes_to(self, progress: float) -> Floats:
        """Give the minutes to a progress, shape (D,); infinite where the bowl dries before it."""
        low = np.zeros_like(self.eta)
        high = np.full_like(self.eta, LONGEST_MIN)
        never = self._at(high) < progress
        for _ in range(_HALVINGS):
            middle = (low + high) / 2
            there = self._at(middle) >= progress
            low, high = np.where(there, low, middle), np.where(there, middle, high)
        return np.where(never, np.inf, high)

    def _at(self, minutes: Floats) -> Floats:
        known = constants()
        decay = self.exponent * known["decay_per_min"].value
        return np.asarray(
            np.exp(self.eta) * tau(minutes, lag_min=known["lag_min"].value, decay=decay)
        )


def make_rate(
    developer_vol: float,
    *,
    draws: Mapping[str, Floats],
    old_colour: bool = False,
    gray_under: float = HALF_GRAY,
    first_cm: bool = False,
    stacked: bool = False,
    product: float = 0.0,
    client: float = 0.0,
) -> Rate:
    """Rate of lift of a stretch at a strength.

    Parameters
    ----------
    developer_vol : nominal strength of what is poured, vol, > 0
    draws : standard normals by name, shape (D,) each; names not drawn stay at their mean
    old_colour : it carries old permanent colour
    gray_under : share of white under the colour [0-1]; it lifts easier on white
    first_cm : it lies in the warm first 1 to 1.5 cm
    stacked : it lies on warm foils
    product, client : learned log rates over their means

    Raises
    ------
    OutOfRangeError   a strength not above 0

    Notes
    -----
    Valid for powder lightener in foil at room warmth. Not valid for heat, high-lift colour or
    bath bleach.
    """
    if not developer_vol > 0:
        raise OutOfRangeError(
            f"The developer is {developer_vol:g} volume; it must be more than 0.",
            "Give the strength of what is poured.",
        )
    known = constants()
    anything = next(iter(draws.values()))

    def drawn(name: str) -> Floats:
        number = known[name]
        return np.asarray(number.value + number.spread * draws.get(name, np.zeros_like(anything)))

    n = drawn("strength_exponent")
    percent = percent_nominal(developer_vol)
    eta = known["mu"].value + drawn("product") + drawn("client") + drawn("day")
    eta = eta + product + client + n * np.log(percent / REFERENCE_PERCENT)
    if old_colour:
        eta = eta + drawn("old_colour")
        eta = eta + known["old_colour_white"].value * (gray_under - HALF_GRAY)
    if first_cm:
        eta = eta + drawn("warmth")
    if stacked:
        eta = eta + drawn("stacked")
    return Rate(np.asarray(eta), n)


def apply(fibre: Fibre, progress: Floats, minutes: float, percent: float) -> Fibre:
    """Move states along the path.

    Parameters
    ----------
    fibre : N states
    progress : shape (N,)   gained [1], >= 0
    minutes, percent : what it cost: the dose grows by minutes at 6 %

    Returns
    -------
    Fibre   natural pigment and old colour moved alike, glosses gone as exp(-x)
    """
    gained = minutes * (percent / REFERENCE_PERCENT) ** (
        constants()["strength_exponent"].value + HARM_OVER_LIFT
    )
    return fibre.with_(
        progress=fibre.progress + progress,
        old_progress=np.where(fibre.old_amount > 0, fibre.old_progress + progress, 0.0),
        dyes=fibre.dyes * np.exp(-progress)[:, None],
        dose=fibre.dose + gained,
    )


HARM_OVER_LIFT = 0.4
"""How much steeper harm goes with strength than lift: at equal lightness 6 % harms more than
3 % (repeat_bleach)."""
