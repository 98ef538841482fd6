"""A visit that does not fit its hours: how many of its foils do."""

from __future__ import annotations

from strandline.base.sources import COMMON_PRACTICE
from strandline.service.care.finding import Finding
from strandline.service.consultation.model import Consultation
from strandline.service.placement.foil import FoilMap
from strandline.service.plan.foil_work import FoilWork
from strandline.service.practice.bench import Bench
from strandline.service.schedule.clock import Placing, set_clock


def hours_told(
    c: Consultation,
    minutes: float,
    foils: FoilMap | None,
    work: FoilWork | None,
    bench: Bench,
) -> list[Finding]:
    """Say that a visit takes longer than its hours, and what of it fits.

    Parameters
    ----------
    minutes : of the whole visit
    foils, work : of today, and how they are worked; None without foils
    """
    given = c.limits.hours * 60
    if minutes <= given:
        return []
    helped = "Fewer foils, or two days."
    do = helped if c.limits.helper else f"Take a helper for the placing, {helped.lower()}"
    if foils is not None and work is not None:
        fit = how_many_fit(c, foils, work, bench, minutes - given)
        do += (
            f" About {fit} of the {len(foils)} foils fit"
            if fit
            else " No foils fit, a gloss alone may"
        )
        do += ": look at the alternatives, which lay what fits where it shows."
    return [
        Finding(
            "note",
            f"The visit takes about {minutes / 60:.1f} h; {c.limits.hours:g} h are given.",
            do,
            COMMON_PRACTICE,
            about="limits.hours",
        )
    ]


def how_many_fit(
    c: Consultation, foils: FoilMap, work: FoilWork, bench: Bench, over_min: float
) -> int:
    """Give how many foils, left out evenly over the head, end so many minutes sooner.

    Parameters
    ----------
    over_min : minutes to be saved, > 0

    Returns
    -------
    the most that do, 0 where none do
    """
    every = [Placing(f.number, f.kind, f.section, work.bowls[f.number]) for f in foils]

    def ends(count: int) -> float:
        kept = [every[k * len(every) // count] for k in range(count)]
        return set_clock(kept, work.waits, bench, helper=c.limits.helper).rinse

    until = work.clock.rinse - over_min
    return next((n for n in range(len(every) - 1, 0, -1) if ends(n) <= until), 0)
