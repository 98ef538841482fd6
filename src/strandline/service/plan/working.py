"""The order of work, in her words, with only what this plan has."""

from __future__ import annotations

from collections.abc import Sequence

from strandline.service.choose.technique import Technique
from strandline.service.placement.foil import FoilMap
from strandline.service.placement.takes import take_word
from strandline.service.plan.gloss_parts import GlossStep
from strandline.service.plan.placing import Placed

_SECTION_WORDS = {
    "nape hairline": "nape hairline",
    "centre strip": "centre strip from nape to fringe in one go, bottom up",
    "fringe": "client turned: fringe",
    "side hairlines": "side hairlines and above the ears",
    "sides": "sides from below up to the top",
    "tip-outs": "tip-outs from in front, over-directed to the front centre",
    "lowlights inside the light": "lowlights inside the light",
}
"""Usual order of work; common practice, no source."""
_TAKE_SAID = ("nape hairline", "side hairlines")
"""Sections that are taken in one way all through, as a rule: it is said with them."""


def order_of_work(
    technique: Technique, placed: Placed | None, gloss: Sequence[GlossStep]
) -> list[str]:
    """Give the steps of the visit in order; none where nothing is done."""
    steps = []
    if placed is not None:
        steps += [_section(placed.foils, section) for section in placed.foils.order]
    if technique.kind == "foils":
        steps.append("wipe what is due, then rinse")
    elif technique.kind == "lowlights":
        steps.append("rinse the lowlights")
    places = [step.place for step in gloss]
    if "root shadow" in places:
        steps.append("root shadow, everywhere but the hairline")
    if "mids" in places:
        steps += ["toner on mids", "brush through", "toner on ends"]
    if "the white that is kept" in places:
        steps.append("violet in clear on the white, hairline kept")
    return steps


def _section(foils: FoilMap, section: str) -> str:
    """Name a section, a hairline with how it is taken where that is one way."""
    takes = {take_word(foil.kind, foil.grade) for foil in foils.section(section)}
    said = f", {takes.pop()}" if section in _TAKE_SAID and len(takes) == 1 else ""
    return _SECTION_WORDS[section] + said
