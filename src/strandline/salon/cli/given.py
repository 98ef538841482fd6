"""Figures as a person types them behind an option; the standard library alone."""

from __future__ import annotations

from strandline.base.errors import OutOfRangeError


def figure(text: str, where: str) -> float:
    """Give a figure.

    Raises
    ------
    OutOfRangeError   it is none
    """
    try:
        return float(text)
    except ValueError:
        raise OutOfRangeError(
            f"'{text.strip()}' is no number.",
            "Write figures alone, with a point for the decimals.",
            where,
        ) from None


def within(value: float, where: str, thing: str, low: float, high: float, unit: str = "") -> float:
    """Give a figure that lies in its range.

    Parameters
    ----------
    value, where : the figure and its option
    thing, unit : what it is called, and its unit with a space before it
    low, high : its range

    Raises
    ------
    OutOfRangeError   it does not, or is not a number
    """
    if not low <= value <= high:
        raise OutOfRangeError(
            f"The {thing} is {value:g}{unit}; it must be {low:g}-{high:g}.",
            "Look at the figure again.",
            where,
        )
    return value
