"""Checks of depth given back to porous blonde, and of a tone's weeks."""

from __future__ import annotations

import numpy as np

from strandline.base.sources import COMMON_PRACTICE
from strandline.salon.evidence.check import Check
from strandline.science.fibre import DYES
from strandline.science.hair.absorbers import ground_of
from strandline.science.hair.levels import lightened, natural_palette, progress_of_stage
from strandline.science.hair.pigment import lab
from strandline.service.consultation.fibres import natural_hair
from strandline.service.consultation.shelf import GlossShade
from strandline.service.formulate.filler import fill
from strandline.service.formulate.grounds import Ground
from strandline.service.formulate.recipe import Recipe, Target, look_after
from strandline.service.formulate.wear import gone_weeks

ASH = GlossShade(name="7 ash", depth=7, reflect="ash")
FILLERS = (
    GlossShade(name="8 gold", depth=8, reflect="gold"),
    GlossShade(name="8 copper", depth=8, reflect="copper"),
)
GROUND_STAGE, DEPTH, MINUTES, UPTAKE = 10.0, 7.0, 20.0, 1.3


def porous_blonde(stage: float) -> Target:
    """Give porous hair lightened to a stage, which should become natural hair of level 7."""
    fibre = natural_hair(6, white=False)
    fibre = lightened(fibre, progress_of_stage(np.array([stage]), fibre))
    aim = lab(natural_palette([DEPTH], with_white=False))[0]
    seen = (round(float(aim[0]), 1), round(float(aim[1]), 1), round(float(aim[2]), 1))
    return Target(fibre, np.ones(1), seen, UPTAKE, "level", (MINUTES,))


def raw_ash(stage: float) -> tuple[float, float, float]:
    """Give the colour that ash alone leaves on it, CIELAB."""
    target = porous_blonde(stage)
    return look_after(
        target, Recipe((ASH,), (1.0,), 0.0, (0.0, 0.0), target.aim_lab, 0.0), MINUTES
    ).lab


def _over_copper() -> float:
    clear = GlossShade(name="clear", clear=True)
    found = fill(porous_blonde(GROUND_STAGE), DEPTH, [ASH], [ASH, FILLERS[1], clear])
    return found.then.lab[1]


def _demi_gone() -> float:
    aim = np.array([64.0, 1.5, 9.0])
    ground = Ground(ground_of((71.2, 1.9, 18.0)).ks[None], np.ones(1), np.ones(1), aim)
    dyes = np.array([0.4 if name == "violet" else 0.0 for name in DYES])
    return gone_weeks(ground, dyes, "acid demi", 2.5)


CHECKS: tuple[Check, ...] = (
    Check("Raw 7 ash on porous blonde of stage 10 goes green: a*", "practice", COMMON_PRACTICE, 0.0,
          lambda: raw_ash(GROUND_STAGE)[1], 0.0, "at most"),
    Check("Ash over a copper filler there stays warm: a*", "practice", COMMON_PRACTICE, 3.0,
          _over_copper, 0.0, "at least"),
    Check("A demi's tone mostly gone when the trade glosses again, 6 to 8 weeks", "practice",
          COMMON_PRACTICE, 7.0, _demi_gone, 1.0, unit="weeks", fitted=True),
)  # fmt: skip
