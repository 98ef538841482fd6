"""What would turn a stop, in words for the chair; never a clearance."""

from __future__ import annotations

from collections.abc import Sequence

from strandline.service.plan.model import Reason

_CHANGES = {
    "bands": "A cut strand that comes clean out of the actual mix makes it a wait, not a go: "
    "then plan anew, strand by strand.",
    "health.strand_test": "Only new hair changes this: when the marked hair has grown out or is "
    "cut, look again.",
    "health.scalp": "A healed scalp, looked at again on the day.",
    "health.past_reaction": "A doctor's answer on what the client reacts to; without it, nothing.",
    "health.alert_test": "A doctor's answer; another test at the chair does not replace it.",
    "client.age": "The birthday.",
}
"""By what a stop concerns; wording of what care asks at each, common practice, no source."""
OTHERWISE = "When what stands above is settled, plan anew; nothing is assumed."


def what_would_change(reasons: Sequence[Reason]) -> list[str]:
    """Say for each stop what would have to be different.

    Parameters
    ----------
    reasons : the stops, in their order

    Returns
    -------
    list of str   each said once
    """
    return list(dict.fromkeys(_CHANGES.get(reason.about, OTHERWISE) for reason in reasons))
