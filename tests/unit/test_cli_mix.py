from __future__ import annotations

import importlib
import json
import subprocess
import sys

import pytest

from strandline import __version__
from strandline.salon.cli.main import COMMANDS, main

GOOD = "mix --target-vol 12 --stock-vol 20,5 --grams 60"
LIGHT = """
import sys
from strandline.salon.cli.main import main
code = main({words!r})
heavy = sorted(set(sys.modules) & {{'numpy', 'pydantic', 'scipy', 'typst'}})
other = [m for m in sys.modules if m.startswith('strandline.salon.cli.') and
         m.rpartition('.')[2] not in ('main', {name!r})]
print('LOADED', heavy, other, code)
"""


@pytest.mark.parametrize(
    ("words", "name", "code"),
    [
        (f"{GOOD} --powder-ratio 2 --json", "mix", 0),
        (GOOD, "mix", 0),
        (f"{GOOD} --powder-ratio 0", "mix", 2),
        ("--help", "", 0),
        ("brush", "", 2),
    ],
)
def test_mix_and_help_import_the_standard_library_alone(words, name, code):
    ran = subprocess.run(
        [sys.executable, "-c", LIGHT.format(words=words.split(), name=name)],
        capture_output=True,
        text=True,
        check=True,
    )
    assert ran.stdout.strip().endswith(f"LOADED [] [] {code}")


def test_mix_as_json_has_its_keys_and_no_powder_where_none_is_asked(capsys):
    assert main([*GOOD.split(), "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert found["parts"] == [{"vol": 20, "grams": 28}, {"vol": 5, "grams": 32}]
    assert found["poured"] == [
        {"vol": 20, "parts": 1, "grams": 30},
        {"vol": 5, "parts": 1, "grams": 30},
    ]
    assert found["poured_vol"] == 12.5
    assert found["percent_nominal"] == 3.6
    assert found["percent_exact"] == pytest.approx(3.645, abs=5e-4)
    assert found["powder_grams"] is None
    assert found["bowl_percent"] is None


def test_mix_in_words_says_what_to_pour_and_what_to_weigh(capsys):
    assert main([*GOOD.split(), "--powder-ratio", "2"]) == 0
    said = capsys.readouterr().out
    for words in ("1 : 1  of 20 and 5", "28.0 g", "32.0 g", "12.5 volume", "30.0 g, 1 part to 2"):
        assert words in said
    assert "than wanted" not in said
    assert "label comes first" in said
    assert max(len(line) for line in said.splitlines()) <= 100


def test_poured_parts_well_off_the_target_are_said(capsys):
    for target, words in (
        ("11", "(9 %) weaker than wanted"),
        ("18", "(10 %) weaker"),
        ("6.9", "(27 %) stronger"),
        ("7", "(25 %) stronger"),
    ):
        assert main(f"mix --target-vol {target} --stock-vol 20,5 --grams 60".split()) == 0
        said = capsys.readouterr().out
        assert words in said, target


def test_strong_bowls_carry_the_cautions_of_practice(capsys):
    words = "mix --target-vol 40 --stock-vol 40 --grams 60 --powder-ratio 2"
    assert main(words.split()) == 0
    said = capsys.readouterr().out
    assert "no more than 30 volume with powder" in said
    assert "over 20 volume off the scalp" in said


@pytest.mark.parametrize(
    ("words", "code", "where"),
    [
        ("mix --target-vol 41 --stock-vol 50,20 --grams 60", "legal_limit", ""),
        ("mix --target-vol 30 --stock-vol 20,5 --grams 60", "unreachable", ""),
        ("mix --target-vol 12 --stock-vol 20,5 --grams 0", "out_of_range", "--grams"),
        ("mix --target-vol 12 --stock-vol 20,5 --grams -5", "out_of_range", "--grams"),
        ("mix --target-vol nan --stock-vol 20,5 --grams 60", "out_of_range", "--target-vol"),
        ("mix --target-vol 12 --stock-vol 20;5 --grams 60", "out_of_range", "--stock-vol"),
        ("mix --target-vol 12 --stock-vol 20, --grams 60", "out_of_range", "--stock-vol"),
        ("mix --target-vol 12 --stock-vol 20,5 --grams inf", "out_of_range", "--grams"),
        (f"{GOOD} --powder-ratio 0", "out_of_range", "--powder-ratio"),
        (f"{GOOD} --powder-ratio two", "out_of_range", "--powder-ratio"),
        (f"{GOOD} --powder", "usage", ""),
        ("mix --target-vol 12", "usage", ""),
        ("brush", "usage", ""),
        ("", "usage", ""),
    ],
)
def test_an_error_is_two_sentences_or_one_json_and_exit_code_two(words, code, where, capsys):
    assert main(words.split()) == 2
    told = capsys.readouterr()
    assert told.out == ""
    assert main([*words.split(), "--json"]) == 2
    as_json = json.loads(capsys.readouterr().out)["error"]
    if words:  # '--json' alone is no command either, but another one
        assert told.err.strip() == (f"{where}: " if where else "") + (
            f"{as_json['what']} {as_json['do']}"
        )
    assert (as_json["code"], as_json["where"]) == (code, where)
    assert as_json["what"].endswith(".")
    assert "invalid" not in told.err.lower()


def test_help_lists_every_command_and_each_says_the_same_itself(capsys):
    assert main(["--help"]) == 0
    said = capsys.readouterr().out
    for name, line in COMMANDS.items():
        assert f"{name}" in said
        assert line in said
        module = importlib.import_module(f"strandline.salon.cli.{name}")
        assert getattr(module, "HELP", line) == line
        assert main([name, "--help"]) == 0
        assert "--json" in capsys.readouterr().out


def test_version_is_the_packages(capsys):
    assert main(["--version"]) == 0
    assert __version__ in capsys.readouterr().out


def test_the_package_runs_as_a_module():
    ran = subprocess.run(
        [sys.executable, "-m", "strandline", *GOOD.split()],
        capture_output=True,
        text=True,
        check=False,
    )
    assert ran.returncode == 0
    assert "12.5 volume" in ran.stdout
