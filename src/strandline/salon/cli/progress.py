"""How far long work is, on a terminal; nothing where the output goes elsewhere."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager


@contextmanager
def shown(what: str) -> Iterator[Callable[[float], None]]:
    """Give what tells the share that is done [0-1]; its line is wiped at the end.

    Parameters
    ----------
    what : is being done, in words
    """

    def tell(share: float) -> None:
        if sys.stderr.isatty():
            sys.stderr.write(f"\r{what}, {100 * share:3.0f} % (Ctrl+C stops)")
            sys.stderr.flush()

    try:
        yield tell
    finally:
        if sys.stderr.isatty():
            sys.stderr.write("\r\x1b[K")
