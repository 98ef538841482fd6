"""The choices of a head as a table: every option laid once, weighed, priced and timed."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from strandline.service.choose.options import Option, Work, options_for
from strandline.service.choose.tables import Bowl, Ground, Rates, Weighed, weigh
from strandline.service.choose.technique import Technique
from strandline.service.choose.weights import Limits, Table, within
from strandline.service.choose.wish import Wished, wished_for
from strandline.service.consultation.model import Consultation
from strandline.service.formulate.strengths import Dose, set_strengths
from strandline.service.placement.foil import Foil, FoilMap
from strandline.service.placement.pattern import Pattern
from strandline.service.plan.assemble import Made
from strandline.service.plan.glossing import on_shelf
from strandline.service.plan.lifting import asked_of
from strandline.service.plan.looks import Looks
from strandline.service.plan.money import floor_of_hour
from strandline.service.plan.patterning import Laying
from strandline.service.plan.placing import HAIRLINE, Layer, layer_of
from strandline.service.plan.softness import line_curve
from strandline.service.plan.timed import foiled_of
from strandline.service.practice.bench import Bench
from strandline.service.schedule.clock import seconds_to_place

Floats = NDArray[np.float64]
WIPED = 0.6
"""Of the foils, the share that is wiped while others are placed: what the minutes of a table count
with before the clock says it; from memory."""
WORDS = {"weak": "the weak bowl", "main": "the main bowl", "strong": "the bowl for the old colour"}


@dataclass(frozen=True)
class Choices:
    """What may be chosen on a head, and what each choice comes to.

    Parameters
    ----------
    technique : the kind of service that her rules take
    table : by zone name, in the order of work
    limits : of this visit, what it takes without foils not yet taken off
    bowls : by name
    wished : of each zone
    layer : the head, ready to lay patterns on
    sizes : share of the head's hair by zone name
    """

    technique: Technique
    table: Table
    limits: Limits
    bowls: Mapping[str, Bowl]
    wished: Wished
    layer: Layer
    sizes: Mapping[str, float]


def choices_of(made: Made) -> Choices:
    """Lay every option of every zone once and weigh it.

    Parameters
    ----------
    made : the plan as her rules make it, of foils or lowlights

    Raises
    ------
    StrandlineError   as `make_plan`
    """
    c, head, bench, technique = made.consultation, made.head, made.bench, made.technique
    layer = layer_of(c, head, technique, bench, made.under)
    depth = technique.kind == "lowlights"
    options = options_for(
        _work(technique),
        c.placement,
        tips=_tips(c),
        company=technique.scale == "return" and c.aim.too_light_now,
    )
    bowls = (
        {"lowlight": Bowl("lowlight", "lowlight colour", 1.0, 0.0)}
        if depth
        else _bowls(made, technique)
    )
    shares = layer.zones.shares()
    sizes: dict[str, float] = {}
    for zone in layer.zones:
        sizes[zone.name] = sizes.get(zone.name, 0.0) + shares[zone.key]
    ground = Ground(
        sizes={name: sizes[name] for name in options},
        key_share={z.key: shares[z.key] / sizes[z.name] for z in layer.zones},
        wished=wished_for(c, head, sizes, bench["hit_rate"] / 100, depth=depth),
        along=_along_parting(made.looks),
        line_at=(lambda _: 1.0) if depth else line_curve(made),
        depth=depth,
    )
    laid = lay_all(layer, options)
    rates = _rates(c, technique, bench)
    table: Table = {
        zone: weigh(of, laid[zone], _may(zone, bowls, technique), ground, rates)
        for zone, of in options.items()
    }
    most = c.limits.oxidised_percent
    if most is not None:
        table = within(table, most, {bowl.name: bowl.oxidised for bowl in bowls.values()})
    return Choices(
        technique,
        table,
        _limits(c),
        bowls,
        ground.wished,
        layer,
        ground.sizes,
    )


def rows_of(chosen: Mapping[str, Weighed]) -> Laying:
    """Give the pattern of a choice, its spaces as they stand."""
    rows = {zone: one.option.rows for zone, one in chosen.items() if one.option.rows}
    return Laying(Pattern("chosen", rows), None)


def bowls_of_zones(chosen: Mapping[str, Weighed]) -> dict[str, str]:
    """Give the bowl of each zone that is taken."""
    return {zone: one.bowl for zone, one in chosen.items() if one.bowl}


def lay_all(
    layer: Layer, options: Mapping[str, Sequence[Option]]
) -> dict[str, dict[int, tuple[Foil, ...]]]:
    """Lay the first option of every zone at once, then the second, and so on.

    Returns
    -------
    by zone name, by the option's place, its foils on both sides; zones do not touch each other's
    """
    out: dict[str, dict[int, tuple[Foil, ...]]] = {zone: {} for zone in options}
    for place in range(max(map(len, options.values()))):
        rows = {zone: of[place].rows for zone, of in options.items() if place < len(of)}
        rows = {zone: one for zone, one in rows.items() if one}
        if not rows:
            continue
        foils: FoilMap = layer.laid(Laying(Pattern("tried", rows), None))
        for zone in rows:
            found = tuple(foil for foil in foils if foil.zone == zone)
            if found:
                out[zone][place] = found
    return out


def _work(technique: Technique) -> Work:
    if technique.kind == "lowlights":
        return "lowlights"
    return "return" if technique.scale == "return" else "light"


def _tips(c: Consultation) -> bool:
    return c.hair.fringe != "short" and c.aim.wish != "soft"


def _may(zone: str, bowls: Mapping[str, Bowl], technique: Technique) -> tuple[Bowl, ...]:
    """Give the bowls that a zone's foils may be filled from; on return the hairline's is weak."""
    if technique.scale == "return" and "weak" in bowls and zone in HAIRLINE:
        return (bowls["weak"],)
    return tuple(bowls.values())


def _bowls(made: Made, technique: Technique) -> dict[str, Bowl]:
    """Give the bowls that foils may be filled from, with what each does on this hair."""
    c, head, bench = made.consultation, made.head, made.bench
    asked = asked_of(c, technique, bench, chosen=True)
    doses = set_strengths(foiled_of(head), asked, bench, made.drawn)
    whole = head.length_cm
    begins = min(head.level_mean, head.cover_depth or head.level_mean)

    def bowl(name: str, served: Sequence[Dose]) -> Bowl:
        longest = max(served, key=lambda d: (d.to_cm - d.from_cm, d.bowl == name))
        reached = longest.stage_when_due.middle
        carries = min(1.0, max(0.0, (reached - begins) / max(0.5, asked.aim_stage - begins)))
        harm = sum((d.to_cm - d.from_cm) / whole * d.oxidised.middle for d in served)
        vols = "+".join(f"{d.mix.poured_vol:.4g}" for d in served[:1])
        return Bowl(name, f"{WORDS[name]}, {vols} vol", carries, harm)

    if technique.dark_cover:
        strong = [d for d in doses if d.bowl == "strong"]
        rest = [d for d in doses if d.bowl != "strong"]
        return {"strong": bowl("strong", [*strong, *rest])}
    names = dict.fromkeys(d.bowl for d in doses)
    return {name: bowl(name, [d for d in doses if d.bowl == name]) for name in names}


def _rates(c: Consultation, technique: Technique, bench: Bench) -> Rates:
    pace = 1 - bench["helper_saving"] / 100 if c.limits.helper else 1.0
    twice = bench["seconds_second_stretch"] if technique.dark_cover else 0.0
    a_bowl = bench["seconds_bowl"] / 60
    wipe = 0.0 if technique.kind == "lowlights" else bench["minutes_wipe_20"] / 20 * WIPED

    def minutes(foil: Foil) -> float:
        place = seconds_to_place(foil.kind, bench) / 60 * pace + twice / 60
        return place + a_bowl * max(place / bench["bowl_minutes"], 1 / bench["bowl_foils"]) + wipe

    ratio = c.shelf.lightener.powder_ratio if c.shelf.lightener else 2.0
    powder = 1 / (1 + ratio)
    more = 1 + bench["grams_reserve"] / 100
    return Rates(
        minutes=minutes,
        hourly=floor_of_hour(c) or 0.0,
        lightener=more * (powder * _powder_price(c) + (1 - powder) * _developer_price(c)) / 1000,
        colour=more * _shade_price(c) / 2000,
        powder=more * powder,
    )


def _powder_price(c: Consultation) -> float:
    return (c.shelf.lightener.price_per_kg or 0.0) if c.shelf.lightener else 0.0


def _developer_price(c: Consultation) -> float:
    return _mean([b.price_per_kg for b in c.shelf.developers])


def _shade_price(c: Consultation) -> float:
    return _mean([shade.price_per_kg for shade in on_shelf(c)]) + _developer_price(c)


def _mean(prices: Sequence[float | None]) -> float:
    known = [one for one in prices if one is not None]
    return sum(known) / len(known) if known else 0.0


def _limits(c: Consultation) -> Limits:
    lightener = c.shelf.lightener
    stock = [bottle.grams for bottle in c.shelf.developers]
    return Limits(
        minutes=c.limits.hours * 60,
        foils=math.inf if c.limits.foils is None else c.limits.foils,
        money=math.inf if c.limits.money is None else c.limits.money,
        powder=math.inf if lightener is None or lightener.grams is None else lightener.grams,
        developer=sum(stock) if stock else math.inf,
    )


def _along_parting(looks: Looks) -> dict[str, float]:
    """Give the share of the hair on top along the parting that grows in each zone, by name."""
    names = [zone.name for zone in looks.zones]
    weight = np.where(looks.beside, looks.strands.weight, 0.0)
    by_zone = np.bincount(looks.strands.zone, weight, minlength=len(names))
    out: dict[str, float] = {}
    for name, share in zip(names, by_zone / by_zone.sum(), strict=True):
        out[name] = out.get(name, 0.0) + float(share)
    return out
