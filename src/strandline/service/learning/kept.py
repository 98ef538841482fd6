"""Pooled visits as data to be kept, and read again."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray

from strandline.base.errors import ReadError
from strandline.service.learning.pace import KINDS, pace_prior
from strandline.service.learning.pooled import Learnt, Pooled
from strandline.service.learning.starting import NAMES, SHARED, prior_mean, spreads

Floats = NDArray[np.float64]

SCHEMA = 1
ANEW = "Pool the visits anew from their records."


def as_json(pooled: Pooled) -> dict[str, Any]:
    """Give pooled visits as plain data, numbers unrounded."""
    return {
        "schema": SCHEMA,
        "began": _began(),
        "visits": pooled.visits,
        "products": [
            {"name": name, "visits": visits}
            for name, visits in zip(pooled.products, pooled.product_visits, strict=True)
        ],
        "clients": [
            {
                "name": name,
                "visits": pooled.client_visits[at],
                "mean": float(pooled.client_mean[at]),
                "variance": float(pooled.client_var[at]),
                "with_common": pooled.client_cov[at].tolist(),
            }
            for at, name in enumerate(pooled.clients)
        ],
        "shared_visits": list(pooled.shared_visits),
        "common_mean": pooled.common_mean.tolist(),
        "common_cov": pooled.common_cov.tolist(),
        "pace": {
            kind: {"mean": one.mean, "sd": one.sd, "visits": one.visits}
            for kind, one in pooled.pace.items()
        },
    }


def from_json(data: Mapping[str, Any]) -> Pooled:
    """Read pooled visits that were kept.

    Parameters
    ----------
    data : as `as_json` gave it

    Raises
    ------
    ReadError   another schema, other starting numbers, a part that is missing or does not fit
    """
    if not isinstance(data, Mapping) or data.get("schema") != SCHEMA:
        found = data.get("schema") if isinstance(data, Mapping) else None
        raise ReadError(
            f"What was learned is kept in schema {found}; it must be schema {SCHEMA}.",
            f"Read it with the version that wrote it. {ANEW}",
        )
    if data.get("began") != _began():
        raise ReadError(
            "What was learned began at other starting numbers than those of today.", ANEW
        )
    try:
        pooled = _read(data)
    except (KeyError, TypeError, ValueError, AttributeError) as error:
        raise ReadError(
            f"What was learned has a part that is missing or of another kind: {error}.", ANEW
        ) from None
    _refuse(pooled)
    return pooled


def _began() -> dict[str, Any]:
    """Give the starting numbers it stands on; they are stored so that a change is noticed."""
    return {
        "mean": dict(zip(NAMES, prior_mean().tolist(), strict=True)),
        "sd": dict(zip(NAMES, spreads(), strict=True)),
        "pace": {kind: list(pace_prior(kind)) for kind in KINDS},
    }


def _read(data: Mapping[str, Any]) -> Pooled:
    products, clients = list(data["products"]), list(data["clients"])
    common = len(SHARED) + len(products)
    pace = {}
    for kind in KINDS:
        kept, (mean, sd) = data["pace"][kind], pace_prior(kind)
        pace[kind] = Learnt(float(kept["mean"]), float(kept["sd"]), mean, sd, int(kept["visits"]))
    return Pooled(
        products=tuple(str(one["name"]) for one in products),
        clients=tuple(str(one["name"]) for one in clients),
        product_visits=tuple(int(one["visits"]) for one in products),
        client_visits=tuple(int(one["visits"]) for one in clients),
        shared_visits=tuple(int(count) for count in data["shared_visits"]),
        common_mean=_array(data["common_mean"], common),
        common_cov=_array(data["common_cov"], common, common),
        client_mean=_array([one["mean"] for one in clients], len(clients)),
        client_var=_array([one["variance"] for one in clients], len(clients)),
        client_cov=_array(
            [one["with_common"] for one in clients] or np.zeros((0, common)), len(clients), common
        ),
        pace=pace,
        visits=int(data["visits"]),
    )


def _array(values: Any, *shape: int) -> Floats:  # noqa: ANN401  # whatever a file holds
    out = np.asarray(values, dtype=float)
    if out.shape != shape:
        raise ValueError(f"numbers of shape {out.shape} where {shape} are due")
    return out


def _refuse(pooled: Pooled) -> None:
    arrays = (pooled.common_mean, pooled.common_cov, pooled.client_mean, pooled.client_cov)
    sds = [*np.diag(pooled.common_cov), *pooled.client_var, *(p.sd for p in pooled.pace.values())]
    finite = all(np.all(np.isfinite(one)) for one in arrays) and np.all(np.isfinite(sds))
    names = (*pooled.products, *pooled.clients)
    whole = all(names) and all(
        len(set(some)) == len(some) for some in (pooled.products, pooled.clients)
    )
    if not (finite and all(sd > 0 for sd in sds) and whole):
        raise ReadError(
            "What was learned holds a spread not above 0, what is no number, or a name twice.",
            ANEW,
        )
