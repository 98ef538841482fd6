"""The shape of the project, where the layers of import-linter do not say it."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
SOURCES = sorted((ROOT / "src").rglob("*.py"))
LOCKS = sorted(ROOT.glob("*.lock"))
LONGEST = 400
SLOW = ("numpy", "pydantic", "typst", "scipy")


@pytest.mark.parametrize(
    "modules",
    [
        "strandline.base.facts.fold, strandline.base.facts.jsonl, strandline.base.facts.schema",
        "strandline.salon.cli.main",
        "strandline.salon.cli.mix",
        "strandline.salon.cli.evidence",
    ],
)
def test_a_small_thing_to_ask_costs_little_to_import(modules):
    """A process of its own: this one has long imported everything."""
    asked = f"import sys, {modules}; print([name for name in {SLOW!r} if name in sys.modules])"
    found = subprocess.run(
        [sys.executable, "-c", asked], capture_output=True, text=True, check=True, cwd=ROOT
    )
    assert found.stdout.strip() == "[]"


@pytest.mark.parametrize("path", SOURCES, ids=lambda path: str(path.relative_to(ROOT / "src")))
def test_no_file_has_grown_too_long(path):
    assert len(path.read_text("utf-8").splitlines()) <= LONGEST


def test_the_lock_names_no_host_and_a_hash_for_everything():
    assert LOCKS
    for lock in LOCKS:
        text = lock.read_text("utf-8")
        assert "://" not in text
        entries = text.replace("\\\n", " ").splitlines()
        pinned = [line for line in entries if line and not line.lstrip().startswith("#")]
        assert pinned
        assert all("==" in line and "--hash=sha256:" in line for line in pinned)


def test_the_command_of_ci_is_the_readmes():
    script = (ROOT / ".ci" / "run").read_text("utf-8")
    assert "./dev test" in script
    for name in (".ci/run", "dev"):
        assert (ROOT / name).stat().st_mode & 0o111, name


def test_the_browsers_lock_names_no_host_and_a_hash_for_everything():
    packages = json.loads((ROOT / "package-lock.json").read_text("utf-8"))["packages"]
    taken = [one for name, one in packages.items() if name]
    assert taken
    assert all("integrity" in one and "resolved" not in one for one in taken)
