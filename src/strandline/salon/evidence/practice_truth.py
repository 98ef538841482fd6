"""What is true in a simulated practice of one colourist: products, clients, days, her eye.

All of it is invented, or drawn from the spreads of `lift.toml`, `levels.toml` [wet] and
`learning.toml`. Truth and belief share the path of lightening; the rate is the model's own, or
one that breaks it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from strandline.science.chemistry.lift import Rate, make_rate, tau
from strandline.science.chemistry.lift import constants as of_lift
from strandline.science.hair.wet import wet_levels
from strandline.service.consultation.model import Band
from strandline.service.formulate.curves import ground_of
from strandline.service.formulate.lightening import Ground
from strandline.service.learning.observation import LOWEST_SEEN, PALEST, Check, wanted_progress
from strandline.service.learning.starting import constants, known_of, row_of
from strandline.service.practice.bench import default_bench

Floats = NDArray[np.float64]

PRODUCTS = ("chalk", "lime", "salt", "flint", "shell", "slate")
PRODUCT_SHARES = (0.33, 0.27, 0.18, 0.12, 0.07, 0.03)
CLIENTS = 90
LEVELS = (4, 5, 6, 7)
GRAYS = (0.0, 0.1, 0.25, 0.5, 0.75, 0.9)
YEARS_OF_COVER = (0.0, 0.75, 2.0, 5.0)
YEARS_SHARES = (0.4, 0.2, 0.2, 0.2)
VOLS = (12.5, 20.0)
SECTIONS, FOILS = 5, 60
WARM_SECTION = 0
"""Its foils are read in the warm first centimetre, where hair is natural."""
LIGHTEST_AIM = 9.5
AIM_BY_MIN = 40.0
"""She aims at the lightest half stage that is believed to be reached by then."""
CLEAR_OF_STALL = 0.5
LEAST_LIFT = 1.0
DARK_COVER = 5
"""Old colour of this depth or darker is first checked at the time of dark old colour."""


@dataclass(frozen=True, slots=True)
class World:
    """What is true of a practice; a None is drawn from the model's own prior.

    Parameters
    ----------
    name : in words
    exponent : order of strength n [1]
    day_sd : sd of a day's log rate [1]
    beyond : levels by which a check reads darker than by her own wet bias; dry results do not
    turning : the sign of that is thrown anew for every visit, so that no result can teach it
    slips : errors of reading are Student, as the model weighs them; else normal
    reading_sd : their scale [1]; None for that of `learning.toml`
    """

    name: str
    exponent: float | None = None
    day_sd: float | None = None
    beyond: float = 0.0
    turning: bool = False
    slips: bool = True
    reading_sd: float | None = None


MODEL = World("of the model")
OUTSIDE = World("outside it", exponent=1.2, day_sd=0.3, beyond=0.5)
TURNING = World("outside, bias by visit", exponent=1.2, day_sd=0.3, beyond=0.5, turning=True)


@dataclass(frozen=True, eq=False)
class Head:
    """A client's hair, the same at every visit.

    Parameters
    ----------
    name : of the client
    z : of her hair's log rate, in sd
    ground : the hair in her foils
    path : progress and stage along it
    dark : old colour that is first checked late
    """

    name: str
    z: float
    ground: Ground
    path: tuple[Floats, Floats]
    dark: bool


@dataclass(frozen=True, eq=False)
class Practice:
    """What is true all through.

    Parameters
    ----------
    world : which of the three kinds
    z : what every head shares, in sd, by name of `LIFT_DRAWS`
    products : log rate of each, in sd
    heads : her clients
    bias : levels by which wet hair reads darker to her
    """

    world: World
    z: Mapping[str, float]
    products: Floats
    heads: tuple[Head, ...]
    bias: float


@dataclass(frozen=True, eq=False)
class Visit:
    """One visit as it truly is.

    Parameters
    ----------
    world : which of the three kinds
    head, product, vol : whose, with what, at which strength
    aim : stage aimed at
    rate : true rate of every foil
    bias : levels by which wet hair reads darker today
    """

    world: World
    head: Head
    product: str
    vol: float
    aim: float
    rate: Rate
    bias: float

    @property
    def rows(self) -> Floats:
        """Which unknowns each foil stands on, shape (F, K)."""
        ground = self.head.ground
        cold, warm = (
            row_of(
                old_colour=ground.old_colour,
                first_cm=first_cm,
                stacked=False,
                developer_vol=self.vol,
            )
            for first_cm in (False, True)
        )
        return np.where(warm_foils(ground)[:, None], warm, cold)

    @property
    def known(self) -> float:
        """What is known of its log rate beside the rows."""
        ground = self.head.ground
        return known_of(old_colour=ground.old_colour, gray_under=ground.gray_under)

    @property
    def wanted(self) -> float:
        """Progress to the aim [1]."""
        return wanted_progress(self.aim, *self.head.path)

    def seen(
        self, rng: np.random.Generator, foil: int, minutes: float, *, rinsed: bool = False
    ) -> Check:
        """See a foil, wet at a check or dry after the rinse, fairly surely.

        Notes
        -----
        Called is the stage at progress x exp(error), less the wet bias at a check, rounded to
        halves; what lies beyond an end of the scale is called by that end.
        """
        number = constants()
        sd = self.world.reading_sd or number["reading_sd"].value
        nu = number["student_nu"].value
        error = sd * (rng.standard_t(nu) if self.world.slips else rng.standard_normal())
        progress = float(self.rate.progress(minutes)[foil]) * float(np.exp(error))
        stage = float(np.interp(progress, *self.head.path)) - (0.0 if rinsed else self.bias)
        called = float(np.floor(2 * stage + 0.5) / 2)
        return Check(
            foil,
            minutes,
            min(max(called, LOWEST_SEEN), PALEST),
            "fair",
            self.rows[foil],
            *self.head.path,
            rinsed=rinsed,
            known=self.known,
        )

    def checks(self, rng: np.random.Generator) -> list[Check]:
        """Make two checks on foils of two sections, each at minutes after its own foil's start."""
        bench = default_bench()
        first = bench["first_check_dark_min" if self.head.dark else "first_check_min"]
        sections = rng.choice(SECTIONS, 2, replace=False)
        return [
            self.seen(rng, a_foil(rng, int(section)), minutes)
            for section, minutes in zip(
                sections, (first, first + bench["check_every_min"]), strict=True
            )
        ]


def draw_practice(rng: np.random.Generator, world: World) -> Practice:
    """Draw what stays true."""
    n, wet = of_lift()["strength_exponent"], wet_levels()
    shared = ("old_colour", "warmth", "strength_exponent")
    z = {name: float(rng.standard_normal()) for name in shared}
    if world.exponent is not None:
        z["strength_exponent"] = (world.exponent - n.value) / n.spread
    return Practice(
        world=world,
        z=z,
        products=rng.standard_normal(len(PRODUCTS)),
        bias=float(rng.normal(wet.value, wet.spread)),
        heads=tuple(_head(rng, f"client {number:02d}") for number in range(1, CLIENTS + 1)),
    )


def draw_visit(rng: np.random.Generator, practice: Practice) -> Visit:
    """Draw who comes, what is used, and how fast it truly is today."""
    head = practice.heads[int(rng.integers(len(practice.heads)))]
    product = str(rng.choice(PRODUCTS, p=PRODUCT_SHARES))
    return visit_of(rng, practice, head, product, float(rng.choice(VOLS)))


def visit_of(
    rng: np.random.Generator, practice: Practice, head: Head, product: str, vol: float
) -> Visit:
    """Draw how fast a product truly is on a head today; aimed at on the starting numbers."""
    world, day = practice.world, of_lift()["day"].spread
    today = rng.standard_normal() * (1.0 if world.day_sd is None else world.day_sd / day)
    at = PRODUCTS.index(product)
    whole = {**practice.z, "product": practice.products[at], "client": head.z, "day": today}
    draws = {name: np.full(FOILS, value) for name, value in whole.items()}
    draws["foil"] = rng.standard_normal(FOILS)
    sign = float(rng.choice((-1.0, 1.0))) if world.turning else 1.0
    ground = head.ground
    mean = make_rate(vol, draws={}, old_colour=ground.old_colour, gray_under=ground.gray_under)
    aim = aim_of(head, float(mean.eta[0]))
    return Visit(
        world=world,
        head=head,
        product=product,
        vol=vol,
        aim=aim,
        rate=true_rate(head.ground, vol, draws),
        bias=practice.bias + sign * world.beyond,
    )


def true_rate(ground: Ground, vol: float, draws: Mapping[str, Floats]) -> Rate:
    """Give the rate of every foil from deviations in sd, shape (F,) each."""
    cold, warm = (
        make_rate(
            vol,
            draws=draws,
            old_colour=ground.old_colour,
            gray_under=ground.gray_under,
            first_cm=first_cm,
        )
        for first_cm in (False, True)
    )
    return Rate(np.where(warm_foils(ground), warm.eta, cold.eta), cold.exponent)


def warm_foils(ground: Ground) -> NDArray[np.bool_]:
    """Which foils are read in the warm first centimetre, shape (F,)."""
    section = np.arange(FOILS) // (FOILS // SECTIONS)
    return np.asarray((section == WARM_SECTION) & (not ground.old_colour))


def a_foil(rng: np.random.Generator, section: int) -> int:
    """Choose a foil of a section."""
    each = FOILS // SECTIONS
    return section * each + int(rng.integers(each))


def aim_of(head: Head, log_rate: float) -> float:
    """Give the lightest half stage that a log rate reaches by `AIM_BY_MIN`, clear of a stall.

    At least `LEAST_LIFT` above where the hair stands.
    """
    stages = head.path[1]
    reached = float(np.interp(np.exp(log_rate) * float(tau(AIM_BY_MIN)), *head.path))
    best = min(reached, float(stages[-1]) - CLEAR_OF_STALL, LIGHTEST_AIM)
    least = float(stages[0]) + LEAST_LIFT
    return float(max(np.floor(2 * best), np.ceil(2 * least)) / 2)


def _head(rng: np.random.Generator, name: str) -> Head:
    level, gray = int(rng.choice(LEVELS)), float(rng.choice(GRAYS))
    years = float(rng.choice(YEARS_OF_COVER, p=YEARS_SHARES))
    ground, path = hair(level, gray, years)
    dark = years > 0 and level <= DARK_COVER
    return Head(name, float(rng.standard_normal()), ground, path, dark)


@cache
def hair(level: int, gray: float, years: float) -> tuple[Ground, tuple[Floats, Floats]]:
    """Give natural hair, or with years above 0 permanent cover of its own level, and its path."""
    cover = Band(from_cm=0, to_cm=20, past="permanent", depth=level, years=years)
    ground = ground_of(cover if years else None, level, gray)
    return ground, ground.stages()
