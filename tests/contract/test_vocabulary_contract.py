"""The device's vocabulary is the server's, letter for letter."""

from __future__ import annotations

from importlib import resources

from strandline.base.facts.vocabulary import module


def test_the_vocabulary_of_the_device_is_made_anew():
    kept = resources.files("strandline") / "salon/web/static/js/facts/kinds.js"
    assert kept.read_text("utf-8") == module(), (
        "Write it anew: python -m strandline.base.facts.vocabulary"
    )
