"""A line of her own: what its names say of the shades on her shelf.

A file may hold `[line.NAME]` as `docs/numbering.md` has it; `shelf.line = "NAME"` then reads the
shelf by it. What it says is written into each shade, so that nothing later asks for the line.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, get_args

from strandline.base.errors import OutOfRangeError, ReadError, StrandlineError
from strandline.science.hair.naming.colour import reflect_dyes
from strandline.science.hair.naming.lines import own_numberings
from strandline.science.hair.naming.name import Named, read_name
from strandline.science.hair.naming.numbering import Numbering
from strandline.science.hair.shades import Scale
from strandline.service.consultation.words import Reflect

KNOWN: tuple[str, ...] = get_args(Reflect)
SCALES: tuple[Scale, ...] = ("level", "stage")


def shelf_by_its_line(document: Mapping[str, Any], where: str) -> dict[str, Any]:
    """Give a document without its lines, the shades of its shelf read by the one it names.

    Parameters
    ----------
    document : a parsed file
    where : its name, for errors

    Raises
    ------
    ReadError         a line without a part it must have; a shelf that names none of the lines
    SourceError       a number without a source
    OutOfRangeError   a figure off its range; a shade that the line does not know
    """
    out = dict(document)
    tables = out.pop("line", None)
    if tables is None:
        return out
    try:
        lines = own_numberings(tables)
    except StrandlineError as slip:
        raise type(slip)(slip.what, slip.do, f"{where}: {slip.where}") from None
    shelf = out.get("shelf")
    if not isinstance(shelf, dict):
        return out
    name = shelf.get("line")
    if name not in lines:
        raise ReadError(
            f"The file holds the line {', '.join(map(repr, lines))}, the shelf is of {name!r}.",
            f'Write under [shelf]: line = "{next(iter(lines))}".',
            f"{where}: shelf.line",
        )
    shades = shelf.get("gloss")
    if isinstance(shades, list):
        read = [
            _by_line(shade, lines[str(name)], f"{where}: shelf.gloss.{place}")
            for place, shade in enumerate(shades, 1)
        ]
        out["shelf"] = {**shelf, "gloss": read}
    return out


def _by_line(shade: object, numbering: Numbering, where: str) -> object:
    """Write into a shade what its name says; what the file says itself stands."""
    if not isinstance(shade, dict) or shade.get("clear") or "dyes" in shade:
        return shade
    named = _named(shade, numbering, where)
    main = shade.get("reflect", named.main if named else None)
    second = shade.get("second", named.second if named and "reflect" not in shade else None)
    if main is None:
        return shade
    out = {
        **shade,
        "reflect": _near(main),
        "second": _near(second),
        "dyes": {scale: reflect_dyes(main, second, scale, numbering) for scale in SCALES},
    }
    if named is not None:
        out.setdefault("depth", named.depth + numbering.depth_step.value)
    return out


def _named(shade: Mapping[str, Any], numbering: Numbering, where: str) -> Named | None:
    """Give what the name says; None for a name in words whose depth the file gives."""
    try:
        return read_name(str(shade.get("name", "")), numbering)
    except OutOfRangeError as slip:
        if "depth" in shade:
            return None
        raise OutOfRangeError(slip.what, slip.do, where) from None


def _near(word: object) -> object:
    """Give the word a shade goes by; one of this line alone goes by the reflect it is nearest."""
    return "ash" if word == "green" and "green" not in KNOWN else word
