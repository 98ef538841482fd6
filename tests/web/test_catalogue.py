"""Every text of the app stands in the one catalogue, and no page holds another."""

from __future__ import annotations

import re

import pytest

from strandline.salon.web import catalogue

TEMPLATES = sorted((catalogue.HERE / "templates").glob("*.html"))
UNITS = {"g", "min", "vol", "h", "cm", "x", "Strandline", "·", "–", "-", "I", "II"}
"""Symbols of units, marks and the project's own name: the same in every language."""


def test_the_catalogue_is_complete():
    made = catalogue.text_of(catalogue.gather())
    kept = catalogue.FILE.read_text("utf-8")
    assert made == kept, "run ./dev docs"
    assert kept.count("msgid ") > 150


def test_a_translation_reaches_a_page(monkeypatch, app):
    from babel.support import Translations

    from strandline.salon.web import show, words

    class Backwards(Translations):
        def gettext(self, message):
            return "yadoT" if message == "Today" else message

        ugettext = gettext

    words.catalogue.cache_clear()
    show.environment.cache_clear()
    monkeypatch.setattr(words.Translations, "load", lambda *_, **__: Backwards())
    try:
        assert ">yadoT<" in app.get("/").text
    finally:
        words.catalogue.cache_clear()
        show.environment.cache_clear()


@pytest.mark.parametrize("path", TEMPLATES, ids=lambda path: path.name)
def test_a_template_holds_no_text_of_its_own(path):
    text = path.read_text("utf-8")
    text = re.sub(r"{#.*?#}|{%.*?%}|{{.*?}}", " ", text, flags=re.DOTALL)
    text = re.sub(r"<(script|title)\b.*?</\1>", " ", text, flags=re.DOTALL)
    text = re.sub(r"<[^>]*>", " ", text, flags=re.DOTALL)
    words = set(re.findall(r"[A-Za-z]{2,}|[^\W\d_]+", text)) - UNITS
    words -= {"nbsp", "amp", "lt", "gt"}
    assert not words, f"{path.name}: {sorted(words)}"
