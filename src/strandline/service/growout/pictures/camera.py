"""From where a head is looked at: parallel rays, so that a centimetre is one everywhere."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from strandline.base.errors import OutOfRangeError
from strandline.service.growout.pictures.fall import Fallen

Floats = NDArray[np.float64]

VIEWS = {"front": (0.0, 12.0), "side": (90.0, 6.0), "back": (180.0, 8.0), "top": (180.0, 76.0)}
"""Turn to the client's right and tilt from above, degrees; the side is her right one."""
LEAST_PX, MOST_PX = 64, 4000
TOP_CM, BUST_CM = 13.5, -17.0


@dataclass(frozen=True, slots=True)
class Camera:
    """A square picture of a head.

    Parameters
    ----------
    turn_deg : from her face towards her right, any
    tilt_deg : from above, -20 to 90
    middle_cm : (right, front, up) in the middle of the picture
    height_cm : of the picture, 5-300
    """

    turn_deg: float
    tilt_deg: float
    middle_cm: tuple[float, float, float] = (0.0, 0.0, -3.0)
    height_cm: float = 36.0

    def __post_init__(self) -> None:
        """Refuse what shows nothing."""
        if not (math.isfinite(self.turn_deg) and -20 <= self.tilt_deg <= 90):
            raise OutOfRangeError(
                f"The camera is turned {self.turn_deg:g} and tilted {self.tilt_deg:g} degrees; "
                "it must be tilted -20 to 90.",
                "Give 0 and 12 for the front.",
            )
        if not 5 <= self.height_cm <= 300:
            raise OutOfRangeError(
                f"The picture is {self.height_cm:g} cm high; it must be 5-300 cm.",
                "Give the height of what is to be seen.",
            )

    @property
    def axes(self) -> Floats:
        """Give right, up and towards the eye, shape (3, 3), as rows in head space."""
        turn, tilt = math.radians(self.turn_deg), math.radians(self.tilt_deg)
        right = np.array([-math.cos(turn), math.sin(turn), 0.0])
        eye = np.array(
            [
                math.sin(turn) * math.cos(tilt),
                math.cos(turn) * math.cos(tilt),
                math.sin(tilt),
            ]
        )
        return np.stack([right, np.cross(eye, right), eye])


def camera_on(fallen: Fallen, view: str) -> Camera:
    """Give the camera of a view that holds the whole head and its hair.

    Parameters
    ----------
    view : 'front', 'side', 'back' or 'top'

    Raises
    ------
    OutOfRangeError   another view
    """
    if view not in VIEWS:
        raise OutOfRangeError(
            f"The view is '{view}'; it must be one of {', '.join(VIEWS)}.", "Choose one of those."
        )
    turn, tilt = VIEWS[view]
    if view == "top":
        return Camera(turn, tilt, (0.0, 0.0, 4.0), 32.0 * fallen.shape.grown)
    low = min(BUST_CM * fallen.shape.grown, float(np.percentile(fallen.paths[:, -1, 2], 0.5)) - 2.0)
    high = max(TOP_CM * fallen.shape.grown, float(np.percentile(fallen.paths[..., 2], 99.9)) + 1.5)
    return Camera(turn, tilt, (0.0, 0.0, (low + high) / 2), high - low)
