"""Places of a head in words, as they are said at the chair, and the zones that they name."""

from __future__ import annotations

import re
from collections.abc import Mapping

from strandline.science.head.zones import NAMES, Zones

SECTION_OF: Mapping[str, str] = {
    "nape_hairline": "nape hairline",
    "nape": "centre strip",
    "back_lower": "centre strip",
    "back_upper": "centre strip",
    "crown": "centre strip",
    "top": "centre strip",
    "fringe": "fringe",
    "side_hairlines": "side hairlines",
    "sides": "sides",
    "temples": "sides",
}
"""The section of the usual order of work in which each zone is done."""

ZONE_WORDS: Mapping[str, str] = {
    "nape_hairline": "nape hairline",
    "nape": "nape",
    "back_lower": "lower back",
    "back_upper": "upper back",
    "crown": "crown",
    "top": "top",
    "fringe": "fringe",
    "side_hairlines": "side hairline",
    "sides": "side",
    "temples": "temple",
}
"""What each zone is called on sheets."""

_MORE: Mapping[str, tuple[str, ...]] = {
    "front": ("fringe",),
    "front hairline": ("fringe", "side_hairlines"),
    "hairline": ("side_hairlines",),
    "bang": ("fringe",),
    "back": ("nape", "back_lower", "back_upper"),
}
"""Other words of the trade for places; common practice, no source."""
_SIDE = re.compile(r"\b(left|right)\b")


def zones_named(words: str, zones: Zones) -> tuple[str, ...]:
    """Give the keys of the zones that a section names, in the order of work.

    Parameters
    ----------
    words : a section, a zone or another word of the trade, on one side or on both:
        'sides', 'left temple', 'crown'
    zones : of this head

    Returns
    -------
    keys, the left side before the right as in the order of work; none where the words name no
    place of the head
    """
    names, side = _said(words)
    if not names:  # 'front, brighter': a place, and why
        names, side = _said(words.split(",", maxsplit=1)[0])
    found = [
        zone
        for zone in zones
        if zone.name in names and (side is None or zone.side in ("centre", side))
    ]
    turn = {"centre": 0, "left": 1, "right": 2}
    found.sort(key=lambda zone: (turn[zone.side], NAMES.index(zone.name)))
    return tuple(zone.key for zone in found)


def _said(words: str) -> tuple[tuple[str, ...], str | None]:
    """Give the zones by name that words name, and the side."""
    said = " ".join(re.sub(r"[-_,.]", " ", words.lower()).split())
    side = _SIDE.search(said)
    said = _plain(" ".join(_SIDE.sub(" ", said).split()).removesuffix(" side"))
    if side and not said:
        said = "side"
    return _NAMED.get(said, ()), side.group(1) if side else None


def _plain(words: str) -> str:
    """Take the plural off every word but those that end so."""
    return " ".join(word.removesuffix("s") for word in words.split())


def _named() -> dict[str, tuple[str, ...]]:
    out: dict[str, tuple[str, ...]] = {_plain(word): names for word, names in _MORE.items()}
    for name in NAMES:
        out[_plain(name.replace("_", " "))] = out[_plain(ZONE_WORDS[name])] = (name,)
    for section in dict.fromkeys(SECTION_OF.values()):
        names = tuple(name for name in NAMES if SECTION_OF[name] == section)
        out[_plain(section)] = names
    return out


_NAMED = _named()
