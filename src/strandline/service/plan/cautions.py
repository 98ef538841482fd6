"""Cautions that a plan gives of its own, each at its step on the worksheet."""

from __future__ import annotations

from strandline.base.sources import COMMON_PRACTICE
from strandline.service.care.cautions import for_colour, for_lightener
from strandline.service.care.finding import Finding
from strandline.service.choose.technique import Technique
from strandline.service.consultation.model import Consultation
from strandline.service.plan.carried import CarriedPart
from strandline.service.plan.lifting import Lifted
from strandline.service.plan.patterning import thin_areas
from strandline.service.plan.turning import said_to_turn, turns_at
from strandline.service.plan.under import Under
from strandline.service.practice.bench import Bench


def _turning(c: Consultation) -> list[Finding]:
    """Say of each place where hair turns what is done there, or that its place is not known."""
    out = []
    for where in said_to_turn(c):
        placed = turns_at(where)
        do = (
            "Turn the partings round it and weave there; a slice would stand up as a stripe."
            if placed
            else "Its place is not known, so nothing was changed: name the zone, as crown or nape; "
            "else weave there by hand."
        )
        out.append(
            Finding(
                "caution",
                f"Cowlick or swirl: {where}.",
                do,
                COMMON_PRACTICE,
                "foils",
                "hair.cowlicks",
            )
        )
    return out


def _thin(c: Consultation) -> list[Finding]:
    """Say what thin places ask for, where foils are laid."""
    thin = thin_areas(c)
    if not thin:
        return []
    return [
        Finding(
            "caution",
            f"Hair is thin at the {' and the '.join(thin)}: the scalp is less covered there.",
            "Take thinner sections than elsewhere, and keep the product off the scalp that shows.",
            COMMON_PRACTICE,
            "foils",
            f"areas.{thin[0]}.density",
        )
    ]


def not_gone_by(under: Under | None) -> list[Finding]:
    """Say what of the last visit's facts could not be gone by."""
    return [
        Finding(
            "caution",
            f"The last visit: {what[:1].lower()}{what[1:]}",
            "Look at the hair itself before the foils.",
            COMMON_PRACTICE,
            "foils",
            "--after",
        )
        for what in (under.told if under else ())
    ]


def on_old_light(kept: CarriedPart | None, bench: Bench) -> list[Finding]:
    """Say how far lightener may go on hair that is light already."""
    if kept is None:
        return []
    return [
        Finding(
            "caution",
            "Some of the hair in these foils is light already.",
            "At the hairline paint light hair to its old line, "
            f"{bench['overlap_max_mm']:g} mm past it at most; elsewhere look for the dark "
            "and leave old foils alone.",
            COMMON_PRACTICE,
            "foils",
            "practice.overlap_max_mm",
        )
    ]


def for_work(c: Consultation, technique: Technique, lifted: Lifted) -> list[Finding]:
    """Give the cautions of the work itself: colour, turning hair, lightener."""
    if technique.kind == "none":
        return []
    out = [*for_colour(), *_turning(c), *_thin(c)]
    lightener = c.shelf.lightener
    if lifted.doses and lightener and lightener.label_max_min:
        strongest = max(dose.mix.poured_vol for dose in lifted.doses)
        out += for_lightener(lightener.label_max_min, strongest)
    return out
