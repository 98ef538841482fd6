"""The wall: who may come in, what a page may load, and how an error is told.

It listens on this machine alone. A request must name this machine as its host (so that no page
elsewhere can reach it under another name), and a write must come from a page of this app.
"""

from __future__ import annotations

import json
from typing import TYPE_CHECKING
from urllib.parse import urlsplit

from starlette.datastructures import Headers, MutableHeaders

from strandline.base.errors import StrandlineError
from strandline.salon.records.photos import LARGEST_BYTES as LARGEST_PHOTO
from strandline.salon.web.words import _

if TYPE_CHECKING:
    from starlette.types import ASGIApp, Message, Receive, Scope, Send

HERE = ("127.0.0.1", "localhost", "::1")
"""Names of this machine."""
READS = ("GET", "HEAD", "OPTIONS")
LARGEST_BYTES = LARGEST_PHOTO + 1_000_000
"""A form or a batch of facts; a photo is the largest of them."""
POLICY = (
    "default-src 'self'; img-src 'self' blob: data:; object-src 'none'; base-uri 'none'; "
    "form-action 'self'; frame-ancestors 'none'"
)
"""Content Security Policy, level 3: nothing inline, nothing from elsewhere."""
HEADERS = {
    "content-security-policy": POLICY,
    "x-content-type-options": "nosniff",
    "referrer-policy": "same-origin",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "permissions-policy": "camera=(), microphone=(), geolocation=()",
}
STATUS = {
    "stale": 409,
    "elsewhere": 403,
    "too_large": 413,
    "no_consent": 403,
    "legal_limit": 403,
    "not_written": 503,
    "unreadable": 404,
    "damaged": 503,
    "later_version": 503,
}
"""By an error's code; what a person can mend in a form is 422."""


class ElsewhereError(StrandlineError):
    """A request that did not come from this app on this machine."""

    code = "elsewhere"


class TooLargeError(StrandlineError):
    """A request of more bytes than any page of this app sends."""

    code = "too_large"


MOST_DIGITS = 12
"""Of a length; a longer figure is none."""


class Wall:
    """ASGI middleware that refuses what does not belong here and puts the headers on the rest."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Let a request in, or answer it with a sentence."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        refused = refusal(scope["method"], Headers(scope=scope))
        if refused is not None:
            await _answer(send, refused, Headers(scope=scope).get("accept", ""))
            return
        come = 0

        async def counted() -> Message:
            """Stop reading what goes on for longer than it said, or said nothing of its length."""
            nonlocal come
            message = await receive()
            come += len(message.get("body", b""))
            if come > LARGEST_BYTES:
                raise too_large()
            return message

        async def with_headers(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                for name, value in HEADERS.items():
                    headers.setdefault(name, value)
                if not scope["path"].startswith("/static/"):
                    headers.setdefault("cache-control", "no-store")
            await send(message)

        try:
            await self.app(scope, counted, with_headers)
        except TooLargeError as late:
            await _answer(send, late, Headers(scope=scope).get("accept", ""))


def too_large() -> TooLargeError:
    """Say that more was sent than fits."""
    return TooLargeError(
        _("More was sent than the largest photo holds, %(most)d MB.")
        % {"most": LARGEST_PHOTO / 1e6},
        _("Go back; choose a photo as the camera wrote it, not a film."),
        "length",
    )


def refusal(method: str, headers: Headers) -> StrandlineError | None:
    """Say why a request may not come in, None where it may.

    Parameters
    ----------
    method : of HTTP
    headers : its host, its origin, its length
    """
    said = headers.get("host", "")
    host = _host(said)
    if host not in HERE:
        return ElsewhereError(
            _("This record is shown on this machine alone, not as '%(host)s'.")
            % {"host": (host or said)[:60]},
            _("Open it on this machine, at the address that strandline serve names."),
            "host",
        )
    length = headers.get("content-length") or "0"
    if not length.isdecimal() or len(length) > MOST_DIGITS or int(length) > LARGEST_BYTES:
        return too_large()
    if method in READS:
        return None
    origin = headers.get("origin")
    site = headers.get("sec-fetch-site", "same-origin")
    same = origin is None or origin.partition("://")[2] == said
    if not same or site not in ("same-origin", "none"):
        return ElsewhereError(
            _("This was sent by a page of another place; nothing was changed."),
            _("Do it in the app's own pages."),
            "origin",
        )
    return None


def _host(said: str) -> str:
    """Give the name of a host without its port, '' where it is none."""
    try:
        return urlsplit(f"//{said}").hostname or ""
    except ValueError:
        return ""


def status_of(error: StrandlineError) -> int:
    """Give the status of HTTP that an error is answered with."""
    return STATUS.get(error.code, 422)


async def _answer(send: Send, error: StrandlineError, accept: str) -> None:
    """Answer as text where a person looks, else as JSON; no page is drawn before the wall."""
    if "text/html" in accept:
        kind, body = b"text/plain; charset=utf-8", f"{error.what} {error.do}".encode()
    else:
        kind, body = b"application/json", json.dumps({"error": error.as_json()}).encode()
    headers = [(b"content-type", kind), (b"content-length", str(len(body)).encode())]
    start = {"type": "http.response.start", "status": status_of(error), "headers": headers}
    await send(start)
    await send({"type": "http.response.body", "body": body})
