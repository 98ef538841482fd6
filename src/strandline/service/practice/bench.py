"""The numbers of practice and her own values over them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache

from strandline.base.errors import OutOfRangeError
from strandline.base.sources import Number, cite, numbers, toml_beside

HER_OWN = "her own value"


@dataclass(frozen=True)
class Bench:
    """Every number of practice by name; `bench["seconds_slice"]` gives its value.

    Parameters
    ----------
    numbers : mapping of name to Number
    own : names that she set herself
    """

    numbers: Mapping[str, Number]
    own: frozenset[str] = frozenset()

    def __getitem__(self, name: str) -> float:
        """Give a value by name; its unit stands in `numbers`."""
        return self.numbers[name].value

    def pair(self, name: str) -> tuple[float, float]:
        """Give the two ends of a range kept as `<name>_low` and `<name>_high`."""
        return self[f"{name}_low"], self[f"{name}_high"]

    def source(self, name: str) -> str:
        """Give the words for where a value comes from."""
        return HER_OWN if name in self.own else cite(self.numbers[name].source)

    def with_own(self, own: Mapping[str, float]) -> Bench:
        """Put her own values over the defaults.

        Raises
        ------
        OutOfRangeError   a name that the bench does not have, or a value outside its range
        """
        changed = dict(self.numbers)
        for name, value in own.items():
            if name not in changed:
                raise OutOfRangeError(
                    f"There is no value of practice called '{name}'.",
                    f"Choose one of: {', '.join(sorted(changed))}.",
                    f"practice.{name}",
                )
            known = changed[name]
            low, high = known.low, known.high
            if low is not None and high is not None and not low <= value <= high:
                raise OutOfRangeError(
                    f"{known.note.capitalize()} is {value:g} {known.unit}; "
                    f"it must be {low:g} to {high:g}.",
                    "Set a value in that range, or leave the line out for the default.",
                    f"practice.{name}",
                )
            changed[name] = replace(known, value=float(value))
        return Bench(changed, self.own | frozenset(own))


@cache
def default_bench() -> Bench:
    """Load the starting values of `practice.toml`."""
    return Bench(numbers(toml_beside(__package__, "practice.toml"), "practice.toml"))
