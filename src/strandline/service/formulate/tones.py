"""Tones in words: what a wish asks for, what the lift honestly allows, the colour aimed at."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from math import cos, radians, sin

from strandline.base.sources import cite, toml_beside
from strandline.science.hair.naming.colour import shifted
from strandline.service.formulate.rules import rule

NEAR_STAGE = 0.25
"""A lift this close under a tone's own still carries it; common practice, no source."""

WISHES = {
    "icy": "silver",
    "silver": "silver",
    "pearl": "pearl",
    "champagne": "soft beige",
    "beige": "soft beige",
    "smoky": "smoky beige",
    "mushroom": "mushroom",
}
"""Which family a word of the client asks for; common practice, no source."""
NEUTRALS = ("soft beige", "smoky beige", "mushroom")
"""What 'neutral' and 'natural' mean, from the lightest lift down; common practice, no source."""


@dataclass(frozen=True, slots=True)
class Tone:
    """A tone family: the lift it wants, the colour it aims at, what comes next below it."""

    name: str
    from_stage: float
    chroma: float
    hue_deg: float
    drop: float
    after: str
    source: str

    def aim_lab(self, ground_lightness: float) -> tuple[float, float, float]:
        """Give the colour to wear on a ground of so much L*."""
        hue = radians(self.hue_deg)
        return (
            ground_lightness - self.drop,
            self.chroma * cos(hue),
            self.chroma * sin(hue),
        )


@cache
def tones() -> dict[str, Tone]:
    """Load the tone families of `tones.toml`."""
    found = toml_beside(__package__, "tones.toml")
    loaded = {name: Tone(name=name, **entry) for name, entry in found.items()}
    for tone in loaded.values():
        cite(tone.source)
    return loaded


def carried(tone: Tone, stage: float) -> Tone:
    """Give the tone that a lift carries: the one asked for, or the first below it that it does."""
    while tone.from_stage > stage + NEAR_STAGE and tone.after != tone.name:
        tone = tones()[tone.after]
    return tone


def day_one_of(aim: tuple[float, float, float]) -> tuple[float, float, float]:
    """Give the colour to leave on day one: half a level deeper and cooler than the one to wear.

    It fades towards the aim. Warmth is the part of a*, b* that is taken down, hue kept.
    """
    deeper = shifted(aim[0], -rule("day_one_deeper"), "stage")
    cooler = rule("day_one_chroma")
    return (float(deeper), aim[1] * cooler, aim[2] * cooler)


def tone_for(wish: str, stage: float) -> tuple[Tone, str]:
    """Give the tone that a lift allows, nearest the wish, and a sentence where it is another.

    Parameters
    ----------
    wish : the client's word, one of `WISHES`, or 'neutral' or 'natural'
    stage : the stage expected when the foils come out

    Returns
    -------
    tone, why   `why` is empty where the wish itself is given
    """
    known = tones()
    if wish not in WISHES:
        fit = (known[name] for name in NEUTRALS if known[name].from_stage <= stage + NEAR_STAGE)
        return next(fit, known[NEUTRALS[-1]]), ""
    asked = known[WISHES[wish]]
    tone = carried(asked, stage)
    if tone is asked:
        return tone, ""
    return tone, (
        f"{asked.name.capitalize()} is honest from stage {asked.from_stage:g}; "
        f"about {stage:.1f} is expected, which carries {tone.name}."
    )
