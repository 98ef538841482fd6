# mypy: disable-error-code="misc"
# Lambdas inside unpacked rows: mypy does not hand their type inward; each is a plain answer.
"""Checks of care and money: alert tests by hour and day, age, what a cover costs."""

from __future__ import annotations

import datetime as dt
from functools import partial

from strandline.base.sources import COMMON_PRACTICE
from strandline.salon.evidence.check import Check
from strandline.service.care.gates import VISIT_OPENS, judge
from strandline.service.consultation.model import Consultation
from strandline.service.plan.money import cost_of
from strandline.service.practice.bench import default_bench

DAY = dt.date(2026, 12, 3)
OPENS = dt.datetime.combine(DAY, VISIT_OPENS)
GRAMS_PER_OZ = 28.3495
BOUGHT = ((8.95, 2.0), (9.00, 32.0))
"""Price and ounces of the tube and of the developer; an ounce of each is used."""
EACH_VISIT = (0.37, 0.50)
"""Gloves and backbar."""


def _consultation(*, age: int = 40, applied: dt.datetime, line: str = "one line") -> Consultation:
    area = {"gray": 50}
    return Consultation.model_validate(
        {
            "client": {"name": "A client", "age": age},
            "areas": {"front": area, "crown": area, "back": area},
            "hair": {"level": 5},
            "shelf": {"line": "one line"},
            "health": {"alert_test": {"date": applied, "result": "clear", "line": line}},
        }
    )


def alert_word(applied: dt.datetime, day: dt.date = DAY, line: str = "one line") -> str:
    """Say whether an alert test is accepted on a day whose visit begins at noon."""
    found = judge(_consultation(applied=applied, line=line), default_bench(), day)
    held = any(one.about == "health.alert_test" for one in found)
    return "refused" if held else "accepted"


def morning(day: dt.date) -> dt.datetime:
    """Give nine in the morning of a day, local as consultations have it."""
    return dt.datetime.combine(day, dt.time(9, 0))


def age_word(age: int) -> str:
    """Say whether oxidative colour is allowed at an age."""
    found = judge(
        _consultation(age=age, applied=OPENS - dt.timedelta(days=3)), default_bench(), DAY
    )
    stopped = any(one.about == "client.age" and one.weight == "stop" for one in found)
    return "refused" if stopped else "allowed"


def cover_cost() -> float:
    """Cost a cover as a quote does: products by weight and price a kilogram, the rest as paid."""
    products = sum(
        cost_of(GRAMS_PER_OZ, 1000 * price / (ounces * GRAMS_PER_OZ)) or 0.0
        for price, ounces in BOUGHT
    )
    return products + sum(EACH_VISIT)


CHECKS: tuple[Check, ...] = (
    *(Check(f"An alert test put on {words} before the visit", "standard", "alert_test", expected,
            partial(alert_word, OPENS - age), relation="is", locator="48 h")
      for words, age, expected in (
          ("47 h 59 min", dt.timedelta(hours=47, minutes=59), "refused"),
          ("48 h", dt.timedelta(hours=48), "accepted"))),
    Check("An alert test six months old", "standard", "alert_test", "accepted",
          lambda: alert_word(morning(dt.date(2026, 6, 3))), relation="is"),
    Check("An alert test six months and a day old", "standard", "alert_test", "refused",
          lambda: alert_word(morning(dt.date(2026, 6, 2))), relation="is"),
    Check("An alert test of another line than the shelf's", "standard", "alert_test", "refused",
          lambda: alert_word(OPENS - dt.timedelta(days=3), line="another"), relation="is"),
    *(Check(f"Oxidative colour at {age}", "standard", "eu_label", expected,
            partial(age_word, age), relation="is")
      for age, expected in ((15, "refused"), (16, "allowed"))),
    Check("The cost of a cover, by the trade's example", "practice", COMMON_PRACTICE, 5.63,
          cover_cost, 0.01,
          locator="2 oz tube at 8.95, 32 oz developer at 9.00, 1 oz each, gloves, backbar"),
)  # fmt: skip
