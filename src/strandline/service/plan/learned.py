"""What earlier visits taught, brought to a plan: draws of lift, her pace, and what it leans on."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from strandline.base.draws import draws as shared_draws
from strandline.base.quantities import Range
from strandline.science.chemistry.lift import LIFT_DRAWS
from strandline.service.consultation.model import Consultation
from strandline.service.learning.belief import Belief, prior
from strandline.service.learning.drawn import draws_of
from strandline.service.learning.due import Z90
from strandline.service.learning.pace import KINDS
from strandline.service.learning.pool import pool
from strandline.service.learning.pooled import Learnt, Pooled
from strandline.service.plan.model import Leaning
from strandline.service.plan.parts import figure
from strandline.service.practice.bench import Bench

Floats = NDArray[np.float64]
LAW = "log rates of visits, products and clients pooled partially"


def belief_of(c: Consultation, pooled: Pooled | None) -> Belief:
    """Give what is believed of this head with this lightener before the first foil."""
    product = c.shelf.lightener.name if c.shelf.lightener else ""
    return prior(pooled, product=product, client=c.client.name)


def lift_draws(c: Consultation, pooled: Pooled | None) -> dict[str, Floats]:
    """Give the shared draws of lift, moved to what is believed of this head."""
    return draws_of(belief_of(c, pooled), shared_draws(LIFT_DRAWS))


def with_pace(bench: Bench, pooled: Pooled | None) -> Bench:
    """Put the pace her visits told over the numbers of practice, not over those she set herself."""
    if pooled is None:
        return bench
    own: dict[str, float] = {}
    for kind, name in KINDS.items():
        if name in bench.own or not pooled.pace[kind].visits:
            continue
        number = bench.numbers[name]
        low, high = number.low or 0.0, number.high or math.inf
        own[name] = round(min(max(pooled.seconds(kind), low), high), 1)
    return bench.with_own(own)


def leans_on(c: Consultation, pooled: Pooled | None, *, lightener: bool) -> list[Leaning]:
    """Say what the minutes lean on.

    Parameters
    ----------
    lightener : foils of lightener are planned: then the product and the hair are told, visits or
        not; her pace is told where visits taught it
    """
    known = pool([]) if pooled is None else pooled
    out = []
    if lightener and c.shelf.lightener is not None:
        name, client = c.shelf.lightener.name, c.client.name
        out.append(leaning(f"lightener '{name}'", known.product(name)))
        out.append(leaning(f"hair of {client}", known.client(client)))
    for kind, name in KINDS.items():
        if known.pace[kind].visits and name not in c.practice:
            out.append(_pace(kind, known.pace[kind]))
    return out


def _pace(kind: str, learnt: Learnt) -> Leaning:
    low, middle, high = (math.exp(learnt.mean + z * learnt.sd) for z in (-Z90, 0.0, Z90))
    return Leaning(
        what=f"pace of a {kind}",
        visits=learnt.visits,
        own_percent=round(100 * learnt.leans),
        factor=figure(Range(low, middle, high, "s", "seconds a foil, visits pooled"), 0),
        words=f"{learnt.sentence} {middle:.0f} s a foil ({low:.0f} to {high:.0f}).",
    )


def leaning(what: str, learnt: Learnt) -> Leaning:
    """Write a learned log rate for a reader, as a factor on the usual rate."""
    low, middle, high = (math.exp(learnt.mean + z * learnt.sd) for z in (-Z90, 0.0, Z90))
    return Leaning(
        what=what,
        visits=learnt.visits,
        own_percent=round(100 * learnt.leans),
        factor=figure(Range(low, middle, high, "1", LAW), 2),
        words=_words(learnt, low, middle, high),
    )


def _words(learnt: Learnt, low: float, middle: float, high: float) -> str:
    if not learnt.visits:
        return "No visit yet: it stands on what is usual; the first checks tell."
    told = " Not told from the usual yet." if low < 1 < high else ""
    rate = f"{middle:.2f} of the usual rate ({low:.2f} to {high:.2f})"
    return f"{learnt.sentence} Works at {rate}.{told}"
