"""Colours of paper and ink, as sRGB hex; hair colours are computed, never taken from here."""

from __future__ import annotations

from dataclasses import dataclass

FONT = "'Source Sans 3', sans-serif"


@dataclass(frozen=True, slots=True)
class Palette:
    """What a drawing is made of.

    Parameters
    ----------
    paper, ground : str     the sheet, and hair left out on it
    ink, quiet : str        words and figures; words that may be overlooked
    line : str              contours
    foil, foil_edge, hatch : str   lightened foils
    dark, dark_hatch : str  lowlights
    ghost : str             last visit
    accent : str            the one thing to do next
    neutral : str           the gray on which computed hair colours stand
    """

    paper: str
    ground: str
    ink: str
    quiet: str
    line: str
    foil: str
    foil_edge: str
    hatch: str
    dark: str
    dark_hatch: str
    ghost: str
    accent: str
    neutral: str


LIGHT = Palette(
    paper="#f7f2e8",
    ground="#fdfaf4",
    ink="#2f3a44",
    quiet="#6a6a66",
    line="#a9a294",
    foil="#d3dae0",
    foil_edge="#66727d",
    hatch="#8f9aa4",
    dark="#4b5660",
    dark_hatch="#aab3bb",
    ghost="#6f7780",
    accent="#6b4f9a",
    neutral="#808080",
)
"""Warm paper, slate ink."""

DARK = Palette(
    paper="#1f262c",
    ground="#2a323a",
    ink="#e8e4da",
    quiet="#a9adb0",
    line="#66707a",
    foil="#b9c3cb",
    foil_edge="#e3e8ec",
    hatch="#6d7983",
    dark="#10151a",
    dark_hatch="#7d8891",
    ghost="#98a1a9",
    accent="#b79fe0",
    neutral="#808080",
)
"""The same bench at night."""


def luminance(colour: str) -> float:
    """Give the relative luminance of a hex colour [1], as WCAG 2.2 defines it."""
    parts = [int(colour[k : k + 2], 16) / 255 for k in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(first: str, second: str) -> float:
    """Give the contrast ratio of two hex colours, 1-21, as WCAG 2.2 defines it."""
    high, low = sorted((luminance(first), luminance(second)), reverse=True)
    return (high + 0.05) / (low + 0.05)
