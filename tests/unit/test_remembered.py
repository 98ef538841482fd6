"""Answers remembered by content."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pytest

from strandline.base.remembered import remembered


@dataclass(frozen=True)
class Asked:
    values: np.ndarray
    word: str


def test_the_same_content_is_computed_once_and_other_content_anew():
    seen = []

    @remembered(8)
    def total(asked, *, times=1):
        seen.append(asked.word)
        return float(asked.values.sum()) * times

    one = np.array([0.1, 0.2])
    assert total(Asked(one, "a")) == total(Asked(one.copy(), "a")) == pytest.approx(0.3)
    assert seen == ["a"]
    one[0] = np.nextafter(0.1, 1)
    total(Asked(one, "a"))
    total(Asked(one, "a"), times=2)
    assert len(seen) == 3, "the last bit of a figure and every argument count"


def test_only_the_newest_are_kept_and_an_error_never():
    seen = []

    @remembered(2)
    def ask(x):
        seen.append(x)
        if x < 0:
            raise ValueError
        return x

    for x in (1, 2, 1, 3, 1, 2):
        ask(x)
    assert seen == [1, 2, 3, 2]
    for _ in range(2):
        with pytest.raises(ValueError):  # noqa: PT011  # any
            ask(-1)
    assert seen[-2:] == [-1, -1]
