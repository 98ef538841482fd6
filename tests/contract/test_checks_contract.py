"""Learning from checks against its vectors: what every language must come to, to 1e-9.

A vector holds the numbers it stands on, a belief, checks as they are tapped, and what follows:
the belief, each checked foil's own share, the clocks; or that the hair is rinsed now. `null` is
a time that never comes.
"""

from __future__ import annotations

import json
import math
from pathlib import Path

import numpy as np
import pytest
from tests.contract.plain_learning import Plain

from strandline.service.learning.belief import Belief
from strandline.service.learning.check import Override, updated
from strandline.service.learning.device import device_numbers
from strandline.service.learning.due import due_times
from strandline.service.learning.observation import Check, wanted_progress
from strandline.service.learning.starting import NAMES, known_of, row_of

VECTORS = sorted(Path(__file__).parent.glob("checks_*.json"))
CLOSE = {"rel": 1e-9, "abs": 1e-9}


def read(path):
    return json.loads(path.read_text("utf-8"))


def row_and_known(raw):
    words = {name: raw[name] for name in ("old_colour", "first_cm", "stacked", "developer_vol")}
    known = known_of(old_colour=raw["old_colour"], gray_under=raw["gray_under"])
    return row_of(**words), known


def ground_of(vector, raw):
    ground = vector["grounds"][raw["ground"]]
    return np.array(ground["gained"]), np.array(ground["stages"])


def worked(vector):
    """Run a vector: the belief, or the override, and the clocks."""
    kept = vector["belief"]
    belief = Belief(tuple(kept["names"]), np.array(kept["mean"]), np.array(kept["cov"]))
    checks = []
    for raw in vector["checks"]:
        (row, known), ground = row_and_known(raw["hair"]), ground_of(vector, raw)
        told = {name: raw[name] for name in ("foil", "minutes", "stage", "sureness")}
        more = {"dried": raw["dried"], "rinsed": raw["rinsed"], "known": known}
        checks.append(Check(**told, row=row, gained=ground[0], stages=ground[1], **more))
    learnt = updated(belief, checks, vector["felt"])
    if isinstance(learnt, Override):
        return learnt, None
    pairs = [row_and_known(raw["hair"]) for raw in vector["foils"]]
    due = due_times(
        learnt,
        np.array([row for row, _ in pairs]),
        [wanted_progress(raw["aim_stage"], *ground_of(vector, raw)) for raw in vector["foils"]],
        [raw["label_min"] for raw in vector["foils"]],
        known=[known for _, known in pairs],
        foils=[raw["foil"] for raw in vector["foils"]],
    )
    return learnt, due


def written(learnt, due):
    """Give what was worked out in the shape of a vector's `expected`."""
    if isinstance(learnt, Override):
        return {"override": list(learnt.felt)}

    def minutes(values):
        return [float(one) if math.isfinite(one) else None for one in values]

    return {
        "belief": {"mean": learnt.mean.tolist(), "cov": learnt.cov.tolist()},
        "own": [
            {
                "foil": own.foil,
                "share": own.share,
                "row": own.row.tolist(),
                "reading": own.reading,
                "sd": own.sd,
            }
            for own in learnt.own
        ],
        "due": {
            "low": minutes(due.low),
            "middle": minutes(due.middle),
            "high": minutes(due.high),
            "label_first": [bool(one) for one in due.label_first],
        },
    }


def agree(found, wanted):
    if isinstance(wanted, dict):
        assert set(found) == set(wanted)
        for name in wanted:
            agree(found[name], wanted[name])
    elif isinstance(wanted, list):
        assert len(found) == len(wanted)
        for one, other in zip(found, wanted, strict=True):
            agree(one, other)
    elif isinstance(wanted, float):
        assert found == pytest.approx(wanted, **CLOSE)
    else:
        assert found == wanted
        assert type(found) is type(wanted)


@pytest.mark.parametrize("path", VECTORS, ids=lambda path: path.stem)
def test_learning_gives_what_the_vector_says_in_any_order(path):
    vector = read(path)
    agree(written(*worked(vector)), vector["expected"])
    vector["checks"].reverse()
    agree(written(*worked(vector)), vector["expected"])


@pytest.mark.parametrize("path", VECTORS, ids=lambda path: path.stem)
def test_its_text_alone_gives_the_same_on_a_device(path):
    vector = read(path)
    if "override" in vector["expected"]:
        return
    plain = Plain(vector)
    mean, cov, own = plain.learnt()
    found = {"belief": {"mean": mean, "cov": cov}, "own": own}
    agree(found, {name: vector["expected"][name] for name in found})
    due = vector["expected"]["due"]
    for k, end in enumerate(("low", "middle", "high")):
        for minutes, wanted in zip((one[k] for one in plain.due()), due[end], strict=True):
            assert minutes == (None if wanted is None else pytest.approx(wanted, rel=1e-9))


@pytest.mark.parametrize("path", VECTORS, ids=lambda path: path.stem)
def test_vector_stands_on_the_numbers_of_today(path):
    kept, now = read(path)["numbers"], device_numbers()
    assert kept.pop("means") == pytest.approx(now.pop("means"))
    assert kept == pytest.approx(now)


@pytest.mark.parametrize("path", VECTORS, ids=lambda path: path.stem)
def test_arrays_of_a_vector_are_short_enough_for_a_device(path):
    vector = read(path)
    assert vector["belief"]["names"] == list(NAMES)
    for ground in vector["grounds"].values():
        assert len(ground["gained"]) == len(ground["stages"]) <= 10


def test_there_are_at_least_eight_vectors_and_one_hurts():
    assert len(VECTORS) >= 8
    assert any("override" in read(path)["expected"] for path in VECTORS)


def test_vectors_meet_stall_label_sureness_and_every_way_of_judging():
    vectors = [read(path) for path in VECTORS]
    checks = [check for vector in vectors for check in vector["checks"]]
    assert {check["sureness"] for check in checks} == {"sure", "fair", "guess"}
    assert {check["dried"] for check in checks} == {True, False, None}
    assert {check["rinsed"] for check in checks} == {True, False}
    dues = [vector["expected"]["due"] for vector in vectors if "due" in vector["expected"]]
    assert any(None in due["middle"] for due in dues)
    assert any(True in due["label_first"] for due in dues)
