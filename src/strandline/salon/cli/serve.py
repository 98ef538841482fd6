"""`strandline serve`: the app in a browser, on this machine alone."""

from __future__ import annotations

import argparse
import datetime as dt
import sys
import threading
import time
import webbrowser
from typing import TYPE_CHECKING

from strandline.base.errors import StoreError
from strandline.salon.cli.main import UsageError
from strandline.salon.cli.planned import day_of
from strandline.salon.cli.record import add_record, opened, writer

if TYPE_CHECKING:
    from collections.abc import Callable

PORT = 8484
KEEP_ALIVE_S = 75
"""A chair taps every few seconds, on a line that stays open."""
LOOPBACK = ("127.0.0.1", "localhost", "::1")


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Say what the command takes."""
    parser.add_argument("--port", metavar="N", type=int, default=PORT, help=f"default {PORT}")
    parser.add_argument(
        "--host", metavar="NAME", default="127.0.0.1", help="this machine alone, as 127.0.0.1"
    )
    parser.add_argument("--open", action="store_true", help="open it in the browser")
    parser.add_argument(
        "--on", metavar="DATE", help="look at the record as on another day, YYYY-MM-DD"
    )
    add_record(parser)


def run(args: argparse.Namespace) -> int:
    """Serve until stopped from the keyboard.

    Raises
    ------
    UsageError   a host that is not this machine, or a port that is none
    StoreError   the port is taken
    """
    if args.host not in LOOPBACK:
        raise UsageError(
            f"It is served on this machine alone, not on '{args.host:.60}'.",
            "Leave --host out; sharing with other devices is not here yet.",
        )
    if not 1 <= args.port <= 65535:
        raise UsageError(f"The port is {args.port}; it must be 1 to 65535.", "Name another.")
    clock = clock_on(day_of(args.on)) if args.on else None
    with opened(args, create=True) as store:
        serve(args, store, clock)
    return 0


def clock_on(day: dt.date) -> Callable[[], dt.datetime]:
    """Give a clock that shows the time of this day on another day."""
    from strandline.salon.records.scribe import now  # noqa: PLC0415  # slow

    shift = day - now().date()
    return lambda: now() + shift


def serve(args: argparse.Namespace, store: object, clock: Callable[[], dt.datetime] | None) -> None:
    """Run the server in this process."""
    import socket  # noqa: PLC0415  # only here

    import uvicorn  # noqa: PLC0415  # slow

    from strandline.salon.records.scribe import now  # noqa: PLC0415
    from strandline.salon.records.store import Store  # noqa: PLC0415
    from strandline.salon.web.app import create_app  # noqa: PLC0415
    from strandline.salon.web.room import Room  # noqa: PLC0415

    if not isinstance(store, Store):
        raise TypeError
    family = socket.AF_INET6 if args.host == "::1" else socket.AF_INET
    listening = socket.socket(family, socket.SOCK_STREAM)
    listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listening.bind((args.host, args.port))
    except OSError as error:
        raise StoreError(
            f"Port {args.port} cannot be had: {error.strerror or error}.",
            "Close what holds it, or name another with --port.",
            "--port",
        ) from None
    host = f"[{args.host}]" if ":" in args.host else args.host
    address = f"http://{host}:{args.port}/"
    sys.stdout.write(f"Strandline is at {address} (stop it with Ctrl+C)\n")
    sys.stdout.flush()
    if args.open:
        threading.Thread(target=_open_soon, args=(address,), daemon=True).start()
    room = Room(store, writer(args).by, clock or now)
    config = uvicorn.Config(
        create_app(room), log_level="warning", access_log=False, timeout_keep_alive=KEEP_ALIVE_S
    )
    uvicorn.Server(config).run(sockets=[listening])


def _open_soon(address: str) -> None:
    time.sleep(0.7)
    webbrowser.open(address)
