# mypy: disable-error-code="misc"
# Lambdas inside unpacked rows: mypy does not hand their type inward; each is a plain figure.
"""Checks of gloss going on and going off."""

from __future__ import annotations

from functools import partial

import numpy as np
from numpy.typing import NDArray

from strandline.base.sources import ARITHMETIC, COMMON_PRACTICE, FROM_MEMORY
from strandline.salon.evidence.check import Check
from strandline.salon.evidence.lightening import virgin, white
from strandline.science.chemistry import deposit, fade
from strandline.science.colour.spaces import lab_from_reflectance
from strandline.science.colour.spectra import WAVELENGTHS_NM
from strandline.science.fibre import DYES, stack
from strandline.science.hair.levels import lightened, progress_of_stage
from strandline.science.hair.melanin import relative_extinction
from strandline.science.hair.pigment import absorption, dye_bands, lab, reflectance_from_ks
from strandline.science.hair.shades import dye_amounts

Floats = NDArray[np.float64]


def _kept_after(kind: str, washes: float) -> float:
    return float(fade.kept_after(kind, washes))


def _look(ks: Floats) -> Floats:
    return np.asarray(lab_from_reflectance(reflectance_from_ks(ks)))


def _pale_yellow() -> Floats:
    yellow = np.exp(-(WAVELENGTHS_NM - 550.0) / 60.0)
    return np.asarray(0.1925 + 0.0797 * yellow + 0.12 * relative_extinction("pheomelanin"))


def _band(peak_nm: float) -> Floats:
    return np.asarray(np.exp(-4.0 * np.log(2.0) * ((WAVELENGTHS_NM - peak_nm) / 100.0) ** 2))


def _toned(axis: int) -> float:
    return float(_look(_pale_yellow() + 0.2 * _band(575.0))[axis])


def one_band(peak_nm: float, amounts: Floats) -> Floats:
    """Give pale yellow under amounts of one dye of a peak, CIELAB: shape (n,) to (n, 3)."""
    return _look(_pale_yellow() + amounts[:, None] * _band(peak_nm))


def least_chroma_a(peak_nm: float) -> float:
    """Give a* where one dye of a peak leaves pale yellow at its least chroma."""
    seen = one_band(peak_nm, np.linspace(0.0, 1.5, 601))
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


def _solver_against_all() -> float:
    """Greatest difference between the search and looking at every recipe, on the shelf of now."""
    from strandline.service.consultation.shelf import Shelf  # noqa: PLC0415  # slow
    from strandline.service.formulate.asking import Wanted, asked_of, grounds_of  # noqa: PLC0415
    from strandline.service.formulate.solver import solve_bowl  # noqa: PLC0415

    worst = 0.0
    for aim in ((66.0, 0.0, 6.0), (64.0, 2.0, 12.0), (68.0, 1.0, 10.0)):
        wanted = Wanted(((71.2, 1.9, 18.0),), (1.0,), aim)
        asked = asked_of(wanted, grounds_of(wanted))
        quick, every = (
            solve_bowl(asked, Shelf().gloss, look_at_every_one=slow) for slow in (False, True)
        )
        same = quick.bowls[0].parts == every.bowls[0].parts
        away = abs(quick.bowls[0].away - every.bowls[0].away)
        worst = max(worst, away if same else np.inf)
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

CHECKS: tuple[Check, ...] = (
    *(Check(f"Pale yellow under a band of 575 nm, .2: {axis}", "regression", FROM_MEMORY, value,
            partial(_toned, i), 0.4)
      for i, (axis, value) in enumerate((("L*", 67.7), ("a*", 1.3), ("b*", 12.1)))),
    Check("Red-violet alone, 550 nm, at least chroma: pink, a*", "regression", FROM_MEMORY, 9.0,
          lambda: least_chroma_a(550.0), 1.0),
    Check("Blue alone, 600 nm, at least chroma: green, a*", "regression", FROM_MEMORY, -7.5,
          lambda: least_chroma_a(600.0), 1.0),
    Check("Pale yellow toned to neutral by 550 and 590 nm: L*", "regression", FROM_MEMORY, 59.97,
          _neutral_lightness, 0.1),
    Check("Blue in the neutral mix, pale yellow to red-orange: least rise", "practice",
          "underlying_chart", 0.0, _least_rise_of_blue, -1e-6, "at least",
          locator="violet for yellow, toward blue for orange"),
    Check("Gloss recipe of 12 shades, search against every recipe", "identity", ARITHMETIC, 0.0,
          _solver_against_all, 0.0, "at most", unit="dE00"),
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

"""Every check of gloss, in the order shown. Not used to set a constant: the bands, the auburn."""
