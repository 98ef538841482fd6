"""A gloss that is on, by a reading of what it came to: the steps back to its aim."""

from __future__ import annotations

from collections.abc import Sequence

from strandline.base.errors import OutOfRangeError
from strandline.service.consultation.shelf import GlossShade
from strandline.service.formulate.answer import Answer
from strandline.service.formulate.asking import asked_of, check_reading, usable
from strandline.service.formulate.ladder import Landed, Rung, ladder, read_miss

LIGHTER_READ = 2.0
"""Readings of one strand may differ by so much L*; from memory."""
BY_HAND = "Whether it may be lightened again a stretch test and the plan of the visit say."


def steps_back(
    found: Answer, shades: Sequence[GlossShade], seen: tuple[float, float, float]
) -> tuple[Rung, ...]:
    """Give the steps from what the nearest recipe came to back to the day's aim.

    Parameters
    ----------
    found : the answer whose first recipe is on, on one ground
    shades : on the shelf
    seen : CIELAB it reads, dry

    Returns
    -------
    as `ladder`, the first what is seen; that alone where it is there

    Raises
    ------
    OutOfRangeError   a reading that no hair has; several grounds
    """
    if len(found.grounds) > 1:
        raise OutOfRangeError(
            "There are several grounds and one reading of what the gloss came to.",
            "Ask for each ground by itself.",
            "--came-to-lab",
        )
    check_reading(seen, "--came-to-lab")
    dish, ground = found.dishes[0], found.grounds[0]
    before = float(ground.bare()[0])
    if seen[0] > before + LIGHTER_READ:
        raise OutOfRangeError(
            f"It is said to read L* {seen[0]:g} with the gloss on, and L* {before:.1f} before.",
            "A gloss only darkens: read both again, dry.",
            "--came-to-lab",
        )
    one = ground.as_one()
    landed = Landed(
        one,
        dish.bowl.dyes,
        dish.bowl.colours[0].kind,
        asked_of(found.wanted, (one,)),
        tuple(usable(shades)),
        found.wanted.mixed_grams,
        dish.away[0],
        BY_HAND,
    )
    return ladder(*read_miss(landed, seen))
