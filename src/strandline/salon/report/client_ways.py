"""The ways there were to go, as the client reads them: beside the one that this sheet promises."""

from __future__ import annotations

from typing import Any

from strandline.service.plan.ways_model import KindName, Way, Ways

_LIGHT: dict[KindName, tuple[str, str]] = {
    "gloss alone": ("A gloss", "Tone and shine; nothing is lightened."),
    "gentle": ("A gentle start", "A few light strands where they show; the least on your hair."),
    "balanced": ("A middle way", "Most of what you wish for, in less time."),
    "thorough": ("As much as fits", "As close to your wish as one visit comes."),
}
_DARK: dict[KindName, tuple[str, str]] = {
    **_LIGHT,
    "gloss alone": ("A gloss", "Tone and shine; no darker strands."),
    "gentle": ("A gentle start", "A few darker strands where they show."),
}
NEAREST = 5
"""A share of a wish is told to her to so many percent: it is weighed, not counted."""


def ways_for_her(ways: Ways, chosen: str) -> list[dict[str, Any]]:
    """Give a row for each way, for `client-sheet.typ`.

    Parameters
    ----------
    ways : several plans of one visit
    chosen : the one that the sheet promises

    Returns
    -------
    rows of words; none where there is only one way
    """
    if len(ways.ways) < 2:
        return []
    return [_row(way, ways.currency, chosen=way.name == chosen) for way in ways.ways]


def _row(way: Way, currency: str, *, chosen: bool) -> dict[str, Any]:
    names = _DARK if way.dark_percent and not way.light_percent else _LIGHT
    name, what = names[way.name]
    wish = NEAREST * round(way.wish_percent / NEAREST)
    return {
        "name": name,
        "what": what,
        "wish": f"{wish} % of your wish" if wish else "not your wish",
        "hours": f"{way.minutes / 60:.1f} hours",
        "price": "" if way.money is None else f"from {way.money:.0f} {currency}",
        "visits": _visits(way),
        "chosen": chosen,
    }


def _visits(way: Way) -> str:
    if way.visits is None:
        return ""
    count = "1 visit" if way.visits == 1 else f"about {way.visits} visits"
    if way.plan.next_visit.old_share_before > 0:
        return f"all of it, with old colour nearly gone, after {count} like it"
    return f"all of it after {count} like it"
