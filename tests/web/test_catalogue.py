"""Every text of the app stands in the one catalogue, and no page holds another."""

from __future__ import annotations

import ast
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


def _untold(path):
    """Give the sentences of a module's errors and faults that no translator is shown."""
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if not isinstance(node, ast.Call):
            continue
        name = getattr(node.func, "attr", getattr(node.func, "id", ""))
        if name == "add" and getattr(getattr(node.func, "value", None), "id", "") == "faults":
            said = node.args[1:3]
        elif name.endswith("Error"):
            said = node.args[:2]
        else:
            continue
        for one in said:
            bare = one.left if isinstance(one, ast.BinOp) else one
            if isinstance(bare, ast.Constant | ast.JoinedStr):
                words = [p.value for p in ast.walk(bare) if isinstance(p, ast.Constant)]
                if any(re.search("[A-Za-z]", str(word)) for word in words):
                    yield f"{path.name}:{one.lineno}"


def test_every_sentence_of_the_apps_own_errors_stands_in_the_catalogue():
    web = sorted(catalogue.HERE.rglob("*.py"))
    assert not [where for path in web for where in _untold(path)]
    kept = catalogue.FILE.read_text("utf-8")
    for sentence in ("'%(said)s' is no number.", "There is no such page."):
        assert sentence in kept


def test_a_translated_error_keeps_its_figures(monkeypatch):
    from strandline.salon.web import faults as wrong

    other = {"It is %(value)g; it must be %(low)g to %(high)g.": "%(low)g-%(high)g: %(value)g?"}
    monkeypatch.setattr(wrong, "_", lambda text: other.get(text, text))
    told = wrong.Faults()
    wrong.number("7", "grams", told, 8, 9)
    assert told["grams"].what == "8-9: 7?"
