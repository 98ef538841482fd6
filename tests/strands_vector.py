"""A head of five strands by hand: the contract of strands as bytes, read here and in the browser.

Whole steps everywhere, so that every machine writes the same bytes.
"""

from __future__ import annotations

import base64
from pathlib import Path

import numpy as np

from strandline.service.growout.screen.head_mesh import Mesh
from strandline.service.growout.screen.telling import told
from strandline.service.growout.screen.turned import Turned, Way

FILE = Path(__file__).parent / "contract" / "strands.json"
WEEKS = (0.0, 4.0, 9.0)
ASKED = tuple(
    (way, strand, week, along)
    for way in (0, 1)
    for strand in range(5)
    for week in range(3)
    for along in (0.0, 0.5, 1.9, 3.3, 9.9, 12.0)
)
"""Way, strand, week and distance in cm, none on a boundary."""


def five_strands():
    """Give them: straight, bent, curled, one shed in week 5, one short already."""
    rng = np.random.default_rng(5)
    place = np.cumsum(rng.integers(-90, 110, (5, 6, 3)), axis=1) / 100
    colour = rng.integers(0, 256, (3, 3, 3, 3)).astype(np.uint8)
    corner = np.array([[0.0, 0.0, 9.0], [1.0, 0.0, 8.5], [0.0, 1.0, 8.5]])
    return Turned(
        place=place,
        light=rng.integers(20, 109, (5, 6)) / 64,
        length_cm=np.array([10.0, 10.4, 12.0, 11.2, 10.0]),
        growth=np.array([0.25, 0.3, 0.2, 0.26, 0.24]),
        start_cm=np.array([0.0, -0.04, 0.05, 0.02, 0.0]),
        shed_week=np.array([np.inf, 90.0, np.inf, 5.0, np.inf]),
        tip_cm=np.array([np.inf, 10.4, np.inf, 11.2, 2.0]),
        wide_cm=np.array([0.05, 0.06, 0.05, 0.07, 0.05]),
        rate=0.25,
        weeks=WEEKS,
        ways=(
            Way(
                "left as it is",
                False,
                np.array([0, 1, 0, 1, 0]),
                np.array([0.0]),
                np.array([False]),
                colour[:, :2, :2],
                (0.0, 4.0, 9.0),
            ),
            Way(
                "as planned",
                True,
                np.array([2, 1, 0, 2, 1]),
                np.array([0.0, 2.5]),
                np.array([False, True]),
                colour,
                (0.0, 4.0, 3.0),
            ),
        ),
        views={
            "front": (0.0, 12.0, 0.0, 0.0, -3.0, 36.0, 0.98),
            "side": (90.0, 6.0, 0.0, 0.0, -3.0, 36.0, 1.0),
            "back": (180.0, 8.0, 0.0, 0.0, -3.0, 36.0, 1.02),
            "top": (180.0, 76.0, 0.0, 0.0, 4.0, 32.0, 0.9),
        },
        head=Mesh(
            corner,
            np.array([[0.0, 0.0, 1.0]] * 3),
            np.array([[0, 1, 2]]),
            np.array([False, True, True]),
        ),
        head_light=np.array([1.0, 0.5, 0.75]),
    )


def vector():
    """Give bytes, and what is to be read from them."""
    one = five_strands()
    expected = []
    for way, strand, week, along in ASKED:
        found, there = one.colours(way, week, np.full(5, along))
        colour = found[strand].tolist() if there[strand] else None
        expected.append(
            {"way": way, "strand": strand, "week": week, "along_cm": along, "srgb": colour}
        )
    return {
        "about": "five strands as bytes, base64; places in cm; colours, null past a tip",
        "bytes": base64.b64encode(told(one)).decode("ascii"),
        "place_cm": np.round(one.place, 2).tolist(),
        "colours": expected,
    }
