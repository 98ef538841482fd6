"""Chapter marks of a visit: a time and words a line, for whoever films it."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

from strandline.base.errors import OutOfRangeError
from strandline.salon.web.words import _

if TYPE_CHECKING:
    from strandline.base.facts.visit import Visit


def chapters(visit: Visit, begins: str = "") -> str:
    """Give the marks of a visit as text.

    Parameters
    ----------
    visit : folded
    begins : local time at which the film begins, HH:MM, '' for the visit's own begin

    Returns
    -------
    lines of 'HH:MM:SS words', the first at 00:00:00; what lies before the film is left out. No
    name stands in it: a film is shown to others.

    Raises
    ------
    OutOfRangeError   a begin that is no time of day
    """
    start = _start(visit, begins)
    if start is None:
        return ""
    marks = sorted(_marks(visit))
    inside = [(at - start, words) for at, words in marks if at >= start]
    if not inside or inside[0][0] > dt.timedelta(0):
        inside.insert(0, (dt.timedelta(0), _("The film begins")))
    return "".join(f"{_offset(at)} {words}\n" for at, words in inside)


def _start(visit: Visit, begins: str) -> dt.datetime | None:
    if visit.started is None:
        return None
    start = _time(visit.started)
    if not begins:
        return start
    try:
        hour = dt.time.fromisoformat(begins)
    except ValueError:
        raise OutOfRangeError(
            _("'%(said)s' is no time of day.") % {"said": begins[:20]},
            _("Write it as 10:05."),
            "from",
        ) from None
    zone = dt.timezone(dt.timedelta(minutes=visit.offset or 0))
    local = start.astimezone(zone)
    return dt.datetime.combine(local.date(), hour, zone)


def _time(text: str) -> dt.datetime:
    return dt.datetime.fromisoformat(text)


def _offset(since: dt.timedelta) -> str:
    seconds = int(since.total_seconds())
    return f"{seconds // 3600:02}:{seconds // 60 % 60:02}:{seconds % 60:02}"


def _marks(visit: Visit) -> list[tuple[dt.datetime, str]]:
    out = [(visit.started, _("The visit begins"))]
    out += [
        (one.start or one.end, _("Foils from %(n)d, %(where)s") % _foils(one))
        for one in visit.sections
    ]
    out += [(one.time, _("Bowl %(name)s is mixed") % {"name": one.bowl}) for one in visit.bowls]
    out += [(one.time, _("A look: stage %(stage)g") % {"stage": one.stage}) for one in visit.checks]
    out += [(one.time, _("Foils are wiped")) for one in visit.wipes]
    out += [(one.time, _("Rinse")) for one in visit.rinses]
    out += [(one.time, _("On it goes: %(place)s") % {"place": one.place}) for one in visit.glosses]
    out += [(one.time, _("Things change: %(what)s") % {"what": one.what}) for one in visit.changes]
    out += [(one.time, _("The result, %(area)s") % {"area": one.area}) for one in visit.results]
    out.append((visit.ended, _("The visit ends")))
    return [(_time(at), words) for at, words in out if at is not None]


def _foils(one: object) -> dict[str, object]:
    return {"n": getattr(one, "first_foil", 0), "where": getattr(one, "section", "")}
