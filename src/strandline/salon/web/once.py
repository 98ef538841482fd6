"""What takes long, made once for each content, by an executor that is handed in."""

from __future__ import annotations

import threading
from collections import OrderedDict
from typing import TYPE_CHECKING, TypeVar

if TYPE_CHECKING:
    from collections.abc import Callable, Hashable
    from concurrent.futures import Executor, Future

T = TypeVar("T")
KEPT = 24
"""Results held: the bytes of a head are about a megabyte."""


class Once:
    """Results by content; whoever asks while one is being made waits for the same."""

    def __init__(self, executor: Executor) -> None:
        self._executor = executor
        self._kept: OrderedDict[Hashable, Future[object]] = OrderedDict()
        self._lock = threading.Lock()

    def of(self, content: Hashable, make: Callable[[], T]) -> T:
        """Give what is made of a content; what failed is made again when next asked for.

        Parameters
        ----------
        content : what it depends on, and what is made of it
        make : makes it
        """
        with self._lock:
            future = self._kept.get(content)
            if future is None:
                future = self._executor.submit(make)
                self._kept[content] = future
            self._kept.move_to_end(content)
            while len(self._kept) > KEPT:
                self._kept.popitem(last=False)
        try:
            found: T = future.result()  # type: ignore[assignment]
        except BaseException:
            with self._lock:
                if self._kept.get(content) is future:
                    del self._kept[content]
            raise
        return found
