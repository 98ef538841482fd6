"""The wall: this machine alone, this app's own pages alone, nothing inline, one shape of error."""

from __future__ import annotations

import re

import pytest

PAGES = ("/", "/clients", "/shelf", "/practice", "/evidence")


@pytest.mark.parametrize(
    "host", ["salon.example", "192.168.1.20:8484", "127.0.0.1.evil.example", ""]
)
def test_another_host_is_refused_with_a_sentence(app, host):
    answer = app.get("/", headers={"host": host})
    assert answer.status_code == 403
    assert "this machine alone" in answer.json()["error"]["what"]


@pytest.mark.parametrize("host", ["127.0.0.1:8484", "localhost", "localhost:9000", "[::1]:8484"])
def test_this_machine_is_let_in(app, host):
    assert app.get("/", headers={"host": host}).status_code == 200


@pytest.mark.parametrize(
    "headers",
    [
        {"origin": "https://elsewhere.example"},
        {"origin": "null"},
        {"origin": "http://127.0.0.1:9999"},
        {"sec-fetch-site": "cross-site"},
        {"sec-fetch-site": "same-site"},
    ],
)
def test_a_write_from_another_place_changes_nothing(app, room, headers):
    from strandline.salon.records.look import clients

    sent = {"name": "Someone", "signature": "Someone"}
    answer = app.post("/clients", data=sent, headers=headers)
    assert answer.status_code == 403
    assert answer.json()["error"]["where"] == "origin"
    assert not clients(room.store, "Someone")
    own = app.post("/clients", data=sent, headers={"origin": "http://127.0.0.1:8484"})
    assert own.status_code == 303
    assert clients(room.store, "Someone")


@pytest.mark.parametrize("page", PAGES)
def test_a_page_carries_the_policy_and_nothing_inline(app, page):
    answer = app.get(page)
    assert answer.status_code == 200
    policy = answer.headers["content-security-policy"]
    assert "default-src 'self'" in policy
    assert "unsafe" not in policy
    assert answer.headers["cache-control"] == "no-store"
    text = answer.text
    assert not re.search(r"<[^>]+\sstyle=", text)
    assert not re.search(r"<[^>]+\son\w+=", text)
    assert "<style" not in text
    scripts = re.findall(r"<script([^>]*)>", text)
    assert all("src=" in one or "application/json" in one for one in scripts)


def test_too_much_is_refused_before_it_is_read(app):
    sent = {"content": b"x", "headers": {"content-length": str(50_000_000)}}
    answer = app.post("/api/facts", **sent)
    assert answer.status_code == 413
    assert answer.json()["error"]["where"] == "length"
    sent["headers"]["accept"] = "text/html,*/*"
    seen = app.post("/clients/client-x/photos", **sent)
    assert seen.status_code == 413
    assert seen.text == (
        "50 MB were sent; the largest photo is 40 MB. "
        "Go back; choose a photo as the camera wrote it, not a film."
    )


@pytest.mark.parametrize("path", ["/api/none", "/none", "/clients/client-none", "/plans/none"])
def test_what_is_not_there_is_told_as_one_shape(app, path):
    answer = app.get(path)
    assert answer.status_code == 404
    if path.startswith("/api/"):
        assert {"what", "do", "where"} <= set(answer.json()["error"])
    else:
        assert 'role="alert"' in answer.text


def test_what_is_vendored_is_as_it_was_taken():
    import hashlib
    import tomllib

    from strandline.salon.web.show import STATIC

    rows = tomllib.loads((STATIC / "vendor" / "vendor.toml").read_text())["file"]
    for row in rows:
        content = (STATIC / "vendor" / row["name"]).read_bytes()
        assert hashlib.sha256(content).hexdigest() == row["sha256"]
        assert (STATIC / "vendor" / row["licence_file"]).exists()
    named = {row["name"] for row in rows} | {row["licence_file"] for row in rows} | {"vendor.toml"}
    there = (one for one in (STATIC / "vendor").rglob("*") if one.is_file())
    there = (one for one in there if not one.name.endswith(".d.ts"))  # types, for the checks alone
    assert {str(one.relative_to(STATIC / "vendor")) for one in there} == named
