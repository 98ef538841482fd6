"""The app served over a copy of a small practice, and a browser that looks at it."""

from __future__ import annotations

import os
import shutil

import pytest
from tests.practice_room import noor, plan, practice_file, room
from tests.served import Served

ARGS = [
    "--no-sandbox",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
__all__ = ["noor", "plan", "practice_file", "room"]


@pytest.fixture(scope="session")
def playing():
    """Give what drives browsers, once: it runs a loop of its own."""
    if "browser" in os.environ.get("STRANDLINE_TESTS_WITHOUT", ""):
        pytest.skip("left out by --without-browser")
    chromium = shutil.which("chromium")
    if chromium is None:
        if "CI" in os.environ:
            pytest.fail("Chromium is missing; install it: apt-get install chromium")
        pytest.skip("no Chromium here; install it: apt-get install chromium")
    from playwright.sync_api import sync_playwright

    with sync_playwright() as play:
        yield play


@pytest.fixture(scope="session")
def browser(playing):
    found = playing.chromium.launch(executable_path=shutil.which("chromium"), args=ARGS)
    yield found
    found.close()


@pytest.fixture
def served(room):
    running = Served(room)
    yield running
    running.stop()


@pytest.fixture
def page(browser, served):
    """Give a page whose errors fail the test."""
    context = browser.new_context(base_url=served.at, viewport={"width": 1024, "height": 768})
    made = context.new_page()
    told = []
    made.on("console", lambda one: told.append(one.text) if one.type == "error" else None)
    made.on("pageerror", lambda one: told.append(str(one)))
    made.told = told
    yield made
    context.close()
    assert not told, told
