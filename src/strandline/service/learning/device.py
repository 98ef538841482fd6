"""The numbers that learning stands on, as a device is handed them."""

from __future__ import annotations

from strandline.science.chemistry.lift import LONGEST_MIN
from strandline.science.chemistry.lift import constants as of_lift
from strandline.service.learning.check import PASSES
from strandline.service.learning.due import HALVINGS, Z90
from strandline.service.learning.starting import constants, lift_means


def device_numbers() -> dict[str, float | list[float]]:
    """Give every constant of the update of a check and of the clocks by name.

    Returns
    -------
    dict   `means` in the order of the unknowns; the shape that the vectors `checks_*.json` carry
    """
    lift, known = of_lift(), constants()
    return {
        "mu": lift["mu"].value,
        "means": list(lift_means()),
        "old_colour_white": lift["old_colour_white"].value,
        "foil_sd": lift["foil"].spread,
        "strength_exponent": lift["strength_exponent"].value,
        "lag_min": lift["lag_min"].value,
        "decay_per_min": lift["decay_per_min"].value,
        **{name: known[name].value for name in known if "pace" not in name and "range" not in name},
        "passes": PASSES,
        "halvings": HALVINGS,
        "longest_min": LONGEST_MIN,
        "z90": Z90,
    }
