"""A tone as facts hold it, a button's words or free text, names the same miss in every language."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from strandline.service.formulate.misses import miss_in_words, misses

VECTOR = json.loads((Path(__file__).parent / "misses_words.json").read_text("utf-8"))


def test_the_vector_holds_the_misses_of_the_ladder():
    own = [{"said": one.said, "words": list(one.words)} for one in misses().values()]
    assert own == VECTOR["misses"]


@pytest.mark.parametrize(("text", "said"), VECTOR["cases"])
def test_words_name_their_miss(text, said):
    found = miss_in_words(text)
    assert (found and found.said) == said


def test_a_button_shows_words_that_name_its_miss():
    for miss in misses().values():
        assert miss_in_words(miss.said) is miss
        assert miss.also
        assert all(miss_in_words(word) is miss for word in miss.also)
