"""Bowls as they were really mixed: the strength in them, and where it is more than may be."""

from __future__ import annotations

from collections.abc import Mapping

from strandline.base.facts.visit import Visit
from strandline.service.anew.model import Step
from strandline.service.anew.telling import RINSE_IF
from strandline.service.plan.assemble import Made

LITTLE_VOL = 0.5
"""A bowl nearer than this to its plan is as planned; common practice, no source."""


def poured_of(visit: Visit) -> dict[str, float]:
    """Give the strength of each bowl as it was last mixed, vol."""
    return {bowl.bowl.strip().lower(): bowl.developer_vol for bowl in visit.bowls}


def bowls_told(made: Made, poured: Mapping[str, float], now: str | None) -> list[Step]:
    """Give a step for each bowl of another strength than planned.

    Parameters
    ----------
    made : the plan that is followed
    poured : by bowl, vol
    now : local time
    """
    if made.asked is None:
        return []
    out = []
    for name, vol in poured.items():
        planned = [dose.mix.poured_vol for dose in made.doses if dose.bowl == name]
        if not planned or abs(vol - planned[0]) <= LITTLE_VOL:
            continue
        most = made.asked.label_max_vol
        if name != "strong":
            most = min(most, made.bench["scalp_max_vol"])
        told = f"The {name} bowl was mixed with {vol:g} volume; planned is {planned[0]:g}."
        if vol > most:
            out.append(
                Step(
                    at=now,
                    what=f"{told} Place no more of it: mix anew. Look at what is in now.",
                    why=f"The most here is {most:g} volume; stronger runs faster and harms more.",
                    caution=RINSE_IF,
                )
            )
        else:
            out.append(Step(at=now, what=told, why="Its clocks are set for what was mixed."))
    return out
