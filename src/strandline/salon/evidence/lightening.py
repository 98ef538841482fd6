# mypy: disable-error-code="misc"
# Lambdas inside unpacked rows: mypy does not hand their type inward; each is a plain figure.
"""Checks of the chemistry: strength and mixing, lift, harm, gloss going on and going off."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

import numpy as np
from numpy.typing import ArrayLike, NDArray

from strandline.base.errors import LegalLimitError
from strandline.base.sources import ARITHMETIC, COMMON_PRACTICE, FROM_MEMORY, table
from strandline.salon.evidence.check import Check
from strandline.science.chemistry import deposit, developer, fade, harm, lift, peroxide
from strandline.science.colour.spaces import lab_from_reflectance, lch_from_lab
from strandline.science.colour.spectra import WAVELENGTHS_NM
from strandline.science.fibre import DYES, NATURAL_SLOPE, Fibre, natural, stack
from strandline.science.hair.levels import (
    amount_of_level,
    lightened,
    natural_palette,
    progress_of_stage,
    stage_of,
    underlying,
)
from strandline.science.hair.melanin import relative_extinction
from strandline.science.hair.pigment import absorption, dye_bands, lab, reflectance_from_ks
from strandline.science.hair.shades import dye_amounts

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


def _kept_after(kind: str, washes: float) -> float:
    return float(fade.kept_after(kind, washes))


def _stall(depth: float) -> float:
    return float(stage_of(lightened(covered_white(depth), np.array([20.0])))[0])


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


def _look(ks: Floats) -> Floats:
    return np.asarray(lab_from_reflectance(reflectance_from_ks(ks)))


def _pale_yellow() -> Floats:
    yellow = np.exp(-(WAVELENGTHS_NM - 550.0) / 60.0)
    return np.asarray(0.1925 + 0.0797 * yellow + 0.12 * relative_extinction("pheomelanin"))


def _band(peak_nm: float) -> Floats:
    return np.asarray(np.exp(-4.0 * np.log(2.0) * ((WAVELENGTHS_NM - peak_nm) / 100.0) ** 2))


def _toned(axis: int) -> float:
    return float(_look(_pale_yellow() + 0.2 * _band(575.0))[axis])


def _least_chroma_a(peak_nm: float) -> float:
    amounts = np.linspace(0.0, 1.5, 601)
    seen = _look(_pale_yellow() + amounts[:, None] * _band(peak_nm))
    return float(seen[np.argmin(np.hypot(seen[:, 1], seen[:, 2])), 1])


def _neutral_lightness() -> float:
    return float(_look(_pale_yellow() + 0.29 * _band(550.0) + 0.64 * _band(590.0))[0])


def blue_share(ground: Floats) -> float:
    """Give the share of blue in the violet and blue that leave a ground without colour.

    Parameters
    ----------
    ground : shape (81,)   K/S

    Returns
    -------
    [1]   blue over violet and blue, each K/S at its peak; by Newton's steps on a*, b*
    """
    bands = dye_bands()[[DYES.index("violet"), DYES.index("blue")]]
    amounts = np.array([0.3, 0.3])
    for _ in range(60):
        tries = amounts + 1e-5 * np.array([[0.0, 0.0], [1.0, 0.0], [0.0, 1.0]])
        seen = _look(ground + tries @ bands)[:, 1:]
        amounts = amounts - np.linalg.solve((seen[1:] - seen[0]).T / 1e-5, seen[0])
    return float(amounts[1] / amounts.sum())


def _least_rise_of_blue() -> float:
    """Least rise of blue from pale yellow by yellow, gold and orange to red-orange."""
    fibre = virgin(4.0).take(np.zeros(5, dtype=np.intp))
    lifted = lightened(fibre, progress_of_stage([10.0, 9.0, 7.0, 5.0, 4.0], fibre))
    return float(np.diff([blue_share(ground) for ground in absorption(lifted)]).min())


def _greatest_rise_by_gloss() -> float:
    hairs = stack([white(), virgin(6.0), lightened(virgin(6.0), np.array([4.5]))])
    worst = -np.inf
    for kind in deposit.constants()["half_time"]:
        for dyes in (dye_amounts(6.0, {"violet": 2.0}), dye_amounts(9.0, {"gold": 2.0, "red": 1})):
            seen = [
                lab(deposit.deposit(hairs, dyes, deposit.uptake(m, 20.0, kind, 1.3)))[:, 0]
                for m in range(0, 31, 2)
            ]
            worst = max(worst, float(np.max(np.diff(np.array(seen), axis=0))))
    return worst


def _auburn_change(washes: float, uv_hours: float) -> float:
    """CIE76 change of a medium auburn of permanent colour on white hair."""
    dyes = dye_amounts(5.0, {"red": 0.5, "copper": 0.5})
    left = np.array([1.0, float(fade.kept_after("permanent", washes, uv_hours))])
    fresh, faded = lab(deposit.deposit(white().take(np.zeros(2, dtype=np.intp)), dyes, left))
    return float(np.linalg.norm(fresh - faded))


_AUBURN = (
    "the law of fade is one slow exponential for the weeks after; the first washes and hours of a "
    "fresh colour lose more. Depth, dyes and light of the paper are not known (a poor scan)"
)

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
    Check("Cover 6 on white, to 9.5 in 25 to 40 min: the stage it stalls at", "practice",
          COMMON_PRACTICE, 9.5, lambda: _stall(6.0), 0.0, "at least", unit="stage",
          failing="a residue of 7 % that fits covers 4 and 5 makes built-up cover 6 stall at "
          "8.7; the model has no lesser residue for colour that is not built up"),
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

_GLOSS = (
    *(Check(f"Pale yellow under a band of 575 nm, .2: {axis}", "regression", FROM_MEMORY, value,
            partial(_toned, i), 0.4)
      for i, (axis, value) in enumerate((("L*", 67.7), ("a*", 1.3), ("b*", 12.1)))),
    Check("Red-violet alone, 550 nm, at least chroma: pink, a*", "regression", FROM_MEMORY, 9.0,
          lambda: _least_chroma_a(550.0), 1.0),
    Check("Blue alone, 600 nm, at least chroma: green, a*", "regression", FROM_MEMORY, -7.5,
          lambda: _least_chroma_a(600.0), 1.0),
    Check("Pale yellow toned to neutral by 550 and 590 nm: L*", "regression", FROM_MEMORY, 59.97,
          _neutral_lightness, 0.1),
    Check("Blue in the neutral mix, pale yellow to red-orange: least rise", "practice",
          "underlying_chart", 0.0, _least_rise_of_blue, -1e-6, "at least",
          locator="violet for yellow, toward blue for orange"),
    Check("Gloss left on longer: greatest rise in lightness", "identity", ARITHMETIC, 0.0,
          _greatest_rise_by_gloss, 0.0, "at most", unit="L*"),
    Check("Permanent, left after 30 washes", "measured", "ifscc2008", 0.9,
          partial(_kept_after, "permanent", 30), 0.0, "at least", fitted=True),
    *(Check(f"{name}, left after {washes}", "measured", "modern_hair_science", 0.1,
            partial(_kept_after, kind, count), 0.0, "at most",
            locator="Table 5", fitted=True)
      for name, kind, count, washes in (("Demi", "acid demi", 24, "24 washes"),
                                        ("Semi", "direct", 8, "8 washes"),
                                        ("Temporary", "temporary", 1, "1 wash"))),
    Check("Cover on white hair, left after 12 weeks: .6 to .8", "practice", COMMON_PRACTICE, 0.7,
          lambda: float(fade.kept("permanent", 12)), 0.1, fitted=True),
    *(Check(f"Medium auburn on white hair, {words}", "measured", "jcs56", change,
            partial(_auburn_change, washes, hours), tolerance, unit="dE*ab", failing=_AUBURN)
      for words, washes, hours, change, tolerance in (
          ("4 shampoos", 4, 0, 3.6, 0.7),
          ("16 h of light and shampoos", 4, 16, 7.3, 0.7),
          ("32 h of light and shampoos", 8, 32, 10.7, 0.7))),
)  # fmt: skip

CHECKS: tuple[Check, ...] = (*_STRENGTH, *_LIFT, *_HARM, *_GLOSS)
"""Every check of the chemistry, in the order shown. Rows marked fitted set a constant; the rest
were not used: volumes, bowl, law, dilutions, HOO-, directions, sessions, the order of colours,
equal lightness, the cysteic ratio, white to 10, the bands of gloss, the auburn."""
