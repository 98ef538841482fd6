"""After the rinse: even, back light, band warm, a spot, ends grabbed; the stretch test first."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from strandline.base.facts.visit import AreaResult, Visit
from strandline.service.anew.habits import habit
from strandline.service.anew.model import Step
from strandline.service.formulate.ladder import number


@dataclass(frozen=True, slots=True)
class Relight:
    """Lightening a band again the same day.

    Parameters
    ----------
    vol, longest_min : her habit, held to the label
    left_alone : why it is not done; empty where nothing speaks against it
    """

    vol: float
    longest_min: float
    left_alone: str


def relight_of(label_vol: float, label_min: float, left_alone: str) -> Relight:
    """Give her habit of lightening again, held to the label."""
    return Relight(
        min(number("relight_vol"), label_vol), min(number("relight_max_min"), label_min), left_alone
    )


STRETCH = "Lightening again the same day only after a stretch test that holds."


def rinsed_at(visit: Visit) -> str | None:
    """Give when the whole head was first rinsed, None where it was not."""
    whole = [out.time for out in visit.rinses if not (out.foils or out.section or out.place)]
    return min(whole, default=None)


def stretch_test(visit: Visit, since: str) -> str:
    """Give how the stretch test after the rinse came out: clear, doubtful, failed, or none."""
    seen = [test for test in visit.tests if test.test == "stretch" and test.time >= since]
    return seen[-1].outcome if seen else "none"


def steps_after(visit: Visit, spoilt: Sequence[int], relight: Relight) -> list[Step]:
    """Give what is to be done after the rinse, area by area.

    Parameters
    ----------
    visit : with its results
    spoilt : foils that bled or slipped
    relight : what lightening again may be, or why it is not done

    Returns
    -------
    steps; none before the rinse
    """
    since = rinsed_at(visit)
    if since is None:
        return []
    held = stretch_test(visit, since)
    out = [step for result in visit.results for step in _of_area(result, held, relight)]
    if spoilt:
        out.append(_spot(f"where foil {', '.join(map(str, spoilt))} bled"))
    return out


def relights(visit: Visit, relight: Relight) -> bool:
    """Say whether hair is lightened again: it may be, a band is warm, the stretch test held."""
    if relight.left_alone:
        return False
    since = rinsed_at(visit)
    warm = any(result.evenness == "band warm" for result in visit.results)
    return since is not None and warm and stretch_test(visit, since) == "clear"


def _of_area(result: AreaResult, held: str, relight: Relight) -> list[Step]:
    area = "the whole head" if result.area == "whole" else f"the {result.area}"
    if result.evenness == "band warm":
        return [_warm_band(area, held, relight)]
    if result.evenness == "back light":
        return [
            Step(
                at=None,
                what=f"Tone {area} half a level deeper, or weave a few lowlights into it.",
                why="It came out lighter than the rest.",
            )
        ]
    if result.evenness == "spot":
        return [_spot(f"on {area}")]
    if result.evenness == "ends grabbed":
        return [
            Step(
                at=None,
                what=f"Wash the ends of {area} with a clarifying shampoo; then tone them last, "
                "for a minute at most, or leave them.",
                why="Porous ends took the tone first.",
            )
        ]
    return []


def _warm_band(area: str, held: str, relight: Relight) -> Step:
    bowl = f"{relight.vol:g} volume, {relight.longest_min:g} min at most"
    again = f"Lighten the band of {area} again, the band only: {bowl}"
    deeper = f"Tone the band of {area} deeper; do not lighten it again today."
    if relight.left_alone:
        return Step(at=None, what=deeper, why=relight.left_alone)
    if held == "clear":
        return Step(
            at=None,
            what=f"{again}; check every 3 min.",
            why="The band is warmer than the rest and the stretch test held.",
            caution=STRETCH,
        )
    if held in ("doubtful", "failed"):
        return Step(at=None, what=deeper, why=f"The stretch test was {held}.", caution=STRETCH)
    return Step(
        at=None,
        what=f"Stretch test first. It holds: {again[0].lower()}{again[1:]}. Else: "
        f"{deeper[0].lower()}{deeper[1:]}",
        why="The band is warmer than the rest.",
        caution=STRETCH,
    )


def _spot(where: str) -> Step:
    low, high = habit("spot_low_min"), habit("spot_high_min")
    return Step(
        at=None,
        what=f"Dab the spot {where} with the shadow shade, {low:g} to {high:g} min.",
        why="A light spot is covered by what the root is shadowed with.",
    )
