# mypy: disable-error-code="misc"
# Lambdas inside unpacked rows: mypy does not hand their type inward; each is a plain figure.
"""Checks of the chemistry: strength and mixing, lift, harm."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

import numpy as np
from numpy.typing import ArrayLike, NDArray

from strandline.base.errors import LegalLimitError
from strandline.base.sources import ARITHMETIC, COMMON_PRACTICE, FROM_MEMORY, table
from strandline.salon.evidence.check import Check, Relation
from strandline.science.chemistry import developer, harm, lift, peroxide
from strandline.science.colour.spaces import lch_from_lab
from strandline.science.fibre import NATURAL_SLOPE, Fibre, natural, stack
from strandline.science.hair.levels import (
    amount_of_level,
    lightened,
    natural_palette,
    progress_of_stage,
    stage_of,
    underlying,
)
from strandline.science.hair.pigment import lab
from strandline.service.consultation.model import Band
from strandline.service.formulate.curves import ground_of, minutes_to_stage
from strandline.service.formulate.lightening import Ground

Floats = NDArray[np.float64]

PATH_PROGRESS = (0.0, 0.5, 1.0, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0)
PATH_OF_LEVEL_5 = {
    "lightness": ((26, 31, 37, 43, 49, 55, 60, 67, 71), 0),
    "chroma": ((11, 17, 23, 27, 28, 28, 27, 23, 19), 1),
    "hue": ((65, 64, 65, 67, 70, 73, 76, 82, 86), 2),
}
"""The path from natural level 5 as it was computed before this code, and its column in LCh."""
EXPONENTS = (0.6, 0.9)
"""n of the repeat-bleach study, and of the model."""


def virgin(level: float) -> Fibre:
    """Give one state of virgin hair."""
    return natural_palette([level], with_white=False)


def white() -> Fibre:
    """Give one state that never had pigment."""
    return natural(np.array([0.0]), NATURAL_SLOPE, white=1.0)


def covered_white(depth: float) -> Fibre:
    """Give white hair under built-up permanent colour of a depth."""
    return white().with_(old_amount=np.atleast_1d(amount_of_level(depth)))


def _minutes(fibre: Fibre, stage: float) -> float:
    """Minutes of one bowl at 20 volume to a stage, every draw at its mean."""
    return float(lift.make_rate(20.0, draws={}).minutes_to(progress_of_stage(stage, fibre))[0])


def _virgin_minutes(level: float, stage: float) -> float:
    return _minutes(virgin(level), stage)


def _number(law: Callable[[float], Floats], at: float) -> float:
    return float(law(at))


def _bath(minutes: float, start: float, *, chelated: bool) -> float:
    return float(peroxide.bath_left(minutes, start, chelated=chelated))


def _stall(depth: float) -> float:
    return float(stage_of(lightened(covered_white(depth), np.array([20.0])))[0])


_YOUNG_COVER: tuple[tuple[int, float, str, Relation, float], ...] = (
    (7, 9.5, "quickest", "at least", 25.0),
    (6, 9.5, "slowest", "at most", 40.0),
)
YOUNG_YEARS = 0.75
"""Years of a cover that has not built up."""


def _covered(depth: int, gray: float, years: float) -> Ground:
    """Give a foil of permanent colour, white and pigmented under it."""
    return ground_of(
        Band(from_cm=0, to_cm=1, past="permanent", depth=depth, years=years), depth, gray
    )


def _covered_stall(depth: int, gray: float) -> float:
    return float(_covered(depth, gray, 8.0).stages()[1][-1])


def _covered_minutes(depth: int, stage: float) -> float:
    ground = _covered(depth, 0.9, YOUNG_YEARS)
    return float(minutes_to_stage(ground, lift.REFERENCE_VOL, stage, {})[0])


def _ready_mix(percent: float) -> str:
    try:
        developer.check_ready_mix(percent)
    except LegalLimitError as error:
        return "refused, entry cited" if "Annex III entry 12" in error.what else "refused"
    return "allowed"


def _strong_share(row: int) -> float:
    given = table("alligation_examples").rows[row]
    high, low = developer.alligation(
        float(given["stock_vol"]), float(given["diluent_vol"]), float(given["target_vol"])
    )
    return high / (high + low)


def _path(column: int, listed: tuple[int, ...]) -> float:
    fibre = virgin(5.0).take(np.zeros(len(PATH_PROGRESS), dtype=np.intp))
    lch = lch_from_lab(lab(lightened(fibre, np.array(PATH_PROGRESS))))
    return float(np.abs(lch[:, column] - np.array(listed)).max())


def _names_on_the_path() -> str:
    fibre = virgin(4.0).take(np.zeros(241, dtype=np.intp))
    stages = stage_of(lightened(fibre, np.linspace(0.0, 12.0, 241)))
    names = [underlying(min(float(stage), 10.5))[0] for stage in stages]
    seen = dict.fromkeys(names)
    return ", ".join(name for name in seen if name in ("red", "orange", "yellow", "pale yellow"))


def _least_step(of: Callable[[float], lift.Rate], minutes: ArrayLike, steps: ArrayLike) -> float:
    """Least step in L* of six hairs as one thing rises: a strength, a time, a warmth."""
    hairs = stack([virgin(1.0), virgin(4.0), virgin(7.0), white(), covered_white(4.0)])
    hairs = stack([hairs, hairs.take(np.array([1])).with_(progress=np.array([2.0]))])
    at, length = np.atleast_1d(np.asarray(steps, dtype=float)), len(hairs)
    time = np.broadcast_to(np.asarray(minutes, dtype=float), at.shape)
    seen = [
        lab(lightened(hairs, np.full(length, of(float(s)).progress(t)[0])))[:, 0]
        for s, t in zip(at, time, strict=True)
    ]
    return float(np.min(np.diff(np.array(seen), axis=0)))


def _lift_by_strength() -> float:
    return _least_step(lambda v: lift.make_rate(v, draws={}), 30.0, np.arange(2.5, 40.1, 2.5))


def _lift_by_time() -> float:
    minutes = np.arange(0.0, 121.0, 2.0)
    return _least_step(lambda _: lift.make_rate(20.0, draws={}), minutes, minutes)


def _lift_by_warmth() -> float:
    rate = lift.make_rate(20.0, draws={})
    return _least_step(rate.warmer, 30.0, np.arange(-10.0, 15.1, 2.5))


def _sessions() -> str:
    """Compare 9 % three times with 3 % five times, 10 to 45 min each, at both exponents."""
    lighter = []
    for n in EXPONENTS:
        for minutes in (10.0, 20.0, 30.0, 45.0):
            once = np.exp(lift.constants()["mu"].value) * lift.tau(minutes, n=n)
            x = once * np.array([3 * (9.0 / 6.0) ** n, 5 * (3.0 / 6.0) ** n])
            strong, weak = lab(lightened(virgin(5.0).take(np.zeros(2, dtype=np.intp)), x))[:, 0]
            lighter.append(bool(strong > weak))
    return "9 % lighter" if all(lighter) else "not always"


def least_harm_ratio(longest_min: float, kd: float) -> float:
    """Least dose of 6 % over that of 3 % that lifts as far, for 5 min to the longest of 6 %."""
    tries = np.arange(0.0, 600.0, 0.05)
    ratios = []
    for n in EXPONENTS:
        weak = 0.5**n * lift.tau(tries, kd=kd, n=n)
        for minutes in np.arange(5.0, longest_min + 0.1, 5.0):
            wanted = float(lift.tau(minutes, kd=kd, n=n))
            same = float(tries[np.argmax(weak >= wanted)]) if weak[-1] >= wanted else np.inf
            ratios.append(float(harm.dose(minutes, 6.0, n) / harm.dose(same, 3.0, n)))
    return min(ratios)


def _cysteic_after(theta: float) -> float:
    known = harm.constants()
    gained = known["half_cystine"].value * float(harm.cystine_oxidised(theta))
    return known["cysteic_sound"].value + gained


_STRENGTH = (
    *(Check(f"Volumes of {percent} % (w/v)", "standard", "bp", volumes,
            partial(developer.volume_exact, percent), 0.1, unit="vol")
      for percent, volumes in ((3, 9.88), (6, 19.75), (9, 29.6), (12, 39.5))),
    *(Check(f"In the bowl: 12 % with powder 1:{ratio:g}", "identity", ARITHMETIC, left,
            partial(developer.bowl_percent, 12.0, ratio), 1e-9, unit="%")
      for ratio, left in ((1, 6.0), (1.5, 7.2), (2, 8.0), (3, 9.0))),
    Check("Ready mix of 12.0 %", "standard", "eu1223", "allowed", lambda: _ready_mix(12.0),
          relation="is"),
    Check("Ready mix of 12.1 %", "standard", "eu1223", "refused, entry cited",
          lambda: _ready_mix(12.1), relation="is"),
    *(Check(f"{row['stock_vol']} with {row['diluent_vol']} volume to {row['target_vol']}: share of "
            "the strong", "standard", "alligation",
            float(row["parts_high"]) / (float(row["parts_high"]) + float(row["parts_low"])),
            partial(_strong_share, i), 1e-9, locator=f"row {i + 1}")
      for i, row in enumerate(table("alligation_examples").rows)),
    Check("Share of HOO- at pH 10", "standard", "marsh2009", 2.45,
          lambda: 100.0 * float(peroxide.perhydroxyl_share(10.0)), 0.02, unit="%"),
    *(Check(f"Bath of {start} %, {words} chelator, after {row['minutes']} min", "measured",
            "edman1961", float(row[column]),
            partial(_bath, float(row["minutes"]), start, chelated=chelated), tolerance, unit="%",
            locator="Table 1", fitted=True)
      for start, column, chelated, words, tolerance in (
          (5.92, "h2o2_percent_no_edta", False, "no", 0.35),
          (6.08, "h2o2_percent_edta", True, "with", 0.1))
      for row in table("edman_marti1961_peroxide_depletion").rows
      if row[column] and row["minutes"] != "0"),
)  # fmt: skip

_LIFT = (
    Check("More strength, 2.5 to 40 volume: least step of L*", "identity", ARITHMETIC, 0.0,
          _lift_by_strength, 0.0, "at least", unit="L*", locator="direction: marsh2009"),
    Check("More time, 0 to 120 min: least step of L*", "identity", ARITHMETIC, 0.0,
          _lift_by_time, 0.0, "at least", unit="L*", locator="direction: marsh2009"),
    Check("More warmth, -10 to +15 C: least step of L*", "identity", ARITHMETIC, 0.0,
          _lift_by_warmth, 0.0, "at least", unit="L*", locator="direction: marsh2009"),
    Check("9 % three times against 3 % five times", "measured", "repeat_bleach", "9 % lighter",
          _sessions, relation="is"),
    Check("Path from level 4", "practice", COMMON_PRACTICE, "red, orange, yellow, pale yellow",
          _names_on_the_path, relation="is"),
    *(Check(f"Path from level 5, {name}: greatest departure", "regression", FROM_MEMORY, 0.0,
            partial(_path, column, listed), 0.5, "at most", locator="progress 0 to 5")
      for name, (listed, column) in PATH_OF_LEVEL_5.items()),
    *(Check(f"Virgin {level} to {stage:g} at 20 volume", "regression", FROM_MEMORY, minutes,
            partial(_virgin_minutes, level, stage), 0.5, unit="min", fitted=True)
      for level, stage, minutes in ((6, 9, 29), (6, 9.5, 36), (7, 10, 41), (6, 10, 48))),
    Check("Virgin 6 to 7 to 9.5 to 10, the middle of both: 30 to 45 min", "practice",
          COMMON_PRACTICE, 37.5, lambda: _virgin_minutes(6.5, 9.75), 7.5, unit="min",
          fitted=True),
    Check("The same, its quickest: virgin 7 to 9.5", "practice", COMMON_PRACTICE, 30.0,
          lambda: _virgin_minutes(7.0, 9.5), 0.0, "at least", unit="min", fitted=True),
    Check("The same, its slowest: virgin 6 to 10", "practice", COMMON_PRACTICE, 45.0,
          lambda: _virgin_minutes(6.0, 10.0), 0.0, "at most", unit="min", fitted=True,
          failing="one rate serves all starts; at the slow corner it takes about 3 min longer"),
    Check("White to 10: 15 to 25 min", "practice", COMMON_PRACTICE, 20.0,
          lambda: _minutes(white(), 10.0), 5.0, unit="min"),
    Check("White to 9.75, the middle: not before 15 min", "practice", COMMON_PRACTICE, 15.0,
          lambda: _minutes(white(), 9.75), 0.0, "at least", unit="min",
          failing="white hair stands at stage 9.3 of the scale before anything is done, so its "
          "first quarters of a stage come soon: 12 min"),
    Check("Built-up cover 5 stalls near", "practice", COMMON_PRACTICE, 8.0, lambda: _stall(5.0),
          0.5, unit="stage", fitted=True),
    Check("Built-up cover 4 stalls near", "practice", COMMON_PRACTICE, 7.0, lambda: _stall(4.0),
          0.5, unit="stage", fitted=True),
    *(Check(f"Built-up cover {depth} under natural {depth}, {gray:g} % white, stalls near",
            "practice", COMMON_PRACTICE, stage, partial(_covered_stall, depth, gray / 100), 0.5,
            unit="stage")
      for depth, stage in ((5, 8.0), (4, 7.0)) for gray in (70.0, 100.0)),
    Check("Built-up cover 6 on white, to 9.5 in 25 to 40 min: the stage it stalls at", "practice",
          COMMON_PRACTICE, 9.5, lambda: _stall(6.0), 0.0, "at least", unit="stage",
          failing="colour built up over years keeps 7 % of itself here, which fits covers 4 and 5 "
          "and stalls cover 6 at 8.7; of less than a year it comes there in time"),
    *(Check(f"Cover {depth} of less than a year, 90 % white, to 9.5 in 25 to 40 min: "
            f"{words}", "practice", COMMON_PRACTICE, bound,
            partial(_covered_minutes, depth, stage), 0.0, relation, unit="min")
      for depth, stage, words, relation, bound in _YOUNG_COVER),
)  # fmt: skip

_HARM = (
    Check("Equal lightness in a bath: dose of 6 % over 3 %, least", "measured", "repeat_bleach",
          1.0, lambda: least_harm_ratio(45.0, lift.constants()["bath_decay_per_min"].value), 0.0,
          "at least", locator="6 % harms more; 5-45 min of 6 %"),
    Check("Equal lightness in a drying paste: dose of 6 % over 3 %, least", "measured",
          "repeat_bleach", 1.0,
          lambda: least_harm_ratio(30.0, lift.constants()["decay_per_min"].value), 0.0, "at least",
          locator="6 % harms more; 5-30 min of 6 %, beyond which 3 % dries out first"),
    *(Check(f"T_D after {row['minutes']} min", "measured", "gillece2021", float(row["t_d_c"]),
            partial(_number, harm.denaturation_c, float(row["minutes"])), 1.0, unit="C",
            locator="Table IV", fitted=True,
            failing="a straight line misses the quick first fall" if row["minutes"] == "15" else "")
      for row in table("gillece2021_bleach_time_denaturation").rows),
    *(Check(f"Helix left after bleach {n}", "measured", "helix2002", left,
            partial(_number, harm.helix_left, float(n)), 0.06, fitted=True,
            locator="ratio of enthalpies")
      for n, left in ((1, 0.93), (2, 0.81), (3, 0.71))),
    Check("Cysteic acid gained, 60 over 15 min", "measured", "suzuta", 2.0,
          lambda: float(harm.cystine_oxidised(60.0) / harm.cystine_oxidised(15.0)), 0.15 * 2.0),
    Check("Cysteic acid after 4 h of 6 %: 200 to 400", "measured", "tate1993", 300.0,
          lambda: _cysteic_after(240.0), 100.0, unit="umol/g", fitted=True),
    *(Check(f"Dye enters faster after {hours} h of 6 %", "measured", "tate1993", after / 3.59,
            partial(_number, harm.permeability, 60.0 * hours), 0.02, fitted=True,
            locator="uranin diffusion over untreated")
      for hours, after in ((1, 9.78), (4, 10.30))),
)  # fmt: skip

CHECKS: tuple[Check, ...] = (*_STRENGTH, *_LIFT, *_HARM)
"""Every check of the chemistry of lift, in the order shown. Rows marked fitted set a constant; the
rest were not used: volumes, bowl, law, dilutions, HOO-, directions, sessions, the order of colours,
equal lightness, the cysteic ratio, white to 10, cover by its years."""
