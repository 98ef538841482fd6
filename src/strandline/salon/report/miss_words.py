"""What goes with a bowl of gloss in few words: its filler, and what to do where it misses."""

from __future__ import annotations

from collections.abc import Sequence

from strandline.service.plan.gloss_parts import GlossPart, GlossStep, MissStep
from strandline.service.plan.model import ServicePlan


def miss_said(plan: ServicePlan, step: GlossStep) -> str:
    """Give a gloss's misses with the steps back; its own sentence where none are computed."""
    misses = [miss for miss in plan.gloss_misses if miss.place == step.place]
    if not misses:
        return step.miss
    return " ".join(
        f"{miss.seen[0].upper()}{miss.seen[1:]}: {', then '.join(map(_short, miss.steps[1:]))}."
        for miss in misses
    )


def filler_said(step: GlossStep) -> str:
    """Give the filler that goes on first, in grams and minutes; empty where none does."""
    filler = step.filler
    if filler is None:
        return ""
    return (
        f"Filler first: {_grams(filler.parts)} + {filler.developer_grams:g} g developer "
        f"{filler.developer_vol:g} vol, {filler.minutes:g} min; blot, do not rinse."
    )


def _short(step: MissStep) -> str:
    if step.parts:
        developer = f" + {step.developer_grams:g} g developer" if step.developer_grams else ""
        return f"{_grams(step.parts)}{developer} for {step.minutes:g} min"
    if step.name == "lighten again":
        return f"10 vol {step.minutes:g} min at most, only after a stretch test that holds"
    return step.name


def _grams(parts: Sequence[GlossPart]) -> str:
    return " + ".join(f"{part.grams:g} g {part.shade}" for part in parts)
