"""How foils are taken, in the words of the chair: what files, sheets and screens call them."""

from __future__ import annotations

from collections.abc import Mapping

from strandline.service.placement.pattern import Row, numbers_with, take

TAKES: Mapping[str, str] = {
    "see-through slice": "see_through_slice",
    "slice": "slice",
    "full slice": "full_slice",
    "fine weave": "fine_weave",
    "medium weave": "medium_weave",
    "chunky weave": "chunky_weave",
    "lowlight weave": "lowlight",
    "ends only": "tip_out",
}
"""Each word and the take of `patterns.toml` whose numbers it starts from."""


def take_word(kind: str, grade: str) -> str:
    """Give the word for a kind and a grade: 'full slice', 'fine weave', 'ends only'."""
    if kind == "slice":
        return "slice" if grade == "normal" else f"{grade} slice"
    if kind == "weave":
        return f"{grade} weave"
    return "lowlight weave" if kind == "lowlight weave" else "ends only"


def usual(word: str, own: Mapping[str, float] | None = None) -> Row:
    """Give a take by its word, back to back, at the numbers of `patterns.toml` or her own.

    Raises
    ------
    KeyError          a word that is none of `TAKES`
    OutOfRangeError   a number of her own that is none, or lies outside its range
    """
    return take(TAKES[word], numbers_with(own))
