"""The contract of strands as bytes: written as it stands, read as it says."""

from __future__ import annotations

import base64
import json

import numpy as np
import pytest
from tests.strands_vector import FILE, vector

from strandline.service.growout.screen.telling import heard


@pytest.fixture(scope="module")
def kept():
    return json.loads(FILE.read_text("utf-8"))


def test_the_bytes_are_written_as_the_contract_has_them(kept):
    assert vector() == kept


def test_the_bytes_are_read_as_the_contract_says(kept):
    found = heard(base64.b64decode(kept["bytes"]))
    assert found.place == pytest.approx(np.array(kept["place_cm"]), abs=1e-9)
    for asked in kept["colours"]:
        along = np.full(len(found), asked["along_cm"])
        colour, there = found.colours(asked["way"], asked["week"], along)
        said = colour[asked["strand"]].tolist() if there[asked["strand"]] else None
        assert said == asked["srgb"], asked


def test_the_contract_holds_every_case(kept):
    """Hair past its tip, hair shed and come again, new growth, a band, a cover renewed."""
    said = {(a["way"], a["strand"], a["week"], a["along_cm"]): a["srgb"] for a in kept["colours"]}
    assert said[0, 3, 2, 0.5] is not None
    assert said[0, 3, 2, 1.9] is None  # shed in week 5: 1.04 cm of it in week 9
    assert said[0, 4, 0, 3.3] is None
    assert said[0, 4, 2, 3.3] is not None  # short already, grown on
    new, band, lengths = (said[1, 0, 1, along] for along in (0.5, 1.9, 9.9))
    assert new != band != lengths != new
    assert said[1, 0, 2, 0.5] is not None
