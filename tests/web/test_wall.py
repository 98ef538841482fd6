"""The wall: this machine alone, this app's own pages alone, nothing inline, one shape of error."""

from __future__ import annotations

import re
from concurrent.futures import ThreadPoolExecutor

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
        "More was sent than the largest photo holds, 40 MB. "
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


@pytest.mark.parametrize("length", ["-1", "much", "9" * 5000, "1e3", "²"])
def test_a_length_that_is_none_is_refused(length):
    from starlette.datastructures import Headers

    from strandline.salon.web.wall import refusal

    raw = [(b"host", b"localhost"), (b"content-length", length.encode("latin-1"))]
    assert refusal("POST", Headers(raw=raw)).where == "length"


@pytest.mark.parametrize("host", ["[::1", "a]b", "//", "user@127.0.0.1.evil.example"])
def test_a_host_that_is_none_is_refused(host):
    from starlette.datastructures import Headers

    from strandline.salon.web.wall import refusal

    assert refusal("GET", Headers({"host": host})).where == "host"


def test_too_much_without_a_length_is_cut_off():
    """A body in chunks says no length; it is counted as it comes."""
    import asyncio

    from strandline.salon.web.wall import LARGEST_BYTES, Wall

    read, told = [], []

    async def reads_all(_scope, receive, _send):
        while (await receive())["more_body"]:
            read.append(1)

    async def endless():
        return {"type": "http.request", "body": b"a" * 65536, "more_body": True}

    async def send(message):
        told.append(message)

    host = [(b"host", b"localhost")]
    scope = {"type": "http", "method": "POST", "path": "/clients", "headers": host}
    with ThreadPoolExecutor(1) as pool:  # a thread of its own has no loop of another's
        pool.submit(asyncio.run, Wall(reads_all)(scope, endless, send)).result()
    assert told[0]["status"] == 413
    assert len(read) <= LARGEST_BYTES // 65536


def test_a_photo_of_another_place_is_neither_given_nor_removed(app, room, noor, tmp_path):
    from strandline.salon.records.look import head_today

    other = tmp_path / "secret.jpg"
    other.write_bytes(b"kept")
    before = head_today(room.store, noor)
    for digest in ("0" * 64, "..%2Fsecret", "..%2F..%2Fsecret", "%2e%2e", ".."):
        assert app.get(f"/clients/{noor}/photos/{digest}.jpg").status_code == 404
        assert app.post(f"/clients/{noor}/photos/{digest}/remove").status_code in (404, 405)
    assert other.read_bytes() == b"kept"
    assert head_today(room.store, noor) == before


@pytest.mark.parametrize(
    "path",
    ["/static/../show.py", "/static/%2e%2e/show.py", "/static/..%2fshow.py", "/static//etc/passwd"],
)
def test_nothing_beside_the_static_files_is_given(app, path):
    assert app.get(path).status_code == 404


@pytest.mark.parametrize("name", ['a"; filename="b.exe', "x\r\nset-cookie: a=b", "<b>\u202e\0"])
def test_a_name_reaches_no_header(app, room, name):
    from strandline.salon.records.keep import add_client, write

    clean = name.replace("\0", "")
    client = add_client(room.store, room.scribe, clean)
    signed = {"purpose": "record", "signature": clean}
    write(room.store, room.scribe, client, "consent.given", signed)
    for path in (
        f"/clients/{client}/export.zip",
        "/returns.ics",
        "/shelf/order.csv",
        f"/clients/{client}",
    ):
        answer = app.get(path)
        assert answer.status_code == 200
        told = " ".join(f"{key}: {value}" for key, value in answer.headers.items())
        assert "set-cookie" not in told
        assert "b.exe" not in told
    moved = app.get(f"/clients/{client}%0d%0aset-cookie:a=b")
    assert moved.status_code == 404
    assert "set-cookie" not in moved.headers


@pytest.mark.parametrize("deep", [200, 900, 100_000])
def test_json_however_deep_or_broken_is_answered(app, noor, deep):
    for body in ("[" * deep + "]" * deep, '{"facts":' + "[" * deep + "]" * deep + "}",
                 '{"facts":[{"id":"\\ud800"}]}', "[NaN]", '{"facts":[1e999]}'):  # fmt: skip
        for path in ("/api/facts", f"/api/clients/{noor}/consultation"):
            headers = {"content-type": "application/json"}
            answer = app.post(path, content=body, headers=headers)
            assert answer.status_code < 500, (path, body[:40])
            if answer.status_code >= 400:
                assert {"what", "do", "where"} <= set(answer.json()["error"])
