"""Every field of every form with nonsense: words beside the field, nothing written that is none."""

from __future__ import annotations

import re
from collections import defaultdict
from itertools import count, islice
from urllib.parse import urlencode

import pytest
from sqlalchemy import delete, func, select
from starlette.testclient import TestClient
from tests.forms_served import Control, Form, Served

from strandline.salon.records.doctor import examine
from strandline.salon.records.place import Place
from strandline.salon.records.store import open_store
from strandline.salon.records.tables import FACT, UNREAD
from strandline.salon.web.app import create_app
from strandline.salon.web.room import Room

HERE = "http://127.0.0.1:8484"
MARKUP = "<script>alert(1)</script>\"'><img src=x onerror=alert(1)>"
TYPED = {
    "empty": "",
    "long": "a" * 10_000,
    "negative": "-7",
    "huge": "1e308",
    "nan": "NaN",
    "emoji": "🙂👩🏽‍🦱" * 3,
    "right to left": "\u202e\u0645\u0631\u062d\u0628\u0627\u202c",
    "nul": "a\0b",
    "markup": MARKUP,
    "no such day": "2027-02-30",
    "last day": "9999-12-31",
    "unknown word": "no such word",
}
"""What is typed, by its name; beside these a field is left out, and given twice."""
KINDS = (*TYPED, "missing", "twice")
PRESSES = 24
"""Of a form: each field gets as many kinds as that leaves, one at least."""
ALIKE = 3
"""Of forms that are alike, as those of her values, so many are tried."""
SLOW = re.compile(r"\.(pdf|zip|ics|csv|txt)$|now=true|ranges=true|/grow-out")
"""Addresses that hold no form, or compute for long what their page shows without."""
OF_ONE_WORD = ("select", "radio")


@pytest.fixture
def demo(practice_file, tmp_path, room, plan, noor):
    """Give the demonstration with a visit that waits for an alert test, photos agreed to."""
    from strandline.salon.records.keep import write

    with room.store.writing() as connection:
        connection.execute(delete(FACT).where(FACT.c.kind == "test.signed"))
    write(room.store, room.scribe, noor, "consent.given", {"purpose": "photo", "signature": "N"})
    return room


@pytest.fixture
def empty(tmp_path, room):
    """Give a record without a client, a shelf, a region."""
    file = tmp_path / "empty.db"
    with open_store(Place(tmp_path, file), create=True) as store:
        yield Room(store, "Ada", room.clock)


@pytest.mark.parametrize("which", ["demo", "empty"])
def test_every_field_of_every_form_stands_up_to_nonsense(which, request, plan):
    room = request.getfixturevalue(which)
    trial = Trial(room)
    first = ["/"]
    if which == "demo":
        first.append(trial.app.post(f"/plans/{plan}/done").headers["location"])
        first.append(f"/plans/{plan}/visits")
    pages = trial.walk(first)
    before = weighed(room)
    for at, number, form in forms_of(pages):
        trial.press(at, number, form)
    for at in pages:
        answer = trial.app.get(at)
        trial.see(answer.status_code == 200, at, "afterwards", str(answer.status_code))
        trial.no_markup(answer.text, at, "afterwards")
    trial.see(weighed(room) == before, "doctor", "afterwards", str(weighed(room)))
    assert trial.pressed >= (500 if which == "demo" else 80)
    assert not trial.wrong, f"{len(trial.wrong)}\n" + "\n".join(
        f"{one} {kinds}" for one, kinds in islice(trial.wrong.items(), 60)
    )


def weighed(room):
    """Give what the record's doctor finds, by what it is about."""
    return {one.about: one.weight for one in examine(room.store, room.today.isoformat())}


def forms_of(pages):
    """Give forms that write, some of each kind, those that take a consent back at the end."""
    alike = defaultdict(list)
    for at, page in pages.items():
        for number, form in enumerate(page.forms):
            if form.method == "post":
                alike[form.shape].append((at, number, form))
    some = [one for found in alike.values() for one in found[:: max(1, len(found) // ALIKE)]]
    return sorted(some, key=lambda one: one[2].action.endswith("/consents"))


class Trial:
    """An app that is pressed on, and what of its answers is wrong."""

    def __init__(self, room) -> None:
        self.room = room
        self.app = TestClient(
            create_app(room), base_url=HERE, follow_redirects=False, raise_server_exceptions=False
        )
        self.wrong: dict[tuple[str, ...], list[str]] = {}
        self.pressed = 0
        self._turn = count()

    def walk(self, first: list[str]) -> dict[str, Served]:
        """Give every page that is reached by links, one of each kind of address."""
        pages, todo, seen = {}, list(first), set()
        while todo:
            at = todo.pop(0)
            kind = re.sub(r"(client|plan|visit)-[0-9a-f]+", r"\1", at).partition("?")[0]
            if kind in seen or SLOW.search(at):
                continue
            seen.add(kind)
            answer = self.app.get(at)
            self.see(answer.status_code == 200, at, "at first", str(answer.status_code))
            pages[at] = Served(answer.text)
            todo += pages[at].links
        return pages

    def see(self, holds, *told: str) -> None:
        if not holds:
            where, *rest = (re.sub(r"-[0-9a-f]{32}", "", one) for one in told)
            self.wrong.setdefault((where, rest[0], rest[-1][:90]), rest[1:-1])

    def press(self, at: str, number: int, form: Form) -> None:
        """Send a form with each field in turn as nonsense."""
        each = min(len(KINDS), max(1, PRESSES // max(1, len(form.fields))))
        for control in form.fields:
            for _ in range(each):
                kind = KINDS[next(self._turn) % len(KINDS)]
                then = self.send(at, form, control, kind)
                if then is not None:
                    again = Served(then or self.app.get(at).text).forms
                    if number >= len(again) or again[number].shape != form.shape:
                        return
                    form = again[number]
            next(self._turn)

    def send(self, at: str, form: Form, control: Control, kind: str) -> str | None:
        """Send it once; None where it was refused, else its page as it is then, '' for another."""
        self.pressed += 1
        sent = [(name, value) for name, value in form.filled() if name != control.name]
        typed = TYPED.get(kind, control.value)
        if kind != "missing":
            sent.append((control.name, typed))
        if kind == "twice":
            sent.append((control.name, "no such word"))
        facts = self._facts()
        answer = self._post(form, control, sent)
        where = (f"{at} {form.action}", f"{control.name} ({control.type})", kind)
        status = answer.status_code
        self.see(status < 500, *where, f"{status} {answer.text[:120]}")
        if status == 303:
            then = self.app.get(answer.headers["location"])
            self.see(then.status_code == 200, *where, f"then {then.status_code}")
            self.no_markup(then.text, *where)
            hers = dict(sent).get(f"own.{control.name}")  # a figure of her own stands over a chip
            self.see(kind != "long" or bool(hers), *where, "10,000 letters were taken")
            unknown = kind == "unknown word" and control.type in OF_ONE_WORD
            self.see(not unknown, *where, "an unknown word was taken")
            same = answer.headers["location"].partition("#")[0] == at
            return then.text if same else ""
        self.no_markup(answer.text, *where)
        self.see(400 <= status < 500, *where, f"answered {status}")
        self.see("html" in answer.headers["content-type"], *where, "no page")
        self.see(self._facts() == facts, *where, "refused and written")
        self._told_beside(Served(answer.text), form, control, typed, where)
        return None

    def _post(self, form: Form, control: Control, sent: list[tuple[str, str]]):
        if not form.multipart:
            body = urlencode(sent).encode()
            kind = {"content-type": "application/x-www-form-urlencoded"}
            return self.app.post(form.action, content=body, headers=kind)
        files = [(name, ("a.jpg", value.encode(), "image/jpeg")) for name, value in sent
                 if name == "picture"]  # fmt: skip
        data = {name: value for name, value in sent if name != "picture"}
        return self.app.post(form.action, data=data, files=files)

    def _facts(self) -> tuple[int, int]:
        with self.room.store.reading() as connection:
            return tuple(
                connection.scalar(select(func.count()).select_from(table))
                for table in (FACT, UNREAD)
            )

    def _told_beside(self, page: Served, form: Form, control: Control, typed: str, where) -> None:
        """See that what is wrong stands there in words, and beside its field where she sees one."""
        self.see(any(len(one.split()) > 2 for one in page.told), *where, "nothing is told")
        if control.type in ("hidden", "button"):
            return
        self.see(bool(page.described & {one for one in page.faults if one}), *where,
                 f"not beside its field: {page.told}")  # fmt: skip
        again = [one for one in page.forms if one.shape == form.shape]
        typed = "no such word" if where[-1] == "twice" else typed
        kept = {(one.name, one.value) for again_form in again for one in again_form.controls}
        if control.type in ("text", "search", "textarea") and kind_is_typed(where):
            self.see((control.name, typed) in kept, *where, "what was typed is gone")

    def no_markup(self, text: str, *where: str) -> None:
        """No page holds what was typed as markup."""
        self.see("<script>alert" not in text and "<img src=x" not in text, *where, "markup")


def kind_is_typed(where) -> bool:
    return where[-1] not in ("missing", "nul")
