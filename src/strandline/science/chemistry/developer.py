"""Strength of developer and its mixing, by the standard library alone.

Volumes are nominal, as the trade says them: 0.3 % (w/v) hydrogen peroxide a volume. The exact
volume of a percentage follows the gas that it yields. Limits of law are judged on the nominal
percent of the label.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

from strandline.base.errors import LegalLimitError, OutOfRangeError, UnreachableError

PERCENT_PER_VOL = 0.3
"""Nominal percent of a volume: the trade's 10, 20, 30, 40 are 3, 6, 9, 12 %."""
ML_OXYGEN_PER_MG = 0.56 / 1.701
"""Oxygen from hydrogen peroxide, mL/mg (British Pharmacopoeia)."""
READY_MIX_MAX_PERCENT = 12.0
LAW_READY_MIX = "Regulation (EC) No 1223/2009, Annex III entry 12,"
"""Source eu1223."""
POURED_PARTS = ((1, 0), (1, 1), (2, 1), (1, 2), (3, 1), (1, 3))
"""Parts that are poured by eye into a bowl; common practice, no source."""
_SAME = 1e-9


@dataclass(frozen=True, slots=True)
class Share:
    """A bottle's part in a mix: nominal volume, parts, grams."""

    vol: float
    parts: float
    grams: float


@dataclass(frozen=True, slots=True)
class Mix:
    """A mixed developer.

    Parameters
    ----------
    target_vol : the strength asked for, vol
    parts : exact alligation of the two bottles next to the target, or the one that is it
    poured : the nearest mix in parts she pours, of any one or two bottles
    poured_vol : the strength that gives, vol
    percent_nominal : of the target, % by the label: .3 a volume
    percent_exact : of the target, % (w/v) by the gas it yields
    powder_grams : powder for all the developer, g; None without a ratio
    bowl_percent : least peroxide in the bowl, %, from the nominal percent of what is poured; None
        without a ratio
    """

    target_vol: float
    parts: tuple[Share, ...]
    poured: tuple[Share, ...]
    poured_vol: float
    percent_nominal: float
    percent_exact: float
    powder_grams: float | None
    bowl_percent: float | None


def percent_nominal(vol: float) -> float:
    """Give the percent on the label of a nominal volume."""
    return PERCENT_PER_VOL * vol


def percent_exact(vol: float) -> float:
    """Give the percent (w/v) that yields this volume of oxygen.

    References
    ----------
    bp: 1.701 mg of hydrogen peroxide yield 0.56 mL of oxygen.
    """
    return vol / ML_OXYGEN_PER_MG / 10


def volume_exact(percent: float) -> float:
    """Give the volumes of oxygen of a percentage (w/v); 3 % is 9.88."""
    return percent * 10 * ML_OXYGEN_PER_MG


def alligation(strong: float, weak: float, target: float) -> tuple[float, float]:
    """Give parts of the strong and of the weak for a target between them.

    Parameters
    ----------
    strong, weak, target : vol, or any one unit of strength; 0 is water

    Returns
    -------
    parts strong, parts weak   1 and 0 where the two are alike

    Raises
    ------
    OutOfRangeError    a strength below 0 or not a number, or a strong below the weak
    UnreachableError   a target outside the two

    References
    ----------
    alligation: parts strong = target - weak, parts weak = strong - target.
    """
    if not 0 <= weak <= strong < math.inf or not math.isfinite(target):
        raise OutOfRangeError(
            f"A mix of {strong:g} with {weak:g} volume to {target:g} is asked for; they must be "
            "numbers of 0 or more, the strong first.",
            "Name the stronger bottle first.",
        )
    if not weak <= target <= strong:
        raise UnreachableError(
            f"{target:g} volume cannot be mixed from {weak:g} and {strong:g} volume.",
            f"Ask for {weak:g} to {strong:g} volume, or take another bottle.",
        )
    if strong == weak:
        return 1.0, 0.0
    return target - weak, strong - target


def check_ready_mix(percent: float) -> None:
    """Refuse a ready mix over the legal limit.

    Parameters
    ----------
    percent : nominal, of the label's volume, %, >= 0; powder in the bowl is not counted as help

    Raises
    ------
    OutOfRangeError   a percent below 0 or not a number
    LegalLimitError   over 12 %, with the entry cited

    References
    ----------
    eu1223
    """
    if not percent >= 0:
        raise OutOfRangeError(
            f"A mix holds {percent:g} % hydrogen peroxide; it must be 0 or more.",
            "Give the percent of the label.",
        )
    if percent > READY_MIX_MAX_PERCENT + _SAME:
        raise LegalLimitError(
            f"The mix holds {percent:g} % hydrogen peroxide; {LAW_READY_MIX} allows at most "
            f"{READY_MIX_MAX_PERCENT:g} % (40 volume), ready for use.",
            "Ask for 40 volume or less; your label or local code may allow less still.",
        )


def bowl_percent(developer_percent: float, powder_ratio: float) -> float:
    """Give the least percent in a bowl of powder and developer 1:r by mass.

    Parameters
    ----------
    developer_percent : of the developer, %
    powder_ratio : r, developer for a part of powder, > 0

    Returns
    -------
    %   developer % r/(1 + r); powder that holds peroxides of its own adds to it

    Raises
    ------
    OutOfRangeError   a ratio that is not above 0
    """
    _more_than_zero("powder ratio", powder_ratio, "parts of developer to one of powder")
    return developer_percent * powder_ratio / (1 + powder_ratio)


def mix(
    target_vol: float,
    stock_vols: Sequence[float],
    grams: float,
    powder_ratio: float | None = None,
    *,
    most_vol: float = math.inf,
) -> Mix:
    """Mix a developer from the bottles at hand.

    Parameters
    ----------
    target_vol : nominal strength asked for, vol, > 0
    stock_vols : bottles, vol, > 0 each
    grams : developer wanted, g, > 0
    powder_ratio : developer for a part of powder by mass, > 0, or None
    most_vol : what is poured may not be stronger, vol: by a label, or near the scalp

    Returns
    -------
    Mix   exact parts from the nearest pair of bottles, and the nearest poured parts of any pair

    Raises
    ------
    OutOfRangeError    a value that is not above 0
    UnreachableError   no bottle, a target outside what they mix to, or no pouring weak enough
    LegalLimitError    a target over 12 % nominal
    """
    _more_than_zero("strength asked for", target_vol, "volume")
    _more_than_zero("weight", grams, "g of developer")
    if powder_ratio is not None:
        _more_than_zero("powder ratio", powder_ratio, "parts of developer to one of powder")
    for vol in stock_vols:
        _more_than_zero("bottle", vol, "volume")
    stocks = sorted(set(stock_vols), reverse=True)
    if not stocks:
        raise UnreachableError("There is no bottle of developer.", "Name at least one.")
    check_ready_mix(percent_nominal(target_vol))
    if not stocks[-1] - _SAME <= target_vol <= stocks[0] + _SAME:
        raise _outside(target_vol, stocks)
    poured, strength = _poured(target_vol, stocks, grams, most_vol)
    return Mix(
        target_vol=target_vol,
        parts=_exact(target_vol, stocks, grams),
        poured=poured,
        poured_vol=strength,
        percent_nominal=percent_nominal(target_vol),
        percent_exact=percent_exact(target_vol),
        powder_grams=None if powder_ratio is None else grams / powder_ratio,
        bowl_percent=(
            None if powder_ratio is None else bowl_percent(percent_nominal(strength), powder_ratio)
        ),
    )


def poured_strengths(stock_vols: Sequence[float]) -> list[float]:
    """Give every strength that poured parts of at most two bottles reach, vol, rising.

    Raises
    ------
    OutOfRangeError   a bottle that is not above 0
    """
    for vol in stock_vols:
        _more_than_zero("bottle", vol, "volume")
    return sorted({round(s, 9) for s, _ in _pourings(sorted(set(stock_vols), reverse=True))})


def _outside(target: float, stocks: Sequence[float]) -> UnreachableError:
    weakest, strongest = stocks[-1], stocks[0]
    names = ", ".join(f"{vol:g}" for vol in reversed(stocks))
    needed = "more" if target > strongest else "less"
    if weakest == strongest:
        reach, ask = f"the one bottle gives {names} volume alone", f"{names} volume"
    else:
        reach = f"bottles of {names} volume mix to {weakest:g}-{strongest:g} volume"
        ask = f"{weakest:g}-{strongest:g} volume"
    return UnreachableError(
        f"{target:g} volume cannot be mixed: {reach}.",
        f"Ask for {ask}, or buy a bottle of {target:g} volume or {needed}.",
    )


def _exact(target: float, stocks: Sequence[float], grams: float) -> tuple[Share, ...]:
    strong = min(vol for vol in stocks if vol >= target - _SAME)
    weak = max(vol for vol in stocks if vol <= target + _SAME)
    if abs(strong - weak) <= _SAME:
        return (Share(strong, 1.0, grams),)
    high, low = alligation(strong, weak, target)
    whole = high + low
    return (
        Share(strong, high, grams * high / whole),
        Share(weak, low, grams * low / whole),
    )


def _pourings(stocks: Sequence[float]) -> list[tuple[float, tuple[tuple[float, int], ...]]]:
    out: list[tuple[float, tuple[tuple[float, int], ...]]] = [(vol, ((vol, 1),)) for vol in stocks]
    for strong, weak in combinations(stocks, 2):
        for a, b in POURED_PARTS:
            if b:
                out.append(((strong * a + weak * b) / (a + b), ((strong, a), (weak, b))))
    return out


def _poured(
    target: float, stocks: Sequence[float], grams: float, most_vol: float
) -> tuple[tuple[Share, ...], float]:
    """Give the nearest pouring not over a strength; a tie goes to the weaker, then fewer parts."""
    allowed = [
        (strength, parts)
        for strength, parts in _pourings(stocks)
        if percent_nominal(strength) <= READY_MIX_MAX_PERCENT + _SAME
        and strength <= most_vol + _SAME
    ]
    if not allowed:
        names = ", ".join(f"{vol:g}" for vol in reversed(stocks))
        raise UnreachableError(
            f"Bottles of {names} volume pour to nothing of {most_vol:g} volume or less.",
            "Put a weaker bottle on the shelf.",
        )
    strength, parts = min(
        allowed,
        key=lambda one: (
            round(abs(one[0] - target), 9),
            one[0],
            len(one[1]),
            sum(p for _, p in one[1]),
        ),
    )
    whole = sum(part for _, part in parts)
    return tuple(Share(vol, part, grams * part / whole) for vol, part in parts), strength


def _more_than_zero(thing: str, value: float, unit: str) -> None:
    if not (math.isfinite(value) and value > 0):
        raise OutOfRangeError(
            f"The {thing} is {value:g} {unit}; it must be a number above 0.",
            "Give a number above 0, with a point for the decimals.",
        )
