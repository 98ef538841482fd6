"""What a picture of a head costs: to let its strands fall, to see them, to colour them.

Run it alone or by `./dev bench`. Medians of runs in one process; the plain twin walks piece by
piece, on fewer strands, and is scaled.
"""

from __future__ import annotations

import resource
import sys

import numpy as np
from _clock import median_ms

from strandline.science.head.strands import Grown, Strands, derive, key_of
from strandline.science.head.zones import cut_zones
from strandline.service.growout.pictures.camera import camera_on
from strandline.service.growout.pictures.fall import Fallen, fall
from strandline.service.growout.pictures.plainly import plain_pieces
from strandline.service.growout.pictures.raster import paint, seen_of, width_cm
from strandline.service.growout.pictures.style import HairStyle

STRANDS, SIZE, PLAIN, RUNS = 20_000, 800, 1_000, 5
HEADS = (
    ("straight, 30 cm", HairStyle(30.0)),
    ("tight, 32 cm", HairStyle(32.0, 1.8, "centre")),
)
AIM_MS, AIM_MB = 1000.0, 600.0


def head(style: HairStyle, count: int) -> tuple[Strands, Fallen]:
    """Give the strands of a head, and the same fallen."""
    zones = cut_zones()
    grown = {zone.key: Grown(223, 0.4, 70, 367) for zone in zones}
    strands = derive(zones, grown, key_of("a head"), count)
    return strands, fall(zones.scalp, strands, style)


def main() -> int:
    """Measure and give the exit code: 1 where memory is over its aim, never for a time."""
    palette = np.random.default_rng(1).random((40, 3))
    for name, style in HEADS:
        strands, fallen = head(style, STRANDS)
        scalp, camera = fallen.shape.scalp, camera_on(fallen, "front")
        falls = median_ms(lambda s=strands, t=style, h=scalp: fall(h, s, t))
        wide = width_cm(strands)
        sees = median_ms(lambda f=fallen, c=camera, w=wide: seen_of(f, c, SIZE, w))
        seen = seen_of(fallen, camera, SIZE, wide)
        state = np.arange(len(strands) * fallen.pieces, dtype=np.int32) % len(palette)
        state = state.reshape(len(strands), fallen.pieces)
        paints = median_ms(lambda v=seen, s=state: paint(v, s, palette))
        print(
            f"{name}, {len(strands):,} strands in {fallen.pieces} pieces, {SIZE} x {SIZE}: "
            f"falls in {falls:.0f} ms, is seen in {sees:.0f} ms, a week is painted in "
            f"{paints:.0f} ms (aim of seeing and painting: about {AIM_MS:g})"
        )
        few, some = head(style, PLAIN)
        plain = median_ms(lambda f=some, c=camera, v=seen: plain_pieces(f, c, SIZE, v.fine), 1)
        plain *= len(strands) / len(few)
        print(f"  piece by piece, from {len(few):,}: {plain:.0f} ms, {plain / sees:.0f} x")
    memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(f"memory at most {memory:.0f} MB (aim under {AIM_MB:g})")
    return 0 if memory < AIM_MB else 1


if __name__ == "__main__":
    sys.exit(main())
