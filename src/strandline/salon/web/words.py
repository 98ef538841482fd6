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
NO_BREAK = "\u00a0"
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

    @property
    def paper(self) -> Literal["a4", "us-letter"]:
        """Give the paper that sheets are set on."""
        return "us-letter" if self.units == "us" else "a4"

    def grams(self, value: float) -> str:
        """Write a weight that is weighed; a scale at the chair shows grams either way."""
        shown = f"{value:.0f}" if abs(value) >= 1000 else f"{value:.4g}"
        if self.units == "us":
            return f"{shown} g ({value / GRAMS_PER_OUNCE:.2f} oz)"
        return f"{shown} g"

    def thickness(self, mm: float) -> str:
        """Write how thick a part is laid; combs are marked in millimetres either way."""
        if self.units == "us":
            return f"{mm:.2g} mm ({mm / 10 / CM_PER_INCH:.2f} in)"
        return f"{mm:.2g} mm"

    def length(self, cm: float) -> str:
        """Write a length to the nearest tenth."""
        return f"{self._measured(cm)}{NO_BREAK}{self._unit}"

    def stretch(self, from_cm: float, to_cm: float) -> str:
        """Write a stretch of length, its unit once: 0-1.2 cm."""
        return f"{self._measured(from_cm)}–{self._measured(to_cm)}{NO_BREAK}{self._unit}"

    @property
    def _unit(self) -> str:
        return "in" if self.units == "us" else "cm"

    def _measured(self, cm: float) -> str:
        return f"{round(cm / CM_PER_INCH if self.units == 'us' else cm, 1):g}"

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
    """Write a stretch of time, which no line breaks: 45 min, 3 h 20 min, 2 h."""
    hours, rest = divmod(round(value), 60)
    told = [f"{hours} h"] if hours else []
    told += [f"{rest} min"] if rest or not hours else []
    return " ".join(told).replace(" ", NO_BREAK)


def between(low: float, high: float) -> str:
    """Write a range, or the one figure that both its ends are."""
    return f"{low:g}" if low == high else f"{low:g}–{high:g}"


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
