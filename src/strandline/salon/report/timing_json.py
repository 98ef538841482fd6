"""The timing of a head's foils as JSON, every figure with its unit in its name."""

from __future__ import annotations

import math

from strandline.base.sources import COMMON_PRACTICE
from strandline.salon.report.timing_words import (
    LAW,
    cautions_of,
    is_colour_row,
    label_of,
    notes_of,
    shares_of,
)
from strandline.service.plan.assemble import Made
from strandline.service.plan.compared import Compared, spent_money
from strandline.service.plan.timed import COLOUR_VOL
from strandline.service.schedule.result import NEVER_SO, Poured, Timing
from strandline.service.schedule.value import Value


def timing_json(made: Made, compared: Compared) -> dict[str, object]:
    """Give every figure with its unit in its name; null stands for never."""
    timing, own = compared.timed.timing, compared.own
    money, reached = made.consultation.money, not compared.out_of_reach
    return {
        "client": made.plan.client,
        "date": made.plan.date.isoformat(),
        "foils": sum(len(block.foils) for block in compared.problem.blocks),
        "verdict": made.plan.verdict,
        "reasons": [
            one.model_dump(mode="json")
            for one in made.plan.reasons
            if one.weight in ("stop", "wait")
        ],
        "aim_stage": made.plan.aim_stage,
        "out_of_reach": [
            {"band": one.band, "stage": round(one.stage, 2), "why": one.why}
            for one in compared.out_of_reach
        ],
        "label_max_min": label_of(made),
        "helper": compared.problem.hands.helper,
        "best": {**_timing(made, timing), "meets_aims": timing.value.meets and reached},
        "own_rule": {
            **_worth(own.value, own.chair_min, own.dose),
            "meets_aims": own.value.meets and reached,
            "vols": list(own.vols),
        },
        "own_rule_is_as_good": compared.own_is_as_good,
        "binding": [{"what": bond.what, "why": bond.why} for bond in compared.timed.binding],
        "ways_out": [
            {
                "name": way.name,
                "what": way.what,
                **_worth(way.value, way.minutes, way.dose),
                "meets_aims": way.value.meets and reached,
                "money": None if way.money is None else round(way.money, 2),
                "days": [_timing(made, day) for day in way.timings],
            }
            for way in compared.ways
        ],
        "currency": money.currency if money else None,
        "complete": compared.timed.complete,
        "cautions": [finding.as_json() for finding in cautions_of(made, timing)],
        "notes": notes_of(made, compared),
        "law": LAW,
        "source": COMMON_PRACTICE,
    }


def _timing(made: Made, timing: Timing) -> dict[str, object]:
    amount = spent_money(made, timing)
    return {
        **_worth(timing.value, timing.chair_min, timing.dose),
        "never_so": NEVER_SO if timing.value.past_label > 0 else None,
        "placed_min": round(timing.clock.placed, 1),
        "rinse_min": round(timing.clock.rinse, 1),
        "money": None if amount is None else round(amount, 2),
        "poured": [_poured(made, one) for one in timing.poured],
        "bowls": [
            {"vol": vol, "count": count, "parts": _json_parts(made, vol)}
            for vol, count in timing.bowls.items()
            if vol != COLOUR_VOL
        ],
        "outs": [
            {
                "block": out.block,
                "how": out.how,
                "who": out.who,
                "at_min": round(out.at_min, 1),
                "takes_min": round(out.takes_min, 1),
            }
            for out in timing.outs
        ],
        "groups": [
            {
                "foils": group.foils,
                "start_min": round(group.start, 1),
                "first_check_min": round(group.first_check, 1),
                "due_min": round(group.due, 1) if math.isfinite(group.due) else None,
                "latest_min": round(group.latest, 1),
                "out_min": round(group.out, 1),
                "how": group.how,
            }
            for group in timing.clock.groups
        ],
    }


def _poured(made: Made, one: Poured) -> dict[str, object]:
    return {
        "block": one.block,
        "band": one.band,
        "vol": None if is_colour_row(one) else round(one.vol, 3),
        "parts": [] if is_colour_row(one) else _json_parts(made, one.vol),
        "after_min": one.after_min,
        "minutes_to_aim": round(one.minutes_to_aim, 1)
        if math.isfinite(one.minutes_to_aim)
        else None,
        "in_min": [round(minute, 1) for minute in one.in_min],
        "stage": None
        if is_colour_row(one)
        else {
            "low": round(one.stage.low, 2),
            "middle": round(one.stage.middle, 2),
            "high": round(one.stage.high, 2),
        },
        "dose_min_at_6": round(one.dose, 1),
    }


def _json_parts(made: Made, vol: float) -> list[dict[str, float]]:
    return [{"vol": share.vol, "parts": share.parts} for share in shares_of(made, vol)]


def _worth(value: Value, chair_min: float, dose: float) -> dict[str, object]:
    return {
        "meets_aims": value.meets,
        "chair_min": round(chair_min, 1),
        "dose_min_at_6": round(dose, 1),
        "past_label_foil_min": round(value.past_label, 2),
        "past_aim_stage": round(value.past_aim, 4),
        "short_stage": round(value.short, 4),
    }
