"""What several suites share: the invented examples, read once."""

from __future__ import annotations

import os
from functools import cache
from pathlib import Path

import pytest
from hypothesis import settings

from strandline.service.consultation.model import Consultation
from strandline.service.consultation.reader import read_consultation
from strandline.service.plan.assemble import Made, make_plan

settings.register_profile("house", deadline=None, derandomize="CI" in os.environ)
settings.load_profile("house")
# Timings swing on a shared machine; in CI the same cases are tried each time.

EXAMPLES = Path(__file__).parent.parent / "examples"
HEADS = ("brona", "ilse", "junia", "lorna", "mirela", "noor", "perpetua", "tamsin")
SHAPES = ("oriel", "sidony", "tavia", "wenna")
"""Heads that are hard to draw: thin crown, long and fine, tight curl, short fringe and swirls."""


@cache
def _consultation(name: str) -> Consultation:
    path = EXAMPLES / f"{name}.toml"
    return read_consultation(
        path.read_bytes(), path.name, beside=lambda other: (EXAMPLES / other).read_bytes()
    )


@cache
def _made(name: str) -> Made:
    c = _consultation(name)
    assert c.visit.date is not None
    return make_plan(c, c.visit.date)


@pytest.fixture(scope="session")
def consultation():
    """Give a function from an example's name to its consultation."""
    return _consultation


@pytest.fixture(scope="session")
def made():
    """Give a function from an example's name to its plan and maps."""
    return _made
