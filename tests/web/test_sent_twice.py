"""A form sent twice, from two tabs, or to a server that dies: written once, or told so."""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import sys
import textwrap
import time
import urllib.parse
import urllib.request

import pytest
from sqlalchemy import func, select
from tests.forms_served import Served

from strandline.salon.records.look import clients, head_today
from strandline.salon.records.place import Place
from strandline.salon.records.store import open_store
from strandline.salon.records.tables import FACT

WREN = {"name": "Wren Halloway", "contact": "by post", "signature": "Wren H."}


def form_at(app, at, action):
    """Give what a browser would send of the first form of a page with this action."""
    return form_in(app.get(at).text, action)


def form_in(text, action):
    forms = (one for one in Served(text).forms if one.method == "post")
    return dict(next(one for one in forms if one.action.endswith(action)).filled())


def facts(room):
    with room.store.reading() as connection:
        return connection.scalar(select(func.count()).select_from(FACT))


def test_a_new_client_sent_twice_is_one(app, room):
    sent = form_at(app, "/clients", "/clients") | WREN
    first, again = (app.post("/clients", data=sent) for _ in range(2))
    assert first.status_code == again.status_code == 303
    assert first.headers["location"] == again.headers["location"]
    assert len(clients(room.store, "Wren")) == 1


def test_back_and_sent_otherwise_is_told_and_kept_in_the_form(app, room):
    sent = form_at(app, "/clients", "/clients") | WREN
    app.post("/clients", data=sent)
    other = app.post("/clients", data=sent | {"name": "Isa Marl"})
    assert other.status_code == 409
    assert "was sent before" in other.text
    assert 'value="Isa Marl"' in other.text
    assert not clients(room.store, "Isa")
    anew = form_in(other.text, "/clients")
    assert anew["once"] != sent["once"]
    assert app.post("/clients", data=anew).status_code == 303
    assert clients(room.store, "Isa")


def test_two_forms_filled_in_alike_are_two(app, room):
    """Two clients may have one name; each was written down from a form of its own."""
    for _ in range(2):
        app.post("/clients", data=form_at(app, "/clients", "/clients") | WREN)
    assert len(clients(room.store, "Wren")) == 2


def test_a_lot_that_came_counts_once(app, room):
    from strandline.salon.records.shelf import shelf

    sent = form_at(app, "/shelf", "/stock") | {"what": "received", "grams": "250", "lot": "L7"}
    action = next(
        one.action for one in Served(app.get("/shelf").text).forms if "stock" in one.action
    )
    stream = action.split("/")[2]

    def grams():
        day = room.today.isoformat()
        return next(row.grams for row in shelf(room.store, day) if row.stream == stream)

    before = grams()
    for _ in range(2):
        assert app.post(action, data=sent).status_code == 303
    assert grams() == before + 250


@pytest.mark.parametrize("part", ["tests", "reactions"])
def test_a_test_and_a_reaction_are_written_once(app, room, noor, part):
    said = {"tests": {"test": "strand", "result": "clean", "applied_on": "2027-05-01",
                      "read_on": "2027-05-02", "test_signature": "N. T."},
            "reactions": {"on": "2027-05-01", "to": "a demi", "what": "itch"}}[part]  # fmt: skip
    sent = form_at(app, f"/clients/{noor}", f"/{part}") | said
    before = head_today(room.store, noor).client
    for _ in range(2):
        assert app.post(f"/clients/{noor}/{part}", data=sent).status_code == 303
    after = head_today(room.store, noor).client
    assert len(after.tests) + len(after.reactions) == len(before.tests) + len(before.reactions) + 1


def test_after_a_visit_what_is_sent_again_changes_nothing(app, room, plan):
    at = app.post(f"/plans/{plan}/done").headers["location"]
    sent = form_at(app, at, "/after") | {"note": "Fine.", "added": "60-61", "even-front": "even"}
    assert app.post(at, data=sent).status_code in (200, 303)
    before = facts(room)
    assert app.post(at, data=sent).status_code in (200, 303)
    stock = facts(room) - before
    again = app.post(at, data=sent)
    assert again.status_code in (200, 303)
    assert facts(room) - before == 2 * stock, "the shelf and what was learned alone"
    other = app.post(at, data=sent | {"note": "Not so fine."})
    assert other.status_code == 409
    assert "Not so fine." in other.text


def test_of_two_tabs_on_a_plan_the_second_is_told(app, room, noor, plan):
    first, second = (form_at(app, f"/plans/{plan}", "/if") for _ in range(2))
    assert app.post(f"/plans/{plan}/if", data=first | {"wish": "tone only"}).status_code == 303
    told = app.post(f"/plans/{plan}/if", data=second | {"tone": "pearl"})
    assert told.status_code == 409
    assert "was changed since you opened it" in told.text
    assert 'value="pearl" selected' in told.text
    text = head_today(room.store, noor).consultations[-1].text
    assert 'wish = "tone only"' in text
    assert 'tone = "pearl"' not in text
    anew = form_in(told.text, "/if")
    assert app.post(f"/plans/{plan}/if", data=anew).status_code == 303
    assert 'tone = "pearl"' in head_today(room.store, noor).consultations[-1].text


SERVER = textwrap.dedent("""
    import datetime as dt, os, signal, sys
    from pathlib import Path
    import uvicorn
    from strandline.salon.records.place import Place
    from strandline.salon.records.store import open_store
    from strandline.salon.web.app import create_app
    from strandline.salon.web.room import Room

    file, port, when = Path(sys.argv[1]), int(sys.argv[2]), sys.argv[3]

    class Dies:
        '''Killed as a write comes in, or once it is kept and before it is answered.'''
        def __init__(self, app):
            self.app = app
        async def __call__(self, scope, receive, send):
            write = scope["type"] == "http" and scope["method"] == "POST"
            if write and when == "before":
                os.kill(os.getpid(), signal.SIGKILL)
            async def told(message):
                if write and when == "after":
                    os.kill(os.getpid(), signal.SIGKILL)
                await send(message)
            await self.app(scope, receive, told)

    with open_store(Place(file.parent, file)) as store:
        room = Room(store, "Ada", lambda: dt.datetime(2027, 5, 20, 10).astimezone())
        uvicorn.run(Dies(create_app(room)), port=port, log_level="error", lifespan="off")
""")


def fetch(at, body=None):
    """Give where an answer came from in the end, and its text."""
    with urllib.request.urlopen(at, body, timeout=30) as answer:  # noqa: S310  # this machine's
        return answer.url, answer.read().decode()


class Server:
    """The app in a process of its own."""

    def __init__(self, file, port, when) -> None:
        self.at = f"http://127.0.0.1:{port}"
        words = [sys.executable, "-c", SERVER, str(file), str(port), when]
        self.process = subprocess.Popen(words)
        until = time.monotonic() + 60
        while time.monotonic() < until:
            try:
                fetch(self.at + "/clients")
            except OSError:
                time.sleep(0.1)
            else:
                return

    def send(self, path, data):
        return fetch(self.at + path, urllib.parse.urlencode(data).encode())[0]

    def stop(self):
        if self.process.poll() is None:
            os.kill(self.process.pid, signal.SIGKILL)
        self.process.wait(10)


@pytest.mark.parametrize("when", ["before", "after"])
def test_a_server_killed_in_the_midst_of_a_save_loses_and_doubles_nothing(
    practice_file, tmp_path, when
):
    from tests.served import free_port

    file, port = tmp_path / "record.db", free_port()
    shutil.copy(practice_file, file)
    dying = Server(file, port, when)
    try:
        sent = form_in(fetch(dying.at + "/clients")[1], "/clients") | WREN
        with pytest.raises(OSError):  # noqa: PT011  # whichever way a line breaks
            dying.send("/clients", sent)
        assert dying.process.wait(10) == -signal.SIGKILL
    finally:
        dying.stop()
    living = Server(file, port, "never")
    try:
        with open_store(Place(tmp_path, file)) as store:
            assert len(clients(store, "Wren")) == (1 if when == "after" else 0)
            for _ in range(2):
                assert "/clients/client-" in living.send("/clients", sent)
            found = clients(store, "Wren")
            assert len(found) == 1
            given = head_today(store, found[0].client).client.consents
            assert given["record"]
            assert given["health"]
    finally:
        living.stop()
