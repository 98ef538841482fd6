"""What a tape and callipers say of a head: ovals of given length, breadth and circumference."""

from __future__ import annotations

import math

from strandline.base.errors import OutOfRangeError

STEPS = 20_000


def ellipse_circumference(length: float, breadth: float) -> float:
    """Give the circumference of an ellipse of two diameters, in their unit.

    Notes
    -----
    The arithmetic-geometric mean, to rounding: P = 2 pi sum / AGM. Valid for any ellipse; a
    plain ellipse understates the circumference of a head.

    References
    ----------
    geometry
    """
    a, b = max(length, breadth) / 2, min(length, breadth) / 2
    if b <= 0:
        raise OutOfRangeError(
            f"The oval is {length:g} by {breadth:g}; both must be more than 0.",
            "Measure the greatest length and breadth of the head.",
        )
    mean, geometric, weight = a, b, 0.5
    total = (a * a + b * b) / 2
    while abs(mean - geometric) > 1e-15 * mean:
        half = (mean - geometric) / 2
        mean, geometric = (mean + geometric) / 2, math.sqrt(mean * geometric)
        weight *= 2
        total -= weight * half * half
    return 2 * math.pi * total / mean


def superellipse_circumference(half_length: float, half_breadth: float, exponent: float) -> float:
    """Give the length of |x/a|^n + |y/b|^n = 1 in the unit of a and b; n >= 1.

    Notes
    -----
    Chords of x = a cos^(2/n) t, y = b sin^(2/n) t, taken where neither runs off, doubled by
    symmetry; error below 1e-6 of the length for n from 1.5 to 6.

    References
    ----------
    geometry
    """
    power = 2 / exponent
    total = 0.0
    before = (half_length, 0.0)
    for step in range(1, STEPS + 1):
        turn = math.pi / 2 * step / STEPS
        cosine = max(math.cos(turn), 0.0) if step < STEPS else 0.0
        after = (half_length * cosine**power, half_breadth * math.sin(turn) ** power)
        total += math.dist(before, after)
        before = after
    return 4 * total


def superellipse_exponent(half_length: float, half_breadth: float, circumference: float) -> float:
    """Find the exponent whose oval has a measured circumference, 1-20, by halving.

    Raises
    ------
    OutOfRangeError   a circumference that no such oval has

    References
    ----------
    geometry
    """
    low, high = 1.0, 20.0
    least = superellipse_circumference(half_length, half_breadth, low)
    most = superellipse_circumference(half_length, half_breadth, high)
    if not least <= circumference <= most:
        raise OutOfRangeError(
            f"The circumference is {circumference:g}; half axes {half_length:g} and "
            f"{half_breadth:g} allow {least:.0f}-{most:.0f}.",
            "Measure length, breadth and circumference again, all in one unit.",
        )
    for _ in range(40):
        middle = (low + high) / 2
        if superellipse_circumference(half_length, half_breadth, middle) < circumference:
            low = middle
        else:
            high = middle
    return (low + high) / 2


def hemisphere_area(circumference: float) -> float:
    """Give the area of half a sphere of a circumference: C^2 / 2 pi."""
    return circumference**2 / (2 * math.pi)
