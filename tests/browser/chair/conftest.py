"""A served record with Noor's visit of today begun, and a browser whose clock a test holds."""

from __future__ import annotations

import datetime as dt
import shutil
import socket
import threading
import time
from zoneinfo import ZoneInfo

import pytest
from tests.web.chair.ready import make_ready, plan_today

from strandline.salon.records.demo import TODAY, build
from strandline.salon.records.look import visit_facts
from strandline.salon.records.place import Place
from strandline.salon.records.store import open_store
from strandline.salon.web.app import create_app
from strandline.salon.web.chair.beginning import begin
from strandline.salon.web.room import Room

MOMENT = dt.datetime.combine(TODAY, dt.time(10), ZoneInfo("Europe/Lisbon"))
ARGUMENTS = (
    "--no-sandbox",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)


class Served:
    """The app on a port of its own, which can be stopped and come back."""

    def __init__(self, room):
        self.room = room
        self.port = 0
        self.start()

    def start(self):
        import uvicorn

        listening = socket.socket()
        listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        listening.bind(("127.0.0.1", self.port))
        self.port = listening.getsockname()[1]
        config = uvicorn.Config(
            create_app(self.room), log_level="error", timeout_graceful_shutdown=1
        )
        self.server = uvicorn.Server(config)
        self.thread = threading.Thread(target=self.server.run, args=([listening],), daemon=True)
        self.thread.start()
        until = time.monotonic() + 20
        while not self.server.started and time.monotonic() < until:
            time.sleep(0.02)

    def stop(self):
        self.server.should_exit = True
        self.thread.join(20)

    @property
    def address(self):
        return f"http://127.0.0.1:{self.port}"


@pytest.fixture(scope="session")
def begun(tmp_path_factory):
    """Give a record's file, the visit that has begun in it, and the plans made."""
    folder = tmp_path_factory.mktemp("chair")
    file = folder / "record.db"
    with open_store(Place(folder, file)) as store:
        build(store, ("noor",), visits=1)
        room = Room(store, "Ada", lambda: MOMENT)
        plan = plan_today(room)
        make_ready(room)
        return file, begin(room, plan), room.plans._kept


@pytest.fixture
def served(begun, tmp_path):
    file, _, kept = begun
    shutil.copy(file, tmp_path / "record.db")
    with open_store(Place(tmp_path, tmp_path / "record.db")) as store:
        room = Room(store, "Ada", lambda: MOMENT)
        room.plans._kept = kept
        running = Served(room)
        yield running
        running.stop()


@pytest.fixture(scope="session")
def chromium():
    from playwright.sync_api import sync_playwright

    path = shutil.which("chromium")
    if path is None:
        pytest.fail("Chromium is missing; install it: apt-get install chromium")
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=path, args=list(ARGUMENTS))
        yield browser
        browser.close()


@pytest.fixture
def look():
    """Say how the browser looks: its size, light or dark."""
    return {"viewport": {"width": 390, "height": 844}}


@pytest.fixture
def context(chromium, look):
    made = chromium.new_context(timezone_id="Europe/Lisbon", locale="en-GB", **look)
    made.set_default_timeout(8000)
    yield made
    made.close()


class Chair:
    """A page at the chair, with what it complained of."""

    def __init__(self, page, served, visit):
        self.page, self.served, self.visit = page, served, visit
        self.said = []
        page.on("console", lambda one: self.said.append(one.text) if one.type == "error" else None)
        page.on("pageerror", lambda one: self.said.append(str(one)))

    def open(self):
        self.page.goto(f"{self.served.address}/chair/{self.visit}")
        self.ready()

    def ready(self):
        self.page.wait_for_selector("#chair[data-ready]")

    def pass_minutes(self, minutes):
        """Let time pass as in sleep: timers do not count, the clock jumps."""
        self.page.clock.fast_forward(round(minutes * 60_000))
        self.page.wait_for_timeout(30)

    def on(self, minutes=2):
        """Go on by the large area, after some minutes."""
        self.pass_minutes(minutes)
        self.page.click("#large")
        self.page.wait_for_timeout(60)

    def title(self):
        return self.page.text_content("#large .title")

    def kept(self):
        """Give the kinds and payloads in the record, those that began the visit aside."""
        facts = visit_facts(self.served.room.store, self.visit)
        return [(one.kind, dict(one.payload)) for one in facts if one.kind != "visit.started"]

    def sent(self):
        """Wait until the server has all that was tapped."""
        self.page.wait_for_selector('#kept[data-standing="sent"]')
        self.page.wait_for_function(
            "() => document.querySelector('#kept').textContent.startsWith('All')"
        )


@pytest.fixture
def chair(context, served, begun):
    page = context.new_page()
    page.clock.install(time=MOMENT)
    made = Chair(page, served, begun[1])
    made.open()
    yield made
    grave = [one for one in made.said if "ERR_CONNECTION" not in one]
    assert grave == []
