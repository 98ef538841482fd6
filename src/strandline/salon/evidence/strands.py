"""Checks of a head's strands: their draws, their number, what is shed, and what a date shows."""

from __future__ import annotations

from functools import cache

import numpy as np

from strandline.base.sources import ARITHMETIC, COMMON_PRACTICE
from strandline.salon.evidence.check import Check
from strandline.science.head.on_date import Done, pasts_on
from strandline.science.head.strands import Grown, Strands, derive, key_of, normal, unit
from strandline.science.head.zones import CutLines, Zones, cut_zones
from strandline.service.placement.pattern import pattern
from strandline.service.placement.place import place
from strandline.service.placement.sight import by_sight, in_foils

KINDS = ("slice", "weave", "tip-out")
HIT = 0.8


@cache
def _head(count: int = 20_000, *, moved: bool = False) -> tuple[Zones, Strands]:
    zones = cut_zones(None, CutLines(centre_strip_cm=8.0)) if moved else cut_zones()
    grown = {zone.key: Grown(223, 0.4, 70, 367) for zone in zones}
    return zones, derive(zones, grown, key_of("the head of the evidence"), count)


def _known_answer() -> str:
    """Give the first block of Philox4x64-10 at counter 0 and key 0."""
    words = np.random.Philox(counter=(1 << 256) - 1, key=0).random_raw(4)
    return " ".join(f"{int(word):016x}" for word in words)


def _hairs() -> float:
    return float(_head()[1].weight.sum())


def _shed(days: float) -> float:
    strands = _head()[1]
    return 100 * strands.share(strands.shed_day <= days)


def _spread_of_growth() -> float:
    rates = _head(100_000)[1].growth_um_per_day
    return float(rates.std() / rates.mean())


def _moved_cut() -> float:
    """Count strands that a cut line moved elsewhere shuffles."""
    one, other = _head()[1], _head(moved=True)[1]
    ours, theirs = (set(zip(s.cell.tolist(), s.index.tolist(), strict=True)) for s in (one, other))
    return float(len(ours ^ theirs))


def _treated_moves() -> float:
    """Give how far a treated stretch misses rate x time, mean over strands, cm."""
    strands = _head(1_000)[1]
    done = [Done(0.0, 0.0, 3.0, np.ones(len(strands), dtype=bool), "treated")]
    past = pasts_on(strands, done, 84.0, 40.0, 200)
    stays = strands.shed_day > 84
    hit = past.where(lambda _, had: bool(had[0]))[stays]
    first = hit.argmax(axis=1) * past.edge_cm[1]
    return float(np.mean(first - strands.growth_um_per_day[stays] * 84e-4))


def _hit_rate() -> float:
    zones, strands = _head()
    first = place(zones, pattern("soft"))
    light = in_foils(first, strands, KINDS)
    wanted = in_foils(place(zones, pattern("soft"), ghosts=first), strands, KINDS)
    taken = by_sight(strands, wanted, light, HIT, 2)
    return float(strands.weight[taken & ~light].sum() / strands.weight[taken].sum())


def _normals() -> float:
    return float(normal(np.random.Philox(counter=0, key=3).random_raw(100_000)).std())


def _uniforms() -> float:
    return float(unit(np.random.Philox(counter=0, key=3).random_raw(100_000)).mean())


CHECKS: tuple[Check, ...] = (
    Check("Philox4x64-10, counter 0, key 0", "standard", "salmon2011",
          "16554d9eca36314c db20fe9d672d0fdc d7e772cee186176b 7e68b68aec7ba23b", _known_answer,
          relation="is", locator="kat_vectors"),
    Check("Mean of uniforms", "identity", ARITHMETIC, 0.5, _uniforms, 0.003),
    Check("Spread of normals", "identity", ARITHMETIC, 1.0, _normals, 0.01),
    Check("Hairs that 20,000 strands stand for, at 223/cm2", "identity", ARITHMETIC,
          223 * cut_zones().area_cm2, _hairs, 20.0, unit="hairs"),
    Check("Shed in 12 weeks: about a tenth", "practice", COMMON_PRACTICE, 10.0,
          lambda: _shed(84.0), 1.5, unit="%"),
    Check("Shed in 36 weeks: about a quarter", "practice", COMMON_PRACTICE, 25.0,
          lambda: _shed(252.0), 2.5, unit="%"),
    Check("Spread of growth between strands: about a tenth", "practice", COMMON_PRACTICE, 0.1,
          _spread_of_growth, 0.005, locator="share of the rate"),
    Check("Strands shuffled by a cut line moved elsewhere", "identity", ARITHMETIC, 0.0,
          _moved_cut, unit="strands"),
    Check("A treated stretch after 12 weeks: miss of rate x time, in stretches of 2 mm",
          "identity", ARITHMETIC, 0.0, _treated_moves, 0.02, unit="cm"),
    Check("A later round by sight: share left out before, asked for", "practice",
          COMMON_PRACTICE, HIT, _hit_rate, 0.02, locator="8 in 10, +- 1, from memory"),
)  # fmt: skip
