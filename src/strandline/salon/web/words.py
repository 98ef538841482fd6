"""The catalogue of texts, and how figures, days and hours are written in them."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal

from babel.dates import format_date, format_time
from babel.support import NullTranslations, Translations

if TYPE_CHECKING:
    from collections.abc import Mapping

LOCALE = Path(__file__).parent / "locale"
GRAMS_PER_OUNCE = 28.349523125
"""The avoirdupois ounce, exactly 0.45359237 kg / 16: NIST Handbook 44, appendix C."""
CM_PER_INCH = 2.54
"""Exactly: NIST Handbook 44, appendix C."""
Units = Literal["metric", "us"]


@cache
def catalogue(language: str = "en") -> NullTranslations:
    """Give the texts of a language; English is the language they are written in."""
    return Translations.load(LOCALE, [language], domain="strandline")


def _(text: str) -> str:
    """Give a text in the language of the page."""
    said: str = catalogue().gettext(text)
    return said


def N_(text: str) -> str:
    """Mark a text for the catalogue where it stands before any page asks for it."""
    return text


@dataclass(frozen=True, slots=True)
class Manner:
    """How a person likes figures written.

    Parameters
    ----------
    units : metric, or us: inches and ounces
    hours : 24 or 12
    """

    units: Units = "metric"
    hours: Literal[24, 12] = 24

    @property
    def locale(self) -> str:
        """Give the locale of Babel whose days and hours these are."""
        return "en_US" if self.units == "us" else "en_GB"

    def grams(self, value: float) -> str:
        """Write a weight that is weighed; a scale at the chair shows grams either way."""
        shown = f"{value:.0f}" if abs(value) >= 1000 else f"{value:.4g}"
        if self.units == "us":
            return f"{shown} g ({value / GRAMS_PER_OUNCE:.2f} oz)"
        return f"{shown} g"

    def thickness(self, mm: float) -> str:
        """Write how thick a part is laid; combs are marked in millimetres either way."""
        if self.units == "us":
            return f"{mm:g} mm ({mm / 10 / CM_PER_INCH:.2f} in)"
        return f"{mm:g} mm"

    def length(self, cm: float) -> str:
        """Write a length."""
        return f"{cm / CM_PER_INCH:.1f} in" if self.units == "us" else f"{cm:.3g} cm"

    def day(self, value: dt.date | str | None) -> str:
        """Write a day in words."""
        if not value:
            return ""
        day = dt.date.fromisoformat(value) if isinstance(value, str) else value
        return format_date(day, "EEE d MMM y", locale=self.locale)

    def hour(self, value: dt.datetime | dt.time) -> str:
        """Write a time of day."""
        form = "HH:mm" if self.hours == 24 else "h:mm a"
        return format_time(value, form, locale=self.locale, tzinfo=getattr(value, "tzinfo", None))


def minutes(value: float) -> str:
    """Write a stretch of time: 45 min, 3 h 20."""
    whole = round(value)
    return f"{whole} min" if whole < 60 else f"{whole // 60} h {whole % 60:02d}"


def span(figure: Any, form: str = "g") -> str:  # noqa: ANN401  # a Figure, or its JSON
    """Write a figure with its range, as 8 (6.3-8.3)."""
    said: Mapping[str, Any] = figure if isinstance(figure, dict) else figure.model_dump()
    low, middle, high = (
        _("never") if said[end] is None else format(said[end], form)
        for end in ("low", "middle", "high")
    )
    return middle if low == middle == high else f"{middle} ({low}–{high})"


def manner_of(cookies: Mapping[str, str]) -> Manner:
    """Read how this device likes figures written."""
    units: Units = "us" if cookies.get("units") == "us" else "metric"
    return Manner(units, 12 if cookies.get("hours") == "12" else 24)
