"""The app served on this machine over a room, for tests that need an address."""

from __future__ import annotations

import socket
import threading
import time


def free_port() -> int:
    """Give a port of this machine that nothing listens on."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port: int = free.getsockname()[1]
        return port


class Served:
    """The app on a port of its own; `stop` lets go of it, `start` takes the same port again."""

    def __init__(self, room) -> None:
        self.room = room
        self.port = free_port()
        self.start()

    @property
    def at(self) -> str:
        return f"http://127.0.0.1:{self.port}"

    def start(self) -> None:
        import uvicorn

        from strandline.salon.web.app import create_app

        config = uvicorn.Config(
            create_app(self.room), port=self.port, log_level="error", lifespan="off"
        )
        self._server = uvicorn.Server(config)
        self._thread = threading.Thread(target=self._server.run, daemon=True)
        self._thread.start()
        while not self._server.started:
            time.sleep(0.02)

    def stop(self) -> None:
        self._server.should_exit = True
        self._server.force_exit = True
        self._thread.join(10)
