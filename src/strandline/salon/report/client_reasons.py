"""Reasons and refusals of a plan said to the client: to her, kindly, without trade words."""

from __future__ import annotations

from collections.abc import Sequence

from strandline.service.plan.model import Reason, ServicePlan

WHOLE_CHANGE = "The whole change"
"""A refusal that begins so means that the change goes in phases."""
_TO_HER = {
    "bands": (
        (
            "There is a colour in your hair that we do not know. With what we use, some such "
            "colours can heat up and break hair."
        ),
        (
            "First we try everything on a small cut strand, for as long as it would be on your "
            "head. What we see there decides how we go on."
        ),
    ),
    "health": (
        "Some questions about your health and your hair are still open.",
        "Please answer each of them before we begin. We assume nothing.",
    ),
    "health.scalp": (
        "Your scalp is not well at the moment.",
        "We wait until it has healed. Please see a doctor if it does not.",
    ),
    "health.past_reaction": (
        "You have reacted to hair colour before.",
        (
            "We do not colour. Please have a doctor find out what you react to; a test here does "
            "not replace that."
        ),
    ),
    "health.allergies": (
        "You told us about allergies.",
        (
            "We read them against the list of what is in our products before we begin, with your "
            "doctor where it is not plain."
        ),
    ),
    "health.black_henna_tattoo": (
        "You once had a black henna tattoo. That raises the risk of an allergy to hair colour.",
        "Please tell us of any reaction to it. If there was one, we do not colour.",
    ),
    "client.age": (
        "You are still too young for this kind of colour.",
        "We look forward to it when you are old enough.",
    ),
}
"""By what a reason concerns: what, and what comes next."""


def to_her(reasons: Sequence[Reason]) -> list[tuple[str, str]]:
    """Say reasons to the client: what it is, what comes next; each once.

    What has no wording of its own is said as the plan says it.
    """
    said = [_TO_HER.get(r.about, (r.what, r.do)) for r in reasons]
    return list(dict.fromkeys(said))


def not_today(plan: ServicePlan) -> list[str]:
    """Say what is not done today, and what is done in its place."""
    return [_refusal(reason, plan) for reason in plan.refused]


def _refusal(reason: Reason, plan: ServicePlan) -> str:
    what = reason.what.rstrip(".").removesuffix(" today")
    what = what[:1].lower() + what[1:]
    if reason.about == "aim.tone":
        return (
            f"Not today: {what}. It needs hair that is lighter than yours will be after this "
            f"visit; {plan.tone_family} suits how light it gets."
        )
    if reason.what.startswith(WHOLE_CHANGE):
        return f"Not today: {what}. We go in steps, so that your hair stays strong."
    if what == "lightener":
        return (
            "Not today: lightener. We lighten again only when a test shows that your hair is "
            "strong enough; until then gloss and care."
        )
    return f"Not today: {what}. {reason.do}"
