"""Properties of the clock of a head."""

from __future__ import annotations

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from strandline.base.errors import OutOfRangeError
from strandline.service.practice.bench import default_bench
from strandline.service.schedule.chair import Wait
from strandline.service.schedule.clock import Placing, set_clock

SECTIONS = ("nape hairline", "centre strip", "fringe", "sides", "tip-outs")
heads = st.lists(
    st.tuples(st.integers(1, 25), st.sampled_from(["slice", "weave", "tip-out"])),
    min_size=1,
    max_size=5,
)


def laid(head, weak):
    out = []
    for section, (count, kind) in zip(SECTIONS, head, strict=False):
        for _ in range(count):
            number = len(out) + 1
            out.append(Placing(number, kind, section, "weak" if number <= weak else "main"))
    return out


@settings(deadline=None)
@given(
    heads,
    st.integers(0, 30),
    st.tuples(st.floats(5, 70), st.floats(5, 70)),
    st.tuples(st.floats(20, 60), st.floats(20, 60)),
    st.booleans(),
)
@example([(18, "slice"), (7, "slice"), (12, "slice"), (11, "slice")], 23, (53, 13), (59, 28), False)
def test_no_foil_stays_past_the_label(head, weak, dues, labels, helper):
    (due_weak, due_main), (label, other) = dues, labels
    foils = laid(head, weak)
    waits = {"weak": Wait(due_weak, 10, label), "main": Wait(due_main, 15, other)}
    clock = set_clock(foils, waits, default_bench(), helper=helper)
    for group in clock.groups:
        assert group.out <= group.latest + 1e-9
        assert group.start <= group.end <= max(clock.placed, group.end)
        assert group.first_check <= group.latest
    assert sorted(clock.starts) == [foil.number for foil in foils]


@settings(deadline=None)
@given(heads)
def test_starts_follow_the_order_and_a_helper_is_never_slower(head):
    foils = laid(head, 0)
    waits = {"main": Wait(40, 15, 50)}
    alone = set_clock(foils, waits, default_bench())
    helped = set_clock(foils, waits, default_bench(), helper=True)
    starts = [alone.starts[foil.number] for foil in foils]
    assert starts == sorted(starts)
    assert helped.placed <= alone.placed


def test_label_of_nothing_is_told():
    with pytest.raises(OutOfRangeError, match="more than 0"):
        Wait(30, 10, 0)


def test_a_label_too_short_to_wipe_in_is_told():
    waits = {"weak": Wait(30, 10, 40), "main": Wait(30, 1, 1)}
    with pytest.raises(OutOfRangeError, match="label allows 1 min"):
        set_clock(laid([(9, "tip-out")] * 3, 10), waits, default_bench())
