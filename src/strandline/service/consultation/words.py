"""Words of the chair and the figures behind them, so that nobody types micrometres.

Every figure here is common practice with no source, or says otherwise; an expert's own figure
in the file replaces it.
"""

from __future__ import annotations

from typing import Literal

Strand = Literal["fine", "medium", "coarse"]
Ponytail = Literal["thin", "medium", "thick"]
LengthWord = Literal["ear", "chin", "shoulder", "collarbone", "bra", "mid-back", "waist"]
Fringe = Literal["none", "short", "long"]
Curl = Literal["straight", "wavy", "curly", "tight"]
Parting = Literal["left", "right", "centre", "none", "wandering"]
Condition = Literal["sound", "dry", "porous", "stretchy", "breaking"]
Past = Literal["virgin", "permanent", "lightened", "direct", "henna", "unknown"]
Reflect = Literal["neutral", "ash", "violet", "gold", "copper", "mahogany", "red"]
Wish = Literal["soft", "brighter", "lightest", "more depth", "tone only"]
Tone = Literal[
    "icy", "silver", "pearl", "champagne", "beige", "smoky", "mushroom", "neutral", "natural"
]
ShadeKind = Literal["fast toner", "acid demi", "alkaline demi", "direct", "permanent"]
Area = Literal["front", "crown", "back"]
ChairLight = Literal["warm", "neutral", "cool", "daylight"]
PatternName = Literal["heavy", "soft", "return", "partial", "lowlights"]

DIAMETER_UM: dict[Strand, float] = {"fine": 55.0, "medium": 70.0, "coarse": 85.0}
"""Within 40-120 um (BioNumbers 116402); the three words are common practice, no source."""

DENSITY_FACTOR: dict[Ponytail, float] = {"thin": 0.75, "medium": 1.0, "thick": 1.25}
"""Density against the mean head; common practice, no source."""

LENGTH_CM: dict[LengthWord, float] = {
    "ear": 12.0,
    "chin": 20.0,
    "shoulder": 30.0,
    "collarbone": 36.0,
    "bra": 48.0,
    "mid-back": 55.0,
    "waist": 65.0,
}
"""Mean hair length for a word; chin x0.65 and bra x1.6 of a 30 cm head are her product factors."""

STRETCH: dict[Curl, float] = {"straight": 1.0, "wavy": 1.1, "curly": 1.35, "tight": 1.8}
"""Length of a stretched strand over the length at which the hair is worn; from memory."""

WHIRLS: dict[str, tuple[str, ...]] = {
    "widow": ("fringe",),
    "widows": ("fringe",),
    "fringe": ("fringe",),
    "bangs": ("fringe",),
    "front": ("fringe",),
    "forehead": ("fringe",),
    "temple": ("temples",),
    "temples": ("temples",),
    "top": ("top",),
    "crown": ("crown",),
    "vertex": ("crown",),
    "nape": ("nape_hairline", "nape"),
    "neck": ("nape_hairline", "nape"),
    "back": ("back_upper",),
    "side": ("sides",),
    "sides": ("sides",),
}
"""Words of a place where hair turns, and the zones that are woven there."""

NONE_SAID = frozenset({"no", "not", "none", "without"})
"""An answer that begins with one of these says that nothing turns there."""

AND_YET = frozenset({"but", "only", "except"})
"""Words after which such an answer names a place all the same."""

UNKNOWN_DEPTH = 3.0
"""An unknown build-up is planned as dark as this depth; common practice, no source."""

POROSITY: dict[Condition, float] = {
    "sound": 1.0,
    "dry": 1.1,
    "porous": 1.3,
    "stretchy": 1.3,
    "breaking": 1.3,
}
"""Uptake of ends against sound mids (3 words of 8-practice values; from memory)."""

WISH_STAGE: dict[Wish, float] = {
    "soft": 8.0,
    "brighter": 9.0,
    "lightest": 10.0,
    "more depth": 0.0,
    "tone only": 0.0,
}
"""The lightened stage a wish asks for where no stage is named; 0 asks for no lift."""

TONE_STAGE: dict[Tone, float] = {
    "icy": 9.5,
    "silver": 9.5,
    "pearl": 9.0,
    "champagne": 9.0,
    "beige": 8.5,
    "smoky": 8.0,
    "mushroom": 7.0,
    "neutral": 0.0,
    "natural": 0.0,
}
"""The lift from which a tone is honest; common practice, no source."""
