"""The developer's command, with the programs it would run written down instead of run."""

from __future__ import annotations

import os
import subprocess
import sys
from importlib.machinery import SourceFileLoader
from importlib.util import module_from_spec, spec_from_loader
from pathlib import Path
from types import SimpleNamespace

import pytest

DEV = Path(__file__).parents[2] / "dev"


@pytest.fixture
def dev(tmp_path, monkeypatch):
    """Give the script as a module that stands in a folder of its own and runs nothing."""
    monkeypatch.setattr(sys, "dont_write_bytecode", True)
    loader = SourceFileLoader("dev_script", str(DEV))
    module = module_from_spec(spec_from_loader("dev_script", loader))
    loader.exec_module(module)
    for name, value in {
        "ROOT": tmp_path,
        "VENV": tmp_path / ".venv",
        "PYTHON": tmp_path / ".venv" / "bin" / "python",
        "STAMP": tmp_path / ".venv" / "made-from",
        "LOCK": tmp_path / "requirements.lock",
        "STILLS_STAMP": tmp_path / ".venv" / "stills-made-from",
        "STILLS_LOCK": tmp_path / "requirements-stills.lock",
        "NODE_STAMP": tmp_path / "node_modules" / "made-from",
        "NODE_LOCK": tmp_path / "package-lock.json",
    }.items():
        monkeypatch.setattr(module, name, value)
    (tmp_path / "requirements.lock").write_text("one==1 --hash=sha256:0\n")
    (tmp_path / "requirements-stills.lock").write_text("two==2 --hash=sha256:0\n")
    (tmp_path / "pyproject.toml").write_text("[project]\n")
    (tmp_path / "package-lock.json").write_text("{}")
    (tmp_path / "node_modules").mkdir()
    module.ran = []
    module.codes = {}

    def run(words, **_):
        module.ran.append(words)
        module.PYTHON.parent.mkdir(parents=True, exist_ok=True)
        module.PYTHON.touch()
        code = next((code for word, code in module.codes.items() if word in words), 0)
        return SimpleNamespace(returncode=code)

    monkeypatch.setattr(module.subprocess, "run", run)
    monkeypatch.setattr(module.shutil, "which", lambda _: None)
    monkeypatch.setattr(module, "postgres_here", lambda: True)
    monkeypatch.setattr(module, "browser_here", lambda: True)
    monkeypatch.setenv("STRANDLINE_TESTS_WITHOUT", "")
    return module


def test_no_command_says_what_there_is(dev, capsys):
    assert dev.main([]) == 0
    said = capsys.readouterr().out
    assert all(f"./dev {word}" in said for word in ("demo", "test", "check", "bench", "docs"))
    assert dev.main(["dance"]) == 2
    assert dev.ran == []


def test_an_old_python_is_told_so(dev, monkeypatch, capsys):
    monkeypatch.setattr(dev.sys, "version_info", (3, 10, 2))
    assert dev.main(["test"]) == 2
    assert "3.11 or newer" in capsys.readouterr().out
    assert dev.ran == []


def test_the_environment_is_made_once_with_hashes_and_again_for_a_new_lock(dev):
    assert dev.make_venv() == 0
    pip = [words for words in dev.ran if "install" in words]
    assert "--require-hashes" in pip[0]
    assert str(dev.LOCK) in pip[0]
    assert {"--no-deps", "--no-build-isolation", "-e"} <= set(pip[1])
    made = len(dev.ran)
    assert dev.make_venv() == 0
    assert len(dev.ran) == made
    dev.LOCK.write_text("one==2 --hash=sha256:1\n")
    assert dev.make_venv() == 0
    assert len(dev.ran) == 2 * made


def test_uv_is_taken_where_it_is(dev, monkeypatch):
    monkeypatch.setattr(dev.shutil, "which", lambda name: "/bin/uv" if name == "uv" else None)
    assert dev.make_venv() == 0
    assert all(words[0] == "/bin/uv" for words in dev.ran)
    assert any({"sync", "--require-hashes"} <= set(words) for words in dev.ran)


def test_a_failed_installation_is_not_taken_for_made(dev, capsys):
    dev.codes["--require-hashes"] = 7
    assert dev.main(["check"]) == 7
    assert "This step failed" in capsys.readouterr().out
    assert not dev.STAMP.exists()


@pytest.mark.parametrize(("user", "installs"), [(0, True), (1000, False)])
def test_a_missing_venv_is_installed_or_its_command_named(dev, monkeypatch, capsys, user, installs):
    monkeypatch.setitem(sys.modules, "ensurepip", None)
    monkeypatch.setattr(os, "geteuid", lambda: user)
    monkeypatch.setattr(dev.shutil, "which", lambda name: None if name == "uv" else f"/bin/{name}")
    assert dev.have_venv() is installs
    assert any("python3-venv" in words for words in dev.ran) is installs
    assert ("sudo apt-get install" in capsys.readouterr().out) is not installs


def test_a_missing_server_is_installed_by_root_and_its_command_named_to_others(
    dev, monkeypatch, capsys
):
    here = iter([False, True])
    monkeypatch.setattr(dev, "postgres_here", lambda: next(here, False))
    monkeypatch.setattr(os, "geteuid", lambda: 0)
    monkeypatch.setattr(dev.shutil, "which", lambda name: f"/bin/{name}")
    assert dev.have("postgresql", *dev.SYSTEM["postgresql"])
    assert any("postgresql" in words for words in dev.ran)
    monkeypatch.setattr(os, "geteuid", lambda: 1000)
    dev.ran.clear()
    assert dev.main(["test"]) == 2
    assert not any("pytest" in words for words in dev.ran)
    said = capsys.readouterr().out
    assert "sudo apt-get install -y -qq --no-install-recommends postgresql" in said
    assert "./dev test --without-postgresql" in said


def test_the_server_is_left_out_only_when_that_is_asked_and_said(dev, monkeypatch, capsys):
    monkeypatch.setattr(dev, "postgres_here", lambda: False)
    assert dev.main(["test", "--without-postgresql", "--", "-k", "records"]) == 0
    assert "left out" in capsys.readouterr().out
    assert os.environ["STRANDLINE_TESTS_WITHOUT"] == "postgresql"
    assert dev.ran[-1][-2:] == ["-k", "records"]
    assert dev.main(["test", "--without-postgresql"]) == 0
    assert "--without-postgresql" not in dev.ran[-1]


def test_the_first_failing_step_stops_and_gives_its_code(dev, capsys):
    dev.codes["mypy"] = 3
    assert dev.main(["test"]) == 3
    said = capsys.readouterr().out
    assert "types: failed (3) in " in said
    assert "format: ok in " in said
    assert not any("pytest" in words for words in dev.ran)


def test_words_after_the_dashes_go_to_pytest(dev):
    assert dev.main(["test", "--", "-k", "facts"]) == 0
    last = dev.ran[-1]
    assert last[-2:] == ["-k", "facts"]
    assert last[last.index("-n") + 1] == "2"


def test_the_command_names_no_place_to_fetch_from():
    text = DEV.read_text("utf-8")
    assert not any(word in text for word in ("http", "--index-url", "--extra-index", "--trusted"))


def test_it_imports_the_standard_library_alone():
    asked = "import runpy, sys; runpy.run_path(sys.argv[1], run_name='dev')"
    subprocess.run([sys.executable, "-I", "-S", "-c", asked, str(DEV)], check=True)


def test_tests_bring_the_path_tracer_once(dev):
    assert dev.main(["test"]) == 0
    assert sum(str(dev.STILLS_LOCK) in words for words in dev.ran) == 1
    dev.ran.clear()
    assert dev.main(["test"]) == 0
    assert not any(str(dev.STILLS_LOCK) in words for words in dev.ran)
    dev.STILLS_LOCK.write_text("two==3 --hash=sha256:0\n")
    assert dev.main(["test"]) == 0
    assert any(str(dev.STILLS_LOCK) in words for words in dev.ran)


def test_without_a_path_tracer_the_rest_is_tested_and_that_is_said(dev, capsys):
    dev.codes[str(dev.STILLS_LOCK)] = 1
    assert dev.main(["test"]) == 0
    assert "left out" in capsys.readouterr().out
    assert any("pytest" in words for words in dev.ran)


def test_a_missing_browser_is_named_and_left_out_only_when_asked(dev, monkeypatch, capsys):
    monkeypatch.setattr(dev, "browser_here", lambda: False)
    monkeypatch.setattr(os, "geteuid", lambda: 1000)
    assert dev.main(["test"]) == 2
    assert "chromium nodejs npm" in capsys.readouterr().out
    assert dev.main(["test", "--without-browser"]) == 0
    assert os.environ["STRANDLINE_TESTS_WITHOUT"] == "browser"
    assert not any("npm" in words for words in dev.ran)


def test_the_browsers_own_code_is_checked_before_the_tests(dev):
    assert dev.main(["test"]) == 0
    said = [" ".join(words) for words in dev.ran]
    order = [
        next(k for k, one in enumerate(said) if word in one)
        for word in ("npm ci", "run --silent types", "units", "-m pytest")
    ]
    assert order == sorted(order)
    dev.ran.clear()
    dev.codes["types"] = 3
    assert dev.main(["test"]) == 3
    assert not any("pytest" in words for words in dev.ran)
