"""Answers of slow work remembered by the content of what was asked, and worked out once each."""

from __future__ import annotations

import pickle
from collections import OrderedDict
from collections.abc import Callable, Hashable
from concurrent.futures import Future
from functools import wraps
from hashlib import blake2b
from threading import Lock
from typing import Any, ParamSpec, TypeVar

from strandline.base.errors import StoppedError

P = ParamSpec("P")
R = TypeVar("R")
_everywhere: list[Callable[[], None]] = []


def forget() -> None:
    """Let go of all that is remembered, as before measuring how long it takes."""
    for let_go in _everywhere:
        let_go()


class Kept:
    """Answers by what was asked, the newest of them; one that is being worked out is waited for.

    Parameters
    ----------
    most : answers kept

    Attributes
    ----------
    age : how often all was let go

    Notes
    -----
    Whoever asks first works it out in its own thread; who asks for the same meanwhile gets that
    answer, or its error. An error is not remembered. Where the first was told to stop, the next
    that waits works it out itself. What is being worked out while all is let go is given to those
    who wait, and not remembered.
    """

    def __init__(self, most: int) -> None:
        self._most = most
        self._kept: OrderedDict[Hashable, Future[Any]] = OrderedDict()
        self._lock = Lock()
        self.age = 0

    def of(self, key: Hashable, make: Callable[[], R]) -> R:
        """Give what is made of a key.

        Parameters
        ----------
        key : all that the answer depends on
        make : works it out
        """
        while True:
            with self._lock:
                found = self._kept.get(key)
                if found is None:
                    mine: Future[Any] = Future()
                    self._put(key, mine)
                else:
                    self._kept.move_to_end(key)
            if found is None:
                return self._made(key, mine, make)
            try:
                answer: R = found.result()
            except StoppedError:
                continue
            return answer

    def _made(self, key: Hashable, mine: Future[Any], make: Callable[[], R]) -> R:
        try:
            answer = make()
        except BaseException as error:
            with self._lock:
                if self._kept.get(key) is mine:
                    del self._kept[key]
            mine.set_exception(error)
            raise
        mine.set_result(answer)
        return answer

    def know(self, key: Hashable, answer: Any, age: int) -> None:  # noqa: ANN401  # whatever
        """Keep an answer that other work brought along.

        Parameters
        ----------
        key, answer : what was asked, and what came of it
        age : as it was before that work began; one of before all was let go is not remembered
        """
        known: Future[Any] = Future()
        known.set_result(answer)
        with self._lock:
            if age == self.age:
                self._put(key, known)

    def _put(self, key: Hashable, future: Future[Any]) -> None:
        self._kept[key] = future
        self._kept.move_to_end(key)
        while len(self._kept) > self._most:
            self._kept.popitem(last=False)

    def forget(self) -> None:
        """Let go of all of it."""
        with self._lock:
            self._kept.clear()
            self.age += 1

    def __len__(self) -> int:
        """Count what is kept."""
        return len(self._kept)


def remembered(most: int) -> Callable[[Callable[P, R]], Callable[P, R]]:
    """Let a function give the same answer again without computing it.

    Parameters
    ----------
    most : answers kept, the newest

    Notes
    -----
    For pure functions whose answers are not changed by who gets them. Arguments may hold arrays:
    they are alike where their written bytes are, so a hit is never of another question, and what
    is alike but written otherwise is only computed again.
    """

    def around(function: Callable[P, R]) -> Callable[P, R]:
        kept = Kept(most)
        _everywhere.append(kept.forget)

        @wraps(function)
        def asked(*args: P.args, **kwargs: P.kwargs) -> R:
            key = blake2b(pickle.dumps((args, kwargs), protocol=5)).digest()
            return kept.of(key, lambda: function(*args, **kwargs))

        return asked

    return around
