"""Lightener and lowlights of a visit: which strength in which foil, its bowls and its clock."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from strandline.base.errors import OutOfRangeError
from strandline.base.quantities import Range
from strandline.science.hair.levels import underlying
from strandline.service.choose.technique import Technique
from strandline.service.consultation.model import Consultation
from strandline.service.consultation.reading import HeadReading
from strandline.service.formulate.bowls import weigh_bowls
from strandline.service.formulate.lowlights import filler_minutes, lowlight_shades
from strandline.service.formulate.strengths import (
    Asked,
    Dose,
    expected_stage,
    first_check_min,
    set_strengths,
)
from strandline.service.plan.foil_work import FoilWork, by_search
from strandline.service.plan.glossing import on_shelf
from strandline.service.plan.model import Bowl, Strength
from strandline.service.plan.placing import Placed, bowl_of
from strandline.service.plan.timed import foiled_of
from strandline.service.plan.timing import bowls_of, clock_of, runs, strengths_of, waits_of
from strandline.service.practice.bench import Bench
from strandline.service.schedule.chair import Wait
from strandline.service.schedule.clock import Clock

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Lifted:
    """What lightening plans: how the foils are worked; nothing of it where none is planned.

    Parameters
    ----------
    work : doses, bowls, waits and clock; None without foils
    strengths, weighed : for the plan
    stage : expected of the lengths
    first_check : from a foil's own start, min
    asked : what lightener is asked for; None without it
    searched : the timing is the search's, not her rule's
    """

    work: FoilWork | None
    strengths: list[Strength]
    weighed: list[Bowl]
    stage: Range | None
    first_check: float
    asked: Asked | None = None
    searched: bool = False

    @property
    def doses(self) -> tuple[Dose, ...]:
        """Give the lightener by stretch and bowl."""
        return () if self.work is None else self.work.doses

    @property
    def bowls(self) -> Mapping[int, str]:
        """Give the bowl of each foil."""
        return {} if self.work is None else self.work.bowls

    @property
    def clock(self) -> Clock | None:
        """Give the clock of the head."""
        return None if self.work is None else self.work.clock

    @property
    def waits(self) -> Mapping[str, Wait]:
        """Give each bowl's wait."""
        return {} if self.work is None else self.work.waits


NOTHING = Lifted(None, [], [], None, 0.0)


def lift_today(
    c: Consultation,
    head: HeadReading,
    technique: Technique,
    placed: Placed | None,
    bench: Bench,
    drawn: Mapping[str, Floats],
    *,
    timed: bool = False,
    bowls: Mapping[str, str] | None = None,
) -> Lifted:
    """Choose strengths and set the clock of today's foils, lowlights among them.

    Parameters
    ----------
    bowls : of each zone by its name, where they were chosen; None for her rule
    timed : let the search of timings choose strengths, wipes and rinse where it finds better than
        her rule

    Raises
    ------
    OutOfRangeError    no label's longest time, or one too short to be kept
    UnreachableError   no bottle gives a strength that may be used
    """
    if placed is None or technique.kind not in ("foils", "lowlights"):
        return NOTHING
    if technique.kind == "lowlights":
        dark = {foil.number: "lowlight" for foil in placed.foils}
        waits = {"lowlight": _lowlight_wait(c, head, bench)}
        work = FoilWork((), dark, waits, clock_of(c, placed.foils, dark, waits, bench))
        return Lifted(work, [], [], None, waits["lowlight"].first_check_min)
    asked = asked_of(c, technique, bench, chosen=bowls is not None)
    usual = first_check_min(
        bench, dark=technique.dark_cover, gray=head.gray_mean, diameter_um=head.diameter_um
    )
    doses = tuple(set_strengths(foiled_of(head), asked, bench, drawn))
    if bowls is not None and not technique.dark_cover:
        doses = tuple(dose for dose in doses if dose.bowl in bowls.values())
    soonest = min(dose.after_min + dose.due_min for dose in doses) - bench["check_near_end_min"]
    first_check = min(usual, max(1.0, soonest))  # looked at before it is due, however short
    of_foil = {
        foil.number: bowl_of(foil, technique, asked.weak_on, bench["weak_foils"], bowls)
        for foil in placed.foils
    }
    ruled = _by_rule(c, head, placed, doses, of_foil, asked, first_check, bench)
    found = None
    if timed:
        found = by_search(c, head, placed.foils, asked, ruled, bench, drawn)
    work = found or ruled
    names = {}
    for index, dose in enumerate(work.doses):
        names[index] = underlying(min(10.0, max(1.0, dose.stage_when_due.middle)))
    return Lifted(
        work,
        strengths_of(work.doses, work.bowls, first_check, names),
        _weighed(c, placed, work, asked.stock_vols, bench),
        expected_stage(work.doses),
        first_check,
        asked,
        found is not None,
    )


def _by_rule(
    c: Consultation,
    head: HeadReading,
    placed: Placed,
    doses: tuple[Dose, ...],
    bowls: Mapping[int, str],
    asked: Asked,
    first_check: float,
    bench: Bench,
) -> FoilWork:
    """Work the foils from their bowls, in the order of work."""
    waits = waits_of(doses, first_check, asked.label_max_min)
    if "lowlight" in bowls.values():
        waits["lowlight"] = _lowlight_wait(c, head, bench)
    return FoilWork(doses, bowls, waits, clock_of(c, placed.foils, bowls, waits, bench))


def _lowlight_wait(c: Consultation, head: HeadReading, bench: Bench) -> Wait:
    """Give what a lowlight waits for, its filler first, by the label of the shades it may be of."""
    label = min(shade.label_min for shade in lowlight_shades(head, on_shelf(c)))
    due = min(bench["lowlight_min"], label)
    first = filler_minutes(head, on_shelf(c))
    return Wait(first + due, first + due / 2, first + label)


def asked_of(c: Consultation, technique: Technique, bench: Bench, *, chosen: bool = False) -> Asked:
    """Say what is asked of the strengths.

    Parameters
    ----------
    chosen : the bowl of each zone was chosen

    Raises
    ------
    OutOfRangeError   no label's longest time
    """
    lightener = c.shelf.lightener
    if lightener is None or lightener.label_max_min is None:
        raise OutOfRangeError(
            "Lightener is planned, but the longest time on its label is not given.",
            "Read it off the label and enter shelf.lightener.label_max_min, in minutes; "
            "there is no default.",
            "shelf.lightener.label_max_min",
        )
    weak_on = "none"
    if chosen and not technique.dark_cover:
        weak_on = "chosen"
    elif technique.scale in ("heavy", "soft") and not technique.dark_cover:
        weak_on = "first"
    elif technique.scale == "return":
        weak_on = "hairline"
    return Asked(
        aim_stage=technique.aim_stage,
        dark=technique.dark_cover,
        weak_on=weak_on,
        label_max_min=lightener.label_max_min,
        label_max_vol=lightener.label_max_vol or bench["powder_max_vol"],
        stock_vols=_bottles(c, technique, bench),
    )


def _bottles(c: Consultation, technique: Technique, bench: Bench) -> tuple[float, ...]:
    """Give the bottles that are poured from, vol.

    One that is stronger than what may be used stays on its shelf, even to be mixed down, where the
    others pour to the main strength; where they do not, it is mixed down.
    """
    vols = tuple(bottle.vol for bottle in c.shelf.developers if bottle.grams > 0)
    lightener = c.shelf.lightener
    most = (lightener and lightener.label_max_vol) or bench["powder_max_vol"]
    most = min(most, bench["dark_vol"] if technique.dark_cover else bench["scalp_max_vol"])
    kept = tuple(vol for vol in vols if vol <= most)
    wanted = min(bench["main_vol"], most)
    return kept if kept and max(kept) >= wanted - NEAR_VOL else vols


NEAR_VOL = 1.0
"""A bottle this near the strength that is wanted pours it; common practice, no source."""


def _weighed(
    c: Consultation,
    placed: Placed,
    work: FoilWork,
    stocks: Sequence[float],
    bench: Bench,
) -> list[Bowl]:
    """Weigh each bowl; a foil of old dark colour takes from two, by the length each covers."""
    lightener = c.shelf.lightener
    bowls, doses = work.bowls, work.doses
    ratio = lightener.powder_ratio if lightener else 2.0
    grams: dict[str, float] = {}
    vols = {dose.bowl: dose.mix.poured_vol for dose in doses}
    for foil in placed.foils:
        name = bowls[foil.number]
        served = [dose for dose in doses if name in ("strong", dose.bowl)]
        whole = sum(dose.to_cm - dose.from_cm for dose in served)
        for dose in served:
            share = (dose.to_cm - dose.from_cm) / whole
            grams[dose.bowl] = grams.get(dose.bowl, 0.0) + share * foil.lightener_grams
    mixed = weigh_bowls(grams, vols, stocks, ratio, bench, times_fresh=work.clock.bowls)
    serves = {
        name: f"foils {runs([n for n, b in bowls.items() if b == name])}"
        for name in set(bowls.values())
    }
    if "strong" in serves:
        foils = serves["strong"]
        serves = {
            "strong": f"{foils}, the old colour, first",
            "main": f"{foils}, next the scalp and the regrowth, later",
        }
    return bowls_of(mixed, serves)
