"""A faulty sheet of the club's own words is named, and stops nothing else."""

from __future__ import annotations

import pytest

from .test_cli_deciding import call, rows

WORDS = "Part,Also called,Assembly,Handed\ndynamo,jenny,,\nMap drawer,chart drawer,stowage,no\n"
FAULTY = {
    "damaged.xlsx": (b"PK\x03\x04 cut", "damaged.xlsx: cannot be read as a workbook"),
    "other.csv": (b"Thing,Other\nx,y\n", "other.csv, row 1, column Part: is missing"),
    "two.csv": (b"Part,Also called\nboot,wellie\n", "may be dust-boot or luggage-boot"),
    "dinamo.csv": (b"Part,Also called\ndinamo,jenny\n", "no part is called 'dinamo'"),
}


@pytest.fixture
def club(tmp_path):
    assert call(tmp_path / "club", "init", "--country", "GB").exit_code == 0
    folder = tmp_path / "club" / "vocabulary"
    folder.mkdir(exist_ok=True)
    (folder / "own.csv").write_text(WORDS, encoding="utf-8")
    return tmp_path / "club"


def load(club, name, *lines):
    sheet = club.parent / name
    sheet.write_text("What,How many,Whose\n" + "\n".join(lines) + "\n", encoding="utf-8")
    return call(club, "import", str(sheet))


@pytest.mark.parametrize("name", FAULTY)
def test_an_import_goes_on_with_the_words_of_the_other_sheets(club, name):
    content, fault = FAULTY[name]
    (club / "vocabulary" / name).write_bytes(content)
    done = load(club, "spares.csv", "jenny,1,Ivo Larch", "water pump,2,Ivo Larch")
    assert done.exit_code == 1
    assert "spares.csv: new (2 holding)" in done.stdout
    assert fault in done.stderr
    assert f"{name} is left out until that is put right" in done.stderr
    held = call(club, "holders", "dynamo", "--format", "csv")
    assert held.exit_code == 1
    assert "Ivo Larch" in held.stdout


def test_the_words_last_read_count_until_the_sheet_is_put_right(club):
    assert load(club, "a.csv", "jenny,1,Ivo Larch", "chart drawer,1,Ivo Larch").exit_code == 0
    (club / "vocabulary" / "own.csv").write_text("Thing,Other\nx,y\n", encoding="utf-8")
    done = load(club, "b.csv", "jenny,3,Bert Oakes", "chart drawer,2,Bert Oakes")
    assert done.exit_code == 1
    assert "the words last read of own.csv count until that is put right" in done.stderr
    held = call(club, "holders", "map", "drawer", "--format", "csv")
    assert held.exit_code == 1
    assert {"Ivo Larch", "Bert Oakes"} <= set(held.stdout.replace("\n", ",").split(","))
    (club / "vocabulary" / "own.csv").write_text(WORDS, encoding="utf-8")
    assert load(club, "c.csv", "jenny,9,Zed Yew").exit_code == 0
    assert len(rows(club, "holders", "map drawer")) == 2


def test_a_sheet_taken_away_leaves_no_words_behind(club):
    assert load(club, "a.csv", "jenny,1,Ivo Larch").exit_code == 0
    (club / "vocabulary" / "own.csv").unlink()
    assert call(club, "rematch").exit_code == 0
    (club / "vocabulary" / "two.csv").write_bytes(FAULTY["two.csv"][0])
    assert call(club, "holders", "jenny").exit_code == 1
    assert "own.csv" not in call(club, "holders", "jenny").stderr
    assert not rows_of_words(club)


def rows_of_words(club):
    return [path for path in (club / "vocabulary").rglob("*") if b"jenny" in _content(path)]


def _content(path):
    return path.read_bytes() if path.is_file() else b""


def test_a_person_is_forgotten_in_the_words_last_read_too(club):
    own = club / "vocabulary" / "own.csv"
    own.write_text(WORDS.replace("jenny", "Larches knob"), encoding="utf-8")
    own.write_text(own.read_text() + "spark plug,Ivo Larch's sparker,,\n", encoding="utf-8")
    assert load(club, "a.csv", "dynamo,1,Ivo Larch").exit_code == 0
    assert call(club, "forget", "Ivo Larch", "--by", "R", "--yes").exit_code == 0
    for path in (club / "vocabulary").rglob("*"):
        assert b"Ivo Larch" not in _content(path)


def test_a_person_named_in_the_clubs_words_alone_is_forgotten(club):
    own = club / "vocabulary" / "own.csv"
    own.write_text("Part,Also called\ndynamo,Zed Yew's jenny\n", encoding="utf-8")
    assert load(club, "a.csv", "dynamo,1,Ivo Larch").exit_code == 0
    shown = call(club, "forget", "Zed Yew", "--by", "R")
    assert shown.exit_code == 0
    assert "vocabulary/own.csv" in shown.stdout
    done = call(club, "forget", "Zed Yew", "--by", "R", "--yes")
    assert done.exit_code == 0
    assert "the name was replaced: vocabulary/" in done.stdout
    for path in (club / "vocabulary").rglob("*"):
        assert b"Zed Yew" not in _content(path)
