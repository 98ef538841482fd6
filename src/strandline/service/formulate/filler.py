"""Filler: warmth put back into porous blonde before its depth, or ash on it turns green.

Lightening took the warm pigment with the dark. A shade's depth brings the dark back; what ash takes
of warmth is then taken where there is none (common practice: gold or copper first).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from strandline.science.fibre import Fibre
from strandline.service.consultation.shelf import GlossShade
from strandline.service.formulate.recipe import Recipe, Target, after, look_after, solve
from strandline.service.formulate.rules import rule

WARM = ("gold", "copper")
KINDS = ("acid demi", "alkaline demi")
FILLER = (
    "The shelf holds nothing gold or copper to fill porous blonde with: put a gold or copper demi "
    "of depth {low:g} to {high:g} on it. Until then neutral without ash, and it may fade greenish."
)


@dataclass(frozen=True)
class Filled:
    """Depth given back in two steps.

    Parameters
    ----------
    first : the filler, blotted and left in; None where the shelf has none
    then : the colour over it
    why : a sentence or two
    """

    first: Recipe | None
    then: Recipe
    why: str


def fill(
    target: Target, depth: float, usable: Sequence[GlossShade], shelf: Sequence[GlossShade]
) -> Filled:
    """Find the filler and the colour over it that come nearest together.

    Parameters
    ----------
    target : porous light hair and the depth aimed at
    depth : a natural level
    usable : shades that the colour may be made of
    shelf : all shades

    Raises
    ------
    UnreachableError   no shade may be used
    """
    green = _ash_alone(target, usable)
    over = _over(depth, shelf, usable[0].kind)
    found = [
        (first, solve(replace(target, states=_on(target, first)), over or usable))
        for first in _fillers(target, depth, shelf)
    ]
    if not found:
        plain = [shade for shade in usable if "ash" not in (shade.reflect, shade.second)]
        high = depth + rule("filler_lighter")
        missing = FILLER.format(low=depth, high=high)
        return Filled(None, solve(target, plain or usable), f"{green}{missing}")
    first, then = min(found, key=lambda pair: (round(pair[1].delta_e00, 2), len(pair[0].shades)))
    names = " and ".join(shade.name for shade in first.shades)
    why = f"{green}{names} first, {first.minutes:g} min, blotted and not rinsed; the colour over."
    return Filled(first, then, why)


def _on(target: Target, first: Recipe) -> Fibre:
    return after(target.states, first, first.minutes, target.factor, target.scale)


def has_filler(depth: float, shelf: Sequence[GlossShade]) -> bool:
    """Say whether a shelf has a filler for a depth."""
    return any(_fills(shade, depth) for shade in shelf)


def _fills(shade: GlossShade, depth: float) -> bool:
    warm = shade.reflect in WARM and shade.second in (None, "neutral", *WARM)
    if not warm or shade.kind not in KINDS or shade.depth is None or shade.grams <= 0:
        return False
    return depth <= shade.depth <= depth + rule("filler_lighter")


def _fillers(target: Target, depth: float, shelf: Sequence[GlossShade]) -> Iterator[Recipe]:
    """Give the fillers of a shelf, each as it is and let down with as much clear."""
    clear = next((shade for shade in shelf if shade.clear), None)
    for shade in shelf:
        if not _fills(shade, depth):
            continue
        minutes = min(rule("filler_min"), shade.label_min)
        ways = [(1.0,)] if clear is None else [(1.0,), (1.0, 1.0), (1.0, 3.0)]
        for parts in ways:
            shades = (shade,) if clear is None or len(parts) == 1 else (shade, clear)
            plain = Recipe(shades, parts, 0.0, (0.0, 0.0), target.aim_lab, 0.0)
            yield look_after(target, plain, minutes)


def _over(depth: float, shelf: Sequence[GlossShade], kind: str) -> list[GlossShade]:
    """Give the shades for over a filler, up to two levels lighter: the filler holds depth too."""
    return [
        shade
        for shade in shelf
        if shade.grams > 0
        and (
            shade.clear
            or (
                shade.depth is not None
                and depth - 0.5 <= shade.depth <= depth + rule("filler_lighter")
                and shade.reflect in ("neutral", "ash")
                and shade.kind == kind
            )
        )
    ]


def _ash_alone(target: Target, usable: Sequence[GlossShade]) -> str:
    """Say what raw ash would leave, where that is green."""
    ashes = [shade for shade in usable if shade.reflect == "ash"]
    if not ashes:
        return ""
    ash = min(ashes, key=lambda shade: shade.second is not None)
    plain = Recipe((ash,), (1.0,), 0.0, (0.0, 0.0), target.aim_lab, 0.0)
    seen = look_after(target, plain, target.minutes[-1]).lab
    if seen[1] >= rule("green_below"):
        return ""
    return (
        f"{ash.name} alone would leave a* {seen[1]:+.1f} here, where natural hair of its depth has "
        f"{target.aim_lab[1]:+.1f}: green. "
    )
