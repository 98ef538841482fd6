"""Her habits when things change, as data."""

from __future__ import annotations

import tomllib
from functools import cache
from importlib.resources import files

from strandline.base.sources import Number, numbers


@cache
def habits() -> dict[str, Number]:
    """Load `anew.toml`."""
    text = files(__package__ or "").joinpath("anew.toml").read_text("utf-8")
    return numbers(tomllib.loads(text), "anew.toml")


def habit(name: str) -> float:
    """Give the value of a habit by its name."""
    return habits()[name].value
