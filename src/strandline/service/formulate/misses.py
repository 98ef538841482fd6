"""Misses of a gloss as data: what was seen, the steps back in order, and her words for it."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Any

from strandline.base.sources import Number, cite, numbers, toml_beside


@dataclass(frozen=True, slots=True)
class Miss:
    """A miss as it is seen.

    Parameters
    ----------
    name : its key in `ladder.toml`
    said : in words
    took : (share of the hair, what it took against the plan, of its reflects times that) [1]
    steps : in order
    words : hers for it
    also : of these, those that say it at a glance beside `said`
    """

    name: str
    said: str
    took: tuple[tuple[float, float, float], ...]
    steps: tuple[str, ...]
    words: tuple[str, ...]
    also: tuple[str, ...]


def miss_in_words(text: str) -> Miss | None:
    """Give the miss that her words for a tone name; None where they name none."""
    said = {word.strip(".,;:!").lower() for word in text.split()}
    return next((miss for miss in misses().values() if said & set(miss.words)), None)


@cache
def misses() -> dict[str, Miss]:
    """Load the misses of `ladder.toml` by name."""
    out = {}
    for name, one in _own()["miss"].items():
        cite(one["source"])
        took = tuple((float(a), float(b), float(c)) for a, b, c in one["took"])
        steps, words, also = (tuple(one[key]) for key in ("steps", "words", "also"))
        out[name] = Miss(name, one["said"], took, steps, words, also)
    return out


@cache
def ladder_numbers() -> dict[str, Number]:
    """Load the numbers of `ladder.toml` by name."""
    return numbers(_own()["numbers"], "ladder.toml [numbers]")


def number(name: str) -> float:
    """Give the value of a number of the ladder."""
    return ladder_numbers()[name].value


@cache
def _own() -> dict[str, Any]:
    return toml_beside(__package__, "ladder.toml")
