"""What a plan may come to while questions are open."""

from __future__ import annotations

import dataclasses
import datetime as dt

import pytest

from strandline.service.consultation.entry.answers import Answers
from strandline.service.consultation.entry.into import consultation
from strandline.service.plan.assemble import make_plan
from strandline.service.plan.outcome import Outcome, outcome_of
from strandline.service.plan.outlook import outlooks, steps_between

DAY = dt.date(2026, 12, 3)
SAID = (
    {"gray.front": 80, "gray.crown": 70, "gray.back": 60},
    {"level.front": 5},
    {"regrowth.front": 2.5},
    {"cover.kind": "salon", "cover.depth": 5, "cover.years": 9},
    {"light.where": "none"},
    {"strand": "medium"},
    {"ponytail": "medium"},
    {"length": "shoulder"},
    {"fringe": "none", "parting": "left"},
    {"condition": "sound"},
    {"wish": "soft"},
    {"tone": "natural"},
    {"return": 12},
    {"hours": 4},
)


@pytest.fixture(scope="module")
def asked():
    known: dict[str, Outcome] = {}

    def one(c):
        key = c.model_dump_json()
        if key not in known:
            known[key] = outcome_of(c, DAY)
        return known[key]

    return one


@pytest.fixture(scope="module")
def base(consultation):
    whole = consultation("noor").model_dump(exclude_unset=True)
    return {name: whole[name] for name in ("client", "shelf", "money", "health")}


@pytest.fixture(scope="module")
def after(asked, base):
    """Give the last outlook after so many questions."""

    def so_many(count):
        said: dict = {}
        for one in SAID[:count]:
            said |= one
        return list(outlooks(Answers().with_(said), base, DAY, asked))

    return so_many


def test_an_outcome_is_the_plan_in_a_few_figures(made, consultation):
    """The plan itself is the reference: the same rooms are asked twice."""
    for name in ("noor", "mirela", "tamsin", "perpetua"):
        c = consultation(name)
        plan, found = made(name).plan, outcome_of(c, c.visit.date)
        assert (found.verdict, found.kind, found.foils) == (
            plan.verdict,
            plan.technique_kind,
            plan.foil_count,
        )
        assert round(found.minutes) == plan.quote.minutes
        assert found.quote.floor == plan.quote.floor
        if plan.expected_stage:
            assert found.stage.middle == pytest.approx(plan.expected_stage.middle, abs=0.05)


def test_the_plan_stands_at_once_and_the_range_grows_as_it_is_computed(after):
    found = after(6)
    assert found[0].done == 1
    assert found[0].usual == found[-1].usual
    widths = [one.minutes.high - one.minutes.low for one in found]
    assert widths == sorted(widths)
    assert found[-1].done == found[-1].whole
    assert found[-1].minutes.low < found[-1].usual.minutes < found[-1].minutes.high


def test_ranges_narrow_with_answers_and_close_with_the_last(after):
    six, eleven, every = (after(count)[-1] for count in (6, 11, 14))
    for name in ("minutes", "year", "foils"):
        one, two, three = (getattr(found, name) for found in (six, eleven, every))
        assert two.high - two.low <= one.high - one.low
        assert three.high == three.low == three.middle
    assert len(six.kinds) > 1
    assert every.kinds == ("foils",)
    assert every.helps == ()
    assert every.stage.low < every.stage.high, "how hair lifts stays open"


def test_what_helps_most_is_what_moves_the_plan_most(after, asked, base):
    """Answering the first of the list narrows the day more than answering the last."""
    helps = after(6)[-1].helps
    assert helps[0].question == "wish"
    assert [one.steps for one in helps] == sorted((one.steps for one in helps), reverse=True)
    said = {}
    for one in SAID[:6]:
        said |= one

    def width(more):
        last = list(outlooks(Answers().with_(said | more), base, DAY, asked))[-1]
        return sum(one.steps for one in last.helps)

    by_name = dict(zip(("wish", "tone"), (SAID[10], SAID[11]), strict=True))
    assert width(by_name["wish"]) < width(by_name["tone"])


def test_questions_an_earlier_visit_answers_are_not_turned(asked, base):
    said = {key: value for one in SAID[:6] for key, value in one.items()}
    names = {
        one.question
        for one in list(
            outlooks(Answers().with_(said), base, DAY, asked, settled=("wish", "hours"))
        )[-1].helps
    }
    assert "wish" not in names
    assert "hours" not in names


def test_steps_are_counted_by_the_largest_and_another_kind_counts_more(asked, base):
    one = asked(consultation(Answers().with_({"gray.front": 50, "level.front": 6}), base, on=DAY))
    assert steps_between(one, one) == 0
    later = dataclasses.replace(one, minutes=one.minutes + 40)
    assert steps_between(one, later) == pytest.approx(2)
    other = dataclasses.replace(one, kind="gloss")
    assert steps_between(one, other) == pytest.approx(4)


def test_the_outlook_of_all_answers_is_the_plan_that_is_kept(after, base):
    said = {key: value for one in SAID for key, value in one.items()}
    last = after(14)[-1]
    plan = make_plan(consultation(Answers().with_(said), base, on=DAY), DAY).plan
    assert plan.foil_count == last.foils.middle
    assert plan.quote.minutes == round(last.minutes.middle)
    assert plan.verdict == last.usual.verdict
