"""Three visits of one head in a row, each planned after the one before: what carries, in figures.

Run it alone or by `./dev bench`. Noor goes three times from her own consultation; Junia's first two
visits are planned from her head as it was under its cover, and her third is examples/junia.toml.
"""

from __future__ import annotations

import datetime as dt
import sys
import time
from pathlib import Path

from strandline.salon.report.drawing import draw_plan_map
from strandline.service.consultation.model import Consultation, Cover
from strandline.service.consultation.reader import read_consultation
from strandline.service.plan.assemble import Made, make_plan
from strandline.service.plan.earlier import read_earlier

EXAMPLES = Path(__file__).parents[1] / "examples"
HIT_PERCENT, HIT_SPREAD = 80.0, 10.0
EDGE_CM = 0.5
OLD_DASH, OLDER_DASH = 'stroke-dasharray="0.9 0.7"', 'stroke-dasharray="0.2 0.75"'


def read(name: str, day: dt.date) -> Consultation:
    """Read one of the examples for a day."""
    path = EXAMPLES / f"{name}.toml"
    return read_consultation(
        path.read_bytes(),
        path.name,
        beside=lambda other: (EXAMPLES / other).read_bytes(),
        on=day,
    )


def as_covered(c: Consultation) -> Consultation:
    """Give a head as it was under permanent colour, before its first visit."""
    cover = Cover(depth=c.hair.level or 6, years=5)
    visit = c.visit.model_copy(update={"number": 1})
    aim = c.aim.model_copy(update={"too_light_now": False})
    return c.model_copy(update={"bands": [], "cover": cover, "visit": visit, "aim": aim})


def in_a_row(consultations: list[Consultation], days: list[dt.date]) -> list[Made]:
    """Plan visits, each after the one before."""
    out: list[Made] = []
    for c, day in zip(consultations, days, strict=True):
        earlier = read_earlier(out[-1].plan.model_dump_json().encode(), b"") if out else None
        out.append(make_plan(c, day, earlier=earlier))
    return out


def told(made: Made) -> str:
    """Say what a visit carries."""
    plan, kept = made.plan, made.plan.carried
    light = sum(row.kind != "lowlight weave" for row in plan.foils)
    said = f"  visit {plan.visit}: {light} foils of lightener"
    if len(plan.foils) > light:
        said += f" and {len(plan.foils) - light} lowlights"
    if kept is None:
        return said
    now = next((one.percent for one in kept.old_colour if one.planned), None)
    said += f"; taken twice {kept.overlap_percent.middle:.0f} % of the hair in them"
    if kept.overlap_grams.middle is not None:
        said += f", {kept.overlap_grams.middle:.0f} g of lightener on light lengths"
    if kept.hairline_overlap_cm is not None:
        said += f", {kept.hairline_overlap_cm:.2f} cm at the hairline"
    if now is not None:
        said += f"; old colour after {now.middle:.0f} % ({now.low:.0f} to {now.high:.0f})"
    return said


def faults(name: str, row: list[Made]) -> list[str]:
    """Say where what carries is not what it must be."""
    out = []
    for made in row[1:]:
        kept = made.plan.carried
        if kept is None:
            return [f"{name}: nothing carries to visit {made.plan.visit}"]
        twice = kept.overlap_percent.middle or 0.0
        if abs(100 - twice - HIT_PERCENT) > HIT_SPREAD:
            out.append(f"{name}: {twice:.0f} % is taken twice at visit {made.plan.visit}")
        if (kept.hairline_overlap_cm or 0.0) > EDGE_CM:
            out.append(f"{name}: {kept.hairline_overlap_cm:.2f} cm at the hairline")
    last = row[-1].plan.carried
    shares = [one.percent.middle or 0.0 for one in last.old_colour] if last else []
    if shares != sorted(shares, reverse=True) or len(shares) != len(row) + 1:
        out.append(f"{name}: the share of old colour goes {shares}")
    drawn = draw_plan_map(row[-1])
    if drawn.count(OLD_DASH) < len(row[1].plan.foils) or drawn.count(OLDER_DASH) < len(
        row[0].plan.foils
    ):
        out.append(f"{name}: the third map does not show the foils of both visits before")
    return out


def main() -> int:
    """Plan both heads, print what carries, and give 1 where it is not what it must be."""
    found = []
    days = [dt.date(2026, 12, 3), dt.date(2027, 2, 25), dt.date(2027, 5, 20)]
    start = time.perf_counter()
    noor = in_a_row([read("noor", day) for day in days], days)
    third = dt.date(2026, 12, 8)
    before = [third - dt.timedelta(weeks=26), third - dt.timedelta(weeks=13), third]
    own = read("junia", third)
    covered = as_covered(own)
    junia = in_a_row([covered, covered, own], before)
    took = time.perf_counter() - start
    for name, row in (("Noor, every 12 weeks", noor), ("Junia, every 13 weeks", junia)):
        print(name)
        for made in row:
            print(told(made))
        found += faults(name, row)
    print(f"six plans: {took:.1f} s")
    for fault in found:
        print(f"  not as it must be: {fault}")
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main())
