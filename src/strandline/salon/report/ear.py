"""An ear: two curves, no more."""

from __future__ import annotations

from strandline.salon.report.palette import Palette
from strandline.salon.report.svg import Place, path

TALL = 19.4
"""Height of the curves below, in their own units."""


def ear(middle: Place, height: float, back: float, palette: Palette) -> list[str]:
    """Draw an ear.

    Parameters
    ----------
    middle : (x, y)   on the sheet, mm
    height : mm
    back : 1 where its rim is at the right of the sheet, -1 at the left
    """
    size = height / TALL

    def at(x: float, y: float) -> str:
        return f"{middle[0] + back * size * x:.2f} {middle[1] + size * y:.2f}"

    rim = f"M{at(-3.9, -4.9)}C{at(-1.3, -10.4)} {at(4.1, -9.4)} {at(4.1, -2.9)}"
    rim += f"C{at(4.1, 1.6)} {at(1.3, 3.1)} {at(0.9, 6.1)}"
    rim += f"C{at(0.5, 9.5)} {at(-2.7, 9.7)} {at(-4.1, 6.7)}"
    fold = f"M{at(-1.7, -3.9)}C{at(0.1, -6.5)} {at(2.1, -4.9)} {at(1.5, -1.5)}"
    return [
        path(rim, stroke=palette.line, width=0.3, fill=palette.paper),
        path(fold, stroke=palette.line, width=0.2),
    ]
