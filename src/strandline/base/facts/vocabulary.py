"""The vocabulary as a module of JavaScript, made from `kinds`, so that no device has its own.

`python -m strandline.base.facts.vocabulary` prints `static/js/facts/kinds.js` of the web app.
"""

from __future__ import annotations

import json
import sys
from typing import Any

from strandline.base.facts.field import MOST_FOILS, Field, Kind
from strandline.base.facts.kinds import KINDS

_HEAD = """\
// The vocabulary of a visit, made from base/facts/kinds.py; never written by hand:
// python -m strandline.base.facts.vocabulary

/** @typedef {"text" | "name" | "date" | "word" | "whole" | "number" | "wholes" | "yes"} Type */
/**
 * @typedef {object} Field
 * @property {Type} type
 * @property {number} low
 * @property {number} high
 * @property {string[]} words
 * @property {boolean} needed
 */
/**
 * @typedef {object} Kind
 * @property {number} schema
 * @property {{[name: string]: Field}} fields
 * @property {string[]} one_of
 * @property {string[]} rising
 */

"""


def module() -> str:
    """Give the module's text: `MOST_FOILS` and `KINDS`, without the words for a reader."""
    kinds = ",\n".join(
        f"  {json.dumps(name)}: {_indented(_kind(kind))}" for name, kind in KINDS.items()
    )
    return (
        f"{_HEAD}/** How many foils a list names at most. */\n"
        f"export const MOST_FOILS = {MOST_FOILS};\n\n"
        f"/** @type {{{{[kind: string]: Kind}}}} */\n"
        f"export const KINDS = {{\n{kinds},\n}};\n"
    )


def _kind(kind: Kind) -> dict[str, Any]:
    return {
        "schema": kind.schema,
        "one_of": list(kind.one_of),
        "rising": list(kind.rising),
        "fields": {name: _field(field) for name, field in kind.fields.items()},
    }


def _field(field: Field) -> str:
    """Give a field on one line, for a table is read by its rows."""
    names = ("type", "low", "high", "words", "needed")
    return json.dumps({name: getattr(field, name) for name in names})


def _indented(kind: dict[str, Any]) -> str:
    rows = "".join(
        f"      {json.dumps(name)}: {field},\n" for name, field in kind["fields"].items()
    )
    head = "".join(
        f"    {name}: {json.dumps(kind[name])},\n" for name in ("schema", "one_of", "rising")
    )
    return f"{{\n{head}    fields: {{\n{rows}    }},\n  }}"


if __name__ == "__main__":
    sys.stdout.write(module())
