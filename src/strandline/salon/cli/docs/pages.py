"""What the pages that are made from the code share: words with tables put in."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from importlib.resources import files

from strandline.base.sources import Number, cite


def filled(name: str, tables: Mapping[str, Iterable[str]]) -> str:
    """Give a text of this folder with each `{name}` exchanged for its lines."""
    words = files(__package__ or "").joinpath(name).read_text("utf-8")
    for place, rows in tables.items():
        words = words.replace("{" + place + "}", "\n".join(rows))
    return words


def table_lines(head: Iterable[str], rows: Iterable[Iterable[object]]) -> Iterator[str]:
    """Give a table as lines of Markdown."""
    names = list(head)
    yield "| " + " | ".join(names) + " |"
    yield "|" + "---|" * len(names)
    for row in rows:
        yield "| " + " | ".join(str(cell) for cell in row) + " |"


def constants_table(entries: Iterable[tuple[str, Number]]) -> Iterator[str]:
    """Give numbers with their units, spreads and sources as a table."""
    rows = (
        (
            name,
            f"{one.value:g}",
            one.unit,
            f"{one.spread:g}" if one.spread else "",
            source_word(one.source),
            one.note,
        )
        for name, one in entries
    )
    return table_lines(("constant", "value", "unit", "sd", "from", "meaning"), rows)


def source_word(source: str) -> str:
    """Give a source's key as code, or the words that say there is none."""
    words = cite(source)
    return words if words == source else f"`{source}`"
