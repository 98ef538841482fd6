"""The fold against its vectors: each names facts and what every language must fold them to.

A vector says the parts of the visit that it is about, or all of them; `upcasters` are steps from
older schemas that stand for it alone.
"""

from __future__ import annotations

import itertools
import json
import random
from pathlib import Path

import pytest

from strandline.base.facts.fold import fold
from strandline.base.facts.jsonl import read_jsonl
from strandline.base.facts.upcast import Upcaster

VECTORS = sorted(Path(__file__).parent.glob("facts_*.json"))


def folded(records, upcasters):
    lines = "\n".join(json.dumps(record) for record in records)
    visit = fold(read_jsonl(lines), upcasters=upcasters)
    return json.loads(json.dumps(visit.as_json()))


def orders(facts):
    """As it stands, backwards, the last ones in every order, shuffled, and all of it twice."""
    yield from (facts, facts[::-1], facts + facts[::-1])
    yield from itertools.islice(itertools.permutations(facts), 24)
    shuffler = random.Random(len(facts))  # noqa: S311  # a fixed order, not a secret
    for _ in range(8):
        yield shuffler.sample(facts, len(facts))


@pytest.mark.parametrize("path", VECTORS, ids=lambda path: path.stem)
def test_fold_gives_what_the_vector_says_in_any_order(path):
    vector = json.loads(path.read_text("utf-8"))
    upcasters = [Upcaster(**step) for step in vector.get("upcasters", [])]
    for records in orders(vector["facts"]):
        visit = folded(records, upcasters)
        assert {name: visit[name] for name in vector["visit"]} == vector["visit"]


def test_vectors_tell_numbers_from_yes_and_no():
    """Python holds 1 == True; the vectors must not pass by it."""
    for path in VECTORS:
        vector = json.loads(path.read_text("utf-8"))
        upcasters = [Upcaster(**step) for step in vector.get("upcasters", [])]
        visit = folded(vector["facts"], upcasters)
        assert isinstance(visit["rinse_now"], bool)
        for seen in visit["checks"]:
            assert seen["dried"] is None or isinstance(seen["dried"], bool)


def test_there_are_at_least_eight_vectors():
    assert len(VECTORS) >= 8


@pytest.mark.parametrize(
    "part", ["bowls", "checks", "conflicts", "feelings", "flagged", "foils", "glosses", "results"]
)
def test_every_part_of_a_visit_stands_in_some_vector(part):
    assert any(json.loads(path.read_text("utf-8"))["visit"].get(part) for path in VECTORS)
