"""The fold against its vectors: each names facts and what every language must fold them to.

A vector says the parts of the visit that it is about; the rest is free.
"""

from __future__ import annotations

import itertools
import json
from pathlib import Path

import pytest

from strandline.base.facts.fold import fold
from strandline.base.facts.jsonl import read_jsonl

VECTORS = sorted(Path(__file__).parent.glob("facts_*.json"))


def folded(records):
    lines = "\n".join(json.dumps(record) for record in records)
    return json.loads(json.dumps(fold(read_jsonl(lines)).as_json()))


@pytest.mark.parametrize("path", VECTORS, ids=lambda path: path.stem)
def test_fold_gives_what_the_vector_says_in_any_order(path):
    vector = json.loads(path.read_text("utf-8"))
    orders = itertools.islice(itertools.permutations(vector["facts"]), 24)
    for records in orders:
        visit = folded(records)
        assert {name: visit[name] for name in vector["visit"]} == vector["visit"]


def test_there_are_at_least_eight_vectors():
    assert len(VECTORS) >= 8
