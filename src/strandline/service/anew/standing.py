"""What stands above every clock: what she feels, a plan that stops; and when hair is left alone."""

from __future__ import annotations

from strandline.base.facts.visit import Visit
from strandline.service.learning.check import override_of
from strandline.service.plan.assemble import Made
from strandline.service.plan.model import ServicePlan


def halted(plan: ServicePlan, visit: Visit) -> tuple[str, str]:
    """Give what ends the work at once and why; two empty words where nothing does."""
    felt = override_of([feeling.what for feeling in visit.feelings if feeling.rinsed is None])
    if felt is not None:
        return felt.says, "What she feels stands above every clock."
    if plan.verdict == "stop":
        reason = next(one for one in plan.reasons if one.weight == "stop")
        return (
            f"Mix nothing; what is in is rinsed now. {reason.what}",
            f"The plan stops this visit. {reason.do}",
        )
    return "", ""


def left_alone(made: Made, visit: Visit) -> str:
    """Say why hair is not lightened again today; empty where nothing speaks against it."""
    if visit.feelings:
        return "She felt something today."
    if made.plan.verdict != "go":
        return f"The plan is at {made.plan.verdict}."
    if not made.doses:
        return "The plan holds no lightener."
    return ""
