"""When a gloss misses: wash, clarify, tone again, a second toner; each step with what it comes to.

The order is the trade's. What a step takes off is a prior; what it comes to is computed on the
hair as it is then, and the steps end as soon as it is near its aim.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from strandline.base.errors import UnreachableError
from strandline.science.chemistry.fade import kept_after
from strandline.science.colour.difference import delta_e00
from strandline.science.colour.spaces import lab_from_reflectance
from strandline.science.fibre import DYES
from strandline.science.hair.absorbers import ground_of
from strandline.science.hair.pigment import dye_bands
from strandline.service.consultation.shelf import GlossShade
from strandline.service.formulate.clock import MISSES, miss_of
from strandline.service.formulate.grounds import Ground
from strandline.service.formulate.misses import Miss, misses, number
from strandline.service.formulate.one_or_two import LEAST_BOWL_G
from strandline.service.formulate.rules import clocks, rule
from strandline.service.formulate.solver import Asked, Bowl, Minutes, solve_bowl
from strandline.service.formulate.weighing import Weighed, weigh_fewest

Floats = NDArray[np.float64]
Lab = tuple[float, float, float]

TONERS = ("tone again", "second toner")


@dataclass(frozen=True, eq=False)
class Landed:
    """A gloss that is on, and what it should have come to.

    Parameters
    ----------
    ground : the hair before it, with the aim
    dyes : shape (D,)   that the bowl was to leave on sound mids
    kind : of the gloss, for its fade
    asked : how a further bowl is asked for; its grounds are replaced
    shades : that a further bowl may be made of
    mixed_grams : of a further bowl for all of it, shade and developer together, g
    planned : dE00 from the aim that the bowl itself was to come to
    left_alone : why nothing is lightened again today; empty where nothing speaks against it
    """

    ground: Ground
    dyes: Floats
    kind: str
    asked: Asked
    shades: tuple[GlossShade, ...]
    mixed_grams: float
    planned: float = 0.0
    left_alone: str = ""

    @property
    def near(self) -> float:
        """Give the dE00 within which it is there: as near as was planned, at least."""
        return max(rule("near"), self.planned)


@dataclass(frozen=True, eq=False)
class Rung:
    """A step of the ladder.

    Parameters
    ----------
    name : of the step
    what : to do
    minutes : it takes
    lab : the colour after it, of all hair as seen
    away : dE00 from the aim, mean by share
    apart : dE00 between the lightest and the deepest part
    bowl : to mix, its dyes those of its grams; None where none is
    weighed : it on the scale
    gate : what must hold first; empty where nothing must
    """

    name: str
    what: str
    minutes: float
    lab: Lab
    away: float
    apart: float
    bowl: Bowl | None = None
    gate: str = ""
    weighed: Weighed | None = None


@dataclass(frozen=True, eq=False)
class _Part:
    share: float
    ground: Ground
    dyes: Floats

    def worn(self) -> Ground:
        """Give the part with what is on it, as a ground."""
        added = self.ground.factor[:, None] * (self.dyes @ dye_bands())[None]
        return replace(self.ground, ks=self.ground.ks + added)

    def look(self) -> Floats:
        return np.asarray(self.ground.look(self.dyes[None])[0])

    def spectrum(self) -> Floats:
        return np.asarray(self.ground.spectra(self.dyes[None])[0])

    def away(self) -> float:
        return float(delta_e00(self.look(), self.ground.aim_lab))


def ladder(landed: Landed, miss: Miss) -> tuple[Rung, ...]:
    """Give the steps from a miss back to the aim.

    Parameters
    ----------
    landed : what is on
    miss : what was seen

    Returns
    -------
    first 'seen', the miss itself; then each step that is wanted. It ends where the hair is within
    the rule `near` of its aim, or as near as was planned, and nowhere farther apart than the
    first sign of a turn. A wash that leads away from the aim is left out
    """
    parts = tuple(
        _Part(share, landed.ground, landed.dyes * took * _reflects(more))
        for share, took, more in miss.took
    )
    out = [_rung("seen", f"It is {miss.said}.", 0.0, parts)]
    for name in miss.steps:
        if _there(parts, landed.near):
            break
        step = _STEPS[name](landed, parts)
        if step is None:
            continue
        parts, rung = step
        out.append(rung)
    if not _there(parts, landed.near) and out[-1].name not in _LAST:
        out.append(_left(landed, parts))
    return tuple(out)


_LAST = ("lighten again", "leave it", "wait")


def _left(landed: Landed, parts: Sequence[_Part]) -> Rung:
    """Say that the shelf takes it no nearer, and what would."""
    seen = np.asarray(sum(part.share * part.look() for part in parts))
    way = miss_of(seen, landed.ground.aim_lab, plain=0.0)
    return _rung("leave it", f"Nothing on the shelf takes it nearer. {MISSES[way]}", 0.0, parts)


def _reflects(more: float) -> Floats:
    """Give a factor for each dye: 1 for the depth, `more` for its reflects."""
    return np.where(np.array(DYES) == "depth", 1.0, more)


def _there(parts: Sequence[_Part], near: float) -> bool:
    return max(part.away() for part in parts) <= near and _apart(parts) <= rule("turns")


def _away(parts: Sequence[_Part]) -> float:
    return sum(part.share * part.away() for part in parts)


def _apart(parts: Sequence[_Part]) -> float:
    looks = [part.look() for part in parts]
    return max(float(delta_e00(a, b)) for a in looks for b in looks)


def _rung(
    name: str,
    what: str,
    minutes: float,
    parts: Sequence[_Part],
    bowl: Bowl | None = None,
    gate: str = "",
    weighed: Weighed | None = None,
) -> Rung:
    spectrum = np.asarray(sum(part.share * part.spectrum() for part in parts))
    seen = lab_from_reflectance(spectrum)
    return Rung(
        name,
        what,
        minutes,
        (round(float(seen[0]), 1), round(float(seen[1]), 1), round(float(seen[2]), 1)),
        round(_away(parts), 1),
        round(_apart(parts), 1),
        bowl,
        gate,
        weighed,
    )


_Step = tuple[tuple[_Part, ...], Rung]


def _wash(_: Landed, parts: tuple[_Part, ...]) -> _Step | None:
    left = number("wash_left")
    washed = tuple(replace(part, dyes=part.dyes * left) for part in parts)
    if not _helps(parts, washed):
        return None
    what = "Wash twice at once, warm, and look again wiped dry."
    return washed, _rung("wash", what, number("wash_min"), washed)


def _helps(before: Sequence[_Part], then: Sequence[_Part]) -> bool:
    return _away(then) < _away(before) or _apart(then) < _apart(before)


def _clarify(_: Landed, parts: tuple[_Part, ...]) -> _Step | None:
    """Clarify what is deeper than its aim; of several parts the deepest alone."""
    deepest = min(part.look()[0] for part in parts)
    left = number("clarify_left")
    several = len(parts) > 1
    washed = tuple(
        replace(part, dyes=part.dyes * left)
        if not several or part.look()[0] <= deepest + rule("turns")
        else part
        for part in parts
    )
    if not _helps(parts, washed):
        return None
    where = "the deep patches alone" if several else "it"
    minutes = number("clarify_min")
    what = f"A clarifying shampoo on {where}, {minutes:g} min; rinse, wipe dry, look."
    return washed, _rung("clarify", what, minutes, washed)


def _tone(name: str) -> Callable[[Landed, tuple[_Part, ...]], _Step | None]:
    def step(landed: Landed, parts: tuple[_Part, ...]) -> _Step | None:
        """Tone what is warmer or lighter than its aim, where a bowl of the shelf gains enough."""
        lacks = [part for part in parts if part.away() > rule("near") / 2]
        grounds = tuple(replace(part.worn(), weight=part.share) for part in lacks)
        if not grounds:
            return None
        asked = replace(landed.asked, grounds=grounds)
        share = sum(part.share for part in lacks)
        try:
            bowls = solve_bowl(asked, landed.shades).bowls
        except UnreachableError:
            return None
        bowl, weighed, turned = weigh_fewest(bowls, asked, _grams_for(landed, share))
        before = _away(lacks) / share
        if bowl.away > before - number("gain"):
            return None
        toned = tuple(
            _Part(part.share, part.worn(), bowl.dyes) if part in lacks else part for part in parts
        )
        where = "" if len(lacks) == len(parts) else " on the patches that lack it"
        mixed = weighed.said(bowl)
        what = f"Tone: {mixed}{where}, {bowl.minutes:g} min; look from the first minute. {turned}"
        return toned, _rung(name, what.strip(), bowl.minutes, toned, bowl, LABEL, weighed)

    return step


def _lighten(landed: Landed, parts: tuple[_Part, ...]) -> _Step:
    if landed.left_alone:
        what = f"The shelf cannot take it nearer: leave it, or tone deeper. {landed.left_alone}"
        return parts, _rung("leave it", what, 0.0, parts)
    vol, most = number("relight_vol"), number("relight_max_min")
    what = (
        f"The shelf cannot take it nearer. What is too warm may be lightened again with {vol:g} "
        f"volume, {most:g} min at most, then toned; else leave it and tone deeper."
    )
    return parts, _rung("lighten again", what, most, parts, gate=STRETCH_TEST)


def _wait(landed: Landed, parts: tuple[_Part, ...]) -> _Step | None:
    """Say how many washes bring it nearest, where they do."""
    now = _away(parts)
    best, at, then = now, 0, parts
    for washes in range(1, int(number("washes_told")) + 1):
        left = float(kept_after(landed.kind, float(washes)))
        worn = tuple(replace(part, dyes=part.dyes * left) for part in parts)
        away = _away(worn)
        if away < best:
            best, at, then = away, washes, worn
        if _there(worn, landed.near):
            break
    if at == 0 or best > now - number("gain"):
        return None
    what = f"Leave it: about {at:g} washes at home bring it nearest."
    return then, _rung("wait", what, 0.0, then)


_STEPS: dict[str, Callable[[Landed, tuple[_Part, ...]], _Step | None]] = {
    "wash": _wash,
    "clarify": _clarify,
    "tone again": _tone("tone again"),
    "second toner": _tone("second toner"),
    "lighten again": _lighten,
    "wait": _wait,
}
LABEL = "Never past the label's time; a scalp that stings is rinsed at once."
STRETCH_TEST = (
    "Only after a stretch test that holds; never stronger or longer today, and never on hair that "
    "stretches."
)


def _grams_for(landed: Landed, share: float) -> float:
    """Give what a bowl for a share of the hair takes, in 5 g; no less than a bowl is mixed of."""
    if share > 1 - 1e-9:
        return landed.mixed_grams
    wanted = max(LEAST_BOWL_G, round(landed.mixed_grams * share / 5) * 5)
    return min(landed.mixed_grams, wanted)


def minutes_up_to(most: float) -> Minutes:
    """Give minutes from one on and no longer than these: hair toned once takes it fast."""

    def minutes(kind: str, label_min: float) -> tuple[float, ...]:
        steps = {1.0, 2.0, 3.0, *clocks()[kind].steps}
        longest = min(label_min, most)
        return tuple(sorted(one for one in steps if one <= longest)) or (longest,)

    return minutes


def read_miss(landed: Landed, seen: Lab) -> tuple[Landed, Miss]:
    """Give the miss that a reading shows, and the hair it shows it on.

    Parameters
    ----------
    landed : what is on, its ground of one kind of strand
    seen : CIELAB it came to, dry

    Returns
    -------
    landed, miss   how much of the bowl the hair took is what comes nearest to the reading, 0-3
        times; what is left over is taken as the hair's own, so that the steps begin at the reading

    Raises
    ------
    OutOfRangeError   a reading that no hair has
    """
    ground = landed.ground
    grid = np.linspace(0.0, 3.0, 121)
    looks = ground.look(grid[:, None] * landed.dyes)
    took = float(grid[int(np.argmin(delta_e00(looks, np.array(seen))))])
    added = ground.factor[:, None] * (took * landed.dyes @ dye_bands())[None]
    bare = np.maximum(ground_of(seen).ks[None] - added, 0.0)
    way = miss_of(np.array(seen), ground.aim_lab, plain=0.0)
    kind = misses()[{"green": "violet", "pink": "warm"}.get(way, way)]
    return (
        replace(landed, ground=replace(ground, ks=bare)),
        replace(kind, took=((1.0, took, 1.0),)),
    )
