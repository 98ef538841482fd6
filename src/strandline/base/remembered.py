"""Answers of a slow function remembered by the content of what was asked."""

from __future__ import annotations

import pickle
from collections import OrderedDict
from collections.abc import Callable
from functools import wraps
from hashlib import blake2b
from threading import Lock
from typing import ParamSpec, TypeVar

P = ParamSpec("P")
R = TypeVar("R")
_everywhere: list[Callable[[], None]] = []


def forget() -> None:
    """Let go of all that is remembered, as before measuring how long it takes."""
    for let_go in _everywhere:
        let_go()


def remembered(most: int) -> Callable[[Callable[P, R]], Callable[P, R]]:
    """Let a function give the same answer again without computing it.

    Parameters
    ----------
    most : answers kept, the newest

    Notes
    -----
    For pure functions whose answers are not changed by who gets them. Arguments may hold arrays:
    they are alike where their written bytes are, so a hit is never of another question, and what
    is alike but written otherwise is only computed again. An error is not remembered.
    """

    def around(function: Callable[P, R]) -> Callable[P, R]:
        kept: OrderedDict[bytes, R] = OrderedDict()
        lock = Lock()

        def let_go() -> None:
            with lock:
                kept.clear()

        _everywhere.append(let_go)

        @wraps(function)
        def asked(*args: P.args, **kwargs: P.kwargs) -> R:
            key = blake2b(pickle.dumps((args, kwargs), protocol=5)).digest()
            with lock:
                if key in kept:
                    kept.move_to_end(key)
                    return kept[key]
            answer = function(*args, **kwargs)
            with lock:
                kept[key] = answer
                while len(kept) > most:
                    kept.popitem(last=False)
            return answer

        return asked

    return around
