"""A check made into what it says of the log rate.

    y = ln X(seen + f beta; start) - ln tau(minutes) = eta + error,   f 1 wiped, 1/2 pinched, 0 dry

X is the progress at which the ground's stage is reached. Near its stall a ground says no more
than 'at least', near its start no more than 'at most', and so does the darkest call of the scale:
those are one-sided.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from strandline.base.errors import OutOfRangeError
from strandline.science.chemistry.lift import tau
from strandline.service.learning.starting import NAMES, WET, constants, middle_of

Floats = NDArray[np.float64]

ROOT_12 = 12**0.5
LOWEST_SEEN, PALEST = 3.0, 10.5
"""The scale a check is called on."""
SURENESS = ("sure", "fair", "guess")
Bound = Literal[-1, 0, 1]


@dataclass(frozen=True, eq=False)
class Check:
    """A check as it was made.

    Parameters
    ----------
    foil : its number
    minutes : from the foil's own start, in one bowl, above 0
    stage : as seen, 3-10.5
    sureness : 'sure', 'fair' or 'guess'
    row : shape (K,)   of `row_of`
    gained : shape (S,)   progress of the foil's ground, rising from 0
    stages : shape (S,)   stage of the ground at it, never falling
    dried : pinched dry before judging; None counts as wiped only
    rinsed : judged dry after the rinse, minutes those until it came out
    known : of `known_of`
    """

    foil: int
    minutes: float
    stage: float
    sureness: str
    row: Floats
    gained: Floats
    stages: Floats
    dried: bool | None = None
    rinsed: bool = False
    known: float = 0.0


@dataclass(frozen=True, eq=False)
class Observation:
    """What a check says of the log rate.

    Parameters
    ----------
    foil, minutes : as of the check
    y : log rate as it reads at `bias` [1]
    slope : of y with the wet bias, f d ln X/d stage [1/level]; 0 of a one-sided one
    sd : of y [1]
    row : shape (K,)   of `row_of`
    bias : wet bias at which y stands [level]
    bound : 0 an ordinary reading; 1 eta is at least y; -1 eta is at most y
    known : of `known_of`
    """

    foil: int
    minutes: float
    y: float
    slope: float
    sd: float
    row: Floats
    bias: float
    bound: Bound = 0
    known: float = 0.0
    full_row: Floats = field(init=False, repr=False)
    reading: float = field(init=False, repr=False)

    def __post_init__(self) -> None:
        """Write it as reading = full row . unknowns + error.

        Raises
        ------
        OutOfRangeError   a row of another shape, an sd not above 0, or what is no number
        """
        told = (self.y, self.slope, self.sd, self.bias, self.known, self.minutes)
        if self.row.shape != (len(NAMES),) or not np.all(np.isfinite((*told, *self.row))):
            raise OutOfRangeError(
                f"The check of foil {self.foil} has a row of shape {self.row.shape} or holds what "
                f"is no number; it must be {len(NAMES)} numbers.",
                "Make it by `observed`.",
            )
        if not self.sd > 0:
            raise OutOfRangeError(
                f"The check of foil {self.foil} has an sd of {self.sd:g}; it must be above 0.",
                "Make it by `observed`.",
            )
        full = self.row.copy()
        full[WET] = -self.slope
        middle = float(middle_of(self.row[None, :])[0]) + self.known
        object.__setattr__(self, "full_row", full)
        object.__setattr__(self, "reading", self.y - middle - self.slope * self.bias)

    @property
    def key(self) -> tuple[float, ...]:
        """Order of checks: time, foil, then all that tells two apart."""
        return (
            *(self.minutes, self.foil, self.bound, self.y, self.slope, self.sd),
            *(self.bias, self.known, *self.row),
        )


def observed(check: Check, bias: float) -> Observation | None:
    """Say what a check tells of the log rate.

    Parameters
    ----------
    check : as it was made
    bias : wet bias to stand on [level], the belief's mean

    Returns
    -------
    Observation, or None where start and stall lie so near each other that no stage tells them
    apart, as on white hair

    Raises
    ------
    OutOfRangeError   no time in, a stage off the scale, an unknown sureness, a ground that falls

    Notes
    -----
    X is linear between the ground's points, its slope that of the stretch it falls in; linear in
    the bias about `bias`. One-sided within a quarter of a stage of stall or start: y is then read
    at that edge, and the bias no longer moves it. The darkest call, 3, is what all hair under 3.25
    is called: it says 'at most', read at that edge. n stands at its mean inside tau. Within a stage
    of its start a ground's log of progress is steep: a reading there leans on the bias, and may
    move the rate less than one that was read a little higher.
    The sd is of the eye and of calling in steps: step/sqrt(12) d ln X/d stage.
    """
    _refuse(check)
    number = constants()
    share = number[f"wet_share_{_judged(check)}"].value
    eye = number["reading_sd"].value * number[f"sureness_{check.sureness}"].value
    first = float(check.stages[0]) + number["start_margin"].value
    best = float(check.stages[-1]) - number["stall_margin"].value
    if not first < best:
        return None
    darkest = check.stage <= LOWEST_SEEN
    edge = number["start_margin"].value if darkest else 0.0
    true = check.stage + edge + share * bias
    bound: Bound = 1 if true >= best else -1 if darkest or true <= first else 0
    x, per_stage = _progress(min(max(true, first), best), check.gained, check.stages)
    rounded = 0.0 if bound else number["call_step"].value / ROOT_12 * per_stage / x
    return Observation(
        foil=check.foil,
        minutes=float(check.minutes),
        y=float(np.log(x) - np.log(tau(check.minutes))),
        slope=0.0 if bound else share * per_stage / x,
        sd=float(np.sqrt(eye * eye + rounded * rounded)),
        row=np.asarray(check.row, dtype=float),
        bias=float(bias),
        bound=bound,
        known=float(check.known),
    )


def wanted_progress(aim_stage: float, gained: Floats, stages: Floats) -> float:
    """Progress X(aim) at which a ground reaches a stage.

    Parameters
    ----------
    aim_stage : stage aimed at
    gained, stages : shape (S,)   of the ground, as in `Check`

    Returns
    -------
    progress [1]; 0 where the stage is reached already, infinite where the ground stalls below it
    """
    if aim_stage <= stages[0]:
        return 0.0
    return _progress(aim_stage, gained, stages)[0] if aim_stage <= stages[-1] else float("inf")


def _judged(check: Check) -> str:
    if check.rinsed:
        return "dry"
    return "pinched" if check.dried else "wiped"


def _progress(stage: float, gained: Floats, stages: Floats) -> tuple[float, float]:
    """Give the first progress at a stage above the ground's first, and its slope there."""
    above = int(np.argmax(stages >= stage))
    rise = float(gained[above] - gained[above - 1]) / float(stages[above] - stages[above - 1])
    return float(gained[above - 1]) + rise * (stage - float(stages[above - 1])), rise


def _refuse(check: Check) -> None:
    if not check.minutes > 0 or not np.isfinite(check.minutes):
        raise OutOfRangeError(
            f"Foil {check.foil} is said to have been checked {check.minutes:g} min after its own "
            "start; it must be above 0.",
            "A check before a foil's start is of another foil: correct its number or its start.",
        )
    if not LOWEST_SEEN <= check.stage <= PALEST:
        raise OutOfRangeError(
            f"The stage seen in foil {check.foil} is {check.stage:g}; it must be "
            f"{LOWEST_SEEN:g}-{PALEST:g}.",
            "Call it on the scale of lightened hair, 10.5 the palest.",
        )
    if check.sureness not in SURENESS:
        raise OutOfRangeError(
            f"The check of foil {check.foil} is said to be '{check.sureness}'.",
            f"Say one of: {', '.join(SURENESS)}.",
        )
    x, stage = check.gained, check.stages
    fits = x.ndim == 1 and x.shape == stage.shape and x.size >= 2
    if not (fits and np.all(np.diff(x) > 0) and np.all(np.diff(stage) >= 0) and x[0] == 0):
        raise OutOfRangeError(
            f"The ground of foil {check.foil} has progress of shape {x.shape} and stages of shape "
            f"{stage.shape}; both must be of one length, rise, and begin at no progress.",
            "Hand in the two arrays that the ground gives.",
        )
