"""Clubs that earlier versions made: opened, brought on, and asked what they were asked then."""

from __future__ import annotations

import json
import zipfile
from pathlib import Path

import pytest
from click.testing import CliRunner

from partmuster.cli import main
from partmuster.store.club import Club
from partmuster.store.migrations import current_version
from partmuster.store.settings import read_settings

CLUBS = Path(__file__).parents[1] / "clubs"


@pytest.fixture(params=sorted(path.stem for path in CLUBS.glob("*.zip")))
def older(request, tmp_path):
    """An older club's folder, and what was answered of it then: rows by command."""
    with zipfile.ZipFile(CLUBS / f"{request.param}.zip") as file:
        file.extractall(tmp_path)
    (folder,) = tmp_path.iterdir()
    return folder, json.loads((CLUBS / f"{request.param}.json").read_text(encoding="utf-8"))


def ask(folder, command):
    result = CliRunner().invoke(main, ["--club", str(folder), *command.split(), "--format", "json"])
    assert result.exit_code == 0, result.output
    return json.loads(result.stdout)


#: What is said in other words since: a companion by its plain name, with who has one.
NOW = {"voltage-control-box": "voltage control box: nobody in the club is known to have one"}


def test_an_older_club_gives_the_same_answers(older):
    folder, answered = older
    for command, then in answered.items():
        now = ask(folder, command)
        known = [{name: row[name] for name in old} for row, old in zip(now, then, strict=True)]
        then_said = [{name: NOW.get(value, value) for name, value in row.items()} for row in then]
        assert known == then_said, command


def test_an_older_club_is_brought_on_and_takes_what_is_new(older, tmp_path):
    folder, _ = older
    sheet = tmp_path / "wants.csv"
    sheet.write_text("Wanted,Qty,Member\nDynamo,umpteenish,A. Brandt\n", encoding="utf-8")
    CliRunner().invoke(main, ["--club", str(folder), "import", str(sheet)])
    with Club.open(folder).reading() as con:
        assert read_settings(con)["schema-version"] == str(current_version())
        assert con.execute("SELECT count(*) FROM said_want WHERE withdrawn").fetchall() == [(0,)]
        assert con.execute("SELECT count(*) FROM mended").fetchall() == [(0,)]
