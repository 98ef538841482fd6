"""Which kind of service: foils heavy, soft, on return or partial; lowlights; gloss; nothing.

Rules of the trade in the order they are asked; each leaves its reason. A later search over
placements and strengths starts from what these rules leave open.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from strandline.base.errors import OutOfRangeError
from strandline.service.care.finding import Finding, lightener_held, verdict
from strandline.service.care.gates import limits, unknown_past
from strandline.service.consultation.model import Consultation
from strandline.service.consultation.reading import HeadReading
from strandline.service.consultation.words import TONE_STAGE, WISH_STAGE
from strandline.service.practice.bench import Bench

Kind = Literal["foils", "lowlights", "gloss", "none"]
Scale = Literal["heavy", "soft", "return", "partial", "lowlights", "gloss", "none"]


@dataclass(frozen=True)
class Technique:
    """What is done today.

    Parameters
    ----------
    kind : foils, lowlights, gloss or none
    scale : which of her foil budgets and patterns
    name : how the sheets call it
    foils : fewest and most foils
    interval_weeks : earliest and latest return for the next of its kind
    aim_stage : stage the foils aim for, 0 without lift
    in_phases : the whole wish takes more visits than this one
    dark_cover : old colour so deep that it gets a strength and time of its own
    reasons : why, in sentences
    """

    kind: Kind
    scale: Scale
    name: str
    foils: tuple[int, int]
    interval_weeks: tuple[float, float]
    aim_stage: float
    in_phases: bool
    dark_cover: bool
    reasons: tuple[str, ...]


NAMES: dict[Scale, str] = {
    "heavy": "highlights, heavy head",
    "soft": "highlights, first soft visit",
    "return": "highlights on return, in the hair left out",
    "partial": "highlights, partial head",
    "lowlights": "lowlights",
    "gloss": "gloss alone",
    "none": "none",
}
"""Trade words for the kinds of service."""

KINDS: dict[Scale, Kind] = {
    "heavy": "foils",
    "soft": "foils",
    "return": "foils",
    "partial": "foils",
    "lowlights": "lowlights",
    "gloss": "gloss",
    "none": "none",
}

LITTLE_GRAY = 0.25
"""Below this share of white a partial head is enough on virgin hair; common practice, no source."""
PARTIAL_HOURS = 2.75
"""A visit shorter than this holds a partial head; common practice, no source."""
SEEN_BEFORE = 0.4
"""From this share of lightened hair on, a visit is a return visit; common practice, no source."""


THIRD = 3
"""From this visit on some light is light enough to be left alone; common practice, no source."""
LATER_SOFT = "highlights, soft visit"


def choose_technique(
    c: Consultation, head: HeadReading, findings: Sequence[Finding], bench: Bench
) -> Technique:
    """Choose the kind of service for today.

    Parameters
    ----------
    c : the consultation
    head : its figures
    findings : what care found
    bench : her values
    """
    if verdict(findings) == "stop":
        why = tuple(finding.what for finding in findings if finding.weight == "stop")
        return technique_of("none", c, head, bench, why)
    if c.aim.wish == "more depth":
        return technique_of("lowlights", c, head, bench, (_depth_reason(head),))
    if c.aim.wish == "tone only":
        return technique_of("gloss", c, head, bench, ("Only tone is wished for.",))
    if lightener_held(findings):
        why = tuple(finding.what for finding in findings if finding.weight == "hold")
        return technique_of("gloss", c, head, bench, why)
    if c.hair.condition == "porous" and c.aim.wish == "soft" and head.share_with("lightened") > 0.8:
        why = ("All of it is light and porous already; more lightener buys nothing.",)
        return technique_of("gloss", c, head, bench, why)
    scale, reason = _scale(c, head, bench)
    return technique_of(scale, c, head, bench, (reason,))


def _depth_reason(head: HeadReading) -> str:
    if head.share_with("lightened") > SEEN_BEFORE:
        return "All is light: depth is placed back, lightener would take contrast away."
    return "The white itself is the light part; it only wants something dark beside it."


def _scale(c: Consultation, head: HeadReading, bench: Bench) -> tuple[Scale, str]:
    light = head.share_with("lightened")
    if light >= SEEN_BEFORE or (light > 0 and c.visit.number >= THIRD):
        return "return", "Part of the hair is light already; only what was left out is taken."
    if c.limits.hours < PARTIAL_HOURS:
        return "partial", f"{c.limits.hours:g} hours hold a partial head."
    if head.cover_depth is None and head.gray_mean < LITTLE_GRAY:
        return "partial", "There is little gray to blend and no cover to leave."
    if _is_dark(head, bench):
        return "soft", (
            "The old colour is dark and stalls on the way: the change goes in phases, "
            "with clean hair left out for the next."
        )
    if c.aim.wish == "soft":
        return "soft", "Soft: open ground stays between the foils."
    return "heavy", "Brighter wants close foils over the head."


def _is_dark(head: HeadReading, bench: Bench) -> bool:
    return head.cover_depth is not None and head.cover_depth <= bench["dark_cover_depth"]


def aim_stage(c: Consultation, head: HeadReading) -> float:
    """Give the stage that the wish and the tone ask for, no darker than what is there.

    An expert's stage stands as it is; on an unknown build-up the promise is capped.

    Raises
    ------
    OutOfRangeError   an expert's stage that is darker than where the hair begins
    """
    begins = min(10.0, head.level_mean + 1)
    if c.aim.stage is not None:
        wished = c.aim.stage
        if wished < begins:
            raise OutOfRangeError(
                f"An aim of stage {wished:g} is asked for; that is darker than natural level "
                f"{head.level_mean:g} begins, stage {begins:g}.",
                f"Ask for {begins:g} or lighter, leave aim.stage out, or wish for 'more depth'.",
                "aim.stage",
            )
    else:
        wished = max(WISH_STAGE[c.aim.wish], TONE_STAGE[c.aim.tone])
    if unknown_past(c):
        wished = min(wished, limits()["build_up_promise"].value)
    return max(wished, begins)


def technique_of(
    scale: Scale, c: Consultation, head: HeadReading, bench: Bench, reasons: tuple[str, ...]
) -> Technique:
    """Give a kind of service as it is done on this head.

    Parameters
    ----------
    scale : which of her budgets and patterns
    reasons : why, in sentences
    """
    kind = KINDS[scale]
    dark = kind == "foils" and _is_dark(head, bench)
    stage = aim_stage(c, head) if kind == "foils" else 0.0
    return Technique(
        kind=kind,
        scale=scale,
        name=LATER_SOFT if scale == "soft" and c.visit.number > 1 else NAMES[scale],
        foils=_budget(scale, c, bench),
        interval_weeks=_interval(scale, in_phases=dark, bench=bench),
        aim_stage=stage,
        in_phases=dark,
        dark_cover=dark,
        reasons=reasons,
    )


def _budget(scale: Scale, c: Consultation, bench: Bench) -> tuple[int, int]:
    if scale in ("gloss", "none"):
        return (0, 0)
    low, high = bench.pair(f"foils_{'partial' if scale == 'lowlights' else scale}")
    if c.hair.strand == "fine" or c.hair.ponytail == "thin":
        factor = bench["fine_foil_factor"] / 100
        low, high = low * factor, high * factor
    if scale == "return" and c.aim.too_light_now:
        low, high = low + bench["return_lowlights"], high + bench["return_lowlights"]
    return (round(low), round(high))


def _interval(scale: Scale, *, in_phases: bool, bench: Bench) -> tuple[float, float]:
    if scale == "none":
        return (0.0, 0.0)
    return bench.pair(f"interval_{'phases' if in_phases else scale}")
