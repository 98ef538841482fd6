"""What visits taught, pooled: every product and client with its range and what it leans on."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from strandline.base.errors import OutOfRangeError
from strandline.service.learning.starting import NAMES, SHARED, prior_mean, spreads

Floats = NDArray[np.float64]

_WORDS = (
    *("No", "One", "Two", "Three", "Four", "Five", "Six"),
    *("Seven", "Eight", "Nine", "Ten", "Eleven", "Twelve"),
)


@dataclass(frozen=True, slots=True)
class Learnt:
    """A figure and what it stands on.

    Parameters
    ----------
    mean, sd : in the figure's unit
    prior_mean, prior_sd : where it began; the sd above 0
    visits : that bear on it
    """

    mean: float
    sd: float
    prior_mean: float
    prior_sd: float
    visits: int

    @property
    def leans(self) -> float:
        """Share of the figure that comes from its own visits: 1 - sd^2/prior sd^2 [0-1]."""
        return max(0.0, 1.0 - self.sd**2 / self.prior_sd**2) if self.visits else 0.0

    @property
    def sentence(self) -> str:
        """What it stands on, for a reader."""
        if not self.visits:
            return "No visit yet: it stands on its prior alone."
        count = _WORDS[self.visits] if self.visits < len(_WORDS) else f"{self.visits}"
        visits = "visit" if self.visits == 1 else "visits"
        return f"{count} {visits}: {100 * self.leans:.0f} % its own."


@dataclass(frozen=True, eq=False)
class Pooled:
    """What all visits taught together.

    Parameters
    ----------
    products, clients : P and C names, sorted
    product_visits, client_visits : visits with a check, by the same order
    shared_visits : shape (5,)   visits that bear on each of `SHARED`
    common_mean, common_cov : shapes (5 + P,), (5 + P, 5 + P)   of what is shared, then products
    client_mean, client_var : shape (C,)
    client_cov : shape (C, 5 + P)   of each client with what is common
    pace : by kind of foil: log of seconds
    visits : in all
    """

    products: tuple[str, ...]
    clients: tuple[str, ...]
    product_visits: tuple[int, ...]
    client_visits: tuple[int, ...]
    shared_visits: tuple[int, ...]
    common_mean: Floats
    common_cov: Floats
    client_mean: Floats
    client_var: Floats
    client_cov: Floats
    pace: Mapping[str, Learnt]
    visits: int

    def product(self, name: str) -> Learnt:
        """Give the log rate of a product against the mean; one without a visit has its prior."""
        if name not in self.products:
            return _prior("product")
        at = self.products.index(name)
        place = len(SHARED) + at
        variance = self.common_cov[place, place]
        return _learnt("product", self.common_mean[place], variance, self.product_visits[at])

    def client(self, name: str) -> Learnt:
        """Give the log rate of a client's hair; one without a visit has her prior."""
        if name not in self.clients:
            return _prior("client")
        at = self.clients.index(name)
        return _learnt("client", self.client_mean[at], self.client_var[at], self.client_visits[at])

    def shared(self, name: str) -> Learnt:
        """Give what every head shares, her wet bias in levels among it.

        Raises
        ------
        OutOfRangeError   a name that is none of `SHARED`
        """
        if name not in SHARED:
            raise OutOfRangeError(
                f"Heads share nothing called '{name}'.", f"Choose one of: {', '.join(SHARED)}."
            )
        at = SHARED.index(name)
        return _learnt(name, self.common_mean[at], self.common_cov[at, at], self.shared_visits[at])

    def seconds(self, kind: str) -> float:
        """Give her seconds for a foil of a kind: 'slice', 'weave' or 'tip-out'.

        Raises
        ------
        OutOfRangeError   another kind
        """
        if kind not in self.pace:
            raise OutOfRangeError(
                f"There is no pace for a '{kind}'.", f"Choose one of: {', '.join(self.pace)}."
            )
        return float(np.exp(self.pace[kind].mean))

    def joint(self, product: str, client: str) -> tuple[Floats, Floats]:
        """Give mean (K,) and covariance (K, K) of a visit to come, in the order of `NAMES`."""
        mean, cov = prior_mean(), np.diag(np.asarray(spreads()) ** 2)
        to = [NAMES.index(name) for name in SHARED]
        source = list(range(len(SHARED)))
        if product in self.products:
            to.append(NAMES.index("product"))
            source.append(len(SHARED) + self.products.index(product))
        mean[to] = self.common_mean[source]
        cov[np.ix_(to, to)] = self.common_cov[np.ix_(source, source)]
        if client in self.clients:
            at, place = self.clients.index(client), NAMES.index("client")
            mean[place], cov[place, place] = self.client_mean[at], self.client_var[at]
            cov[place, to] = cov[to, place] = self.client_cov[at, source]
        return mean, cov


def _learnt(name: str, mean: float, variance: float, visits: int) -> Learnt:
    at = NAMES.index(name)
    sd = float(np.sqrt(variance))
    return Learnt(float(mean), sd, float(prior_mean()[at]), spreads()[at], visits)


def _prior(name: str) -> Learnt:
    at = NAMES.index(name)
    return _learnt(name, prior_mean()[at], spreads()[at] ** 2, 0)
