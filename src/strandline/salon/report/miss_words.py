"""What to do where a gloss misses, in as few words as fit beside its bowl."""

from __future__ import annotations

from strandline.service.plan.model import GlossStep, MissStep, ServicePlan


def miss_said(plan: ServicePlan, step: GlossStep) -> str:
    """Give a gloss's misses with the steps back; its own sentence where none are computed."""
    misses = [miss for miss in plan.gloss_misses if miss.place == step.place]
    if not misses:
        return step.miss
    return " ".join(
        f"{miss.seen[0].upper()}{miss.seen[1:]}: {', then '.join(map(_short, miss.steps[1:]))}."
        for miss in misses
    )


def _short(step: MissStep) -> str:
    if step.parts:
        parts = " + ".join(f"{part.parts:g} {part.shade}" for part in step.parts)
        return f"{parts} {step.minutes:g} min"
    if step.name == "lighten again":
        return f"10 vol {step.minutes:g} min at most, only after a stretch test that holds"
    return step.name
