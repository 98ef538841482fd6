"""The wheel: all that runs is in it, and all that it imports is asked for by name."""

from __future__ import annotations

import ast
import sys
import zipfile
from importlib.metadata import packages_distributions
from pathlib import Path

import pytest
from packaging.requirements import Requirement

ROOT = Path(__file__).parents[2]
PACKAGE = ROOT / "src" / "strandline"
BESIDE = ("strandline/salon/cli/docs/", "strandline/salon/evidence/reference.py")
"""What only whoever develops it runs, with the extra `dev`."""


@pytest.fixture(scope="module")
def wheel(tmp_path_factory):
    from hatchling.builders.wheel import WheelBuilder

    folder = tmp_path_factory.mktemp("wheel")
    (built,) = WheelBuilder(str(ROOT)).build(directory=str(folder))
    with zipfile.ZipFile(built) as opened:
        yield opened


def named(wheel, end):
    return next(name for name in wheel.namelist() if name.endswith(end))


def plain(name):
    return name.lower().replace("_", "-")


def asked_for(wheel, extras):
    """Give the distributions that are installed with it and with some extras."""
    lines = wheel.read(named(wheel, ".dist-info/METADATA")).decode().splitlines()
    wanted = [Requirement(one.partition(": ")[2]) for one in lines if one[:14] == "Requires-Dist:"]
    return {
        plain(one.name)
        for one in wanted
        if one.marker is None or any(one.marker.evaluate({"extra": extra}) for extra in extras)
    }


def test_every_file_of_the_package_and_every_example_is_in_it_and_no_other(wheel):
    files = {f"strandline/{path.relative_to(PACKAGE)}" for path in PACKAGE.rglob("*")
             if path.is_file() and "__pycache__" not in path.parts}  # fmt: skip
    files |= {f"strandline/examples/{path.name}" for path in (ROOT / "examples").iterdir()}
    held = {name for name in wheel.namelist() if ".dist-info/" not in name}
    assert held == files
    assert len(files) > 600


@pytest.mark.parametrize(
    "end",
    [
        "strandline/examples/practice.toml",
        "records/migrations/env.py",
        "web/templates/base.html",
        "web/static/vendor/htmx.min.js",
        "report/worksheet.typ",
        "base/data/sources.toml",
        "licenses/LICENSE",
        "licenses/src/strandline/salon/report/fonts/OFL.txt",
    ],
)
def test_what_no_module_imports_is_in_it(wheel, end):
    assert len(wheel.read(named(wheel, end))) > 100


def test_its_command_is_there(wheel):
    said = wheel.read(named(wheel, ".dist-info/entry_points.txt")).decode()
    assert "strandline = strandline.salon.cli.main:main" in said


def test_what_it_imports_it_asks_for(wheel):
    by_module = packages_distributions()
    ours = asked_for(wheel, ("postgresql", "stills"))
    imported = {}
    for name in wheel.namelist():
        if name.endswith(".py") and not name.startswith(BESIDE):
            for module in _imported(ast.parse(wheel.read(name))):
                imported.setdefault(module, name)
    foreign = set(imported) - set(sys.stdlib_module_names) - {"strandline"}
    assert {"numpy", "sqlalchemy", "cv2"} <= foreign
    for module in sorted(foreign - {"mitsuba"}):  # an extra that need not be here
        assert set(map(plain, by_module[module])) & ours, imported[module]


def _imported(tree):
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from (one.name.partition(".")[0] for one in node.names)
        elif isinstance(node, ast.ImportFrom) and not node.level:
            yield node.module.partition(".")[0]
