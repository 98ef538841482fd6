"""A gloss in words and as JSON."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from strandline.science.chemistry.fade import WASHES_PER_WEEK
from strandline.service.formulate.answer import Answer, Dish, in_words, mean_away
from strandline.service.formulate.asking import day_one
from strandline.service.formulate.clock import MISSES, Clock
from strandline.service.formulate.ladder import Rung
from strandline.service.formulate.wear import Wear, wear_of

RETURN_WEEKS = 6.0
"""When a gloss is usually done again; common practice, no source."""
ALWAYS = "Gloves on; the alert test and the product's label come first."
PRIORS = (
    "Dyes and uptake are priors from memory: try a strand, read it, and let a swatch of each "
    "shade replace them."
)


def as_json(found: Answer, back: Sequence[Rung] | None = None) -> dict[str, object]:
    """Give the answer as JSON, with the steps back where it is on already."""
    return {
        "on_lab": [list(one) for one in found.wanted.on],
        "shares": [round(share, 4) for share in found.wanted.shares],
        "place": found.wanted.place,
        "aim_lab": list(found.wanted.aim),
        "day_one_lab": _rounded(day_one(found.wanted)),
        "recipes": [_recipe(found, dish) for dish in found.dishes],
        "own_bowls": [_own(dish) for dish in found.own],
        "care": _care(found),
        "steps_back": [_rung(one) for one in back or ()],
        "notes": [*found.notes, *_one_or_two(found), PRIORS, ALWAYS],
    }


def _rung(one: Rung) -> dict[str, object]:
    return {
        "name": one.name,
        "what": one.what,
        "minutes": one.minutes,
        "lab": list(one.lab),
        "delta_e00": one.away,
        "grams": None
        if one.bowl is None or one.weighed is None
        else dict(zip((shade.name for shade in one.bowl.shades), one.weighed.grams, strict=True)),
        "developer_vol": None if one.weighed is None else one.weighed.developer_vol,
        "developer_grams": None if one.weighed is None else one.weighed.developer_grams,
        "gate": one.gate,
    }


def _back_said(back: Sequence[Rung]) -> list[str]:
    """Say the steps back, and what each comes to."""
    if len(back) == 1:
        return [f"CAME TO {_said(back[0].lab)}, {back[0].away:g} dE00: near enough, leave it.", ""]
    seen, *steps = back
    lines = [f"CAME TO {_said(seen.lab)}, {seen.away:g} dE00. {seen.what}"]
    for number, one in enumerate(steps, 1):
        lines.append(f"  {number}.    {one.what}")
        lines.append(f"        then {_said(one.lab)}, {one.away:g} dE00")
        if one.gate:
            lines.append(f"        ! {one.gate}")
    return [*lines, "        Look, wiped dry, after each step; stop as soon as it is there.", ""]


def _wear(found: Answer) -> Wear:
    """Give how the nearest recipe wears on its first ground, against the colour to wear."""
    dish = found.dishes[0]
    ground = replace(found.grounds[0], aim_lab=np.array(found.wanted.aim))
    kind, dyes = dish.bowl.colours[0].kind, dish.bowl.dyes
    return wear_of(ground, dyes, kind, RETURN_WEEKS, WASHES_PER_WEEK)


def _care(found: Answer) -> dict[str, object]:
    worn = _wear(found)
    return {
        "washes_per_week": WASHES_PER_WEEK,
        "seen_weeks": worn.seen_weeks,
        "gone_weeks": worn.gone_weeks,
        "violet_shampoo_every_days": worn.every_days,
        "cared_seen_weeks": worn.cared_seen_weeks,
        "cared_gone_weeks": worn.cared_gone_weeks,
        "violet_shampoo_dulls_at_days": worn.dulls_days,
        "by_kind": dict(worn.by_kind),
    }


def _care_said(found: Answer) -> str:
    return f"CARE    {_wear(found).said()}"


def _recipe(found: Answer, dish: Dish) -> dict[str, object]:
    first = dish.clocks[0]
    return {
        **_own(dish),
        "from_aim_e00": round(max(dish.from_aim), 2),
        "grounds": [
            {"lab": _rounded(lab), "delta_e00": round(far, 2), "from_aim_e00": round(aim, 2)}
            for lab, far, aim in zip(dish.on, dish.away, dish.from_aim, strict=True)
        ],
        "mean_delta_e00": round(mean_away(found.grounds, dish), 3),
        "share_near": round(dish.near, 3),
        "first_look_min": first.first_look,
        "first_sign_min": first.first_sign,
        "window_min": list(first.window),
        "overdone_from_min": first.overdone_from,
        "overdone": MISSES.get(first.overdone, ""),
        "by_minute": [
            {"minutes": minute, "lab": lab, "delta_e00": far} for minute, lab, far in _path(first)
        ],
    }


def _own(dish: Dish) -> dict[str, object]:
    return {
        "kind": dish.bowl.colours[0].kind,
        "parts": [
            {"shade": shade.name, "parts": part, "grams": grams}
            for shade, part, grams in zip(
                dish.bowl.shades, dish.bowl.parts, dish.weighed.grams, strict=True
            )
        ],
        "developer_vol": dish.weighed.developer_vol,
        "developer_grams": dish.weighed.developer_grams,
        "mixed_grams": round(dish.weighed.mixed_grams, 6),
        "minutes": dish.bowl.minutes,
        "lab": _rounded(dish.on[0]),
        "delta_e00": round(dish.away[0], 2),
        "price": None if dish.price is None else round(dish.price, 2),
    }


def _path(clock: Clock) -> list[tuple[float, list[float], float]]:
    return [
        (float(minute), _rounded(lab), round(float(far), 2))
        for minute, lab, far in zip(clock.minutes, clock.lab, clock.away, strict=True)
        if float(minute).is_integer()
    ]


def _one_or_two(found: Answer) -> list[str]:
    """Say what one bowl on several grounds costs against a bowl for each."""
    if not found.own:
        return []
    one = found.dishes[0]
    costs = "; ".join(
        f"ground {number + 1}: {far:.1f} dE00 with one bowl, {own.away[0]:.1f} with its own"
        for number, (far, own) in enumerate(zip(one.away, found.own, strict=True))
    )
    extra = sum(own.weighed.mixed_grams for own in found.own) - one.weighed.mixed_grams
    mixed = f"{extra:g} g more" if extra > 0 else f"{-extra:g} g less" if extra < 0 else "as much"
    return [f"{costs}. Bowls of their own take {mixed} in all, and another clock."]


def as_text(found: Answer, back: Sequence[Rung] | None = None) -> str:
    """Give the answer as lines to read at the chair, the steps back first where it is on."""
    aim, today = found.wanted.aim, day_one(found.wanted)
    lines = [f"AIM     {_said(aim)}" + ("" if today == aim else f", on day one {_said(today)}")]
    for number, dish in enumerate(found.dishes, 1):
        lines += ["", *_dish(number, dish)]
    for number, dish in enumerate(found.own, 1):
        lines += [
            "",
            f"OWN BOWL of ground {number}: {in_words(dish)}",
            f"        comes to {_said(dish.on[0])}, {dish.away[0]:.1f} dE00",
        ]
    notes = [*found.notes, *_one_or_two(found), PRIORS, ALWAYS]
    first = _back_said(back) if back else []
    return "\n".join([*first, *lines, "", _care_said(found), "", *notes, ""])


def _dish(number: int, dish: Dish) -> list[str]:
    clock = dish.clocks[0]
    lines = [f"RECIPE {number}  {dish.bowl.colours[0].kind}"]
    for shade, part, grams in zip(
        dish.bowl.shades, dish.bowl.parts, dish.weighed.grams, strict=True
    ):
        lines.append(
            f"        {grams:>6g} g  {shade.name}  ({part:g} part{'' if part == 1 else 's'})"
        )
    if dish.weighed.developer_grams:
        lines.append(
            f"        {dish.weighed.developer_grams:>6g} g  developer, "
            f"{dish.weighed.developer_vol:g} volume"
        )
    lines.append(
        f"        {dish.bowl.minutes:g} min: look first at {clock.first_look:g}, "
        f"window {clock.window[0]:g}-{clock.window[1]:g}"
    )
    if clock.first_sign is not None:
        lines.append(f"        first sign at about {clock.first_sign:g} min")
    if clock.overdone_from is not None:
        said = MISSES.get(clock.overdone, "Past the aim.")
        lines.append(f"        overdone from about {clock.overdone_from:g} min. {said}")
    for lab, far in zip(dish.on, dish.away, strict=True):
        lines.append(f"        comes to {_said(lab)}, {far:.1f} dE00 from the day's aim")
    lines.append(f"        {100 * dish.near:.0f} % of the strands end near it")
    if dish.price is not None:
        lines.append(f"        colour for {dish.price:.2f}")
    return lines


def _said(lab: Sequence[float]) -> str:
    return ", ".join(f"{x:.1f}" for x in lab)


def _rounded(lab: Sequence[float]) -> list[float]:
    return [round(float(x), 2) for x in lab]
