"""Path tracing of a curtain of hair with Mitsuba 3: absorption of fibres in, reflectance out.

Mitsuba is imported where it is used and comes with the extra `stills`.
"""

from __future__ import annotations

import tempfile
from dataclasses import dataclass
from importlib import import_module
from pathlib import Path
from typing import Any

import numpy as np
from numpy.random import default_rng
from numpy.typing import ArrayLike, NDArray

from strandline.base.errors import OutOfRangeError, UnreachableError
from strandline.salon.stills.curtain import (
    DIAMETER_MM,
    Packing,
    fibre_axes,
    mean_run_mm,
    seen_share,
    white_fibres,
)
from strandline.science.hair.tracing import REFRACTIVE_INDEX, TRACED_ROUGHNESS

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]

VARIANT = "scalar_rgb"
"""Of Mitsuba: three channels, here three wavelengths; it needs nothing else installed."""
CHANNELS = 3
SCALE_TILT_DEGREES = 2.0
"""Tilt of the cuticle's scales, degrees; the renderer's default (mitsuba3)."""
SURE_BOUNCES = 2000
"""Bounces before a path may end by lot; a path never ends by a fixed count."""
EYE_MM = 5.0
"""Distance of the eye in front of the first row, mm; its rays are parallel."""


@dataclass(frozen=True, slots=True)
class Shot:
    """What is looked at and how often.

    Parameters
    ----------
    width_mm, height_mm : float   window in the middle of the curtain, mm
    pixels : (int, int)           across and down
    samples : int                 paths a pixel
    seed : int                    of the paths

    Raises
    ------
    OutOfRangeError   no window, no pixel or no path; one pixel, which has no noise
    """

    width_mm: float
    height_mm: float
    pixels: tuple[int, int]
    samples: int
    seed: int = 0

    def __post_init__(self) -> None:
        """Refuse a shot of nothing."""
        across, down = self.pixels
        if not (self.width_mm > 0 and self.height_mm > 0 and min(across, down, self.samples) >= 1):
            raise OutOfRangeError(
                f"A window of {self.width_mm:g} x {self.height_mm:g} mm has {across} x {down} "
                f"pixels of {self.samples} paths; each must be above 0.",
                "Give a window with pixels and paths.",
            )
        if across * down < 2:
            raise OutOfRangeError(
                "A window has 1 pixel; it must have 2 or more to know its noise.",
                "Give more pixels and fewer paths each.",
            )


@dataclass(frozen=True, slots=True)
class Traced:
    """What came out.

    Parameters
    ----------
    reflectance : shape (W,)   mean over the window [1]
    noise : shape (W,)         spread of the pixels over the root of their number [1]; it holds
                               the pattern of the fibres too, so it is rather too large
    """

    reflectance: Floats
    noise: Floats


def renderer() -> Any:  # noqa: ANN401 - the extra's module, typed only where it is installed
    """Give the Mitsuba module, set to the variant used here.

    Raises
    ------
    UnreachableError   Mitsuba is not installed
    """
    try:
        module = import_module("mitsuba")
    except ModuleNotFoundError:
        raise UnreachableError(
            "Mitsuba is not installed, so no hair can be traced.",
            "Install the extra: pip install 'strandline[stills]'.",
        ) from None
    module.set_variant(VARIANT)
    return module


def version() -> str:
    """Version of Mitsuba that traces."""
    return str(renderer().__version__)


def trace(
    axes: Floats,
    kinds: Ints,
    absorption: Floats,
    shot: Shot,
    diameter_mm: float = DIAMETER_MM,
) -> Traced:
    """Reflectance factor of a curtain of hair in even light.

    Parameters
    ----------
    axes : shape (across, through, points, 3)   guide points of the fibres, mm
    kinds : shape (across, through)             kind of each fibre, 0 to N - 1
    absorption : shape (N, W)                   sigma of each kind, per fibre radius [1], >= 0
    shot : Shot                                 window, pixels, paths, seed
    diameter_mm : float                         of a fibre, mm

    Returns
    -------
    Traced, each field of shape (W,)

    Raises
    ------
    OutOfRangeError    shapes that do not fit, an absorption below 0, a kind without fibres
    UnreachableError   Mitsuba is not installed

    Notes
    -----
    Light of radiance 1 comes from everywhere, the eye looks along the normal by parallel rays, so
    the mean radiance is the reflectance factor against a perfect white diffuser, which would send
    1: geometry d:0, surface included. Hair without absorption must give 1 (white furnace).
    Three wavelengths are traced at a time as the three channels; no colour conversion takes
    part. The renderer takes the absorption per radius of the fibre, whatever the radius is.
    Roughness .3 along and about the fibre, index 1.55, tilt 2 degrees. Valid for straight round
    fibres without medulla.

    References
    ----------
    chiang2016: M. J.-Y. Chiang and others (2016); mitsuba3: as coded there.
    """
    absorption = np.asarray(absorption, dtype=float)
    _refuse(axes, kinds, absorption)
    mi = renderer()
    with tempfile.TemporaryDirectory() as folder:
        described = _scene(mi, shot)
        for kind in range(len(absorption)):
            path = Path(folder) / f"kind{kind}.txt"
            path.write_text(curve_text(axes[kinds == kind], diameter_mm / 2.0), "ascii")
            described[f"kind{kind}"] = _fibres(path)
        scene = mi.load_dict(described, optimize=False)  # like kinds stay two
    parameters = mi.traverse(scene)
    wavelengths = absorption.shape[1]
    padded = np.pad(absorption, ((0, 0), (0, -wavelengths % CHANNELS)), mode="edge")
    means, noise = [], []
    for first in range(0, padded.shape[1], CHANNELS):
        for kind, sigma in enumerate(padded[:, first : first + CHANNELS]):
            largest = max(float(sigma.max()), 1e-12)
            parameters[f"kind{kind}.bsdf.sigma_a.value"] = mi.Color3f(*map(float, sigma / largest))
            parameters[f"kind{kind}.bsdf.scale"] = largest
        parameters.update()
        pixels = np.array(mi.render(scene, seed=shot.seed), dtype=float).reshape(-1, CHANNELS)
        means.append(pixels.mean(axis=0))
        noise.append(pixels.std(axis=0, ddof=1) / np.sqrt(len(pixels)))
    return Traced(np.concatenate(means)[:wavelengths], np.concatenate(noise)[:wavelengths])


def trace_pure(sigma: ArrayLike, packing: Packing, shot: Shot, seed: int) -> Traced:
    """Trace a curtain of one kind of hair for absorptions of shape (W,); see `trace`."""
    axes = fibre_axes(packing, default_rng(seed))
    kinds = np.zeros(axes.shape[:2], dtype=np.intp)
    return trace(axes, kinds, np.atleast_2d(np.asarray(sigma, dtype=float)), shot)


def trace_mix(
    sigma: Floats, share: float, block: int, packing: Packing, shot: Shot, seed: int
) -> tuple[Traced, float, float]:
    """Trace white among pigmented hair.

    Parameters
    ----------
    sigma : shape (2, W)   absorption of the pigmented fibre, then of the white one
    share : float          of white [1], above 0, below 1
    block : int            fibres of a clump across and rows through; 1 for natural white
    packing, shot          curtain and window
    seed : int             of the curtain and of the lot of its fibres

    Returns
    -------
    what was traced; the mean run of white as drawn, mm; the share of white seen in the window [1]
    """
    draws = default_rng(seed)
    axes = fibre_axes(packing, draws)
    white = white_fibres(packing, share, draws, block)
    traced = trace(axes, white.astype(np.intp), sigma, shot)
    return traced, mean_run_mm(white), seen_share(axes, white, shot.width_mm)


def curve_text(axes: Floats, radius_mm: float) -> str:
    """Fibres in the renderer's own text form: x y z radius a line, a blank line after each.

    Parameters
    ----------
    axes : shape (n, points, 3), mm
    radius_mm : float, mm
    """
    return "".join(
        "".join(f"{x:.6f} {y:.6f} {z:.6f} {radius_mm:.6f}\n" for x, y, z in fibre) + "\n"
        for fibre in axes.tolist()
    )


def _scene(mi: Any, shot: Shot) -> dict[str, Any]:  # noqa: ANN401 - as above
    place = mi.ScalarTransform4f()
    window = place.look_at(origin=[0, 0, EYE_MM], target=[0, 0, 0], up=[0, 1, 0]) @ place.scale(
        [shot.width_mm / 2.0, shot.width_mm / 2.0, 1.0]
    )
    aspect = shot.width_mm / shot.height_mm * shot.pixels[1] / shot.pixels[0]
    return {
        "type": "scene",
        "integrator": {"type": "path", "max_depth": -1, "rr_depth": SURE_BOUNCES},
        "light": {"type": "constant", "radiance": {"type": "rgb", "value": [1.0, 1.0, 1.0]}},
        "sensor": {
            "type": "orthographic",
            "to_world": window @ place.scale([1.0, 1.0 / aspect, 1.0]),
            "film": {
                "type": "hdrfilm",
                "width": shot.pixels[0],
                "height": shot.pixels[1],
                "rfilter": {"type": "box"},
                "pixel_format": "rgb",
                "component_format": "float32",
            },
            "sampler": {"type": "independent", "sample_count": shot.samples},
        },
    }


def _fibres(path: Path) -> dict[str, Any]:
    sigma = {"type": "rgb", "value": [0.5, 0.5, 0.5]}
    return {"type": "bsplinecurve", "filename": str(path), "bsdf": fibre_material(sigma)}


def fibre_material(sigma: dict[str, Any]) -> dict[str, Any]:
    """Describe a fibre to the renderer, its absorption per radius being a texture of its own."""
    return {
        "type": "hair",
        "sigma_a": sigma,
        "scale": 1.0,
        "int_ior": REFRACTIVE_INDEX,
        "ext_ior": 1.0,
        "longitudinal_roughness": TRACED_ROUGHNESS,
        "azimuthal_roughness": TRACED_ROUGHNESS,
        "scale_tilt": SCALE_TILT_DEGREES,
    }


def _refuse(axes: Floats, kinds: Ints, absorption: Floats) -> None:
    if axes.ndim != 4 or axes.shape[:2] != kinds.shape or absorption.ndim != 2:
        raise OutOfRangeError(
            f"Axes of shape {axes.shape}, kinds of {kinds.shape} and absorption of "
            f"{absorption.shape} do not fit; they must be (across, through, points, 3), "
            "(across, through) and (N, W).",
            "Give each fibre a kind and each kind an absorption a wavelength.",
        )
    if not np.all(np.isfinite(absorption) & (absorption >= 0)):
        raise OutOfRangeError(
            f"An absorption of a fibre is {np.min(absorption):g}; it must be 0 or more and finite.",
            "Give it per fibre radius.",
        )
    if set(np.unique(kinds).tolist()) != set(range(len(absorption))):
        raise OutOfRangeError(
            f"The fibres have kinds {np.unique(kinds).tolist()} against {len(absorption)} rows of "
            "absorption; each row must have a fibre and each fibre a row.",
            "Leave out kinds that no fibre has.",
        )
