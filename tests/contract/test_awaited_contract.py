"""What checks teach at the chair against its vectors: the device's waits are the server's.

A vector holds what the chair is handed of an example's plan, the facts of a visit, and the waits
of each bowl that follow. `python -m tests.contract.test_awaited_contract` writes them anew.
"""

from __future__ import annotations

import json
from argparse import Namespace
from functools import cache, partial
from pathlib import Path

import pytest

from strandline.base.facts.fact import fact_of
from strandline.base.facts.fold import fold
from strandline.salon.cli.planned import made_from
from strandline.salon.web.chair.made import chair_plan
from strandline.salon.web.words import Manner
from strandline.service.anew.checked import awaited, bowl_of, learned
from strandline.service.anew.mixed import poured_of

HERE = Path(__file__).parent
EXAMPLES = HERE.parents[1] / "examples"
KEPT = (
    *("sections", "waits", "stretches", "belief", "numbers"),
    *("check_every_min", "first_seen_min", "no_more"),
)
CASES = {
    "noor_unchecked": ("noor", []),
    "noor_two_checks": (
        "noor",
        [
            (0, "section.begun", {"section": "nape hairline", "first_foil": 1}),
            (3, "section.placed", {"section": "nape hairline", "first_foil": 1, "last_foil": 2}),
            (4, "section.begun", {"section": "centre strip", "first_foil": 3}),
            (26, "section.placed", {"section": "centre strip", "first_foil": 3, "last_foil": 24}),
            (2, "check.seen", {"foil": 1, "stage": 4, "sureness": "guess"}),
            (19, "check.seen", {"foil": 1, "stage": 6.5, "sureness": "sure", "dried": True}),
            (27, "check.seen", {"section": "centre strip", "stage": 7, "sureness": "fair"}),
            (28, "check.seen", {"foil": 99, "stage": 7, "sureness": "fair"}),
        ],
    ),
    "noor_another_bowl": (
        "noor",
        [
            (
                0,
                "bowl.mixed",
                {"bowl": "Main", "developer_vol": 30, "developer_grams": 30, "powder_grams": 15},
            ),
            (1, "section.begun", {"section": "nape hairline", "first_foil": 1}),
            (
                4,
                "section.placed",
                {"section": "nape hairline", "first_foil": 1, "last_foil": 2, "bowl": "main"},
            ),
            (
                20,
                "check.seen",
                {"foil": 2, "stage": 8, "sureness": "sure", "band": "Regrowth"},
            ),
        ],
    ),
    "brona_two_bowls_a_foil": (
        "brona",
        [
            (0, "section.begun", {"section": "nape hairline", "first_foil": 1}),
            (3, "section.placed", {"section": "nape hairline", "first_foil": 1, "last_foil": 2}),
            (25, "check.seen", {"foil": 1, "stage": 5, "sureness": "fair", "band": "old colour"}),
            (31, "check.seen", {"foil": 2, "stage": 5.5, "sureness": "sure", "dried": True}),
        ],
    ),
    "junia_colour_and_lightener": (
        "junia",
        [
            (0, "section.begun", {"section": "nape hairline", "first_foil": 1}),
            (3, "section.placed", {"section": "nape hairline", "first_foil": 1, "last_foil": 2}),
            (22, "check.seen", {"foil": 1, "stage": 8, "sureness": "fair"}),
        ],
    ),
}


@cache
def made(example):
    words = {"file": str(EXAMPLES / f"{example}.toml"), "on": None, "after": None}
    return made_from(Namespace(**words, learned=None, timed=False))


def facts_of(case):
    return [
        {
            "id": f"tablet-{number}",
            "stream": "visit-1",
            "kind": kind,
            "schema": 1,
            "payload": payload,
            "by": "colourist",
            "device": "tablet",
            "device_seq": number,
            "device_time": f"2026-12-09T10:{minute:02}:00Z",
            "offset": 60,
        }
        for number, (minute, kind, payload) in enumerate(case, 1)
    ]


def vector_of(name):
    example, case = CASES[name]
    plan = made(example)
    records = facts_of(case)
    visit = fold([fact_of(record) for record in records])
    poured = poured_of(visit)
    bowl = partial(bowl_of, bowls=plan.work.bowls, waits=plan.waits)
    believed, taught = learned(visit, plan.doses, bowl, poured, plan.believed)
    handed = chair_plan(plan, Manner()).model_dump()
    return {
        "plan": {key: handed[key] for key in KEPT},
        "facts": records,
        "expected": {
            "taught": sum(taught),
            "waits": {
                each: minutes_of(awaited(believed, each, plan.doses, poured, wait))
                for each, wait in plan.waits.items()
            },
        },
    }


def minutes_of(wait):
    ends = {end: float(getattr(wait, end)) for end in ("low", "middle", "high", "out")}
    return {end: None if value == float("inf") else value for end, value in ends.items()}


def close(found, wanted):
    if isinstance(wanted, dict):
        assert set(found) == set(wanted)
        for key in wanted:
            close(found[key], wanted[key])
    elif isinstance(wanted, list):
        assert len(found) == len(wanted)
        for one, other in zip(found, wanted, strict=True):
            close(one, other)
    elif isinstance(wanted, float):
        assert found == pytest.approx(wanted, rel=1e-9, abs=1e-9)
    else:
        assert found == wanted


@pytest.mark.parametrize("name", CASES)
def test_the_chair_is_handed_what_the_vector_says_and_waits_as_the_server(name):
    kept = json.loads((HERE / f"awaited_{name}.json").read_text("utf-8"))
    close(json.loads(json.dumps(vector_of(name))), kept)


if __name__ == "__main__":
    for case_name in CASES:
        text = ",\n".join(
            f" {json.dumps(key)}: {json.dumps(value)}"
            for key, value in vector_of(case_name).items()
        )
        (HERE / f"awaited_{case_name}.json").write_text(f"{{\n{text}\n}}\n", "utf-8")
