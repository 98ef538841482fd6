"""A tone under the lights it will be met in: judged at the chair, worn by day and at home."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from strandline.science.colour.lights import light, seen_under, turned_by
from strandline.science.colour.spaces import hex_from_lab, lab_from_reflectance
from strandline.service.consultation.words import ChairLight
from strandline.service.plan.gloss_parts import SeenUnder

Floats = NDArray[np.float64]

PLACES = (("by day", "daylight"), ("at home", "home"))
"""Where else a tone is met; a warm LED stands for the lamps of a home, from memory."""
WORTH_A_WORD = 2.0
"""dE00 between chair and day from which it is said; from memory."""


def under_lights(spectrum: Floats | None, chair: ChairLight) -> list[SeenUnder]:
    """Give what an eye used to each light sees of a tone, the chair's first.

    Parameters
    ----------
    spectrum : shape (81,)   reflectance of the place [1]; None gives nothing
    chair : the lamps at the chair
    """
    if spectrum is None:
        return []
    out = []
    for place, name in (("at the chair", chair), *PLACES):
        under = light(name)
        seen = seen_under(spectrum, under)
        out.append(
            SeenUnder(
                place=place,
                light=under.name,
                words=under.words,
                lab=(round(seen[0], 1), round(seen[1], 1), round(seen[2], 1)),
                colour=hex_from_lab(seen)[0],
                turned_delta_e00=round(float(turned_by(spectrum, under)), 1),
            )
        )
    return out


def light_note(spectrum: Floats | None, chair: ChairLight) -> str:
    """Say what the chair's light makes of a tone, where that differs from day; else nothing."""
    if spectrum is None or chair == "daylight":
        return ""
    under = light(chair)
    if float(turned_by(spectrum, under)) < WORTH_A_WORD:
        return ""
    moved = seen_under(spectrum, under) - lab_from_reflectance(spectrum)
    axis = 1 if abs(moved[1]) >= abs(moved[2]) else 2
    word = {1: ("greener", "redder"), 2: ("bluer", "yellower")}[axis][int(moved[axis] > 0)]
    return f"The lamps at the chair show it {word} than day does: judge it at a window."
