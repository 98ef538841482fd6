"""A plan that was chosen among others: what it takes in place of her rules."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from strandline.base.errors import UnreachableError
from strandline.service.care.finding import Finding, lightener_held, verdict
from strandline.service.choose.technique import Technique
from strandline.service.plan.patterning import Laying


@dataclass(frozen=True)
class Chosen:
    """What is done today, where, and from which bowls.

    Parameters
    ----------
    technique : the kind of service
    laying : the pattern that is laid; None without foils
    bowls : of each zone by its name; None for her rule
    """

    technique: Technique
    laying: Laying | None = None
    bowls: Mapping[str, str] | None = None


def allowed(chosen: Chosen, findings: Sequence[Finding]) -> Technique:
    """Give the kind of service of a choice, where care allows it.

    Raises
    ------
    UnreachableError   colour is stopped, or lightener held back, and the choice has it all the same
    """
    kind = chosen.technique.kind
    stopped = verdict(findings) == "stop" and kind != "none"
    if stopped or (lightener_held(findings) and kind == "foils"):
        first = findings[0]
        raise UnreachableError(
            f"This plan has {chosen.technique.name}, which is held back: {first.what}", first.do
        )
    return chosen.technique
