"""One outside check: what is expected, where that comes from, what is computed."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

from strandline.base.errors import SourceError
from strandline.base.sources import cite

Kind = Literal["measured", "standard", "identity", "practice", "regression"]
Relation = Literal["near", "at most", "at least", "is"]


@dataclass(frozen=True, slots=True)
class Check:
    """A check against something outside the project.

    Parameters
    ----------
    name : str            what is checked, in words
    kind : Kind           measured, standard, identity, practice or regression
    source : str          a key of sources.toml, 'common practice, no source', 'from memory'
                          or 'arithmetic'
    expected : float|str  the outside value, or the outside fact in words
    compute : callable    gives the project's value; for a fact in words, the words it finds
    tolerance : float     in the unit of `expected`; 0 for exact
    relation : Relation   'near' within tolerance, 'at most', 'at least', or 'is' for words
    unit : str            unit of `expected`
    locator : str         table, page or row in the source
    fitted : bool         True where the value was used to set a constant of the model
    failing : str         why it is known not to hold; empty where it must hold
    """

    name: str
    kind: Kind
    source: str
    expected: float | str
    compute: Callable[[], float | str]
    tolerance: float = 0.0
    relation: Relation = "near"
    unit: str = ""
    locator: str = ""
    fitted: bool = False
    failing: str = ""

    def __post_init__(self) -> None:
        """Refuse a measured or standard check without a published source."""
        words = cite(self.source)
        if self.kind in ("measured", "standard") and words == self.source:
            raise SourceError(
                f"The check '{self.name}' is called {self.kind} but names no published source.",
                "Name a key of sources.toml, or call it identity, practice or regression.",
            )

    def result(self) -> Result:
        """Compute it now."""
        computed = self.compute()
        return Result(self, computed, self._holds(computed))

    def _holds(self, computed: float | str) -> bool:
        if isinstance(self.expected, str) or isinstance(computed, str):
            return computed == self.expected
        if self.relation == "at most":
            return computed <= self.expected + self.tolerance
        if self.relation == "at least":
            return computed >= self.expected - self.tolerance
        return abs(computed - self.expected) <= self.tolerance


@dataclass(frozen=True, slots=True)
class Result:
    """A check with what came out."""

    check: Check
    computed: float | str
    holds: bool

    def as_json(self) -> dict[str, object]:
        """Give one row of the evidence table."""
        check = self.check
        where = f", {check.locator}" if check.locator else ""
        return {
            "name": check.name,
            "kind": check.kind,
            "source": cite(check.source) + where,
            "expected": check.expected,
            "relation": check.relation,
            "computed": self.computed,
            "tolerance": check.tolerance,
            "unit": check.unit,
            "fitted": check.fitted,
            "holds": self.holds,
            "failing_reason": check.failing,
        }
