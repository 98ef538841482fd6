"""A mistake of a file says its place once, and in its sentences by the field's own name."""

from __future__ import annotations

import pytest

from strandline.base.errors import StrandlineError
from strandline.service.consultation.reader import read_consultation

WREN = """
[client]
name = "Wren"
[areas]
front = { gray = 50 }
crown = { gray = 40 }
back = { gray = 30 }
[hair]
level = 5
[shelf.lightener]
name = "white powder"
label_max_min = 50
"""


@pytest.mark.parametrize(
    ("more", "place"),
    [
        ("[limits]\nhours = 0", "limits.hours"),
        ("[limits]\nhours = -1", "limits.hours"),
        ("[limits]\nhours = 'four'", "limits.hours"),
        ("[aim]\nwish = 'shiny'", "aim.wish"),
        ("[aim]\nshine = 3", "aim.shine"),
        ("[[bands]]\nfrom_cm = 2\npast = 'virgin'", "bands.1.to_cm"),
        ("[[bands]]\nfrom_cm = 2\nto_cm = 'far'\npast = 'virgin'", "bands.1.to_cm"),
        ("[health]\nscalp = 3", "health.scalp"),
    ],
)
def test_a_place_is_told_once(more, place):
    with pytest.raises(StrandlineError) as found:
        read_consultation((WREN + more).encode(), "wren.toml")
    assert found.value.where == f"wren.toml: {place}"
    assert str(found.value).count(place) == 1
    assert place.rpartition(".")[2] in found.value.what.replace("The hours", "hours")
