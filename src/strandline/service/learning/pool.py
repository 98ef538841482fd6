"""Partial pooling: what visits teach of products, clients, her eye and her pace.

One mixed model over all visits: reading = shared . row + product + client + day + foil + error.
A product with few visits leans on its prior; one with many stands on its own.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from strandline.base.errors import OutOfRangeError
from strandline.science.chemistry.lift import constants as of_lift
from strandline.service.learning.check import PASSES, student_information
from strandline.service.learning.observation import Observation
from strandline.service.learning.pace import Placed, pace_of
from strandline.service.learning.pooled import Pooled
from strandline.service.learning.starting import NAMES, SHARED, constants, prior_mean, spreads

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]


@dataclass(frozen=True, eq=False)
class VisitTaught:
    """What a visit has to teach.

    Parameters
    ----------
    product, client : names
    observations : of its checks and dry results, of `observed`
    placed : foils placed and the seconds they took
    """

    product: str
    client: str
    observations: Sequence[Observation] = ()
    placed: Sequence[Placed] = ()


def pool(visits: Sequence[VisitTaught]) -> Pooled:
    """Pool visits.

    Parameters
    ----------
    visits : in any order, each once

    Returns
    -------
    Pooled

    Raises
    ------
    OutOfRangeError   a visit without the name of a product or a client

    Notes
    -----
    Unknowns are what heads share, products and clients; a visit's day is taken out of the normal
    equations by its own block: with D the precisions of a visit's readings and d the sd of a day,
    the precision of the visit is D - d^2 D 1 1' D/(1 + d^2 1' D 1) (Woodbury). No two clients
    meet in a visit, so that they are taken out likewise; what is left is small. The sd of a
    reading has the foil's in it: two checks of one foil count as of two. Weights, what a Student
    reading tells and one-sided readings as in `check`; three passes, against the mean of the pass
    before with the visit's own day. Not widened by contradiction: more visits settle it.
    """
    for visit in visits:
        if not (visit.product and visit.client):
            raise OutOfRangeError(
                f"A visit has the product '{visit.product}' and the client '{visit.client}'; it "
                "must name both.",
                "Name the lightener and the client in the record.",
            )
    told = [visit for visit in visits if visit.observations]
    products = sorted({visit.product for visit in told})
    clients = sorted({visit.client for visit in told})
    readings = _Readings.of(told, products, clients)
    common = len(SHARED) + len(products)
    solved = readings.solve(_start(len(products), len(clients)), common)
    return Pooled(
        products=tuple(products),
        clients=tuple(clients),
        product_visits=tuple(sum(v.product == name for v in told) for name in products),
        client_visits=tuple(sum(v.client == name for v in told) for name in clients),
        shared_visits=readings.bearing(),
        common_mean=solved.mean[:common],
        common_cov=solved.common_cov,
        client_mean=solved.mean[common:],
        client_var=solved.client_var,
        client_cov=solved.client_cov,
        pace=pace_of(visit.placed for visit in visits),
        visits=len(visits),
    )


def _start(products: int, clients: int) -> tuple[Floats, Floats]:
    """Give prior mean and variance of what is shared, products and clients."""
    at = {name: index for index, name in enumerate(NAMES)}
    order = [at[n] for n in SHARED] + [at["product"]] * products + [at["client"]] * clients
    return prior_mean()[order], np.asarray(spreads())[order] ** 2


@dataclass(frozen=True, eq=False)
class _Solved:
    """Mean of all unknowns; covariance of the common ones, of each client and with them."""

    mean: Floats
    common_cov: Floats
    client_var: Floats
    client_cov: Floats


@dataclass(frozen=True, eq=False)
class _Readings:
    """All readings of all visits: n of them, each on seven unknowns.

    h : (n, 7); columns : (n, 7), which unknown each is of; visit : (n,), rising from 0.
    """

    h: Floats
    columns: Whole
    visit: Whole
    reading: Floats
    variance: Floats
    bound: Floats

    @classmethod
    def of(
        cls, visits: Sequence[VisitTaught], products: list[str], clients: list[str]
    ) -> _Readings:
        shared = [NAMES.index(name) for name in SHARED]
        where = {name: len(shared) + i for i, name in enumerate(products)}
        whose = {name: len(shared) + len(products) + i for i, name in enumerate(clients)}
        pairs = [(i, one) for i, visit in enumerate(visits) for one in visit.observations]
        rows = np.array([one.full_row for _, one in pairs]).reshape(-1, len(NAMES))
        pair_columns = [
            [*range(len(shared)), where[visits[i].product], whose[visits[i].client]]
            for i, _ in pairs
        ]
        s2 = of_lift()["foil"].spread ** 2
        return cls(
            np.hstack([rows[:, shared], rows[:, :2]]),
            np.array(pair_columns, dtype=np.int64).reshape(-1, len(shared) + 2),
            np.array([i for i, _ in pairs], dtype=np.int64),
            np.array([one.reading for _, one in pairs]),
            np.array([one.sd**2 + s2 for _, one in pairs]),
            np.array([float(one.bound) for _, one in pairs]),
        )

    def solve(self, start: tuple[Floats, Floats], common: int) -> _Solved:
        """Three passes of normal equations, the first `common` unknowns met by every client."""
        prior, variance = start
        nu, day2 = constants()["student_nu"].value, of_lift()["day"].spread ** 2
        s2 = of_lift()["foil"].spread ** 2
        noise = (self.variance - s2) / student_information(nu) + s2
        residual = self._residual(prior)
        weights = np.ones_like(residual)
        for _ in range(PASSES):
            ordinary = (self.bound == 0) | (self.bound * residual > 0)
            d = np.where(ordinary, weights / noise, 0.0)
            pull = day2 / (1.0 + day2 * self._by_visit(d))
            matrix, right = self._equations(d, pull, prior.size)
            matrix += np.diag(1.0 / variance)
            solved = _arrow(matrix, right + prior / variance, common)
            residual = self._residual(solved.mean)
            day = pull * self._by_visit(d * residual)
            residual = residual - day[self.visit]
            weights = (nu + 1.0) / (nu + residual**2 / self.variance)
        return solved

    def bearing(self) -> tuple[int, ...]:
        """Count the visits that bear on each of what is shared."""
        return tuple(
            int(np.unique(self.visit[self.h[:, at] != 0]).size) for at in range(len(SHARED))
        )

    def _residual(self, mean: Floats) -> Floats:
        return np.asarray(self.reading - np.sum(self.h * mean[self.columns], axis=1))

    def _by_visit(self, values: Floats) -> Floats:
        return np.asarray(np.bincount(self.visit, values), dtype=float)

    def _equations(self, d: Floats, pull: Floats, size: int) -> tuple[Floats, Floats]:
        """Sum the blocks of 7 x 7 into the whole, the days taken out."""
        m = self.h.shape[1]
        first = np.unique(self.visit, return_index=True)[1]
        u = np.stack([self._by_visit(d * self.h[:, j]) for j in range(m)], axis=1)
        z = self._by_visit(d * self.reading)
        matrix, right = np.zeros(size * size), np.zeros(size)
        for columns, rows, other, aim, scale in (
            (self.columns, self.h, self.h, self.reading, d),
            (self.columns[first], u, u, z, -pull),
        ):
            cells = columns[:, :, None] * size + columns[:, None, :]
            blocks = scale[:, None, None] * rows[:, :, None] * other[:, None, :]
            matrix += np.bincount(cells.ravel(), blocks.ravel(), size * size)
            sums = scale[:, None] * rows * aim[:, None]
            right += np.bincount(columns.ravel(), sums.ravel(), size)
        return matrix.reshape(size, size), right


def _arrow(matrix: Floats, right: Floats, common: int) -> _Solved:
    """Solve equations in which no two clients meet: [A B; B' diag(e)], by A - B B'/e."""
    e, b = np.diag(matrix)[common:], matrix[:common, common:]
    over = b / e
    whole = np.linalg.inv(matrix[:common, :common] - over @ b.T)
    cov = np.asarray((whole + whole.T) / 2.0, dtype=float)
    mean = cov @ (right[:common] - over @ right[common:])
    with_common = -over.T @ cov
    return _Solved(
        np.append(mean, right[common:] / e - over.T @ mean),
        cov,
        np.asarray(1.0 / e - np.sum(with_common * over.T, axis=1), dtype=float),
        np.asarray(with_common, dtype=float),
    )
