"""Work asked for at once is done once: the others wait for the same answer, or the same error."""

from __future__ import annotations

import threading
import time

import pytest

from strandline.base.errors import StoppedError
from strandline.base.remembered import Kept


def at_once(*asked):
    """Run each in a thread of its own, begun together, and give what they gave or raised."""
    gate, out = threading.Barrier(len(asked)), [None] * len(asked)

    def run(number, ask):
        gate.wait()
        try:
            out[number] = ask()
        except Exception as error:  # noqa: BLE001  # looked at below
            out[number] = error

    threads = [threading.Thread(target=run, args=one) for one in enumerate(asked)]
    for one in threads:
        one.start()
    for one in threads:
        one.join(30)
    return out


def slow(made, answer=None):
    def make():
        made.append(threading.get_ident())
        time.sleep(0.2)
        if isinstance(answer, Exception):
            raise answer
        return len(made)

    return make


def test_two_that_ask_at_once_have_it_made_once():
    kept, made = Kept(4), []
    assert at_once(*[lambda: kept.of("a", slow(made))] * 4) == [1] * 4
    assert len(made) == 1


def test_what_differs_is_made_beside_one_another():
    kept, made = Kept(4), []
    start = time.monotonic()
    at_once(lambda: kept.of("a", slow(made)), lambda: kept.of("b", slow(made)))
    assert len(made) == 2
    assert time.monotonic() - start < 0.39


def test_an_error_reaches_all_that_wait_and_is_made_again_later():
    kept, made = Kept(4), []
    error = ValueError("none")
    assert at_once(*[lambda: kept.of("a", slow(made, error))] * 3) == [error] * 3
    assert len(made) == 1
    assert kept.of("a", slow(made)) == 2


def test_who_waits_for_one_that_was_stopped_makes_it():
    kept, made = Kept(4), []
    begun = threading.Event()

    def stopped():
        begun.set()
        time.sleep(0.2)
        raise StoppedError("Stopped.", "Begin again.")

    def waiting():
        begun.wait()
        return kept.of("a", slow(made))

    first, second = at_once(lambda: kept.of("a", stopped), waiting)
    assert isinstance(first, StoppedError)
    assert second == 1


def test_what_was_being_made_when_all_was_let_go_is_not_remembered():
    kept, made = Kept(4), []
    begun = threading.Event()

    def make():
        begun.set()
        return slow(made)()

    def let_go():
        begun.wait()
        kept.forget()

    assert at_once(lambda: kept.of("a", make), let_go)[0] == 1
    assert kept.of("a", slow(made)) == 2, "of before the change"


def test_what_other_work_brings_along_after_all_was_let_go_is_not_remembered():
    kept = Kept(4)
    age = kept.age
    kept.know("a", 1, age)
    assert kept.of("a", lambda: 2) == 1
    kept.forget()
    kept.know("a", 1, age)
    assert kept.of("a", lambda: 2) == 2, "of before the change"


def test_the_newest_are_kept():
    kept = Kept(2)
    for key in ("a", "b", "a", "c"):
        kept.of(key, lambda key=key: key * 2)
    assert len(kept) == 2
    assert kept.of("a", lambda: "anew") == "aa"
    with pytest.raises(ZeroDivisionError):
        kept.of("b", lambda: 1 / 0)
