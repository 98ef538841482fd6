"""The app over a small practice, without a browser."""

from __future__ import annotations

import pytest
from starlette.testclient import TestClient
from tests.practice_room import noor, plan, practice_file, room

from strandline.salon.web.app import create_app

__all__ = ["noor", "plan", "practice_file", "room"]
HERE = "http://127.0.0.1:8484"


@pytest.fixture
def app(room):
    return TestClient(create_app(room), base_url=HERE, follow_redirects=False)
