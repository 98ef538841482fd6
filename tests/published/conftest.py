"""The reference library that checks are held against; a test oracle, never a run-time need."""

from __future__ import annotations

import warnings

import pytest


@pytest.fixture(scope="session")
def colour():
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # it warns of each optional library that is not there
        import colour as reference
    return reference
