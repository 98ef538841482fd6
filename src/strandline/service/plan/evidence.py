"""The laws a plan stands on, each with its source and how far it may be trusted."""

from __future__ import annotations

from strandline.base.sources import COMMON_PRACTICE, FROM_MEMORY, cite
from strandline.service.choose.technique import Technique
from strandline.service.plan.model import Law
from strandline.service.practice.bench import Bench


def laws(technique: Technique, bench: Bench) -> list[Law]:
    """List them by section of the plan."""
    out = [
        ("verdict", "gates of care and law", "alert_test"),
        ("technique", "rules of the trade in their order", COMMON_PRACTICE),
        ("colour", "single-constant Kubelka-Munk, additive absorbers, D65/10", "kubelka1931"),
        ("levels", "ln L* = 2.3029 + .1893 level, sd about one level", "strandline_fit"),
    ]
    if technique.kind == "foils":
        out += [
            ("lift", "c(x) = c0((1 - rho) exp(-x) + rho); x = exp(eta) tau(t)", FROM_MEMORY),
            ("bowls", "alligation; nominal 0.3 % per volume", "bp"),
            ("limits", "at most 12 % in the ready mix", "eu1223"),
        ]
    if technique.kind in ("foils", "lowlights"):
        out += [
            ("foils", "partings on an equal-area chart; hair = roots x length x mass", "geometry"),
            ("density", "hairs on a square centimetre", "barman1965"),
        ]
    if technique.kind != "none":
        out.append(("gloss", "dye bands added to K/S; uptake saturating in time", FROM_MEMORY))
    rate = bench.source("growth_um_per_day")
    grown = [
        ("grow-out", "S-CIELAB; shown growth in dE00 cm over the first 6 cm", cite("scielab1996")),
        ("growth", f"{bench['growth_um_per_day']:g} um a day", rate),
    ]
    return [
        *(Law(section=s, law=law, source=cite(source)) for s, law, source in out),
        *(Law(section=s, law=law, source=source) for s, law, source in grown),
    ]
