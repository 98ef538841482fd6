"""The visit as one running list: what is done, looked at, wiped and rinsed, in its minutes."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from strandline.salon.report.worksheet_clock import dashed
from strandline.service.plan.model import ClockGroup, ServicePlan

OUT = (0, 3)
"""Ranks of wiping and rinsing."""
ENDS = ("all foils placed", "rinse", "end")
"""Steps of the clock that the list says in its own words, or leaves out."""


def running_list(plan: ServicePlan) -> list[dict[str, Any]]:
    """Give every step of a visit with foils, in order.

    Returns
    -------
    list of {'at': minutes from the first parting, 'what': words, 'out': hair comes out}; empty
    without groups of foils

    Notes
    -----
    Of what falls on one minute, wiping comes first, then looking, then placing: as she does it. The
    looks after the first are said below the clock, not listed.
    """
    if plan.clock is None or not plan.clock.groups:
        return []
    steps = [*_foils(plan), *_after(plan)]
    steps.sort(key=lambda one: one[:2])
    return [{"at": f"{at:g}", "what": what, "out": rank in OUT} for at, rank, what in steps]


def _foils(plan: ServicePlan) -> Iterator[tuple[float, int, str]]:
    groups = plan.clock.groups if plan.clock else []
    told: set[str] = set()
    bowl = ""
    for group in groups:
        foils = dashed(group.foils)
        yield group.start_min, 2, f"place {foils}, {_where(group, plan, told)}{_bowl(group, bowl)}"
        bowl = group.bowl
        yield group.first_check_min, 1, f"look at {foils}"
        if group.how == "wipe":
            yield group.out_min, 0, f"wipe {foils}"
    if any(group.how != "wipe" for group in groups):
        last = dashed(", ".join(g.foils for g in groups if g.how != "wipe"))
        wiped = "" if all(g.how != "wipe" for g in groups) else f" {last} and what was wiped"
        at = max(group.out_min for group in groups if group.how != "wipe")
        yield at, 3, f"rinse{wiped or ' all'}"
    elif plan.clock is not None:
        yield plan.clock.rinse_min, 3, "rinse all"


def _where(group: ClockGroup, plan: ServicePlan, told: set[str]) -> str:
    """Name a group's sections: in her words of the order of work the first time."""
    words = []
    for section in group.section.split(", "):
        said = min((step for step in plan.order if section in step), key=len, default=section)
        words.append(section if section in told else said)
        told.add(section)
    return "; ".join(words)


def _bowl(group: ClockGroup, before: str) -> str:
    names = {"weak": "weak bowl", "main": "main bowl", "strong": "both bowls", "lowlight": "colour"}
    return "" if group.bowl == before else f", {names.get(group.bowl, group.bowl)}"


def _after(plan: ServicePlan) -> Iterator[tuple[float, int, str]]:
    """Give the steps after the rinse, in the words of the order of work where it has them."""
    said = {"root shadow": "root shadow", "mids": "toner on mids", "ends": "toner on ends"}
    for what, at in plan.clock.steps if plan.clock else []:
        if what in ENDS:
            continue
        word = said.get(what, what)
        yield at, 4, next((step for step in plan.order if step.startswith(word)), what)
    if plan.clock is not None:
        yield plan.clock.end_min, 5, "done"
