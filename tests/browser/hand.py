"""A hand at human pace: what it taps, swipes and types is counted."""

from __future__ import annotations

TAP_S, SWIPE_S, LETTERS_PER_S = 1.5, 1.5, 3.0
"""Seconds of a tap and of a swipe, letters a second; the pace this app is measured at."""
DOUBLE_TAP_MS = 350
"""Two taps on one spot of the glass that are nearer than this are one double tap to a browser."""


class Hand:
    """A finger on a page.

    Parameters
    ----------
    page : of playwright, with touch
    """

    def __init__(self, page) -> None:
        self.page = page
        self.taps = self.swipes = self.letters = 0

    @property
    def seconds(self) -> float:
        """Give the time all of it took at that pace."""
        return self.taps * TAP_S + self.swipes * SWIPE_S + self.letters / LETTERS_PER_S

    def tap(self, selector: str) -> None:
        """Tap something; what has to be swiped into view first counts as well."""
        found = self.page.locator(selector).first
        if not self._in_view(found):
            self.swipes += 1
            found.evaluate("one => one.scrollIntoView({ block: 'center', behavior: 'instant' })")
        if self.taps:
            self.page.wait_for_timeout(DOUBLE_TAP_MS)
        self.taps += 1
        found.tap()

    def type(self, selector: str, text: str) -> None:
        """Tap a field and type into it."""
        self.tap(selector)
        self.letters += len(text)
        self.page.locator(selector).first.press_sequentially(text)

    def chip(self, key: str, value: str) -> None:
        """Tap a chip by its answer."""
        self.tap(f'label:has(input[name="{key}"][value="{value}"])')

    def _in_view(self, found) -> bool:
        box = found.bounding_box()
        if box is None:
            return False
        bar = self.page.evaluate(
            "document.querySelector('.running')?.getBoundingClientRect().top ?? innerHeight"
        )
        high = self.page.viewport_size["height"]
        low = bar if bar > high / 2 else high
        return box["y"] >= 0 and box["y"] + box["height"] <= low
