"""One thing that care found: how far it goes, what to do, where it belongs, and its source."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from strandline.base.sources import cite

Weight = Literal["stop", "wait", "hold", "caution", "note"]
Step = Literal["before", "mixing", "foils", "rinse", "gloss", "return"]
Verdict = Literal["go", "wait", "stop"]


@dataclass(frozen=True, slots=True)
class Finding:
    """What care found.

    Parameters
    ----------
    weight : stop (nothing today), wait (not until answered), hold (no lightener today),
        caution (at its step), note (said once)
    what, do : one sentence each
    source : a key of sources.toml or the words for practice
    step : where on the worksheet it stands
    about : the field or product it concerns
    """

    weight: Weight
    what: str
    do: str
    source: str
    step: Step = "before"
    about: str = ""

    def as_json(self) -> dict[str, str]:
        """Give it with its source in words."""
        return {
            "weight": self.weight,
            "what": self.what,
            "do": self.do,
            "source": cite(self.source),
            "step": self.step,
            "about": self.about,
        }


def verdict(findings: Sequence[Finding]) -> Verdict:
    """Give stop before wait before go."""
    weights = {finding.weight for finding in findings}
    if "stop" in weights:
        return "stop"
    return "wait" if "wait" in weights else "go"


def lightener_held(findings: Sequence[Finding]) -> bool:
    """Say whether anything holds lightener back today."""
    return any(finding.weight in ("stop", "hold") for finding in findings)
