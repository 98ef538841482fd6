"""One head of the page on lightening: a seeded truth, two checks of it, what they teach."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from strandline.salon.evidence.practice_truth import (
    FOILS,
    MODEL,
    Head,
    Visit,
    draw_practice,
    hair,
    visit_of,
    warm_foils,
)
from strandline.science.chemistry.lift import constants as of_lift
from strandline.science.chemistry.lift import tau
from strandline.service.learning.belief import Belief, eta_of, prior
from strandline.service.learning.check import updated
from strandline.service.learning.due import Z90
from strandline.service.learning.observation import Check

Floats = NDArray[np.float64]

SEED = 4
"""Of the first seeds the first whose hair is slower than believed, and plainly so."""
AIM = 9.0
FOIL = FOILS - 1
"""The foil that is looked at; it is not checked."""


@dataclass(frozen=True, eq=False)
class OneHead:
    """A natural level 6 at 20 volume.

    Parameters
    ----------
    visit : the truth
    truth : of the unknowns by name, deviations from their means; the wet bias in levels
    checks : two, as made
    before, after : what is believed
    """

    visit: Visit
    truth: dict[str, float]
    checks: list[Check]
    before: Belief
    after: Belief

    @property
    def true_eta(self) -> float:
        """True log rate of the foil that is looked at."""
        return float(self.visit.rate.eta[FOIL])

    def log_rate(self, belief: Belief) -> tuple[float, float]:
        """Give mean and sd of the log rate of that foil."""
        mean, sd = eta_of(belief, self.visit.rows[[FOIL]], known=self.visit.known, foils=[FOIL])
        return float(mean[0]), float(sd[0])

    def stages(self, belief: Belief, minutes: Floats) -> Floats:
        """Give the stage over minutes, shape (3, T): 10, 50 and 90 %."""
        mean, sd = self.log_rate(belief)
        eta = mean + np.array([-Z90, 0.0, Z90])[:, None] * sd
        return np.asarray(np.interp(np.exp(eta) * tau(minutes), *self.visit.head.path))

    def true_stages(self, minutes: Floats) -> Floats:
        """Give the true stage of that foil, shape (T,)."""
        n = float(self.visit.rate.exponent[FOIL])
        return np.asarray(
            np.interp(np.exp(self.true_eta) * tau(minutes, n=n), *self.visit.head.path)
        )


@cache
def one_head() -> OneHead:
    """Draw the head and check it twice."""
    rng = np.random.default_rng(SEED)
    practice = draw_practice(rng, MODEL)
    ground, path = hair(6, 0.0, 0.0)
    head = Head("level 6", float(rng.standard_normal()), ground, path, dark=False)
    visit = visit_of(rng, practice, head, "lime", 20.0)
    checks = visit.checks(rng)
    before = prior()
    after = updated(before, checks)
    known = of_lift()
    truth = {
        "product": known["product"].spread * float(practice.products[1]),
        "client": known["client"].spread * head.z,
        "wet_bias": visit.bias,
    }
    cold = float(visit.rate.eta[~warm_foils(ground)].mean())
    truth["day"] = cold - known["mu"].value - truth["product"] - truth["client"]
    return OneHead(visit, truth, checks, before, after)
