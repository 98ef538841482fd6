"""What the file left out and what was taken instead: each default told."""

from __future__ import annotations

from strandline.service.consultation.bands import DEFAULT_REGROWTH_CM
from strandline.service.consultation.model import Consultation
from strandline.service.plan.model import Default
from strandline.service.practice.bench import default_bench

_TOLD = {
    "hair": ("strand", "ponytail", "length", "fringe", "parting", "condition", "circumference_cm"),
    "aim": ("wish", "tone"),
    "limits": ("hours", "helper"),
}


def defaults_told(c: Consultation, *, pace_learned: bool = False) -> list[Default]:
    """List fields not given, with the value that stands for them."""
    out = []
    for table, names in _TOLD.items():
        part = getattr(c, table)
        out += [
            _default(f"{table}.{name}", getattr(part, name))
            for name in names
            if name not in part.model_fields_set
        ]
    if c.client.growth_cm_per_month is None:
        rate = default_bench()["growth_um_per_day"]
        out.append(_default("client.growth_cm_per_month", f"{rate * 30.4375 / 10000:.2f} cm"))
    if c.cover and c.hair.regrowth_cm is None:
        out.append(_default("hair.regrowth_cm", f"{DEFAULT_REGROWTH_CM:g} cm"))
    if "shelf" not in c.model_fields_set:
        out.append(_default("shelf", "an invented neutral line, 5-30 volume"))
    if c.money is None:
        out.append(_default("money", "no floor of a price"))
    if not c.practice:
        pace = ", with the pace your visits told" if pace_learned else ""
        out.append(_default("practice", f"the trade's starting values{pace}"))
    return out


def _default(field: str, taken: object) -> Default:
    word = {True: "yes", False: "no"}.get(taken, str(taken)) if isinstance(taken, bool) else taken
    return Default(field=field, taken=f"{word}")
