"""What is wrong in a form, each beside its field."""

from __future__ import annotations

from collections.abc import Sequence

from strandline.base.errors import OutOfRangeError, StrandlineError


class Faults(dict[str, StrandlineError]):
    """Errors by field; the first of a field stands."""

    def add(self, field: str, what: str, do: str) -> None:
        """Say what is wrong with a field."""
        self.setdefault(field, OutOfRangeError(what, do, field))

    def take(self, error: StrandlineError, field: str) -> None:
        """Put an error beside a field."""
        self.setdefault(field, error)


def field_of(error: StrandlineError, fields: Sequence[str], otherwise: str) -> str:
    """Give the field that an error is about, by where it says it stands."""
    last = error.where.rpartition(".")[2].rpartition(" ")[2]
    return last if last in fields else otherwise


def number(text: str, field: str, faults: Faults, low: float, high: float) -> float | None:
    """Read a figure as a person types it; None and a fault where it is none or out of its range.

    Parameters
    ----------
    text : with a point or a comma for the decimals
    field : its name
    low, high : its range
    """
    try:
        value = float(text.strip().replace(",", "."))
    except ValueError:
        shown = text.strip()[:40]
        what = f"'{shown}' is no number." if shown else "Nothing is written here."
        faults.add(field, what, f"Write a figure from {low:.15g} to {high:.15g}.")
        return None
    if not low <= value <= high:
        faults.add(
            field, f"It is {value:.15g}; it must be {low:.15g} to {high:.15g}.", "Look at it again."
        )
        return None
    return value
