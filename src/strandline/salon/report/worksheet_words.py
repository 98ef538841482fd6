"""The plan's figures as the worksheet says them."""

from __future__ import annotations

from typing import Any

from strandline.salon.report.colours import hex_of
from strandline.service.plan.model import Bowl, Figure, GlossStep, ServicePlan, Strength


def worksheet_words(plan: ServicePlan) -> dict[str, Any]:
    """Give the data of `worksheet.typ`."""
    stop = plan.verdict == "stop"
    groups = plan.clock.groups if plan.clock else []
    label = max((g.latest_min - g.start_min for g in groups), default=60)
    return {
        "title": f"Worksheet, {plan.client}, {plan.date.isoformat()}",
        "client": plan.client,
        "when": f"{plan.date:%d %B %Y} · visit {plan.visit}",
        "verdict": plan.verdict.upper(),
        "technique": "No formula today" if stop else _technique(plan),
        "expect": _expect(plan),
        "reasons": [
            {"what": r.what, "do": r.do, "source": r.source}
            for r in plan.reasons
            if r.weight in ("stop", "wait", "hold", "note")
        ],
        "refused": [{"what": r.what, "do": r.do} for r in plan.refused],
        "cautions": [{"step": c.step, "text": f"{c.what} {c.do}"} for c in plan.cautions],
        "map": bool(plan.foils),
        "bowls": [_bowl(bowl) for bowl in plan.bowls],
        "strengths": [_strength(s, label) for s in plan.strengths],
        "label": label,
        "check": _check(plan),
        "order": plan.order,
        "clock": [
            {
                "foils": g.foils,
                "section": g.section,
                "start": _n(g.start_min),
                "check": _n(g.first_check_min),
                "due": _n(g.due_min),
                "latest": _n(g.latest_min),
            }
            for g in groups
        ],
        "notes": plan.clock.notes if plan.clock else [],
        "whole": f"Whole visit about {plan.quote.minutes:.0f} min." if plan.clock else "",
        "gloss": [_gloss(step) for step in plan.gloss],
        "foot": (
            "Figures are computed from what was answered and carry ranges; the product's label, "
            "local codes and your own eye come first. Informs a professional; clears no one."
        ),
    }


def _technique(plan: ServicePlan) -> str:
    foils = f", {plan.foil_count} foils" if plan.foil_count else ""
    return plan.technique[:1].upper() + plan.technique[1:] + foils


def _expect(plan: ServicePlan) -> str:
    if plan.expected_stage is None:
        return ""
    return f"aim {plan.aim_stage:g}, expect stage {span(plan.expected_stage)} · {plan.tone_family}"


def span(figure: Figure) -> str:
    """Write a figure with its range: '8 (5.7-8.3)'."""
    if figure.middle is None:
        return "not reached"
    low = "?" if figure.low is None else f"{figure.low:g}"
    high = "not reached" if figure.high is None else f"{figure.high:g}"
    return f"{figure.middle:g} ({low} to {high})"


def _bowl(bowl: Bowl) -> dict[str, Any]:
    poured = " + ".join(f"{p.grams:g} g of {p.vol:g} vol" for p in bowl.poured)
    return {
        "what": bowl.what[:1].upper() + bowl.what[1:],
        "count": bowl.count,
        "serves": bowl.serves,
        "recipe": f"{bowl.powder_grams:g} g powder + {poured}",
        "strength": (
            f"{bowl.developer_vol:g} volume, {bowl.bowl_percent:g} % peroxide in the bowl"
            + (", mixed fresh each time." if bowl.count > 1 else ".")
        ),
    }


def _strength(s: Strength, label: float) -> dict[str, Any]:
    def at(value: float | None) -> float:
        return min(1.0, (label if value is None else value) / label)

    aim = s.minutes_to_aim
    chance = f"{s.chance_before_label:.0%} chance of stage {s.aim_stage:g} before the label."
    after = f"goes on {s.after_min:g} min after the foil's start" if s.after_min else ""
    return {
        "band": s.band,
        "bowl": f"{s.poured_vol:g} vol",
        "from": f"{s.from_cm:g}-{s.to_cm:g} cm" + (f", {after}" if after else ""),
        "due": _n(s.due_min),
        "low": at(aim.low),
        "mid": at(aim.middle),
        "high": at(aim.high),
        "words": f"foils {s.foils}: stage {span(s.stage_when_due)}, {s.underlying}. {chance}",
    }


def _check(plan: ServicePlan) -> str:
    if plan.first_check_min is None:
        return ""
    return (
        f"First at {plan.first_check_min:g} min of a foil's own start, then every "
        f"{plan.check_every_min:g}; near the aim every 3. Wipe, pinch dry, judge: wet hair reads "
        "darker, and two checks halve the doubt in every clock."
    )


def _gloss(step: GlossStep) -> dict[str, Any]:
    parts = " + ".join(f"{p.grams:g} g {p.shade}" for p in step.parts if p.grams)
    developer = f"{step.developer_grams:g} g dev. {step.developer_vol:g} vol"
    recipe = f"{parts} + {developer}" if parts else ""
    minutes = (
        f"{step.minutes_low:g}-{step.minutes_high:g}"
        if step.minutes_low < step.minutes_high
        else f"{step.minutes_high:g}"
    )
    return {
        "order": f"{step.order}.",
        "place": step.place,
        "where": f"{step.from_cm:g}-{step.to_cm:g} cm",
        "recipe": recipe,
        "time": f"{minutes} min, look at {step.first_look_min:g}.",
        "why": step.why,
        "miss": step.miss,
        "ground": hex_of(step.ground_lab),
        "got": hex_of(step.lab),
    }


def _n(value: float) -> str:
    return f"{value:.0f}"
