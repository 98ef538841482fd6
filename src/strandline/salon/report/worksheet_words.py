"""The plan as the worksheet says it: figures with units, words short enough for the chair."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from strandline.salon.report.colours import hex_of, sheet_colours, stage_series
from strandline.salon.report.foil_words import ranges
from strandline.salon.report.miss_words import filler_said, miss_said
from strandline.salon.report.stop_words import what_would_change
from strandline.salon.report.worksheet_clock import (
    clock_words,
    dashed,
    label_minutes,
    strength_words,
)
from strandline.salon.report.worksheet_run import running_list
from strandline.service.formulate.rules import rule
from strandline.service.plan.gloss_parts import GlossStep
from strandline.service.plan.model import Bowl, Reason, ServicePlan
from strandline.service.plan.parts import Figure

LOWLIGHTS = "lowlights"
"""A gloss step that lies in foils."""
UNKNOWN_PAST = "bands"
"""What a stop concerns where a strand has to be tried."""
STEPS = ("before", "mixing", "foils", "rinse", "gloss", "return")
"""Where a caution stands."""

FOOT = (
    "Computed from what was answered; what lift does is a range. The product's label, local codes "
    "and your own eye come first. Informs a professional, clears no one."
)


def worksheet_words(plan: ServicePlan) -> dict[str, Any]:
    """Give the data of `worksheet.typ`.

    Parameters
    ----------
    plan : the plan

    Returns
    -------
    dict   JSON of words, figures and colours; sections that do not apply are empty
    """
    stopped = plan.verdict == "stop"
    heavy = [r for r in plan.reasons if r.weight in ("stop", "wait")]
    rest = [r for r in plan.reasons if r.weight not in ("stop", "wait")]
    low = [step for step in plan.gloss if step.place == LOWLIGHTS]
    gloss = [step for step in plan.gloss if step.place != LOWLIGHTS]
    return {
        "colours": sheet_colours(),
        "title": f"Worksheet, {plan.client}, {plan.date.isoformat()}",
        "date": [plan.date.year, plan.date.month, plan.date.day],
        "client": plan.client,
        "when": f"{plan.date.day} {plan.date:%B %Y}",
        "visit": f"visit {plan.visit}",
        "verdict": plan.verdict.upper(),
        "technique": "No formula today" if stopped else _technique(plan),
        "tone": "" if stopped else plan.tone_family,
        "alarm": _grouped(heavy),
        "change": what_would_change([r for r in heavy if r.weight == "stop"]) if stopped else [],
        "strand_test": stopped and any(r.about == UNKNOWN_PAST for r in heavy),
        "notes": _grouped(rest),
        "refused": [] if stopped else _refused(plan),
        "cautions": {step: _cautions(plan, step) for step in STEPS},
        "foils": 0 if stopped else len(plan.foils),
        "bowls": [] if stopped else [bowl_words(bowl) for bowl in plan.bowls],
        "order": [] if stopped else [dashed(step) for step in plan.order],
        "run": [] if stopped else running_list(plan),
        "check": "" if stopped else _check(plan),
        "clock": None if stopped else clock_words(plan),
        "strengths": [] if stopped else [strength_words(s, plan) for s in plan.strengths],
        "label": label_minutes(plan),
        "expect": None if stopped else _expect(plan),
        "series": [{"stage": s, "word": w, "colour": h} for s, w, h in stage_series()],
        "mixed": [] if stopped else [_lowlights(step, plan) for step in low],
        "gloss": [] if stopped else [_gloss(plan, s, f"{n}") for n, s in enumerate(gloss, 1)],
        "foot": f"{FOOT} {plan.made_with}.",
    }


def figures(figure: Figure) -> str:
    """Write a figure with its range: '8 (5.7 to 8.3)'; an end that is not reached is said."""
    low, middle, high = (
        "never" if x is None else f"{x:g}" for x in (figure.low, figure.middle, figure.high)
    )
    return middle if low == middle == high else f"{middle} ({low} to {high})"


def _grouped(reasons: Sequence[Reason]) -> list[dict[str, str]]:
    """Say once what several reasons ask to be done."""
    out: list[dict[str, str]] = []
    for r in reasons:
        kind = {"hold": "No lightener", "wait": "Wait", "stop": "Stop"}.get(r.weight, "")
        same = next((x for x in out if x["do"] == dashed(r.do) and x["kind"] == kind), None)
        if same is not None:
            same["what"] += f" {r.what}"
        else:
            out.append({"what": r.what, "do": dashed(r.do), "source": r.source, "kind": kind})
    return out


def _refused(plan: ServicePlan) -> list[dict[str, str]]:
    """Give what is not done today and why, where no reason has said it already."""
    said = {reason.what for reason in plan.reasons}
    return [{"what": r.what, "do": r.do} for r in plan.refused if r.about not in said]


def _cautions(plan: ServicePlan, step: str) -> list[dict[str, str]]:
    return [{"what": c.what, "do": c.do} for c in plan.cautions if c.step == step]


def _technique(plan: ServicePlan) -> str:
    name = plan.technique_words[:1].upper() + plan.technique_words[1:]
    if not plan.foil_count:
        return name
    low, high = plan.foil_range
    return f"{name} · {plan.foil_count} foils" + (f" (usual {low} to {high})" if high else "")


def _expect(plan: ServicePlan) -> dict[str, Any] | None:
    stage = plan.expected_stage
    if stage is None:
        return None
    return {
        "aim": plan.aim_stage,
        "low": stage.low,
        "middle": stage.middle,
        "high": stage.high,
        "words": f"aim stage {plan.aim_stage:g}, expect {figures(stage)}",
    }


def bowl_words(bowl: Bowl) -> dict[str, Any]:
    """Say what goes into a bowl, bottle by bottle.

    Parts are those of the developer where two are poured together, else powder to developer.
    """
    poured = [
        {
            "grams": f"{p.grams:g} g",
            "what": f"{p.vol:g} vol",
            "parts": f"{p.parts:g} part{'' if p.parts == 1 else 's'}",
        }
        for p in bowl.poured
    ]
    if len(poured) == 1:
        poured[0]["parts"] = ""
    return {
        "what": bowl.what[:1].upper() + bowl.what[1:],
        "count": bowl.count,
        "serves": dashed(bowl.serves),
        "powder": f"{bowl.powder_grams:g} g powder",
        "poured": poured,
        "total": f"{bowl.total_grams:g} g",
        "strength": f"{bowl.developer_vol:g} vol",
        "percent": f"{bowl.bowl_percent:g} % peroxide in the bowl",
    }


def _check(plan: ServicePlan) -> str:
    if plan.first_check_min is None or plan.check_every_min is None:
        return ""
    return (
        f"First check {plan.first_check_min:g} min after a foil's own start, then every "
        f"{plan.check_every_min:g} min: wipe, pinch dry, judge. Wet hair reads darker."
        f"{_leans(plan)}"
    )


def _leans(plan: ServicePlan) -> str:
    """Say what the minutes stand on: the visits with this lightener, or none yet."""
    lightener = [one for one in plan.leans_on if one.what.startswith("lightener")]
    if not lightener:
        return ""
    visits = lightener[0].visits
    if not visits:
        return " No visit yet with this lightener: the minutes are the usual ones, the checks tell."
    return (
        f" The minutes lean on {visits} {'visit' if visits == 1 else 'visits'} with this lightener."
    )


def _lowlights(step: GlossStep, plan: ServicePlan) -> dict[str, Any]:
    """Lowlights are mixed with the bowls, for the foils that take colour."""
    foils = ranges(row.number for row in plan.foils if row.colour_grams > 0)
    return {
        **_gloss(plan, step, ""),
        "place": "Lowlight colour",
        "where": f"foils {foils}" if foils else "",
        "filler": filler_said(step),
    }


def _gloss(plan: ServicePlan, step: GlossStep, number: str) -> dict[str, Any]:
    mixed = [p for p in step.parts if p.grams]
    shades = [
        {
            "grams": f"{p.grams:g} g",
            "what": p.shade,
            "parts": f"{p.parts:g} part{'' if p.parts == 1 else 's'}" if len(mixed) > 1 else "",
        }
        for p in mixed
    ]
    if mixed:
        shades.append(
            {
                "grams": f"{step.developer_grams:g} g",
                "what": f"developer {step.developer_vol:g} vol",
                "parts": "",
            }
        )
    return {
        "number": number,
        "place": step.place,
        "where": f"{step.from_cm:g}–{step.to_cm:g} cm",
        "from": step.from_cm,
        "to": step.to_cm,
        "kind": step.kind,
        "filler": "",
        "shades": shades,
        "first": step.first_look_min,
        "low": step.minutes_low,
        "high": step.minutes_high,
        "minutes": _window((step.minutes_low, step.minutes_high)),
        "first_look": f"{step.first_look_min:g}",
        "why": step.why,
        "miss": miss_said(plan, step),
        "light": step.light_note,
        "away": _away(step),
        "bowls": step.bowls_said if _two_are_worth(step) else "",
        "swatches": [
            {"word": word, "colour": hex_of(lab)}
            for word, lab in (
                ("before", step.ground_lab),
                ("aim", step.aim_lab),
                ("result", step.lab),
            )
        ],
    }


def _away(step: GlossStep) -> str:
    near = f"within {rule('near'):g}"
    more = (
        "" if step.near_percent is None else f"; {step.near_percent:g} % of strands near it, {near}"
    )
    return f"off the aim by {step.delta_e00:g} dE00{more}"


def _two_are_worth(step: GlossStep) -> bool:
    gains = [one.one_delta_e00 - one.own_delta_e00 for one in step.grounds]
    return max(gains, default=0.0) >= rule("two_bowls")


def _window(ends: Iterable[float]) -> str:
    return "–".join(f"{x:g}" for x in dict.fromkeys(ends))
