"""Facts that change nothing: kept, and shown with the reason."""

from __future__ import annotations

from collections.abc import Sequence

from strandline.base.facts.visit import Visit
from strandline.service.anew.times import Wall


def kept_of(visit: Visit, taught: Sequence[bool], later: int, wall: Wall) -> list[str]:
    """Say which facts are not used, and why.

    Parameters
    ----------
    visit : the facts until now, folded
    taught : whether each check taught, in their order; none where none was asked
    later : how many facts are of a time still to come
    wall : its minutes
    """
    out = [f"{flag.kind or 'a line'}: {flag.why or flag.code}" for flag in visit.flagged]
    for one in visit.conflicts:
        if one.foils:
            foils = ", ".join(map(str, one.foils))
            out.append(f"Foils {foils} stand in two sections; the first is kept. Take one back.")
        else:
            out.append("Two facts bear one name; the first is kept. Record the other anew.")
    for seen, used in zip(visit.checks, taught, strict=False):
        if not used:
            what = f"foil {seen.foil}" if seen.foil is not None else f"{seen.section}"
            out.append(
                f"The check of {what} at {wall.at(wall.minutes(seen.time))} teaches nothing: "
                "that foil was not in, not with lightener, or not for 3 min."
            )
    if later:
        out.append(f"{later} facts are later than now and not looked at.")
    return out
