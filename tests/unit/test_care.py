"""Gates of care: each against its published or trade limit, to the minute and the day."""

from __future__ import annotations

import datetime as dt

import pytest

from strandline.service.care.finding import verdict
from strandline.service.care.gates import judge, months_later
from strandline.service.consultation.model import AlertTest
from strandline.service.practice.bench import default_bench

DAY = dt.date(2026, 12, 3)
NOON = dt.datetime(2026, 12, 3, 12, 0)


def judged(c, **health):
    changed = c.model_copy(update={"health": c.health.model_copy(update=health)})
    return judge(changed, default_bench(), DAY)


def test_all_answers_given_and_a_clear_test_go(consultation):
    assert verdict(judged(consultation("noor"))) == "go"


@pytest.mark.parametrize(
    ("before", "expected"),
    [(dt.timedelta(hours=47, minutes=59), "wait"), (dt.timedelta(hours=48), "go")],
)
def test_alert_test_of_48_hours_to_the_minute(consultation, before, expected):
    test = AlertTest(date=NOON - before, result="clear", line="tideline")
    assert verdict(judged(consultation("noor"), alert_test=test)) == expected


@pytest.mark.parametrize(("day", "expected"), [(3, "go"), (2, "wait")])
def test_alert_test_of_six_months_to_the_day(consultation, day, expected):
    test = AlertTest(date=dt.datetime(2026, 6, day, 9), result="clear", line="tideline")
    assert verdict(judged(consultation("noor"), alert_test=test)) == expected


def test_alert_test_of_another_line_waits(consultation):
    test = AlertTest(date=NOON - dt.timedelta(days=5), result="clear", line="other line")
    assert verdict(judged(consultation("noor"), alert_test=test)) == "wait"


@pytest.mark.parametrize(
    ("field", "answer", "expected"),
    [
        ("allergies", "unknown", "wait"),
        ("scalp", "unknown", "wait"),
        ("pregnancy", "unknown", "wait"),
        ("pregnancy", "yes", "go"),
        ("pregnancy", "not said", "go"),
        ("scalp", "broken", "stop"),
        ("past_reaction", "yes", "stop"),
        ("allergies", "yes", "wait"),
        ("metallic_or_herbal_colour", "yes", "stop"),
        ("alert_test", None, "wait"),
    ],
)
def test_answers_of_health(consultation, field, answer, expected):
    assert verdict(judged(consultation("noor"), **{field: answer})) == expected


def test_a_reaction_in_the_alert_test_stops(consultation):
    test = AlertTest(date=NOON - dt.timedelta(days=5), result="reaction", line="tideline")
    assert verdict(judged(consultation("noor"), alert_test=test)) == "stop"


@pytest.mark.parametrize(("age", "expected"), [(15, "stop"), (16, "go")])
def test_age_of_sixteen(consultation, age, expected):
    c = consultation("noor")
    c = c.model_copy(update={"client": c.client.model_copy(update={"age": age})})
    assert verdict(judge(c, default_bench(), DAY)) == expected


def test_every_finding_names_its_source(consultation):
    for name in ("perpetua", "tamsin", "noor"):
        for finding in judged(consultation(name), allergies="unknown", pregnancy="yes"):
            assert finding.as_json()["source"]


@pytest.mark.parametrize(
    ("day", "months", "later"),
    [
        (dt.date(2026, 8, 31), 6, dt.date(2027, 2, 28)),
        (dt.date(2026, 6, 3), 6, dt.date(2026, 12, 3)),
        (dt.date(2026, 12, 31), 2, dt.date(2027, 2, 28)),
    ],
)
def test_months_later_ends_with_the_month(day, months, later):
    assert months_later(day, months) == later
