"""Figures of a shade by its name, on the hair that sets its depth."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from strandline.base.draws import draws as fixed_draws
from strandline.science.colour.difference import delta_e00
from strandline.science.colour.lights import Light
from strandline.science.colour.spaces import lab_from_reflectance
from strandline.science.fibre import Fibre, stack
from strandline.science.hair.figures.figures import Draws, Figures, gathered
from strandline.science.hair.naming.colour import SCALE_ENDS, ground, reflect_dyes, shade_of
from strandline.science.hair.naming.name import Named
from strandline.science.hair.naming.numbering import Numbering
from strandline.science.hair.shades import Scale, dye_amounts
from strandline.science.hair.spread import base_and_surface, spectrum_of

Floats = NDArray[np.float64]


def figures_of_shade(
    named: Named, numbering: Numbering, scale: Scale, under: Light | None = None
) -> Figures:
    """Give the figures of a shade at full uptake.

    Parameters
    ----------
    named, numbering : the shade and its line
    scale : 'level' on white hair, 'stage' on hair lightened to the end
    under : the light it is seen under; D65 if none

    Returns
    -------
    Figures   `amount` and `slope` are of the hair beneath; `delta_e00` is how far the shade may
    be from its middle colour

    Raises
    ------
    OutOfRangeError   a name the line does not have, or a depth off the scale

    Notes
    -----
    Drawn are the line's step against the scale, the hair without pigment beneath, and its
    surface. The dyes of a reflect are priors without a spread of their own. A draw past the end
    of a scale stays at the end: no shade is paler than its ground.
    """
    shade = shade_of(named, numbering, scale)
    reflects = reflect_dyes(named.main, named.second, scale, numbering)
    z = fixed_draws(("step", "base", "surface"))
    low, high = SCALE_ENDS[scale]
    depths = np.clip((shade.depth or low) + numbering.depth_step.spread * z["step"], low, high)
    dyes = np.stack([dye_amounts(float(depth), reflects, scale=scale) for depth in depths])
    hair = stack([ground(scale)] * len(depths)).with_(dyes=dyes)
    spectra = spectrum_of(hair, *base_and_surface(z["base"], z["surface"]))
    middle_hair = ground(scale).with_(dyes=shade.amounts()[None])
    middle = _plain(middle_hair)
    away = delta_e00(lab_from_reflectance(spectra), lab_from_reflectance(middle))
    none = np.zeros(len(depths))
    return gathered(
        Draws(spectra, np.zeros((len(depths), 3)), hair, none, none),
        middle,
        middle_hair,
        (away, None),
        under,
        lightened=scale == "stage",
        cautions=["The dyes of a name are priors from memory: a swatch of the line replaces them."],
    )


def _plain(hair: Fibre) -> Floats:
    one, surface = base_and_surface(np.zeros(1), np.zeros(1))
    return np.asarray(spectrum_of(hair, one, surface)[0])
