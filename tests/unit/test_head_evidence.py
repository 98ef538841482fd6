"""Every row of evidence on the head holds, or says why not."""

from __future__ import annotations

import pytest

from strandline.salon.evidence.check import Check
from strandline.salon.evidence.head import CHECKS


@pytest.mark.parametrize("check", CHECKS, ids=lambda check: check.name)
def test_head_evidence_holds_or_says_why(check: Check) -> None:
    result = check.result()
    assert result.holds == (not check.failing), result.as_json()
