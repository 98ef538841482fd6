"""A PostgreSQL server of its own for the tests: on a socket in a temporary folder, no network."""

from __future__ import annotations

import os
import shutil
import subprocess
import tempfile
from pathlib import Path

USER = "postgres"


def binaries() -> Path | None:
    """Find the folder that holds initdb."""
    found = shutil.which("initdb")
    if found:
        return Path(found).parent
    config = shutil.which("pg_config")
    if config:
        said = subprocess.run(  # the path that was just found
            [config, "--bindir"], capture_output=True, text=True, check=False
        )
        folder = Path(said.stdout.strip())
        if (folder / "initdb").exists():
            return folder
    versions = sorted(Path("/usr/lib/postgresql").glob("*/bin/initdb"))
    return versions[-1].parent if versions else None


class Server:
    """A running server; `stop` ends it and removes its folder."""

    def __init__(self, programs: Path) -> None:
        self.programs = programs
        self.folder = Path(tempfile.mkdtemp(prefix="pg-"))
        self.folder.chmod(0o755)
        self._data = self.folder / "data"
        if os.geteuid() == 0:  # the server refuses root
            shutil.chown(self.folder, USER, USER)
        try:
            self._run("initdb", *f"-D {self._data} -U {USER} -A trust -E UTF8".split())
            options = f"-c listen_addresses='' -k {self.folder} -c max_connections=40"
            log = self.folder / "log"
            self._run("pg_ctl", *f"-D {self._data} -w -l {log}".split(), "-o", options, "start")
        except subprocess.CalledProcessError as error:
            shutil.rmtree(self.folder, ignore_errors=True)
            raise RuntimeError(error.stderr) from error

    def url(self, database: str) -> str:
        """Give the address of one of its databases."""
        return f"postgresql+psycopg://{USER}@/{database}?host={self.folder}"

    def stop(self) -> None:
        """End it."""
        self._run("pg_ctl", "-D", str(self._data), "-m", "immediate", "-w", "stop")
        shutil.rmtree(self.folder, ignore_errors=True)

    def _run(self, name: str, *words: str) -> None:
        command = [str(self.programs / name), *words]
        if os.geteuid() == 0:
            command = ["runuser", "-u", USER, "--", *command]
        # files, not pipes: the server that pg_ctl starts would hold a pipe open
        with tempfile.TemporaryFile("w+") as said:
            ran = subprocess.run(  # programs of the server
                command, cwd=self.folder, stdout=said, stderr=said, check=False
            )
            said.seek(0)
            if ran.returncode:
                raise subprocess.CalledProcessError(ran.returncode, command, stderr=said.read())
