"""What is wrong in a form, each beside its field."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from strandline.base.errors import OutOfRangeError, StrandlineError
from strandline.salon.web.wall import status_of
from strandline.salon.web.words import _

OUT_OF_ORDER, STALE = 503, 409
"""Statuses of HTTP of what no field can mend."""


class Faults(dict[str, StrandlineError]):
    """Errors by field; the first of a field stands."""

    @property
    def status(self) -> int:
        """Give the status of HTTP that a page with them has."""
        found = {status_of(one) for one in self.values()}
        return next((status for status in (OUT_OF_ORDER, STALE) if status in found), 422)

    def add(self, field: str, what: str, do: str) -> None:
        """Say what is wrong with a field."""
        self.setdefault(field, OutOfRangeError(what, do, field))

    def take(self, error: StrandlineError, field: str) -> None:
        """Put an error beside a field; one of the record itself at the top of the page."""
        self.setdefault("once" if status_of(error) == OUT_OF_ORDER else field, error)


def field_of(error: StrandlineError, fields: Sequence[str], otherwise: str) -> str:
    """Give the field that an error is about, by where it says it stands."""
    last = error.where.rpartition(".")[2].rpartition(" ")[2]
    return last if last in fields else otherwise


def day(text: str, field: str, faults: Faults, first: dt.date, last: dt.date) -> dt.date | None:
    """Read a day as a form sends it; None where it is empty, or no day, or none of those it may be.

    Parameters
    ----------
    text : YYYY-MM-DD, empty where it is left out
    field : its name
    first, last : the days it may be
    """
    if not text.strip():
        return None
    try:
        found = dt.date.fromisoformat(text.strip())
    except ValueError:
        faults.add(
            field,
            _("'%(said)s' is no day.") % {"said": text.strip()[:40]},
            _("Choose a day, or leave it empty."),
        )
        return None
    if not first <= found <= last:
        faults.add(
            field,
            _("%(day)s is not from %(first)s to %(last)s.")
            % {"day": found, "first": first, "last": last},
            _("Look at the day again."),
        )
        return None
    return found


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
        what = (
            _("'%(said)s' is no number.") % {"said": shown}
            if shown
            else _("Nothing is written here.")
        )
        faults.add(
            field, what, _("Write a figure from %(low)g to %(high)g.") % {"low": low, "high": high}
        )
        return None
    if not low <= value <= high:
        faults.add(
            field,
            _("It is %(value)g; it must be %(low)g to %(high)g.")
            % {"value": value, "low": low, "high": high},
            _("Look at it again."),
        )
        return None
    return value
