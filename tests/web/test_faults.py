"""What is wrong in a form: its status, and where it stands."""

from __future__ import annotations

import pytest

from strandline.base.errors import OutOfRangeError
from strandline.salon.records.wall import StaleError, StoreError
from strandline.salon.web.faults import Faults

FIELD = OutOfRangeError("It is 0.", "Give more.", "grams")
STALE = StaleError("Another changed it.", "Look at it again.", "version")
FULL = StoreError("The disk is full.", "Make room.", "record.db")


@pytest.mark.parametrize(
    ("errors", "status"),
    [([FIELD], 422), ([FIELD, STALE], 409), ([FIELD, STALE, FULL], 503)],
)
def test_a_page_has_the_status_of_its_gravest_fault(errors, status):
    faults = Faults()
    for number, error in enumerate(errors):
        faults.take(error, f"field-{number}")
    assert faults.status == status


def test_what_the_record_cannot_do_stands_beside_no_field():
    faults = Faults()
    faults.take(FULL, "grams")
    faults.take(FIELD, "grams")
    assert faults == {"once": FULL, "grams": FIELD}
