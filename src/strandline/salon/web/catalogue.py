"""The catalogue of the app's texts, gathered from its pages and modules.

English is the language the texts are written in; another language is a `strandline.po` beside.
"""

from __future__ import annotations

import io
from pathlib import Path

from babel.messages.catalog import Catalog
from babel.messages.extract import extract_from_dir
from babel.messages.pofile import write_po

from strandline.service.consultation import entry

HERE = Path(__file__).parent
ENTRY = Path(entry.__file__).parent
"""Where the questions of a consultation stand with their words."""
FILE = HERE / "locale" / "strandline.pot"
METHODS = [("templates/**.html", "jinja2"), ("**.py", "python")]
OPTIONS = {"templates/**.html": {"trim_blocks": "true", "lstrip_blocks": "true", "silent": "false"}}


def gather() -> Catalog:
    """Gather every text of the app with where it stands."""
    found = Catalog(project="Strandline", version="1", copyright_holder="the Strandline authors")
    for folder in (HERE, ENTRY):
        for name, _, text, comments, context in extract_from_dir(folder, METHODS, OPTIONS):
            place = name if folder == HERE else f"{folder.name}/{name}"
            found.add(text, None, [(place, 0)], auto_comments=comments, context=context)
    return found


def text_of(catalog: Catalog) -> str:
    """Write a catalogue as a template for translators, the same from the same texts."""
    out = io.BytesIO()
    write_po(out, catalog, sort_output=True, omit_header=True, include_lineno=False, width=0)
    return out.getvalue().decode()
