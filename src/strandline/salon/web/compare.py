"""Two plans of one visit beside each other, in the few figures that decide."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from strandline.salon.web.words import _, minutes, span
from strandline.service.plan.model import ServicePlan
from strandline.service.plan.parts import Figure


@dataclass(frozen=True, slots=True)
class Row:
    """A figure of both plans, in words."""

    what: str
    now: str
    then: str

    @property
    def differs(self) -> bool:
        """Tell whether the change moves it."""
        return self.now != self.then


def compared(now: ServicePlan, then: ServicePlan) -> list[Row]:
    """Give the figures that decide between two plans, those of the first as they stand."""
    figures: tuple[tuple[str, Callable[[ServicePlan], str]], ...] = (
        (_("What is done"), lambda plan: f"{plan.verdict}: {plan.technique_words}"),
        (_("Foils"), lambda plan: str(plan.foil_count)),
        (_("Time in the chair"), lambda plan: minutes(plan.quote.minutes)),
        (_("Stage it may reach"), lambda plan: _figure(plan.expected_stage)),
        (_("Tone"), lambda plan: plan.tone_family or "–"),
        (_("Price, at least"), lambda plan: _money(plan.quote.floor, plan.quote.currency)),
        (_("She sees her line, week"), lambda plan: _figure(plan.growout.planned_passes_week)),
        (_("Foils again in"), lambda plan: f"{plan.interval_weeks:g} {_('weeks')}"),
        (_("Old colour left, %"), lambda plan: _share(plan.next_visit.old_share_after)),
    )
    return [Row(what, told(now), told(then)) for what, told in figures]


def _figure(value: Figure | None) -> str:
    return "–" if value is None else span(value)


def _share(value: Figure) -> str:
    return span({end: _percent(getattr(value, end)) for end in ("low", "middle", "high")})


def _percent(value: float | None) -> float | None:
    return None if value is None else round(100 * value)


def _money(value: float | None, currency: str) -> str:
    return "–" if value is None else f"{value:.0f} {currency}"
