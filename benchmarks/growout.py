"""What looking at half a year of a head costs: every week, every measure, every drawn rate.

Run it alone or by `./dev bench`. Medians of runs in one process; the plain twin counts strand by
strand and place by place, on fewer strands, and is scaled.
"""

from __future__ import annotations

import sys

import numpy as np
from _clock import median_ms

from strandline.base.draws import draws
from strandline.salon.evidence.seeing import (
    RATE_CM_PER_WEEK,
    SHADOW_CM,
    covered_pair,
    natural_pair,
)
from strandline.science.chemistry.fade import fade
from strandline.science.fibre import Fibre
from strandline.science.hair.levels import lightened, progress_of_stage
from strandline.science.head.strands import Grown, derive, key_of
from strandline.science.head.zones import cut_zones
from strandline.service.growout.grow import STEP_CM, grow_out
from strandline.service.growout.look import HairClass, Layer
from strandline.service.growout.spread import OfStrands

STRANDS, PLAIN = 24_000, 100
WEEKS = tuple(float(week) for week in range(27))
AIM_MS = 1000.0
BESIDE_CM, LAST_CM = 1.5, 20.0


def faded(states: Fibre, weeks: float) -> Fibre:
    """Fade as a gloss does."""
    return fade(states, "acid demi", weeks)


def hair_classes() -> list[HairClass]:
    """Give foils and hair left out, white and pigmented, each with a root shadow's stretch."""
    out = []
    for root, covered in zip(natural_pair(), covered_pair(), strict=True):
        light = lightened(root, progress_of_stage(9.0, root))
        for name, ends, strand in (("foils", light, "foils"), ("left out", covered, "left out")):
            layers = (Layer(0.0, SHADOW_CM, root), Layer(SHADOW_CM, np.inf, ends))
            out.append(HairClass(name, 1.0, layers, root, 2.0, strand))
    return out


def beside() -> OfStrands:
    """Give the strands beside a parting in the middle, of a whole head of them."""
    zones = cut_zones()
    grown = {zone.key: Grown(223, 0.6, 70, 367) for zone in zones}
    strands = derive(zones, grown, key_of("a head"), STRANDS)
    near = (np.abs(strands.u) < BESIDE_CM) & (strands.y < LAST_CM)
    rng = np.random.default_rng(1)
    taken = rng.random(len(strands)) < 0.35
    return OfStrands(
        kind=2 * ~strands.white + ~taken,
        area=strands.weight * strands.diameter_um,
        pace=strands.growth_um_per_day / 367,
        start_cm=0.05 * rng.standard_normal(len(strands)),
        shed_week=strands.shed_day / 7,
        tip_cm=np.full(len(strands), 30.0),
    ).some(near)


def plainly(hair: OfStrands, starts: tuple[float, ...]) -> None:
    """Say of every strand, week and place in which of its stretches the place lies."""
    places = np.arange(61) * STEP_CM
    for i in range(PLAIN):
        pace, start = float(hair.pace[i]), float(hair.start_cm[i])
        for week in WEEKS:
            for y in places:
                along = y - RATE_CM_PER_WEEK * week * pace - start
                sum(along >= one for one in starts)


def main() -> int:
    """Measure and print; a time never fails."""
    hair, classes = beside(), hair_classes()
    drawn = RATE_CM_PER_WEEK * (1 + 0.15 * draws(("growth",))["growth"])

    def looked() -> object:
        return grow_out(
            classes,
            WEEKS,
            rate_cm_per_week=RATE_CM_PER_WEEK,
            fade=faded,
            rate_draws=drawn,
            strands=hair,
        )

    took = median_ms(looked)
    plain = median_ms(lambda: plainly(hair, (0.0, SHADOW_CM)), 1)
    plain *= len(hair) / PLAIN * (len(drawn) + 1)
    print(
        f"{len(WEEKS)} weeks of a head of {STRANDS:,} strands, {len(hair):,} of them beside the "
        f"parting, all measures, {len(drawn)} rates: {took:.0f} ms (aim under {AIM_MS:g})"
    )
    print(
        f"  where each lies, strand by strand, from {PLAIN}: {plain:.0f} ms, {plain / took:.0f} x"
    )
    return 0


if __name__ == "__main__":
    sys.exit(main())
