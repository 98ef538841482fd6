"""What each visit taught, kept as data, so that all of them can be pooled again at any time."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from strandline.base.errors import OutOfRangeError, ReadError
from strandline.service.learning.observation import Observation
from strandline.service.learning.pace import KINDS, Placed, pace_prior
from strandline.service.learning.pool import VisitTaught, pool
from strandline.service.learning.pooled import Pooled
from strandline.service.learning.starting import NAMES, prior_mean, spreads

SCHEMA = 1
LARGEST, FOILS = 100.0, 10_000
"""No reading of a log rate, and no foil's number, is beyond these."""
ANEW = "Pool the visits anew from their records."


@dataclass(frozen=True)
class Record:
    """Visits by their name, and what they teach together."""

    visits: Mapping[str, VisitTaught] = field(default_factory=dict)

    def pooled(self) -> Pooled:
        """Pool them."""
        return pool([self.visits[name] for name in sorted(self.visits)])

    def without(self, name: str | None) -> Record:
        """Give the record without a visit."""
        return Record({one: visit for one, visit in self.visits.items() if one != name})

    def with_visit(self, name: str, taught: VisitTaught) -> Record:
        """Give the record with a visit; one of the same name is replaced."""
        return Record({**self.visits, name: taught})


def record_json(record: Record) -> dict[str, Any]:
    """Give a record as plain data, numbers unrounded."""
    return {
        "schema": SCHEMA,
        "what": "what visits taught of products, clients, her eye and her pace",
        "began": _began(),
        "visits": [
            {
                "name": name,
                "product": visit.product,
                "client": visit.client,
                "checks": [_check(one) for one in visit.observations],
                "placed": [
                    {"kind": one.kind, "foils": one.foils, "seconds": one.seconds}
                    for one in visit.placed
                ],
            }
            for name, visit in sorted(record.visits.items())
        ],
    }


def record_from(data: Any) -> Record:  # noqa: ANN401  # whatever a file holds
    """Read a record that was kept.

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
        visits = {str(one["name"]): _visit(one) for one in data["visits"]}
        whole = len(visits) == len(data["visits"]) and all(visits)
    except (
        *(KeyError, TypeError, ValueError, AttributeError),
        *(OverflowError, OutOfRangeError),
    ) as error:
        raise ReadError(
            f"What was learned has a part that is missing or of another kind: {str(error)[:200]}.",
            ANEW,
        ) from None
    if not whole:
        raise ReadError("What was learned has a visit twice or without a name.", ANEW)
    return Record(visits)


def _began() -> dict[str, Any]:
    """Give the starting numbers it stands on; they are stored so that a change is noticed."""
    return {
        "mean": dict(zip(NAMES, prior_mean().tolist(), strict=True)),
        "sd": dict(zip(NAMES, spreads(), strict=True)),
        "pace": {kind: list(pace_prior(kind)) for kind in KINDS},
    }


def _check(one: Observation) -> dict[str, Any]:
    return {
        "foil": one.foil,
        "minutes": one.minutes,
        "y": one.y,
        "slope": one.slope,
        "sd": one.sd,
        "row": one.row.tolist(),
        "bias": one.bias,
        "bound": one.bound,
        "known": one.known,
    }


def _visit(data: Mapping[str, Any]) -> VisitTaught:
    checks = [
        Observation(
            foil=int(one["foil"]),
            minutes=float(one["minutes"]),
            y=float(one["y"]),
            slope=float(one["slope"]),
            sd=float(one["sd"]),
            row=np.asarray(one["row"], dtype=float),
            bias=float(one["bias"]),
            bound=_bound(one["bound"]),
            known=float(one["known"]),
        )
        for one in data["checks"]
    ]
    placed = [
        Placed(str(one["kind"]), int(one["foils"]), float(one["seconds"])) for one in data["placed"]
    ]
    product, client = data["product"], data["client"]
    if not (isinstance(product, str) and isinstance(client, str) and product and client):
        raise ValueError("a visit without its product or client")
    for one in checks:
        told = (one.y, one.slope, one.bias, one.known, *one.row)
        if not (0 < one.sd <= LARGEST and max(map(abs, told)) <= LARGEST and one.foil <= FOILS):
            raise ValueError(f"a reading of foil {one.foil} beyond any head")
    return VisitTaught(product, client, checks, placed)


def _bound(value: object) -> Any:  # noqa: ANN401  # one of three whole numbers
    if value not in (-1, 0, 1):
        raise ValueError(f"a reading of bound {value}")
    return value
