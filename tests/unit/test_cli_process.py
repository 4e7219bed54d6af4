"""The command as a process: what it loads, and what happens when nobody reads on."""

from __future__ import annotations

import json
import os
import subprocess
import sys

import pytest

from partmuster.cli import main

HEAVY = ("polars", "duckdb", "pandera", "rapidfuzz", "openpyxl", "fastexcel", "rich", "pluggy")
COMMANDS = sorted(main.commands)

#: Runs the command line in its own process and tells which of these modules it loaded.
LOADED = (
    "import json, sys\n"
    "from partmuster.cli import main\n"
    "try:\n    main(sys.argv[1:])\n"
    "finally:\n"
    f"    print(json.dumps(sorted({{*{HEAVY!r}}} & set(sys.modules))), file=sys.stderr)\n"
)


def run(*words):
    return subprocess.run(
        [sys.executable, "-m", "partmuster", *words], capture_output=True, text=True, check=False
    )


@pytest.mark.parametrize("words", [("--help",), ("--version",), ("lacks", "--help"), ("nonsense",)])
def test_help_and_wrong_calls_load_no_data_library(words):
    done = subprocess.run(
        [sys.executable, "-c", LOADED, *words], capture_output=True, text=True, check=False
    )
    assert json.loads(done.stderr.splitlines()[-1]) == []
    assert done.stdout or words == ("nonsense",)


def test_help_loads_no_outside_plugin(tmp_path):
    (tmp_path / "loud_plugin.py").write_text("print('LOADED')\n")
    about = tmp_path / "loud-1.0.dist-info"
    about.mkdir()
    (about / "METADATA").write_text("Metadata-Version: 2.1\nName: loud\nVersion: 1.0\n")
    (about / "entry_points.txt").write_text("[partmuster]\nloud = loud_plugin\n")
    start = f"import sys; sys.path.insert(0, {str(tmp_path)!r})\nfrom partmuster.cli import "
    shown = {
        code: subprocess.run(
            [sys.executable, "-c", start + code], capture_output=True, text=True, check=False
        ).stdout
        for code in ("main\nmain(['--help'])", "plugins\nplugins()")
    }
    assert ["LOADED" in text for text in shown.values()] == [False, True]


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_explains_itself(command):
    done = run(command, "--help")
    assert done.returncode == 0
    assert len(done.stdout.splitlines()) > 5


@pytest.fixture(scope="module")
def club(tmp_path_factory):
    folder = tmp_path_factory.mktemp("process")
    rows = "".join(f"Dynamo,{number},Rack {number}\n" for number in range(1, 2001))
    (folder / "spares.csv").write_text(f"What,How many,Where is it\n{rows}")
    done = run("--club", str(folder / "club"), "import", str(folder / "spares.csv"))
    assert done.returncode == 0, done.stderr
    return folder / "club"


@pytest.mark.parametrize("form", ["table", "csv", "json"])
def test_a_pipe_that_closes_ends_quietly(club, form):
    command = [sys.executable, "-m", "partmuster", "--club", str(club), "holders", "dynamo"]
    with subprocess.Popen(
        [*command, "--format", form], stdout=subprocess.PIPE, stderr=subprocess.PIPE
    ) as process:
        process.stdout.read(10)
        process.stdout.close()
        told = process.stderr.read().decode()
        assert process.wait() == 0
    assert told == ""


def test_a_terminal_without_some_letters_shows_a_mark_for_them(tmp_path):
    (tmp_path / "spares.csv").write_text("What,How many,Whose\nDynamo,1½,Zoë\n", "utf-8")
    club = str(tmp_path / "club")
    run("--club", club, "import", str(tmp_path / "spares.csv"))
    done = subprocess.run(
        [sys.executable, "-m", "partmuster", "--club", club, "holders", "dynamo"],
        capture_output=True, check=False, env={**os.environ, "PYTHONIOENCODING": "ascii"},
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    assert b"Zo?" in done.stdout


def test_a_program_reads_what_was_asked_for_and_nothing_else(club):
    done = run("--club", str(club), "holders", "dynamo", "--format", "json")
    assert len(json.loads(done.stdout)) == 2000
    assert done.stderr == ""


def test_no_command_ends_with_a_traceback_where_there_is_no_club(tmp_path):
    for words in (("lacks",), ("donors",), ("trace", "x"), ("answer", "q", "a", "--by", "b")):
        done = run("--club", str(tmp_path / "none"), *words)
        assert done.returncode == 1
        assert done.stderr.startswith("partmuster: there is no club in")
        assert len(done.stderr.splitlines()) == 1
