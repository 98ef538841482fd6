"""A whole transaction done again where the database broke it off for another's sake."""

from __future__ import annotations

import random
import time
from collections.abc import Callable
from functools import wraps
from typing import ParamSpec, TypeVar

from strandline.salon.records.wall import ContendedError

P = ParamSpec("P")
T = TypeVar("T")

TURNS = 5
"""How often a transaction is done before its error is told."""
FIRST_WAIT_S = 0.05
"""Most before the second turn; twice as much before each that follows."""


def whole(deed: Callable[P, T]) -> Callable[P, T]:
    """Do a deed again, after a random wait, where its transaction lost to another.

    Parameters
    ----------
    deed : one transaction whole; what it does beside it may be done twice without harm

    Raises
    ------
    ContendedError   it lost each of its turns; nothing of it was kept
    """

    @wraps(deed)
    def again(*args: P.args, **kwargs: P.kwargs) -> T:
        for turn in range(TURNS - 1):
            try:
                return deed(*args, **kwargs)
            except ContendedError:
                time.sleep(random.uniform(0, FIRST_WAIT_S * 2**turn))  # noqa: S311  # no secret
        return deed(*args, **kwargs)

    return again
