"""The plan as the client reads it: plain, kind, honest; no level without a word."""

from __future__ import annotations

import datetime as dt
from typing import Any

from strandline.service.plan.model import ServicePlan

SEEN_SHARE = 0.5
"""From this share of her threshold on a line begins to show."""


def client_words(plan: ServicePlan) -> dict[str, Any]:
    """Give the data of `client-sheet.typ`."""
    stop = plan.verdict == "stop"
    pictures = not stop and bool(plan.growout.weeks)
    weeks = plan.growout.weeks if pictures else []
    return {
        "title": f"For {plan.client}, {plan.date.isoformat()}",
        "client": plan.client,
        "when": f"{plan.date:%d %B %Y}",
        "opening": _opening(plan),
        "weeks": ["the day" if w.week == 0 else f"{w.week:.0f} weeks" for w in weeks],
        "strips": [[f"{look}-{w.week:.0f}.svg" for w in weeks] for look in ("kept", "planned")]
        if pictures
        else [],
        "seen": [
            [_line(w.as_kept.line, plan) for w in weeks],
            [_line(w.planned.line, plan) for w in weeks],
        ]
        if pictures
        else [],
        "growout": plan.growout.sentence,
        "range": _range(plan),
        "back": _back(plan),
        "cost": _cost(plan),
        "care": _care(plan),
        "safety": [
            (
                "Tell us at once of any burning, swelling, itching or heat: we rinse immediately, "
                "whatever the clock says. An allergy test lowers the risk; it is never proof."
            ),
            (
                "Tell us about anything put on your hair, at home too, and about your health: "
                "it can change what is right for you. Where in doubt, ask your doctor."
            ),
        ],
        "foot": (
            "Computed for you from what we saw and what you told us. Hair answers in its own way: "
            "where this sheet gives a range, expect something inside it."
        ),
    }


def _opening(plan: ServicePlan) -> list[str]:
    if plan.verdict == "stop":
        return [
            "We do not colour your hair today. " + " ".join(r.what for r in plan.reasons),
            "What comes first: " + " ".join(r.do for r in plan.reasons[:1]),
        ]
    what = {
        "foils": f"We lighten fine sections of your hair in about {plan.foil_count} foils and "
        "leave the hair between them as it is, so that white and colour grow together softly.",
        "lowlights": f"We place about {plan.foil_count} fine darker strands and keep your own "
        "white as the light part.",
        "gloss": "We give your hair tone and shine with a gloss and do not lighten it today.",
    }[plan.technique_kind]
    out = [what + " " + " ".join(plan.technique_reasons)]
    if plan.tone_family:
        out.append(f"The tone we aim for is {plan.tone_family}.")
    out += [f"Not today: {r.what.rstrip('.').lower()}. {r.do}" for r in plan.refused]
    if plan.verdict == "wait":
        out.append("Before we begin: " + " ".join(f"{r.what} {r.do}" for r in plan.reasons))
    return out


def _line(line: float, plan: ServicePlan) -> str:
    if line >= plan.growout.threshold:
        return "a line shows"
    return "begins to show" if line >= SEEN_SHARE * plan.growout.threshold else "no line"


def _range(plan: ServicePlan) -> list[str]:
    out = []
    stage = plan.expected_stage
    if stage and stage.middle is not None:
        out.append(
            f"Before the toner the foils come out about {_light(stage.middle)}; anything from "
            f"{_light(stage.low or 3)} to {_light(stage.high or 10)} is possible, and we watch it."
        )
    visits = plan.next_visit.visits
    if visits.high and visits.high > 1:
        out.append(
            f"Your whole wish takes about {visits.middle:.0f} visits ({visits.low:.0f} to "
            f"{visits.high:.0f}), this one among them."
        )
    before, after = plan.next_visit.old_share_before, plan.next_visit.old_share_after.middle
    if before and after is not None and after < before:
        out.append(
            f"Old colour is now on {before:.0%} of your hair; after this visit on about "
            f"{after:.0%}."
        )
    return out


def _light(stage: float) -> str:
    names = (
        (10, "very pale yellow"),
        (9, "yellow"),
        (8, "deep yellow"),
        (7, "gold"),
        (6, "gold-orange"),
        (5, "orange"),
    )
    return next((name for least, name in names if stage >= least - 0.5), "red-orange")


def _back(plan: ServicePlan) -> list[str]:
    after = plan.next_visit
    out = []
    if after.gloss_from and after.gloss_to and plan.technique_kind == "foils":
        out.append(f"For a gloss: {_day(after.gloss_from)} to {_day(after.gloss_to)}.")
    if after.foils_from and after.foils_to:
        when = _day(after.foils_from)
        if after.foils_to != after.foils_from:
            when += f" to {_day(after.foils_to)}"
        out.append(f"For the next visit: {when}. We then start from what we leave out today.")
    return out


def _day(day: dt.date) -> str:
    return f"{day.day} {day:%B %Y}"


def _cost(plan: ServicePlan) -> list[str]:
    quote = plan.quote
    if plan.verdict == "stop":
        return []
    out = [f"About {quote.minutes / 60:.1f} hours."]
    if quote.floor is not None:
        out.append(
            f"From {quote.floor:.0f} {quote.currency}, with {quote.deposit:.0f} as a deposit."
        )
    year, cover = quote.year_blending, quote.year_cover
    if year.amount is not None and cover is not None and cover.amount is not None:
        out.append(
            f"A year of this: about {year.visits:.0f} visits, {year.hours:.0f} hours, "
            f"{year.amount:.0f} {quote.currency}. A year of cover as now: "
            f"{cover.visits:.0f} times, "
            f"{cover.hours:.0f} hours, {cover.amount:.0f} {quote.currency}."
        )
    return out


def _care(plan: ServicePlan) -> list[str]:
    if plan.technique_kind == "none":
        return []
    return [
        "Wash with lukewarm water and something mild, two or three times a week.",
        (
            "A violet shampoo once a week, two to three minutes, keeps yellow away; "
            "more often turns hair dull."
        ),
        "Sun and hot tools fade tone fastest: a hat, a heat protector, a low setting.",
    ]
