"""Her habits when things change, as data."""

from __future__ import annotations

from functools import cache

from strandline.base.sources import Number, numbers, toml_beside


@cache
def habits() -> dict[str, Number]:
    """Load `anew.toml`."""
    return numbers(toml_beside(__package__, "anew.toml"), "anew.toml")


def habit(name: str) -> float:
    """Give the value of a habit by its name."""
    return habits()[name].value
