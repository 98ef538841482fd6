"""A simulated practice: do clocks that learn from checks keep what they say.

Visits come in sequence, each on what the visits before taught. No figure here is of real hair: it
says whether the arithmetic of learning is honest, in a world of its own making and in one that
breaks it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cache
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

from strandline.base.errors import OutOfRangeError
from strandline.salon.evidence.practice_truth import (
    FOILS,
    MODEL,
    PRODUCTS,
    SECTIONS,
    Practice,
    Visit,
    World,
    a_foil,
    aim_of,
    draw_practice,
    draw_visit,
)
from strandline.science.chemistry.lift import Rate, tau
from strandline.service.learning.belief import Belief, eta_of, prior
from strandline.service.learning.check import updated
from strandline.service.learning.due import Z90, minutes_to
from strandline.service.learning.observation import Check, observed
from strandline.service.learning.pool import VisitTaught, pool
from strandline.service.learning.pooled import Learnt, Pooled
from strandline.service.learning.starting import WET

Floats = NDArray[np.float64]

VISITS = 200
FIRST_SEED = 101
"""Those before were looked at while learning was built, and judge nothing."""
LABEL_MIN = 50.0
"""Longest time of an invented label."""
FARTHEST_MIN = 2 * LABEL_MIN
"""No clock is compared beyond this: a foil that would take longer counts as taking this."""
SEEN_FROM = ("starting numbers alone", "before a check", "one check", "two checks")
"""What a clock is set on: the starting numbers; with these the visits before; and the checks."""


@dataclass(frozen=True, eq=False)
class Run:
    """Clocks of all visits against the truth; V visits, 4 as in `SEEN_FROM`, F foils.

    Parameters
    ----------
    true : shape (V, F)   minutes to the aim, infinite where the bowl dries before it
    due : shape (V, 4, 3, F)   low, middle and high minutes as believed, likewise
    off : shape (V, 4, F)   truth less mean of the log rate, in the belief's sd; the truth with n
        at its mean inside tau, as belief has it, when the foil comes out
    sd : shape (V, 4, F)   of the log rate as believed
    taught : after each visit its product, and what is believed of that
    pooled : what all visits taught
    practice : the truth
    """

    true: Floats
    due: Floats
    off: Floats
    sd: Floats
    taught: tuple[tuple[str, Learnt], ...]
    pooled: Pooled
    practice: Practice

    def inside(self, *, capped: bool) -> NDArray[np.bool_]:
        """Whether the truth lies in the 80 % interval, shape (V, 4, F).

        Capped as a plan shows it: a time past the label is 'the label comes first', on both sides.
        """
        most = LABEL_MIN if capped else np.inf
        true, due = np.minimum(self.true, most)[:, None], np.minimum(self.due, most)
        return np.asarray((due[:, :, 0] <= true) & (true <= due[:, :, 2]))

    def coverage(self, *, capped: bool) -> Floats:
        """Share of foils inside, shape (4,)."""
        return np.asarray(self.inside(capped=capped).mean(axis=(0, 2)))

    def coverage_of_visits(self, *, capped: bool) -> Floats:
        """Share of visits with at least half of their foils inside, shape (4,)."""
        return np.asarray((self.inside(capped=capped).mean(axis=2) >= 0.5).mean(axis=0))

    def error(self, visits: slice = slice(None)) -> Floats:
        """Mean of |ln due - ln true| over some visits, shape (4,)."""
        due = np.minimum(self.due[visits, :, 1], FARTHEST_MIN)
        true = np.minimum(self.true[visits], FARTHEST_MIN)[:, None]
        return np.asarray(np.abs(np.log(due) - np.log(true)).mean(axis=(0, 2)))

    def width(self) -> Floats:
        """Median of high over low minutes, shape (4,)."""
        due = np.minimum(self.due, FARTHEST_MIN)
        return np.asarray(np.median(due[:, :, 2] / due[:, :, 0], axis=(0, 2)))

    def share_within(self, nominal: Floats) -> Floats:
        """Share of foils whose log rate lies in central intervals of shares (N,), shape (4, N).

        Unlike minutes a rate is always finite: no foil counts as inside for never coming there.
        """
        reach = np.array([NormalDist().inv_cdf(0.5 + one / 2) for one in nominal])
        return np.asarray((np.abs(self.off)[..., None] <= reach).mean(axis=(0, 2)))

    def product_after(self, visits: int) -> tuple[str, Learnt]:
        """Give the first product that had so many visits, and what was believed of it then.

        Raises
        ------
        OutOfRangeError   none had so many
        """
        for used, learnt in self.taught:
            if learnt.visits == visits:
                return used, learnt
        raise OutOfRangeError(
            f"No product has had {visits} visits.", "Ask for fewer, or run more visits."
        )

    def truth_of(self, product: str) -> float:
        """Give the true log rate of a product against the mean [1]."""
        spread = self.pooled.product(product).prior_sd
        return spread * float(self.practice.products[PRODUCTS.index(product)])


def run_practice(rng: np.random.Generator, world: World = MODEL, visits: int = VISITS) -> Run:
    """Simulate a practice.

    Parameters
    ----------
    rng : all that is random comes from it
    world : what is true
    visits : 1 or more

    Returns
    -------
    Run

    Raises
    ------
    OutOfRangeError   no visit

    Notes
    -----
    A visit: an aim by what is believed of product and client; two checks; out by the clock after
    them, at the label at the latest; then a foil of each section judged dry. What was seen is
    kept as it was understood that day, at the wet bias believed then. The label is set aside in
    the clocks, so that intervals can be looked at whole.
    """
    if visits < 1:
        raise OutOfRangeError(
            f"A practice of {visits} visits is asked for; it must be at least 1.",
            "Ask for a whole number of visits.",
        )
    practice = draw_practice(rng, world)
    known = pool([])
    taught: list[VisitTaught] = []
    trail: list[tuple[str, Learnt]] = []
    served: list[Visit] = []
    rates: list[list[tuple[Floats, Floats]]] = []
    for _ in range(visits):
        visit = draw_visit(rng, practice)
        start = prior(known, product=visit.product, client=visit.head.name)
        usual = float(log_rates(visit, start)[0][-1])
        visit = replace(visit, aim=aim_of(visit.head, usual))
        checks = visit.checks(rng)
        beliefs = (prior(), start, updated(start, checks[:1]), updated(start, checks))
        rates.append([log_rates(visit, belief) for belief in beliefs])
        served.append(visit)
        taught.append(_taught(visit, start, [*checks, *_dry(rng, visit, rates[-1][-1][0])]))
        known = pool(taught)
        trail.append((visit.product, known.product(visit.product)))
    believed = np.array(rates)
    true, due, off = _clocks(served, believed)
    return Run(true, due, off, believed[:, :, 1], tuple(trail), known, practice)


def practices(world: World = MODEL, count: int = 1) -> tuple[Run, ...]:
    """Simulate so many practices of 200 visits, seeded one after the other; each is kept."""
    return tuple(_seeded(world, FIRST_SEED + number) for number in range(count))


@cache
def _seeded(world: World, seed: int) -> Run:
    return run_practice(np.random.default_rng(seed), world)


def over(runs: tuple[Run, ...], figure: Callable[[Run], Floats]) -> Floats:
    """Give mean, least and most of a figure over practices, shape (3, ...)."""
    all_of_them = np.array([figure(run) for run in runs])
    middle, ends = all_of_them.mean(axis=0), (all_of_them.min(axis=0), all_of_them.max(axis=0))
    return np.array([middle, *ends])


def log_rates(visit: Visit, belief: Belief) -> tuple[Floats, Floats]:
    """Give mean and sd of the log rate of every foil of a visit, shape (F,) each."""
    return eta_of(belief, visit.rows, known=visit.known, foils=range(FOILS))


def _dry(rng: np.random.Generator, visit: Visit, mean: Floats) -> list[Check]:
    """Judge a foil of each section dry, as it came out."""
    foils = [a_foil(rng, section) for section in range(SECTIONS)]
    out = np.minimum(minutes_to(mean[foils], np.full(SECTIONS, visit.wanted)), LABEL_MIN)
    return [
        visit.seen(rng, foil, float(minutes), rinsed=True)
        for foil, minutes in zip(foils, out, strict=True)
    ]


def _taught(visit: Visit, start: Belief, seen: list[Check]) -> VisitTaught:
    bias = float(start.mean[WET])
    understood = [one for one in (observed(check, bias) for check in seen) if one is not None]
    return VisitTaught(visit.product, visit.head.name, understood)


def _clocks(visits: list[Visit], rates: Floats) -> tuple[Floats, Floats, Floats]:
    """Give true and believed minutes, and how far off; rates of shape (V, 4, 2, F)."""
    wanted = np.array([visit.wanted for visit in visits])[:, None]
    eta = np.stack([visit.rate.eta for visit in visits])
    exponent = np.stack([visit.rate.exponent for visit in visits])
    true = Rate(eta, exponent).minutes_to(wanted)
    mean, sd = rates[:, :, 0], rates[:, :, 1]
    bounds = np.stack([mean + z * sd for z in (Z90, 0.0, -Z90)], axis=2)
    due = minutes_to(bounds, np.broadcast_to(wanted[:, None, None], bounds.shape))
    seen = np.minimum(true, LABEL_MIN)
    told = eta + np.log(tau(seen, n=exponent)) - np.log(tau(seen))
    return true, due, (told[:, None] - mean) / sd
