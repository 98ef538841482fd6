"""What pydantic found wrong with a file, in two sentences and with its field."""

from __future__ import annotations

from typing import Any

from pydantic import ValidationError

from strandline.base.errors import OutOfRangeError, StrandlineError

_KINDS = {
    "float": "a number, such as 6 or 2.5",
    "int": "a whole number",
    "bool": "true or false, without quotes",
    "datetime": "a day and time, such as 2026-12-03T10:00:00",
    "date": "a day, such as 2026-12-03",
    "string_pattern": "of another form",
    "string": "words in quotes",
    "model": "a table of its own",
    "list": "a list in square brackets",
    "tuple": "a list in square brackets",
    "dict": "a table of its own",
}
_ANYTHING = "of another kind"
"""What a field must be, by the beginning of the kind of mistake."""


def told(found: ValidationError, where: str) -> StrandlineError:
    """Give the first mistake of a file as an error: what is wrong, what to do, in which field."""
    errors = found.errors(include_url=False)
    error = errors[0]
    field = ".".join(str(part + 1 if isinstance(part, int) else part) for part in error["loc"])
    joint = "." if ": " in where else ": "
    place = f"{where}{joint}{field}" if field else where
    more = f" ({len(errors) - 1} more to mend after it.)" if len(errors) > 1 else ""
    what, do = _sentences(error, _name(error["loc"]))
    return OutOfRangeError(what, do + more, place)


def _name(place: tuple[int | str, ...]) -> str:
    """Give a field's own name; where it stands is told by `where`, never in the sentence too."""
    return next((part for part in reversed(place) if isinstance(part, str)), "the file")


def _sentences(error: Any, name: str) -> tuple[str, str]:  # noqa: ANN401  # pydantic's own dict
    kind, given, ctx = error["type"], error.get("input"), error.get("ctx", {})
    shown = repr(given)[:60]
    if kind == "missing":
        return f"'{name}' is missing.", "Add it; docs/consultation.md shows each field."
    if kind == "extra_forbidden":
        return (
            f"'{name}' is not a field that is known here.",
            "Correct its spelling or leave it out.",
        )
    if kind in _BOUNDS:
        word = _BOUNDS[kind]
        limit = ctx.get("ge", ctx.get("le", ctx.get("gt", ctx.get("lt"))))
        return f"'{name}' is {given}; it must be {word} {limit:g}.", f"Give {name} in that range."
    if kind == "literal_error":
        return f"'{name}' is {shown}; it is none of the words known.", f"Use {ctx['expected']}."
    if kind == "value_error":
        what, _, do = str(ctx["error"]).partition("|")
        return what, do or "Correct it."
    wanted = next((words for start, words in _KINDS.items() if kind.startswith(start)), _ANYTHING)
    return f"'{name}' is {shown}; it must be {wanted}.", f"See {name} in docs/consultation.md."


_BOUNDS = {
    "greater_than_equal": "at least",
    "less_than_equal": "at most",
    "greater_than": "more than",
    "less_than": "less than",
}
