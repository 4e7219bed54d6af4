"""Plain tables of a document: one CSV a section, and one that tells what they are."""

from __future__ import annotations

import csv
import datetime as dt

import polars as pl
import pytest

from partmuster_plugins.publishers.tables import Tables
from tests.publishing.hard_views import HARD_TEXTS, TablesView, column, hard_view, table
from tests.publishing.sample_views import SampleView


def read(path):
    assert not path.read_bytes().startswith(b"\xef\xbb\xbf")
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.reader(file))


@pytest.mark.parametrize("audience", ["registrar", "circulated"])
def test_each_section_is_a_file_of_its_columns_and_rows(audience, tmp_path):
    view = SampleView(audience, 5)
    contents, *tables = Tables().publish(view, tmp_path)
    assert len(tables) == len(view.sections())
    for path, section in zip(tables, view.sections(), strict=True):
        assert path.name.startswith(f"{view.file_name}-")
        assert section.name.replace("_", "-") in path.name
        heads, *rows = read(path)
        assert heads == [one.name for one in section.columns]
        assert len(rows) == 5
    told = read(contents)
    words = [word for row in told for word in row]
    for one in (view.club, view.title, audience, "2026-10-31", *view.head):
        assert one in words
    for path, section in zip(tables, view.sections(), strict=True):
        [row] = [row for row in told if path.name in row]
        assert section.title in row
        assert "5" in row


def test_values_stand_plainly(tmp_path):
    frame = pl.DataFrame({
        "part": ['a,"b"', None], "quantity": [3.0, 0.5], "low": [0.25, None],
        "new": [True, False], "seen_on": [dt.date(2026, 1, 2), None],
    })  # fmt: skip
    shown = table(
        "lacks", frame, column("part"), column("quantity", "number"), column("low", "share"),
        column("new", "yes-no"), column("seen_on", "day"),
    )  # fmt: skip
    _, path = Tables().publish(TablesView((shown,)), tmp_path)
    assert read(path) == [
        ["part", "quantity", "low", "new", "seen_on"],
        ['a,"b"', "3", "0.25", "yes", "2026-01-02"],
        ["", "0.5", "", "no", ""],
    ]


def test_nothing_in_a_table_is_a_formula(tmp_path):
    for path in Tables().publish(hard_view(), tmp_path):
        for row in read(path):
            for cell in row:
                assert not cell.startswith(("=", "+", "@", "\t", "\r")), path.name
                assert cell == "-" or not cell.startswith("-")
                assert not set(cell) & set("\x00\x07\x1b")


def test_long_texts_are_whole(tmp_path):
    _, path, *_ = Tables().publish(hard_view(), tmp_path)
    rows = read(path)[1:]
    assert len(rows) == len(HARD_TEXTS)
    assert max(HARD_TEXTS, key=lambda text: len(text or "")) in [row[0] for row in rows]


def test_names_of_files_are_plain_and_different(tmp_path):
    paths = Tables().publish(hard_view(), tmp_path)
    assert len({path.name.casefold() for path in paths}) == len(paths)
    assert all(path.parent == tmp_path for path in paths)
    assert all(path.name.replace("-", "").replace(".", "").isalnum() for path in paths)


def test_a_section_without_rows_is_its_headings(tmp_path):
    _, *tables = Tables().publish(SampleView("members", 0), tmp_path)
    assert {len(read(path)) for path in tables} == {1}


def test_the_same_view_gives_the_same_bytes(tmp_path):
    made = []
    for name in ("one", "two"):
        (tmp_path / name).mkdir()
        made.append([(path.name, path.read_bytes())
                     for path in Tables().publish(SampleView(), tmp_path / name)])  # fmt: skip
    assert made[0] == made[1]
