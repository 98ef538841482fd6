"""The plan as the client reads it: plain, kind, honest; no figure without a word."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from typing import Any

from strandline.salon.report.client_growout import growout_words
from strandline.salon.report.client_reasons import WHOLE_CHANGE, not_today, to_her
from strandline.salon.report.colours import hex_of, sheet_colours, stage_series
from strandline.salon.report.worksheet_clock import dashed
from strandline.service.choose.technique import NAMES
from strandline.service.formulate.home_care import LONGEST_WEEKS
from strandline.service.formulate.wear import every_said
from strandline.service.plan.gloss_parts import WearPart
from strandline.service.plan.model import ServicePlan

BURNING = (
    "Burning, swelling, itching or heat: tell us at once. We rinse immediately, whatever the "
    "clock says."
)
WATCH = (
    (
        "An allergy test comes before colour. A clear test lowers the risk; it is never proof. If "
        "your skin itches, swells or blisters in the days after, see a doctor."
    ),
    (
        "Tell us about anything put on your hair, at home too, and about changes in your health: "
        "they can change what is right for you. Where in doubt, ask your doctor."
    ),
)
"""What a client watches for; common practice, no source."""
PLACES = {
    "root shadow": "roots",
    "mids": "lengths",
    "lowlights": "darker strands",
    "the white that is kept": "the white",
}
"""Plain words for where a gloss goes."""


def client_words(plan: ServicePlan, ways: Sequence[Mapping[str, Any]] = ()) -> dict[str, Any]:
    """Give the data of `client-sheet.typ`.

    Parameters
    ----------
    plan : the plan
    ways : rows of the other ways there were, as `ways_for_her` gives them

    Returns
    -------
    dict   JSON of words, figures and colours; sections that do not apply are empty
    """
    stopped = plan.verdict == "stop"
    done = not stopped and plan.technique_kind != "none"
    return {
        "colours": sheet_colours(),
        "title": f"For {plan.client}, {plan.date.isoformat()}",
        "date": [plan.date.year, plan.date.month, plan.date.day],
        "client": plan.client,
        "when": _day(plan.date),
        "verdict": plan.verdict,
        "opening": _opening(plan) if done else "We do not colour your hair today.",
        "first": [
            {"what": what, "do": do}
            for what, do in to_her([r for r in plan.reasons if r.weight in ("stop", "wait")])
        ],
        "not_today": not_today(plan) if done else [],
        **growout_words(plan, shown=done),
        "range": _range(plan) if done else None,
        "visits": _visits(plan, counted=bool(ways)) if done else [],
        "ways": list(ways),
        "back": _back(plan) if done else [],
        "cost": _cost(plan) if done else [],
        "year": _year(plan) if done else [],
        "care": _care(plan),
        "watch": [*([BURNING] if done else []), *WATCH],
        "foot": (
            "Computed from what we saw and what you told us. Hair answers in its own way: where "
            "this sheet gives a range, expect something inside it. This sheet informs; it clears "
            "nothing."
        ),
    }


def _opening(plan: ServicePlan) -> str:
    """Say in three sentences what is done, why, and towards which tone."""
    what = {
        "foils": f"We lighten fine sections of your hair in about {plan.foil_count} foils, so "
        "that white and colour grow together softly.",
        "lowlights": f"We place about {plan.foil_count} fine darker strands among your own hair "
        "and lighten nothing.",
        "gloss": "We give your hair tone and shine with a gloss and do not lighten it today.",
    }[plan.technique_kind]
    tone = f"The tone we aim for is {plan.tone_family}." if plan.tone_family else ""
    return " ".join([what, *_why(plan), tone]).strip()


_WHY = {
    NAMES["heavy"]: "You want it brighter, so the foils lie close together.",
    NAMES["soft"]: "You want it soft, so hair stays free between the foils.",
    NAMES["return"]: "Part of your hair is light already, so we take only what was left out.",
}
"""Why, to her, where the plan's own reason is in trade words."""


def _why(plan: ServicePlan) -> list[str]:
    if any(r.what.startswith(WHOLE_CHANGE) for r in plan.refused):
        return [
            (
                "Your old colour is dark and gives way slowly, so we go in steps and leave clean "
                "hair for the next visit."
            )
        ]
    if plan.pattern is not None:
        return ["Where they lie was laid out for your hair."]
    if plan.technique in _WHY:
        return [_WHY[plan.technique]]
    return plan.technique_reasons


def _range(plan: ServicePlan) -> dict[str, Any] | None:
    """Give how light the foils may come out, and the colours after toning."""
    stage = plan.expected_stage
    after = [
        {"word": PLACES.get(step.place, step.place), "colour": hex_of(step.lab)}
        for step in plan.gloss
    ]
    if stage is None and not after:
        return None
    scale = None
    if stage is not None and stage.middle is not None:
        low, high = stage.low or 0.0, stage.high or stage.middle
        scale = {
            "low": low,
            "middle": stage.middle,
            "high": high,
            "series": [{"stage": s, "word": w, "colour": h} for s, w, h in stage_series()],
            "words": _light_words(low, stage.middle, high),
        }
    return {"scale": scale, "after": after, "tone": plan.tone_family}


def _light_words(low: float, middle: float, high: float) -> str:
    first, usual, last = (_light(x) for x in (low, middle, high))
    words = f"Before toning, the foils most likely come out {usual}."
    if first != last:
        words += (
            f" Anything between {first} and {last} can happen: some hair holds on to its colour. "
            "We look as it goes, and tone what we find."
        )
    return words


def _light(stage: float) -> str:
    series = stage_series()
    least = series[0][0]
    if stage < least - 0.5:
        return "red-orange or darker"
    return next(word for s, word, _ in reversed(series) if stage >= s - 0.5)


def _visits(plan: ServicePlan, *, counted: bool) -> list[str]:
    """Count visits until her hair is light enough; ways count for themselves until all is there.

    Without old colour both would count the same wish by two laws: then the ways alone do.
    """
    out: list[str] = []
    visits = plan.next_visit.visits
    before, after = plan.next_visit.old_share_before, plan.next_visit.old_share_after.middle
    if counted and not before:
        return out
    if visits.low is not None and visits.middle is not None and visits.high is not None:
        low, usual, high = (round(x) for x in (visits.low, visits.middle, visits.high))
        if high > 1:
            out.append(
                "As many light strands as you wish, and as light, take about "
                f"{usual} visit{'' if usual == 1 else 's'}, {low} to {high}; this one counts."
            )
        elif plan.technique_kind == "foils":
            out.append("This one visit brings as many light strands as you wish.")
    if before and after is not None and after < before:
        out.append(
            f"Old colour is on about {100 * before:.0f} % of your hair now, and on about "
            f"{100 * after:.0f} % after this visit."
        )
    return out


def _back(plan: ServicePlan) -> list[dict[str, str]]:
    after = plan.next_visit
    out = []
    if plan.technique_kind == "foils" and after.gloss_from and after.gloss_to:
        out.append({"what": "a fresh gloss", "when": _span(after.gloss_from, after.gloss_to)})
    if after.foils_from and after.foils_to:
        what = {
            "foils": "foils, in the hair we leave out today",
            "lowlights": "darker strands again",
            "gloss": "a look at your hair, and a gloss",
        }[plan.technique_kind]
        out.append({"what": what, "when": _span(after.foils_from, after.foils_to)})
    return out


def _cost(plan: ServicePlan) -> list[str]:
    quote = plan.quote
    out = [f"This visit takes about {_hours(quote.minutes / 60)}."]
    if quote.floor is not None:
        deposit = f", {quote.deposit:.0f} of it as a deposit" if quote.deposit is not None else ""
        out.append(f"It costs from {quote.floor:.0f} {quote.currency}{deposit}.")
    else:
        out.append("We tell you the price before we begin.")
    return out


def _year(plan: ServicePlan) -> list[dict[str, Any]]:
    """Give a year of this beside a year of cover; nothing where there is none to compare."""
    year, cover = plan.quote.year_blending, plan.quote.year_cover
    if cover is None or not year.visits:
        return []
    return [
        {
            "what": what,
            "visits": f"{one.visits:.0f} visits",
            "hours": one.hours,
            "hours_words": _hours(one.hours),
            "amount": one.amount,
            "amount_words": "" if one.amount is None else f"{one.amount:.0f} {plan.quote.currency}",
        }
        for what, one in (("as we plan it", year), ("cover, as now", cover))
    ]


def _care(plan: ServicePlan) -> list[str]:
    trims = [dashed(r.do) for r in plan.reasons if r.step == "return" and r.do]
    if plan.verdict == "stop" or plan.technique_kind == "none":
        return trims
    out = ["Wash with lukewarm water and something mild, two or three times a week."]
    toned = next((one for one in plan.wear if one.violet_every_days is not None), None)
    if toned is not None and toned.violet_every_days is not None:
        out.append(
            f"A violet shampoo {every_said(toned.violet_every_days)}, for two to three minutes, "
            "keeps yellow away; more often makes hair dull."
        )
        out.append(_turning(toned))
    out.append("Sun and hot tools fade tone fastest: a hat, a heat protector, a low setting.")
    return out + trims


def _turning(toned: WearPart) -> str:
    """Say when the tone is seen to turn, and when it wants a fresh gloss."""
    gone = f"after about {max(1, round(toned.cared_gone_weeks))} weeks it wants a fresh gloss"
    if toned.cared_gone_weeks >= LONGEST_WEEKS:
        gone = "kept up so it stays until we see you"
    if toned.cared_seen_weeks >= LONGEST_WEEKS:
        return f"The tone goes so softly that you will hardly see it; {gone}."
    seen = max(1, round(toned.cared_seen_weeks))
    return (
        f"The tone is coolest at first and turns a little warmer from about week {seen} on; {gone}."
    )


def _hours(hours: float) -> str:
    return "1 hour" if round(hours, 1) == 1 else f"{round(hours, 1):g} hours"


def _span(start: dt.date, end: dt.date) -> str:
    if start == end:
        return _day(start)
    if (start.year, start.month) == (end.year, end.month):
        return f"{start.day} to {_day(end)}"
    if start.year == end.year:
        return f"{start.day} {start:%B} to {_day(end)}"
    return f"{_day(start)} to {_day(end)}"


def _day(day: dt.date) -> str:
    return f"{day.day} {day:%B %Y}"
