"""Parts of a plan as its page tells them: foils by runs, what was supposed, what comes first."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from strandline.salon.web.words import N_, NO_BREAK, _

if TYPE_CHECKING:
    from strandline.service.plan.model import Default, Reason
    from strandline.service.plan.parts import FoilRow

SUPPOSED = {
    "hair.strand": N_("How one hair feels"),
    "hair.ponytail": N_("How thick the ponytail is"),
    "hair.length": N_("Length"),
    "hair.fringe": N_("Fringe"),
    "hair.parting": N_("Parting"),
    "hair.condition": N_("Condition of mids and ends"),
    "hair.circumference_cm": N_("Round the head, cm"),
    "hair.regrowth_cm": N_("Regrowth"),
    "aim.wish": N_("Wish"),
    "aim.tone": N_("Tone"),
    "limits.hours": N_("Hours in the chair"),
    "limits.helper": N_("A helper"),
    "client.growth_cm_per_month": N_("Growth a month"),
    "shelf": N_("Shelf"),
    "money": N_("What you live from"),
    "practice": N_("Your own values"),
}
"""What stands for a field of a consultation, in words."""


@dataclass(frozen=True, slots=True)
class FoilRun:
    """Foils that follow each other and are alike.

    Parameters
    ----------
    numbers : as 4-9
    section, kind, bowl, reason : of all of them
    grams : of hair, from the least to the most, with its unit
    many : more than one
    """

    numbers: str
    section: str
    kind: str
    bowl: str
    reason: str
    grams: str
    many: bool


def foil_runs(foils: Sequence[FoilRow]) -> list[FoilRun]:
    """Give foils as runs of those alike, in their order."""
    return [
        _run(list(same))
        for _key, same in itertools.groupby(
            foils, key=lambda one: (one.section, one.grade, one.kind, one.bowl, one.reason)
        )
    ]


def _run(same: list[FoilRow]) -> FoilRun:
    first, last = same[0], same[-1]
    low, high = (f"{end(one.hair_grams for one in same):.2g}" for end in (min, max))
    grams = low if low == high else f"{low}–{high}"
    kind = first.kind if first.kind == first.grade else f"{first.grade} {first.kind}".strip()
    numbers = f"{first.number}" if first is last else f"{first.number}–{last.number}"
    return FoilRun(
        numbers,
        first.section,
        kind,
        _("lowlight colour") if first.bowl == "lowlight" else f"{first.bowl} {_('bowl')}",
        first.reason,
        f"{grams}{NO_BREAK}g",
        first is not last,
    )


def supposed(defaults: Sequence[Default]) -> Iterator[tuple[str, str]]:
    """Give what was not answered and what was taken for it, in words."""
    for one in defaults:
        words = SUPPOSED.get(one.field)
        yield (_(words) if words else one.field, one.taken)


def comes_first(heavy: Sequence[Reason], client: str) -> str:
    """Give where what holds a plan back is seen to: her tests, her health answers, or her answers.

    Parameters
    ----------
    heavy : what stops the plan, or lets it wait
    client : her stream
    """
    about = [one.about for one in heavy]
    if "health.alert_test" in about:
        return f"/clients/{client}#tests"
    if any(one.startswith("health") for one in about):
        return f"/clients/{client}/health"
    return f"/clients/{client}/consultation"
