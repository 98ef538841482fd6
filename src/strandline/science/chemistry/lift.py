"""How fast lightener works: progress along the path against minutes.

    x(t) = exp(eta) tau(t),  tau(t) = integral_0^t exp(-n kd u)(1 - exp(-u/lag)) du
    eta = mu + product + client + day + foil + gamma [old colour] + n ln(C/6) + zone

C is the nominal percent of what is poured. A fresh bowl begins tau anew; x adds. Where x leads is
`fibre` and `hair`. Fixed units: minutes, nominal volume.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache
from typing import Self

import numpy as np
from numpy.typing import ArrayLike, NDArray

from strandline.base.errors import OutOfRangeError
from strandline.base.sources import Number, numbers, toml_beside
from strandline.science.chemistry.developer import percent_nominal
from strandline.science.chemistry.harm import REFERENCE_PERCENT, dose
from strandline.science.fibre import Fibre

Floats = NDArray[np.float64]

LIFT_DRAWS = (
    "product",
    "client",
    "day",
    "foil",
    "old_colour",
    "warmth",
    "stacked",
    "strength_exponent",
)
"""Names that `eta` looks for among the draws."""
REFERENCE_VOL = 20.0
HALF_GRAY = 0.5
LONGEST_MIN = 1000.0
"""Minutes after which no paste works on: exp(-n kd t) is below 1e-7."""
_HALVINGS = 60


@cache
def constants() -> dict[str, Number]:
    """Load the numbers of `lift.toml`."""
    return numbers(toml_beside(__package__, "lift.toml"), "lift.toml")


def tau(
    minutes: ArrayLike,
    lag_min: float | None = None,
    kd: float | None = None,
    n: ArrayLike | None = None,
) -> Floats:
    """Effective time of one bowl.

    Parameters
    ----------
    minutes : shape (...)   since it was applied, >= 0
    lag_min : before lift begins, > 0; None for the number of `lift.toml`
    kd : loss of peroxide, 1/min, >= 0; None likewise
    n : shape (...)   exponent of strength [1], >= 0; None for its mean

    Returns
    -------
    shape (...)   min, 0 to 1/(n kd) - 1/(n kd + 1/lag)

    Raises
    ------
    OutOfRangeError   minutes, kd or n below 0, a lag not above 0

    Notes
    -----
    The integral in closed form: E(n kd) - E(n kd + 1/lag), E(k) = (1 - exp(-k t))/k, E(0) = t.
    A fresh bowl begins at 0 again: add the progress of each. Valid for a paste that dries in
    foil; a bath has its own kd (`peroxide`).
    """
    known = constants()
    t = np.asarray(minutes, dtype=float)
    lag = known["lag_min"].value if lag_min is None else lag_min
    loss = known["decay_per_min"].value if kd is None else kd
    decay = np.asarray(known["strength_exponent"].value if n is None else n, dtype=float) * loss
    if not (np.all(t >= 0) and np.all(decay >= 0) and lag > 0):
        raise OutOfRangeError(
            f"Lightener is said to have worked for {np.min(t):g} min, with a lag of {lag:g} min "
            f"and a loss of {np.min(decay):g} a minute; time and loss must be 0 or more, the lag "
            "above 0.",
            "Count the minutes from when it was applied.",
        )
    return _saturated(t, decay) - _saturated(t, decay + 1.0 / lag)


def _saturated(t: Floats, rate: Floats) -> Floats:
    slow = rate * np.minimum(t, LONGEST_MIN) < 1e-12
    safe = np.where(slow, 1.0, rate)
    return np.asarray(np.where(slow, t, -np.expm1(-safe * t) / safe))


@dataclass(frozen=True)
class Rate:
    """The rate of one stretch at one strength, by draw.

    Parameters
    ----------
    eta : shape (D,)        log rate
    exponent : shape (D,)   n of each draw
    """

    eta: Floats
    exponent: Floats

    def progress(self, minutes: ArrayLike) -> Floats:
        """Give the progress one bowl has made, shape (D,), after minutes of shape () or (D,)."""
        return np.asarray(np.exp(self.eta) * tau(minutes, n=self.exponent))

    def minutes_to(self, progress: ArrayLike) -> Floats:
        """Give the minutes one bowl needs for a progress of shape () or (D,).

        Returns
        -------
        shape (D,)   min; 0 for no progress, infinite where the bowl dries before it

        Raises
        ------
        OutOfRangeError   a progress that is not a number
        """
        wanted = np.broadcast_to(np.asarray(progress, dtype=float), self.eta.shape)
        if np.any(np.isnan(wanted)):
            raise OutOfRangeError(
                "A progress is not a number; it must be 0 or more.",
                "Ask for the progress of a stage that is on the scale.",
            )
        low, high = np.zeros_like(self.eta), np.full_like(self.eta, LONGEST_MIN)
        never = self.progress(high) < wanted
        for _ in range(_HALVINGS):
            middle = (low + high) / 2
            there = self.progress(middle) >= wanted
            low, high = np.where(there, low, middle), np.where(there, middle, high)
        return np.where(never, np.inf, np.where(wanted <= 0, 0.0, high))

    def warmer(self, degrees_c: float) -> Self:
        """Give the rate at so many C above foils in an ordinary room: eta + ln(Q10) T/10.

        Q10 1.9 (1.5-2.9, from memory). It is not part of what checks teach, and no reason to
        heat foils: under a dryer they have burned.
        """
        return replace(self, eta=self.eta + np.log(constants()["q10"].value) * degrees_c / 10.0)


def eta(
    developer_vol: float,
    *,
    draws: Mapping[str, Floats],
    old_colour: bool = False,
    gray_under: float = HALF_GRAY,
    first_cm: bool = False,
    stacked: bool = False,
    product: float = 0.0,
    client: float = 0.0,
) -> dict[str, Floats]:
    """Log rate of lift in its parts, by draw; their sum is eta.

    Parameters
    ----------
    developer_vol : nominal strength of what is poured, vol, above 0 to 40
    draws : standard normals by name of `LIFT_DRAWS`, shape (D,) each; a name that is not there
        stays at its mean; none at all give D = 1
    old_colour : the stretch carries old permanent colour
    gray_under : share of white under that colour [1], 0-1
    first_cm : it lies in the warm first 1 to 1.5 cm
    stacked : it lies among stacked top foils
    product, client : learned log rates over their means

    Returns
    -------
    dict of part to shape (D,)

    Raises
    ------
    OutOfRangeError   a strength or a gray share outside its range

    Notes
    -----
    gamma = .15 + .3 (gray - 1/2): old colour lifts easier on white (common practice, the slope
    from memory). Valid for powder lightener in foil at room warmth. Not valid for heat,
    high-lift colour or a bath.

    References
    ----------
    repeat_bleach (n .6 and above), lift.toml for the rest.
    """
    _strength(developer_vol)
    if not 0 <= gray_under <= 1:
        raise OutOfRangeError(
            f"The gray under old colour is {gray_under:g}; it must be 0-1.",
            "Give it as a share: .5 for half white.",
        )
    known = constants()
    blank = np.zeros_like(next(iter(draws.values()), np.zeros(1)))

    def drawn(name: str, more: float = 0.0) -> Floats:
        number = known[name]
        return np.asarray(number.value + more + number.spread * draws.get(name, blank))

    white = known["old_colour_white"].value * (gray_under - HALF_GRAY)
    against = np.log(percent_nominal(developer_vol) / REFERENCE_PERCENT)
    return {
        "mu": blank + known["mu"].value,
        "product": drawn("product", product),
        "client": drawn("client", client),
        "day": drawn("day"),
        "foil": drawn("foil"),
        "old_colour": drawn("old_colour", white) if old_colour else blank,
        "strength": np.asarray(drawn("strength_exponent") * against),
        "zone": (drawn("warmth") if first_cm else blank) + (drawn("stacked") if stacked else blank),
    }


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
    """Rate of lift of a stretch at a strength; parameters and errors as `eta`."""
    parts = eta(
        developer_vol,
        draws=draws,
        old_colour=old_colour,
        gray_under=gray_under,
        first_cm=first_cm,
        stacked=stacked,
        product=product,
        client=client,
    )
    whole = np.asarray(sum(parts.values(), np.zeros_like(parts["mu"])))
    exponent = constants()["strength_exponent"]
    drawn = draws.get("strength_exponent", np.zeros_like(whole))
    return Rate(whole, np.asarray(exponent.value + exponent.spread * drawn))


def apply(
    fibre: Fibre,
    minutes: float,
    eta: ArrayLike,
    *,
    old_eta: ArrayLike | None = None,
    developer_vol: float = REFERENCE_VOL,
) -> Fibre:
    """Lighten states with one bowl.

    Parameters
    ----------
    fibre : N states
    minutes : that it works, >= 0
    eta : shape () or (N,)   log rate of natural pigment, its strength in it
    old_eta : shape () or (N,)   log rate of old colour; None for the same
    developer_vol : nominal strength of what is poured, vol, above 0 to 40; for the dose

    Returns
    -------
    Fibre   progress, old progress and dose moved; dyes of glosses gone as exp(-x)

    Raises
    ------
    OutOfRangeError   minutes below 0, a strength outside its range
    """
    gained = np.exp(np.asarray(eta, dtype=float)) * tau(minutes)
    old = gained if old_eta is None else np.exp(np.asarray(old_eta, dtype=float)) * tau(minutes)
    return advance(fibre, gained, minutes, _strength(developer_vol), old_progress=old)


def advance(
    fibre: Fibre,
    progress: ArrayLike,
    minutes: float,
    percent: float,
    *,
    old_progress: ArrayLike | None = None,
) -> Fibre:
    """Move states along the path by a progress that is known already.

    Parameters
    ----------
    fibre : N states
    progress : shape () or (N,)   gained by natural pigment [1], >= 0
    minutes, percent : what it cost: the dose grows by `harm.dose`
    old_progress : shape () or (N,)   gained by old colour; None for the same

    Returns
    -------
    Fibre   as `apply`; where there is no old colour its progress stays as it was

    Raises
    ------
    OutOfRangeError   a progress, time or strength below 0
    """
    gained = np.broadcast_to(np.asarray(progress, dtype=float), (len(fibre),))
    old = gained if old_progress is None else np.asarray(old_progress, dtype=float)
    if not (np.all(gained >= 0) and np.all(old >= 0)):
        raise OutOfRangeError(
            f"Hair is to move by {np.min(gained):g} along the path; it must be 0 or more.",
            "Give what was gained; lightening is never taken back.",
        )
    cost = dose(minutes, percent, constants()["strength_exponent"].value)
    return fibre.with_(
        progress=fibre.progress + gained,
        old_progress=np.where(fibre.old_amount > 0, fibre.old_progress + old, fibre.old_progress),
        dyes=fibre.dyes * np.exp(-gained)[:, None],
        dose=fibre.dose + cost,
    )


def _strength(developer_vol: float) -> float:
    """Give the percent of a strength within what the law of lift is for."""
    if not 0 < developer_vol <= 40:
        raise OutOfRangeError(
            f"The developer is {developer_vol:g} volume; it must be above 0 and at most 40 volume.",
            "Give the nominal strength of what is poured.",
        )
    return percent_nominal(developer_vol)
