"""The difference between two colours as an eye weighs it."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


def delta_e00(lab_1: Floats, lab_2: Floats) -> Floats:
    """CIEDE2000 colour difference, kL = kC = kH = 1.

    Parameters
    ----------
    lab_1, lab_2 : shape (..., 3)   CIELAB, broadcast against each other

    Returns
    -------
    shape (...)   dE00, >= 0

    Notes
    -----
    Lightness, chroma and hue differences over their weights, with the term that turns blues.
    Valid for small and middle differences (to about 5); larger ones are ordered, not measured.
    Hue differences are 0 where a colour is gray; mean hue as the authors implement it.

    References
    ----------
    sharma2005: G. Sharma, W. Wu, E. N. Dalal (2005), equations 2-22.
    """
    L_1, a_1, b_1 = np.moveaxis(np.asarray(lab_1, dtype=float), -1, 0)
    L_2, a_2, b_2 = np.moveaxis(np.asarray(lab_2, dtype=float), -1, 0)

    C_ab = (np.hypot(a_1, b_1) + np.hypot(a_2, b_2)) / 2.0
    G = 0.5 * (1.0 - np.sqrt(C_ab**7 / (C_ab**7 + 25.0**7)))
    C_1, h_1 = _polar((1.0 + G) * a_1, b_1)
    C_2, h_2 = _polar((1.0 + G) * a_2, b_2)
    gray = C_1 * C_2 == 0

    turn = h_2 - h_1
    turn = np.where(turn > 180.0, turn - 360.0, np.where(turn < -180.0, turn + 360.0, turn))
    turn = np.where(gray, 0.0, turn)
    dL, dC = L_2 - L_1, C_2 - C_1
    dH = 2.0 * np.sqrt(C_1 * C_2) * np.sin(np.radians(turn) / 2.0)

    L_m, C_m, h_m = (L_1 + L_2) / 2.0, (C_1 + C_2) / 2.0, _mean_hue(h_1, h_2, gray)
    T = (
        1.0
        - 0.17 * np.cos(np.radians(h_m - 30.0))
        + 0.24 * np.cos(np.radians(2.0 * h_m))
        + 0.32 * np.cos(np.radians(3.0 * h_m + 6.0))
        - 0.20 * np.cos(np.radians(4.0 * h_m - 63.0))
    )
    S_L = 1.0 + 0.015 * (L_m - 50.0) ** 2 / np.sqrt(20.0 + (L_m - 50.0) ** 2)
    S_C = 1.0 + 0.045 * C_m
    S_H = 1.0 + 0.015 * C_m * T
    R_C = 2.0 * np.sqrt(C_m**7 / (C_m**7 + 25.0**7))
    R_T = -np.sin(np.radians(60.0 * np.exp(-(((h_m - 275.0) / 25.0) ** 2)))) * R_C

    l, c, h = dL / S_L, dC / S_C, dH / S_H
    return np.asarray(np.sqrt(np.maximum(l**2 + c**2 + h**2 + R_T * c * h, 0.0)))


def _polar(a: Floats, b: Floats) -> tuple[Floats, Floats]:
    return np.hypot(a, b), np.degrees(np.arctan2(b, a)) % 360.0


def _mean_hue(h_1: Floats, h_2: Floats, gray: NDArray[np.bool_]) -> Floats:
    total = h_1 + h_2
    far = np.abs(h_1 - h_2) > 180.0
    around = np.where(total < 360.0, total + 360.0, total - 360.0)
    return np.where(gray, total, np.where(far, around, total) / 2.0)
