"""A shade by its name: which line reads it, what it says, and what other lines call it."""

from __future__ import annotations

from collections.abc import Mapping

from strandline.base.errors import OutOfRangeError
from strandline.salon.cli.hair_words import Told
from strandline.science.colour.lights import Light
from strandline.science.hair.figures.shade import figures_of_shade
from strandline.science.hair.naming.name import Named, read_name, translate, write_name
from strandline.science.hair.naming.numbering import Numbering
from strandline.science.hair.shades import Scale

ON: dict[str, tuple[Scale, str]] = {
    "white": ("level", "white hair"),
    "lightened": ("stage", "palest lightened hair"),
}


def told_of_shade(
    text: str, on: str, under: Light, wanted: str | None, lines: Mapping[str, Numbering]
) -> Told:
    """Give what is told of a shade.

    Parameters
    ----------
    text : its name
    on : 'white' or 'lightened'
    under : the light it is seen under
    wanted : the line whose name it is; None for the first that reads it
    lines : all that are known

    Raises
    ------
    OutOfRangeError   a name that no line, or not the one asked for, can read
    """
    numbering, named = _read(text, wanted, lines)
    scale, where = ON[on]
    name = write_name(named, numbering)
    others = _others(name, numbering, lines)
    reflects = named.main + (f", then {named.second}" if named.second else "")
    said = [
        f"SAYS      depth {named.depth}, {reflects}",
        *(
            f"ALSO      {other} in '{line}'" if other else f"NOT IN    '{line}': {why}"
            for line, (other, why) in others.items()
        ),
    ]
    return Told(
        f"SHADE {name} of '{numbering.name}', on {where}, left its full time",
        figures_of_shade(named, numbering, scale, under),
        "off, of a shade so named",
        shade={
            "name": name,
            "line": numbering.name,
            "depth": named.depth,
            "main": named.main,
            "second": named.second,
            "on": on,
            "in_other_lines": {line: other for line, (other, _) in others.items()},
            "not_in": {line: why for line, (other, why) in others.items() if other is None},
        },
        said=said,
    )


def _read(text: str, wanted: str | None, lines: Mapping[str, Numbering]) -> tuple[Numbering, Named]:
    """Read a name in the line asked for, or in the first that reads it.

    Where none does, the line whose form it has says what is wrong with it.
    """
    slips = []
    for numbering in lines.values() if wanted is None else [lines[wanted]]:
        try:
            return numbering, read_name(text, numbering)
        except OutOfRangeError as slip:
            slips.append(slip)
    raise next((slip for slip in slips if "is no name of" not in slip.what), slips[0])


def _others(
    name: str, numbering: Numbering, lines: Mapping[str, Numbering]
) -> dict[str, tuple[str | None, str]]:
    """Give the name in every other line, or none and why."""
    out: dict[str, tuple[str | None, str]] = {}
    for other in lines.values():
        if other.name == numbering.name:
            continue
        try:
            out[other.name] = translate(name, numbering, other), ""
        except OutOfRangeError as lacking:
            out[other.name] = None, f"{lacking.what} {lacking.do}"
    return out
