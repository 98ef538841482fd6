"""The command `strandline`: find the command that is named, import it alone, run it.

Whatever a person can mend is two sentences on stderr, or one JSON object on stdout where --json
is given, and exit code 2.
"""

from __future__ import annotations

import argparse
import importlib
import json
import os
import re
import sys
from collections.abc import Sequence
from typing import NoReturn, Protocol, cast

from strandline import __version__
from strandline.base.errors import StrandlineError

COMMANDS = {
    "mix": "mix a developer strength from the bottles at hand",
    "hair": "what hair looks like, by its level, a reading of it, or the name of a shade",
    "lift": "how far and how fast hair lifts at a strength, with ranges",
    "gloss": "the recipe from the shelf that comes nearest to an aim, with its clock",
    "plan": "plan a service from a consultation file, or of a client of the record",
    "pattern": "a pattern of foils as a file: to edit, check, draw and use",
    "growout": "how it looks as it grows: line, stripes, contrast by week; pictures; a film",
    "timing": "the best timing of its foils, what binds it, and the ways out",
    "learn": "keep what a visit taught of a lightener, a client, her eye and her pace",
    "keep": "take a client's consultation, plan and visit into the record",
    "shelf": "what is on the shelf, what coming plans need, what to order",
    "backup": "the whole record in one file, proven by restoring it",
    "restore": "put a backup back, or a client's export",
    "export": "all that is kept of one client; the days of return as a calendar",
    "erase": "erase a client, but what law keeps",
    "doctor": "what is wrong with the record, and how it is mended",
    "serve": "the app in the browser, on this machine alone: plans, the chair, the record",
    "demo": "build an invented practice, three visits deep, to look at",
    "evidence": "check every figure against its outside source",
}
"""Each command and its one line of help; its module is `strandline.salon.cli.<name>`."""

EXIT_MENDABLE = 2
EXIT_STOPPED = 130
"""As a shell counts a command that was stopped from the keyboard."""


class Command(Protocol):
    """What the module of a command offers."""

    def add_arguments(self, parser: argparse.ArgumentParser) -> None:
        """Say what the command takes."""

    def run(self, args: argparse.Namespace) -> int:
        """Do it, print, and give the exit code."""


class UsageError(StrandlineError):
    """A command line that does not say what to do."""

    code = "usage"


class Parser(argparse.ArgumentParser):
    """A parser whose errors are two sentences like all others."""

    def error(self, message: str) -> NoReturn:
        """Raise what argparse would print.

        Raises
        ------
        UsageError   always
        """
        help_ = f"See what it takes with: {self.prog} --help"
        alone = re.fullmatch(r"argument (\S+): expected one argument", message)
        if alone:
            flag = alone[1]
            raise UsageError(
                f"{flag} stands without its value.",
                f"Write it after {flag}; one that begins with a minus as {flag}=-4. {help_}",
            )
        number = re.fullmatch(r"argument (\S+): invalid int value: (.*)", message)
        if number:
            raise UsageError(f"{number[1]} is {number[2]}; it must be a whole number.", help_)
        said = message[:1].upper() + message[1:].rstrip(".")
        raise UsageError(f"{said}.", help_)


def main(argv: list[str] | None = None) -> int:
    """Run the command line and give its exit code.

    Parameters
    ----------
    argv : the words after `strandline`; None for those of the process

    Returns
    -------
    0 done, 2 something the person can mend, 130 stopped, else what the command says
    """
    words = sys.argv[1:] if argv is None else argv
    try:
        return _run(words)
    except StrandlineError as error:
        _tell(error, as_json="--json" in words)
        return EXIT_MENDABLE
    except KeyboardInterrupt:
        sys.stderr.write("\nStopped.\n")
        return EXIT_STOPPED
    except BrokenPipeError:
        # whoever read the output has seen enough; keep the interpreter from flushing into it
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0


def _run(words: Sequence[str]) -> int:
    name = words[0] if words else ""
    if name in COMMANDS:
        command = cast("Command", importlib.import_module(f"strandline.salon.cli.{name}"))
        parser = Parser(prog=f"strandline {name}", description=COMMANDS[name], allow_abbrev=False)
        command.add_arguments(parser)
        try:
            args = parser.parse_args(words[1:])
        except SystemExit as done:  # argparse leaves by this after --help
            return int(done.code or 0)
        return command.run(args)
    if name in ("-h", "--help"):
        sys.stdout.write(_help())
        return 0
    if name == "--version":
        sys.stdout.write(f"strandline {__version__}\n")
        return 0
    what = f"There is no command '{name}'." if name else "No command is named."
    raise UsageError(what, f"Name one of: {', '.join(COMMANDS)}; or see: strandline --help")


def _help() -> str:
    width = max(len(name) for name in COMMANDS)
    lines = [f"  {name:<{width}}  {line}" for name, line in COMMANDS.items()]
    return "\n".join(
        [
            "Strandline plans gray-blending hair colour by computation.",
            "",
            "usage: strandline COMMAND ...",
            "",
            *lines,
            "",
            "What a command takes: strandline COMMAND --help",
            "Each takes --json. It informs a professional; the product's label comes first.",
            "",
        ]
    )


def _tell(error: StrandlineError, *, as_json: bool) -> None:
    if as_json:
        json.dump({"error": error.as_json()}, sys.stdout, ensure_ascii=False, indent=1)
        sys.stdout.write("\n")
    else:
        sys.stderr.write(f"{error}\n")
