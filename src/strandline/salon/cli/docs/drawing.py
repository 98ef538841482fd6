"""The one look of every picture in `docs/`."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

from strandline.salon.report.palette import LIGHT

if TYPE_CHECKING:
    from matplotlib.axes import Axes


@contextmanager
def drawing(path: Path, inches: tuple[float, float], panels: int = 1) -> Iterator[tuple[Axes, ...]]:
    """Draw on panels side by side; written as SVG at the end, the same bytes every time.

    Parameters
    ----------
    path : of the picture; the word before its first hyphen is its page
    inches : width and height
    panels : 1 or more
    """
    import matplotlib as mpl  # noqa: PLC0415  # slow, and a developer's need alone

    mpl.use("svg")
    from matplotlib import pyplot as plt  # noqa: PLC0415

    style: dict[Any, Any] = {
        "svg.hashsalt": path.stem.partition("-")[0],
        "font.family": "sans-serif",
        "font.size": 9,
        "text.color": LIGHT.ink,
        "axes.labelcolor": LIGHT.ink,
        "axes.edgecolor": LIGHT.line,
        "xtick.color": LIGHT.ink,
        "ytick.color": LIGHT.ink,
        "axes.facecolor": LIGHT.ground,
        "figure.facecolor": LIGHT.paper,
        "axes.spines.top": False,
        "axes.spines.right": False,
    }
    with plt.rc_context(style):
        figure, axes = plt.subplots(1, panels, figsize=inches, layout="constrained", squeeze=False)
        yield tuple(axes[0])
        figure.savefig(path, format="svg", metadata={"Date": None})
        plt.close(figure)
