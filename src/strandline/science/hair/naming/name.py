"""Names of shades: '8.12' or '8AV' to depth and reflects, and back again.

A name says where on its line a shade stands; what its dyes are is the numbering's to say.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

from strandline.base.errors import OutOfRangeError
from strandline.science.hair.naming.lines import numberings
from strandline.science.hair.naming.numbering import Numbering

__all__ = ["Named", "Numbering", "numberings", "read_name", "translate", "write_name"]


@dataclass(frozen=True, slots=True)
class Named:
    """A shade as its name says it.

    Parameters
    ----------
    depth : whole depth of the line's own chart
    main : main reflect; neutral where the name has none, or a 0 first
    second : second reflect at the line's share of a main one, None where there is none; the same
        as the main one where a code is doubled
    """

    depth: int
    main: str = "neutral"
    second: str | None = None


def read_name(text: str, numbering: Numbering) -> Named:
    """Read the name of a shade.

    Parameters
    ----------
    text : '7', '7.0', '7/43' in digits, '7N', '8va' in letters; spaces and case are forgiven
    numbering : of its line

    Raises
    ------
    OutOfRangeError   no such form, a depth the line does not have, a code it does not know

    Notes
    -----
    Common practice, no source: depth, main reflect, second reflect; a 0 first leaves the second
    alone, as a weak one; a code doubled is stronger. A neutral after a reflect adds no dye, though
    some lines mean a softer shade or better cover of white by it.
    """
    sign = "[0-9]" if numbering.kind == "digits" else "[A-Za-z]"
    marks = re.escape(numbering.divider + "".join(numbering.also))
    divider = f"[{marks}]" if marks else ""
    if numbering.kind == "letters" and divider:
        divider += "?"
    form = rf"\s*([0-9]{{1,2}})\s*(?:{divider}\s*({sign})\s*({sign})?\s*)?"
    found = re.fullmatch(form, text)
    if found is None:
        raise OutOfRangeError(
            f"'{text[:20]}' is no name of the numbering '{numbering.name}'.",
            f"Write a depth and at most two reflects, as in {_example(numbering)}; it knows "
            f"{numbering.knows()}.",
        )
    _check_depth(int(found[1]), numbering)
    words = []
    for code in (found[2], found[3]):
        reflect = None if code is None else numbering.of_code(code.upper())
        if code is not None and reflect is None:
            raise OutOfRangeError(
                f"'{text[:20]}' has the reflect '{code.upper()}', which the numbering "
                f"'{numbering.name}' does not know.",
                f"It knows {numbering.knows()}; enter what the line means by it among its "
                "reflects.",
            )
        words.append(None if reflect is None else reflect.word)
    return Named(int(found[1]), words[0] or "neutral", words[1])


def write_name(named: Named, numbering: Numbering) -> str:
    """Write the name of a shade in its canonical form: '7.0', '7.43', '7N', '8VA'.

    Raises
    ------
    OutOfRangeError   a depth or a reflect that the line does not have
    """
    _check_depth(named.depth, numbering)
    codes = ""
    for word in (named.main, named.second):
        reflect = None if word is None else numbering.of_word(word)
        if word is not None and reflect is None:
            raise OutOfRangeError(
                f"The numbering '{numbering.name}' has no {word}.",
                f"Choose among {numbering.knows()}, or enter its code for {word}.",
            )
        codes += reflect.code if reflect else ""
    return f"{named.depth}{numbering.divider}{codes}"


def translate(text: str, numbering: Numbering, other: Numbering) -> str:
    """Give a line's name as another line would write it.

    Parameters
    ----------
    text : a name of `numbering`
    numbering, other : of the line it comes from, and of the one it goes to

    Raises
    ------
    OutOfRangeError   a name the first does not read, a reflect or depth the other lacks, depths
                      that do not meet

    Notes
    -----
    Words go over, and depths by the steps of both lines. Dyes do not: the same word may be
    stronger or another colour in another line.
    """
    named = read_name(text, numbering)
    depth = named.depth + numbering.depth_step.value - other.depth_step.value
    if not math.isclose(depth, round(depth), abs_tol=1e-9):
        raise OutOfRangeError(
            f"'{text[:20]}' lies at depth {depth:g} of the numbering '{other.name}', which names "
            "whole depths.",
            f"Choose its {math.floor(depth)} or its {math.ceil(depth)}, by a swatch of both.",
        )
    return write_name(Named(round(depth), named.main, named.second), other)


def _check_depth(depth: int, numbering: Numbering) -> None:
    low, high = numbering.least_depth, numbering.most_depth
    if not low <= depth <= high or depth != int(depth):
        raise OutOfRangeError(
            f"The depth is {depth:g}; the numbering '{numbering.name}' has whole depths "
            f"{low}-{high}.",
            "Give a depth of the line; the digits after a divider are reflects, not halves.",
        )


def _example(numbering: Numbering) -> str:
    depth = (numbering.least_depth + numbering.most_depth + 1) // 2
    tinted = [one.word for one in numbering.reflects if one.word != "neutral"]
    main = tinted[0] if tinted else "neutral"
    return f"'{write_name(Named(depth, main), numbering)}'"
