"""What consultations come to, computed once each: the newest are remembered."""

from __future__ import annotations

from hashlib import blake2b
from typing import TYPE_CHECKING

from strandline.base.remembered import Kept
from strandline.service.plan.outcome import Outcome, outcome_of
from strandline.service.plan.outlook import Outlook, outlooks

if TYPE_CHECKING:
    from collections.abc import Iterator

    from strandline.salon.web.sitting import Sitting
    from strandline.service.consultation.model import Consultation

KEPT = 512
"""Outcomes held in memory, a few kilobytes each."""


class Outcomes:
    """Outcomes by the content of what they were computed from."""

    def __init__(self) -> None:
        self._kept = Kept(KEPT)

    def outlooks(self, sitting: Sitting) -> Iterator[Outlook]:
        """Give what a consultation under way may come to, better with each step.

        Raises
        ------
        StrandlineError   its answers allow no plan
        """
        before = sitting.behind
        behind = f"{before.plan_before} {before.facts_before}" if before is not None else ""
        mark = f"{sitting.day} {behind}"

        def asked(c: Consultation) -> Outcome:
            key = blake2b(f"{mark} {c.model_dump_json()}".encode()).digest()
            return self._kept.of(key, lambda: outcome_of(c, sitting.day, earlier=sitting.earlier))

        return outlooks(
            sitting.answers, sitting.beneath, sitting.day, asked, settled=sitting.settled
        )
