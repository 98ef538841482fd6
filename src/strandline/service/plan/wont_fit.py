"""What the limits keep back of a wish: which bind, which contradict, and what would free it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from strandline.base.sources import COMMON_PRACTICE
from strandline.service.choose.kinds import binding
from strandline.service.choose.wish import constants
from strandline.service.plan.assemble import Made
from strandline.service.plan.choices import Choices
from strandline.service.plan.model import Reason, ServicePlan, Strength
from strandline.service.plan.ways_model import Way
from strandline.service.plan.weighing_up import Whole, left_for
from strandline.service.schedule.search import Stop, never

WORDS = {
    "minutes": "the hours",
    "foils": "the number of foils",
    "money": "the money",
    "powder": "the powder on the shelf",
    "developer": "the developer on the shelf",
}
NEAR_STAGE = 0.25
"""A stage this near its aim has reached it."""


def binds_words(
    stands: Made,
    choices: Choices | None,
    best: Whole | None,
    most: Whole | None,
    stop: Stop = never,
) -> list[str]:
    """Name what keeps a thorough plan from more: limits that bind, the label, the hair itself."""
    if choices is None or most is None:
        return []
    out = []
    if best is not None:
        limits = left_for(choices.limits, best.rest)
        weighs = choices.wished.soft_weighs
        out = [WORDS[n] for n in binding(best.pick, choices.table, limits, weighs, stop)]
    harm = stands.consultation.limits.oxidised_percent
    if harm is not None and any(bowl.oxidised > harm for bowl in choices.bowls.values()):
        out.append("the limit of harm")
    out += [word for strength in _furthest(stands) if (word := _short(strength))]
    return list(dict.fromkeys(out))


def _furthest(stands: Made) -> Sequence[Strength]:
    """Give the strength on the longest stretch, the main bowl's or the stronger one's."""
    strong = [s for s in stands.plan.strengths if s.bowl in ("main", "strong")]
    return sorted(strong, key=lambda s: s.from_cm - s.to_cm)[:1]


def _short(one: Strength) -> str:
    reached = one.stage_when_due.middle
    if reached is None or reached >= one.aim_stage - NEAR_STAGE:
        return ""
    if one.minutes_to_aim.middle is None:
        return f"the hair itself, which stalls near stage {reached:g}"
    return "the label's longest time"


def not_reached(
    stands: Made, choices: Choices | None, best: Whole | None, most: Whole | None
) -> list[str]:
    """Say what of the wish one visit does not meet, and what would."""
    if choices is None or most is None:
        return []
    return list(_kept_back(stands, best, most))


def _kept_back(stands: Made, best: Whole | None, most: Whole) -> Iterator[str]:
    met = best.pick.sums.met if best else 0.0
    fullest = most.pick.sums.met
    c = stands.consultation
    if fullest - met > constants()["binds_from"].value:
        need = most.taken.minutes
        helped = "" if c.limits.helper else _with_help(stands, most)
        price = "" if most.taken.money is None else f", from {most.taken.money:.0f}"
        price += f" {stands.plan.quote.currency}" if price else ""
        yield (
            f"These limits hold {100 * met:.0f} % of the wish. All that one visit can meet, "
            f"{100 * fullest:.0f} %, takes {most.pick.sums.foils} foils in {need / 60:.1f} h"
            f"{helped}{price}."
        )
    if 0 < fullest < constants()["reached_at"].value:
        yield (
            f"One visit on this hair meets at most {100 * fullest:.0f} % of the wish, however "
            "long: the rest is for later visits."
        )


def _with_help(stands: Made, most: Whole) -> str:
    saving = stands.bench["helper_saving"] / 100
    placing = sum(one.minutes for one in most.pick.chosen.values())
    return f" alone, about {(most.taken.minutes - saving * placing) / 60:.1f} h with help"


def contradictions(
    stands: Made,
    choices: Choices | None,
    ways: Sequence[Way],
    most: Whole | None,
    gloss: ServicePlan,
) -> list[Reason]:
    """Say which limits or wishes cannot all be kept, and the nearest that can be done.

    Parameters
    ----------
    gloss : the plan of a gloss alone, the least that can be done
    """
    return [
        Reason(what=what, do=do, source=COMMON_PRACTICE, about=about)
        for what, do, about in _against(stands, choices, ways, most, gloss)
    ]


def _against(
    stands: Made,
    choices: Choices | None,
    ways: Sequence[Way],
    most: Whole | None,
    gloss: ServicePlan,
) -> Iterator[tuple[str, str, str]]:
    c, plan = stands.consultation, stands.plan
    if plan.technique_kind == "none":
        return
    if c.limits.money is not None and plan.quote.floor is None:
        yield (
            f"limits.money is {c.limits.money:g}, but what an hour must bring is not known.",
            "Give [money]; until then no plan is held to that.",
            "money",
        )
    if not ways:
        yield from _nothing_fits(stands, gloss)
        return
    if choices is None or most is None:
        return
    with_foils = [way for way in ways if way.foils]
    if not with_foils:
        yield from _no_foils_fit(stands, choices, ways[0], most)
    yield from _past_the_hair(stands)
    visits, given = plan.next_visit.visits.middle or 1, c.aim.visits
    if given is not None and given < visits:
        yield (
            f"The whole wish takes {visits:g} visits; the file gives {given}.",
            f"Give {visits:g}, or take what this one reaches: stage {_stage(stands)}.",
            "aim.visits",
        )


def _past_the_hair(stands: Made) -> Iterator[tuple[str, str, str]]:
    """Say that a stage that was asked for lies past what this hair comes to in a visit."""
    asked, plan = stands.consultation.aim.stage, stands.plan
    reached = plan.expected_stage.middle if plan.expected_stage else None
    if asked is None or reached is None or reached >= asked - 2 * NEAR_STAGE:
        return
    visits = plan.next_visit.visits.middle or 1
    yield (
        f"Stage {asked:g} is asked for; this hair comes to {reached:g} in a visit.",
        f"Aim at {reached:g} today"
        + (f"; {asked:g} is for visit {visits:g}, if the hair holds." if visits > 1 else "."),
        "aim.stage",
    )


def _stage(stands: Made) -> str:
    expected = stands.plan.expected_stage
    return "none" if expected is None or expected.middle is None else f"{expected.middle:g}"


def _nothing_fits(stands: Made, gloss: ServicePlan) -> Iterator[tuple[str, str, str]]:
    limits, plan = stands.consultation.limits, stands.plan
    yield (
        f"Nothing fits into {limits.hours:g} h"
        + ("." if limits.money is None else f" and {limits.money:g} {plan.quote.currency}."),
        f"The least that can be done is a gloss alone: {gloss.quote.minutes / 60:.1f} h"
        + ("." if gloss.quote.floor is None else f", from {gloss.quote.floor:.0f}."),
        "limits",
    )


def _no_foils_fit(
    stands: Made, choices: Choices, gloss: Way, most: Whole
) -> Iterator[tuple[str, str, str]]:
    c = stands.consultation
    do = f"The nearest is a gloss alone, {gloss.minutes / 60:.1f} h; foils begin to pay at "
    do += f"{stands.bench['foils_partial_low']:.0f} of them, about {_least_hours(stands, most)} h."
    if c.limits.foils is not None and c.limits.foils < 1:
        yield (
            f"limits.foils is 0, and the wish '{c.aim.wish}' needs foils.",
            "The nearest is a gloss alone; or give foils, or wish for 'tone only'.",
            "limits.foils",
        )
        return
    if c.limits.oxidised_percent is not None and not any(
        one.foils for of in choices.table.values() for one in of
    ):
        least = min(bowl.oxidised for bowl in choices.bowls.values())
        yield (
            f"No bowl here keeps to {c.limits.oxidised_percent:g} %: the least is {least:.0f} %.",
            "The nearest is a gloss alone; or a lower aim, aim.stage.",
            "limits.oxidised_percent",
        )
        return
    what = f"{c.limits.hours:g} h"
    if c.limits.money is not None:
        what += f" and {c.limits.money:g} {stands.plan.quote.currency}"
    yield (f"{what} hold no foils, and the wish '{c.aim.wish}' needs them.", do, "limits")


def _least_hours(stands: Made, most: Whole) -> str:
    """Give the hours of a partial head: the rest of a visit and its share of the foils."""
    a_foil = most.pick.sums.minutes / max(1, most.pick.sums.foils)
    return f"{(most.rest.minutes + a_foil * stands.bench['foils_partial_low']) / 60:.1f}"
