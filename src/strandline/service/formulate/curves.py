"""Lift of many bands at many strengths over many minutes at once, with what it costs the hair.

The same law as `lightening`, as arrays of shape (B, S, T, D): bands, strengths, minutes, draws.
A bowl may be renewed on the way: its effective time begins anew, and progress adds.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from strandline.base.draws import draws
from strandline.base.errors import OutOfRangeError
from strandline.base.quantities import Range, range_of
from strandline.science.chemistry import harm
from strandline.science.chemistry.developer import percent_nominal
from strandline.science.chemistry.lift import LONGEST_MIN, Rate, make_rate, tau
from strandline.science.fibre import stack
from strandline.science.hair.levels import level_of_lightness
from strandline.service.consultation.fibres import banded_hair
from strandline.service.consultation.model import Band
from strandline.service.formulate.lightening import LAW, Ground, progress_to

Floats = NDArray[np.float64]

LIES_ON_BOTH = ("permanent", "direct", "henna", "unknown")
"""Pasts whose colour lies on white and pigmented hair alike."""
_HALVINGS = 60
_HARM = "cystine_rate"


@dataclass(frozen=True)
class Curves:
    """Lift by band, strength, minute and draw.

    Parameters
    ----------
    minutes : shape (T,)             from the hair's own start
    progress : shape (B, S, T, D)    gained along the path [1]
    stage : shape (B, S, T, D)       as the foil is read
    dose : shape (B, S, T, D)        minutes at 6 %, what the hair brought with it included
    """

    minutes: Floats
    progress: Floats
    stage: Floats
    dose: Floats


@dataclass(frozen=True)
class Forecast:
    """Lift of one ground at one strength; triples are low, middle, high of the draws.

    Parameters
    ----------
    start_stage : of the hair as it is read before any lightener
    stage, level : shape (3, T)   at each minute; the level is the natural one of that lightness
    lab : shape (T, 3)            CIELAB at the middle progress
    minutes_to_aim : Range, infinite where never
    chance : of the aim before the minute that was named [0-1]
    stall : Range   where the bowl, or the last that renews it, leaves the hair for good
    path_end : stage that no bowl passes
    dose, cystine : shape (3, T)   minutes at 6 %, what the hair brought included; share oxidised
    at_aim : dose and cystine at the aim, of the draws that reach it in time; None without any
    dose_before : that the hair brings with it, minutes at 6 %
    """

    start_stage: float
    stage: Floats
    level: Floats
    lab: Floats
    minutes_to_aim: Range
    chance: float
    stall: Range
    path_end: float
    dose: Floats
    cystine: Floats
    at_aim: tuple[Range, Range] | None
    dose_before: float


def ground_of(band: Band | None, level: float, gray: float, *, first_cm: bool = False) -> Ground:
    """Give the hair of one band as a ground to lift.

    Parameters
    ----------
    band : what happened to it, None for virgin hair
    level : natural level of the pigmented hairs, 1-10
    gray : share of white hair [0-1]
    first_cm : it lies in the warm first centimetre at the scalp

    Notes
    -----
    Old colour lies on white and pigmented hair alike and is read as their mix. Where no colour
    lies, white needs no lightener: the pigmented hair alone is read, or the white where all is.
    """
    past = "virgin" if band is None else band.past
    both = past in LIES_ON_BOTH and 0 < gray < 1
    kinds = (True, False) if both else (gray >= 1,)
    return Ground(
        stack([banded_hair(band, level, white=white) for white in kinds]),
        np.array([gray, 1 - gray]) if both else np.array([1.0]),
        old_colour=past in ("permanent", "henna", "unknown"),
        gray_under=gray,
        first_cm=first_cm,
    )


def worked(minutes: ArrayLike, exponent: ArrayLike, fresh: Sequence[float] = ()) -> Floats:
    """Effective time of a bowl and of those that renew it.

    Parameters
    ----------
    minutes : shape (...)    from the first bowl, >= 0
    exponent : shape (...)   n of strength [1], >= 0
    fresh : minutes at which the bowl is renewed, rising, above 0

    Returns
    -------
    shape (...)   min; with none renewed it is `tau`

    Raises
    ------
    OutOfRangeError   minutes below 0, or renewals that do not rise from above 0

    Notes
    -----
    sum of tau over the bowls, each from its own start to the next. The old paste is taken off.
    """
    t, n = np.asarray(minutes, dtype=float), np.asarray(exponent, dtype=float)
    starts = np.array([0.0, *fresh])
    if not (np.all(np.isfinite(starts)) and np.all(np.diff(starts) > 0)):
        told = ", ".join(f"{one:g}" for one in fresh)
        raise OutOfRangeError(
            f"The bowl is renewed at {told} min; these must be above 0 and rise.",
            "Give the minutes from the first bowl, in order.",
        )
    if not fresh or np.any(t < 0):
        return tau(t, n=n)  # refuses minutes below 0
    ends = np.append(starts[1:], np.inf)
    parts = [
        tau(np.minimum(np.maximum(t - start, 0.0), end - start), n=n)
        for start, end in zip(starts, ends, strict=True)
    ]
    return np.asarray(sum(parts, np.zeros_like(parts[0])))


def lift_curves(
    grounds: Sequence[Ground],
    strengths: Sequence[float],
    minutes: ArrayLike,
    drawn: Mapping[str, Floats],
    *,
    fresh: Sequence[float] = (),
    stacked: bool = False,
) -> Curves:
    """Compute lift and dose of bands at strengths.

    Parameters
    ----------
    grounds : B bands
    strengths : S, of what is poured, vol, above 0 to 40
    minutes : shape (T,)   from the hair's own start, >= 0
    drawn : shared standard normals by name of `LIFT_DRAWS`, shape (D,) each; none give D = 1
    fresh : minutes at which the bowl is renewed, rising, above 0
    stacked : foils that lie on warm ones

    Returns
    -------
    Curves

    Raises
    ------
    OutOfRangeError   a strength, a minute or a renewal outside its range

    Notes
    -----
    x = exp(eta) tau(t) with the n of each draw; the dose is of the minutes, whoever mixed last.
    Valid for powder lightener in foil at room warmth.
    """
    t = np.atleast_1d(np.asarray(minutes, dtype=float))
    rates = [[_rate(g, vol, drawn, stacked=stacked) for vol in strengths] for g in grounds]
    eta = np.stack([[rate.eta for rate in row] for row in rates])
    n = rates[0][0].exponent  # of the draw alone, the same for every band
    progress = np.exp(eta)[:, :, None, :] * worked(t[:, None], n, fresh)
    paths = [ground.stages() for ground in grounds]
    stage = np.stack([np.interp(x, *path) for x, path in zip(progress, paths, strict=True)])
    dose = [[dose_after(g, vol, t[:, None], drawn) for vol in strengths] for g in grounds]
    return Curves(t, progress, stage, np.array(dose))


def minutes_to_stage(
    ground: Ground,
    developer_vol: float,
    stage: float,
    drawn: Mapping[str, Floats],
    *,
    fresh: Sequence[float] = (),
    stacked: bool = False,
) -> Floats:
    """Minutes of each draw to a stage.

    Parameters
    ----------
    ground, developer_vol, drawn, fresh, stacked : as `lift_curves`
    stage : stage aimed for

    Returns
    -------
    shape (D,)   min; 0 where it is there already, infinite where the hair stalls or the last
    bowl dries before it

    Raises
    ------
    OutOfRangeError   a strength or a renewal outside its range
    """
    rate = _rate(ground, developer_vol, drawn, stacked=stacked)
    wanted = progress_to(stage, *ground.stages())
    speed = np.exp(rate.eta)
    low, high = np.zeros_like(speed), np.full_like(speed, LONGEST_MIN)
    never = speed * worked(high, rate.exponent, fresh) < wanted
    if wanted <= 0 or np.all(never):
        return np.where(never, np.inf, 0.0)
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        there = speed * worked(middle, rate.exponent, fresh) >= wanted
        low, high = np.where(there, low, middle), np.where(there, middle, high)
    return np.where(never, np.inf, high)


def forecast(
    ground: Ground,
    developer_vol: float,
    aim_stage: float,
    minutes: Sequence[float],
    drawn: Mapping[str, Floats],
    *,
    before_min: float,
    fresh: Sequence[float] = (),
) -> Forecast:
    """Say how far and how fast a ground lifts, and what it costs.

    Parameters
    ----------
    ground, developer_vol, minutes, drawn, fresh : as `lift_curves`; the 64 shared draws
    aim_stage : stage aimed for
    before_min : what the chance is counted to: the label's maximum where it is known

    Raises
    ------
    OutOfRangeError   a strength, a minute or a renewal outside its range
    """
    gained, labs = ground.path()
    z = harm_draws(drawn)
    lifted = lift_curves([ground], [developer_vol], [*minutes, LONGEST_MIN], drawn, fresh=fresh)
    stage, progress, dose = lifted.stage[0, 0], lifted.progress[0, 0, :-1], lifted.dose[0, 0, :-1]
    middle = np.median(progress, axis=1)
    to_aim = minutes_to_stage(ground, developer_vol, aim_stage, drawn, fresh=fresh)
    there = to_aim <= before_min
    cost = dose_after(ground, developer_vol, np.where(there, to_aim, 0.0), drawn)[there]
    oxidised = cystine_drawn(cost, z[there])
    return Forecast(
        start_stage=float(ground.stages()[1][0]),
        stage=_triple(stage[:-1]),
        level=_triple(level_of_lightness(np.interp(progress, gained, labs[:, 0]))),
        lab=np.stack([np.interp(middle, gained, labs[:, axis]) for axis in range(3)], axis=-1),
        minutes_to_aim=range_of(list(to_aim), "min", LAW),
        chance=float(np.mean(there)),
        stall=range_of(list(stage[-1]), "stage", LAW),
        path_end=float(ground.stages()[1][-1]),
        dose=_triple(dose),
        cystine=_triple(cystine_drawn(dose, z)),
        at_aim=(range_of(list(cost), "min at 6 %"), range_of(list(oxidised)))
        if there.any()
        else None,
        dose_before=dose_before(ground),
    )


def _triple(values: Floats) -> Floats:
    """Give 10, 50 and 90 % of draws, shape (T, D) to (3, T)."""
    return np.asarray(np.percentile(values, (10.0, 50.0, 90.0), axis=1))


def dose_before(ground: Ground) -> float:
    """Give the dose that the hair of a ground brings with it, minutes at 6 %."""
    return float(ground.shares @ ground.states.dose)


def dose_after(
    ground: Ground, developer_vol: float, minutes: ArrayLike, drawn: Mapping[str, Floats]
) -> Floats:
    """Give the dose of a ground after minutes of each draw, what it brought with it included.

    Parameters
    ----------
    ground, developer_vol, drawn : as `lift_curves`
    minutes : shape (..., D)   >= 0

    Returns
    -------
    shape (..., D)   minutes at 6 %

    Raises
    ------
    OutOfRangeError   a strength or a minute outside its range
    """
    n = make_rate(developer_vol, draws=drawn).exponent
    return dose_before(ground) + harm.dose(minutes, percent_nominal(developer_vol), n)


def harm_draws(drawn: Mapping[str, Floats]) -> Floats:
    """Give the standard normals of the rate of harm, with no correlation to those of lift.

    Parameters
    ----------
    drawn : as `lift_curves`, all with the 64 shared draws

    Returns
    -------
    shape (64,)   mean 0, spread 1
    """
    z = draws((_HARM,))[_HARM]
    for column in drawn.values():
        z = z - column * np.mean(z * column)
    return np.asarray(z / np.sqrt(np.mean(z**2)))


def cystine_drawn(dose: ArrayLike, z: ArrayLike) -> Floats:
    """Share of cystine oxidised, with the spread of its rate.

    Parameters
    ----------
    dose : shape (...)   minutes at 6 %, >= 0
    z : shape (...)      deviation of the rate h, in sd

    Returns
    -------
    shape (...)   [1], 0 to .45

    Raises
    ------
    OutOfRangeError   a dose below 0

    Notes
    -----
    h = h0 exp(z sd/h0), log-normal so that it stays above 0. The law holds h sqrt(theta) alone:
    a rate so moved is the dose times its square. A table of baths sets the shape; it says nothing
    of whether this hair holds.

    References
    ----------
    tate1993 (h and its spread).
    """
    rate = harm.constants()[_HARM]
    moved = np.exp(2.0 * rate.spread / rate.value * np.asarray(z, dtype=float))
    return harm.cystine_oxidised(np.asarray(dose, dtype=float) * moved)


def _rate(ground: Ground, vol: float, drawn: Mapping[str, Floats], *, stacked: bool) -> Rate:
    return make_rate(
        vol,
        draws=drawn,
        old_colour=ground.old_colour,
        gray_under=ground.gray_under,
        first_cm=ground.first_cm,
        stacked=stacked,
    )
