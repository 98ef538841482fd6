"""CIELAB, its cylinder form, and the sRGB of a screen."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from strandline.base.errors import OutOfRangeError
from strandline.science.colour.spectra import WHITE_XYZ, xyz

Floats = NDArray[np.float64]

_EPSILON = 216.0 / 24389.0
_KAPPA = 24389.0 / 27.0

_RGB_TO_XYZ = np.array(
    [[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]]
)
_XYZ_TO_RGB = np.linalg.inv(_RGB_TO_XYZ)
_SCREEN_WHITE = 100.0 * _RGB_TO_XYZ.sum(axis=1)
_ROUNDING = 1e-9
_HALVINGS = 40


def lab_from_xyz(xyz: Floats, white: Floats = WHITE_XYZ) -> Floats:
    """CIELAB of tristimulus values.

    Parameters
    ----------
    xyz : shape (..., 3)   X, Y, Z; Y = 100 for the perfect white, >= 0
    white : shape (3,)     tristimulus values of the white

    Returns
    -------
    shape (..., 3)   L* 0-100, a*, b*

    Notes
    -----
    L* = 116 f(Y/Yn) - 16, a* = 500 (f(X/Xn) - f(Y/Yn)), b* = 200 (f(Y/Yn) - f(Z/Zn));
    f(t) = t^(1/3) above (6/29)^3, else (24389/27 t + 16)/116.

    References
    ----------
    cie15: CIE 15:2018.
    """
    t = np.asarray(xyz, dtype=float) / white
    f = np.where(t > _EPSILON, np.cbrt(t), (_KAPPA * t + 16.0) / 116.0)
    return np.stack(
        [
            116.0 * f[..., 1] - 16.0,
            500.0 * (f[..., 0] - f[..., 1]),
            200.0 * (f[..., 1] - f[..., 2]),
        ],
        axis=-1,
    )


def xyz_from_lab(lab: Floats, white: Floats = WHITE_XYZ) -> Floats:
    """Tristimulus values of CIELAB, the inverse of `lab_from_xyz`; shapes as there."""
    lab = np.asarray(lab, dtype=float)
    fy = (lab[..., 0] + 16.0) / 116.0
    f = np.stack([fy + lab[..., 1] / 500.0, fy, fy - lab[..., 2] / 200.0], axis=-1)
    t = np.where(f**3 > _EPSILON, f**3, (116.0 * f - 16.0) / _KAPPA)
    return np.asarray(t * white)


def lch_from_lab(lab: Floats) -> Floats:
    """Lightness, chroma and hue angle, shape (..., 3): L*, C*, h in degrees 0-360.

    References
    ----------
    cie15: CIE 15:2018.
    """
    lab = np.asarray(lab, dtype=float)
    a, b = lab[..., 1], lab[..., 2]
    hue = np.degrees(np.arctan2(b, a)) % 360.0
    return np.stack([lab[..., 0], np.hypot(a, b), hue], axis=-1)


def lab_from_reflectance(reflectance: Floats) -> Floats:
    """CIELAB under D65 for the 10 degree observer: shape (..., 81) to (..., 3)."""
    return lab_from_xyz(xyz(reflectance))


def srgb_from_lab(lab: Floats) -> Floats:
    """Colour of a screen for CIELAB, brought into its gamut.

    Parameters
    ----------
    lab : shape (..., 3)   L* 0-100, a*, b*

    Returns
    -------
    shape (..., 3)   sRGB, encoded [1], 0-1

    Raises
    ------
    OutOfRangeError   L* outside 0-100

    Notes
    -----
    The white of the Lab is shown as the screen's own white. What the screen cannot show loses
    chroma at constant L* and h until it can, by bisection; a gray always can. Not valid for
    judging a match: a screen is not a swatch.

    References
    ----------
    iec61966: IEC 61966-2-1.
    """
    lab = np.asarray(lab, dtype=float)
    lightness = lab[..., 0]
    if not np.all((lightness >= 0) & (lightness <= 100)):
        worst = lightness.flat[int(np.argmax(np.abs(lightness - 50.0)))]
        raise OutOfRangeError(
            f"A lightness L* is {worst:g}; a screen shows 0-100.", "Give a Lab with L* in 0-100."
        )
    low = np.zeros(lab.shape[:-1])
    high = np.ones(lab.shape[:-1])
    inside = _fits(_linear_rgb(lab))
    for _ in range(_HALVINGS):
        middle = (low + high) / 2.0
        fits = _fits(_linear_rgb(_with_chroma(lab, middle)))
        low, high = np.where(fits, middle, low), np.where(fits, high, middle)
    share = np.where(inside, 1.0, low)
    linear = _linear_rgb(_with_chroma(lab, share))
    linear = np.clip(linear, 0.0, 1.0)  # takes off the rounding that `_fits` allows, no more
    low_end = 12.92 * linear
    return np.where(linear <= 0.0031308, low_end, 1.055 * linear ** (1.0 / 2.4) - 0.055)


def hex_from_lab(lab: Floats) -> list[str]:
    """Give '#rrggbb' for each colour of shape (n, 3), or one for a single Lab."""
    levels = np.rint(255.0 * srgb_from_lab(np.atleast_2d(lab))).astype(int)
    return [f"#{r:02x}{g:02x}{b:02x}" for r, g, b in levels.reshape(-1, 3).tolist()]


def _with_chroma(lab: Floats, share: Floats) -> Floats:
    return np.stack([lab[..., 0], lab[..., 1] * share, lab[..., 2] * share], axis=-1)


def _linear_rgb(lab: Floats) -> Floats:
    return np.asarray(xyz_from_lab(lab, _SCREEN_WHITE) / 100.0 @ _XYZ_TO_RGB.T)


def _fits(linear: Floats) -> NDArray[np.bool_]:
    return np.asarray(np.all((linear >= -_ROUNDING) & (linear <= 1.0 + _ROUNDING), axis=-1))
