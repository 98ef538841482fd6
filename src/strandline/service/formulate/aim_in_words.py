"""An aim in words: a tone of a family, and a depth, on the hair as it is."""

from __future__ import annotations

from collections.abc import Sequence

from strandline.base.errors import OutOfRangeError
from strandline.science.hair.levels import (
    lightness_of_stage,
    natural_palette,
    stage_of_lightness,
)
from strandline.science.hair.naming.colour import SCALE_ENDS
from strandline.science.hair.pigment import lab as natural_lab
from strandline.service.formulate.rules import places
from strandline.service.formulate.tones import WISHES, tone_for, tones

Lab = tuple[float, float, float]
STAGES = SCALE_ENDS["stage"]


def aim_in_words(
    on: Sequence[Lab], shares: Sequence[float], place: str, tone: str | None, depth: float | None
) -> Lab:
    """Give the colour to wear from a tone and a depth in words.

    Parameters
    ----------
    on, shares : the hair as it is
    place : where on the length
    tone : a family of `tones.toml` or a word of the client; None for natural hair
    depth : a stage on lengths, a natural level at the roots; None for what the tone costs

    Raises
    ------
    OutOfRangeError   a tone not known, a depth off its scale or missing at the roots
    """
    roots = places()[place].scale == "level"
    ground = sum(one[0] * share for one, share in zip(on, shares, strict=True))
    if roots:
        if depth is None or not 1 <= depth <= 10:
            raise OutOfRangeError(
                "A root is given a depth." if depth is None else f"The depth is {depth:g}.",
                "Give --depth, a natural level of 1-10.",
                "--depth",
            )
        seen = natural_lab(natural_palette([depth], with_white=False))[0]
        return (float(seen[0]), float(seen[1]), float(seen[2]))
    if depth is not None and not STAGES[0] <= depth <= STAGES[1]:
        raise OutOfRangeError(
            f"The depth is {depth:g}; on lightened hair it is a stage of "
            f"{STAGES[0]:g}-{STAGES[1]:g}.",
            "Give the stage whose lightness it should have.",
            "--depth",
        )
    word = tone or "neutral"
    known = tones()
    if word in ("neutral", "natural"):
        family = tone_for(word, float(stage_of_lightness(ground)))[0]
    else:
        name = WISHES.get(word, word)
        if name not in known:
            raise OutOfRangeError(
                f"The tone is '{word[:30]}'.",
                f"Choose among {', '.join(dict.fromkeys([*known, *WISHES, 'neutral']))}.",
                "--tone",
            )
        family = known[name]
    _, a, b = family.aim_lab(ground)
    lightness = family.aim_lab(ground)[0] if depth is None else lightness_of_stage(depth)
    return (round(float(lightness), 1), round(a, 1), round(b, 1))
