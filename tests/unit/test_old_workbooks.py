"""Workbooks of the old kind (.xls): words against another reader, damage, locks, the day saved.

The files were written by ``tests/golden/make_marked_sheets.py``.
"""

from __future__ import annotations

import datetime as dt
import random
import struct
from pathlib import Path

import fastexcel
import pytest

from partmuster.batches import batch_faults
from partmuster.host import source_file
from partmuster.model import Grid, NotData, SourceUnreadableError
from partmuster_plugins.spreadsheets.importer import Spreadsheets
from partmuster_plugins.spreadsheets.old_records import old_sheets, saved_on

from .sheet_files import read

GOLDEN = Path(__file__).parents[1] / "golden"
MIXED = GOLDEN / "old_workbooks" / "mixed.xls"
MARKED = GOLDEN / "sheets" / "marked_xls.xls"
BOF = struct.pack("<HHHH", 0x809, 16, 0x600, 5)


def test_no_cell_is_lost_against_another_reader():
    grids = read(source_file(MIXED))
    other = fastexcel.read_excel(MIXED)
    assert [grid.sheet for grid in grids] == other.sheet_names
    counted = 0
    for number, grid in enumerate(grids):
        frame = other.load_sheet(number, header_row=None, skip_rows=0, dtypes="string").to_polars()
        first = int(grid.cells.columns[1])
        assert first == 3
        assert frame.height == grid.cells.height
        for row, line in enumerate(frame.rows()):
            for place, text in enumerate(line):
                got = grid.cells.row(row)[1 + place] if place + 1 < grid.cells.width else None
                assert same(got, text), (row, place)
                counted += bool(text)
    assert counted > 2000


def same(got, other):
    if not other:
        return got is None
    if other in {"true", "false"}:
        return got == other.upper()
    if other.startswith("1899-12-31 "):
        return got == other.removeprefix("1899-12-31 ")
    if got is not None and got[:1] in "-0123456789" and ("e" in got or "." in got):
        return float(got) == float(other)
    return got == other.removesuffix(" 00:00:00")


def test_rows_and_columns_keep_their_numbers():
    [first, *_] = read(source_file(MIXED))
    assert first.cells["row"].to_list() == list(range(1, first.cells.height + 1))
    assert first.cells.row(3)[1:].count(None) == first.cells.width - 1
    assert {"fill"} == set(first.marks["mark"])
    assert set(first.marks["value"]) == {"c0c0c0"}


def test_a_workbook_of_another_name_is_known_by_its_content(make_source):
    source = make_source("stock.dat", MIXED.read_bytes())
    assert Spreadsheets().sniff(source).strength == 0.8
    assert len(read(source)) == 3


def test_a_locked_workbook_is_refused(make_source):
    data = MARKED.read_bytes()
    second = data.index(BOF) + 20  # made the record that a password leaves
    locked = data[:second] + struct.pack("<H", 0x2F) + data[second + 2 :]
    with pytest.raises(SourceUnreadableError, match="locked with a password"):
        read(make_source("locked.xls", locked))


def test_another_document_of_the_same_wrapping_is_refused(make_source):
    names = ["Workbook".encode("utf-16-le"), "WordDoc_".encode("utf-16-le")]
    source = make_source("letter.xls", MARKED.read_bytes().replace(*names))
    assert Spreadsheets().sniff(source).strength == 0.1
    with pytest.raises(SourceUnreadableError, match=r"save it as \.xlsx"):
        read(source)
    other = make_source("letter.doc", source.path.read_bytes())
    assert Spreadsheets().sniff(other) is None


@pytest.mark.parametrize("seed", range(8))
def test_damage_is_refused_in_words_or_does_no_harm(make_source, seed):
    rng = random.Random(seed)
    data = MARKED.read_bytes()
    for _ in range(15):
        broken = bytearray(data)
        for _ in range(rng.randrange(1, 6)):
            broken[rng.randrange(512, len(broken))] = rng.randrange(256)
        source = make_source("broken.xls", bytes(broken[: rng.choice([len(data), 700, 5000])]))
        Spreadsheets().sniff(source)
        try:
            faults = [fault for batch in read(source) for fault in batch_faults(batch)]
        except SourceUnreadableError:
            continue
        assert faults == []


def record(kind, data):
    return struct.pack("<HH", kind, len(data)) + data


def bound(name, kind, start=0):
    words = name.encode("utf-16-le")
    return record(0x85, struct.pack("<IBBBB", start, 0, kind, len(name), 1) + words)


def test_charts_and_macros_are_listed_with_the_sheets():
    bof = record(0x809, struct.pack("<HH", 0x600, 5))
    stream = bof + bound("Räder", 0) + bound("Chart", 2) + bound("Macro", 1) + record(0x0A, b"")
    assert [(sheet.name, sheet.cells) for sheet in old_sheets(stream)] == [
        ("Räder", True),
        ("Chart", False),
        ("Macro", False),
    ]
    older = record(0x809, struct.pack("<HH", 0x500, 5)) + bound("Any", 0)
    assert old_sheets(older) == []


def test_the_day_of_saving_is_read_from_the_summary():
    moment = dt.datetime(2026, 3, 6, 9, tzinfo=dt.UTC)
    ticks = int((moment - dt.datetime(1601, 1, 1, tzinfo=dt.UTC)).total_seconds()) * 10_000_000
    section = struct.pack("<IIII", 36, 2, 0x04, 24) + struct.pack("<II", 0x0D, 28)
    section += struct.pack("<I", 0) + struct.pack("<IQ", 0x40, ticks)
    head = b"\xfe\xff" + bytes(42) + struct.pack("<I", 48)
    assert saved_on(head + section) == dt.date(2026, 3, 6)
    assert saved_on(head + section[:30]) is None
    assert saved_on(b"") is None


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"<html><table><tr><td>Lamp</td></tr></table></html>", "web page"),
        (b"%PDF-1.7\n%\xe2\xe3\n", "it is a PDF"),
        (b"\x00\x01\x02\x03" * 50, "is none"),
    ],
)
def test_what_is_only_named_so_is_refused(make_source, content, words):
    source = make_source("report.xls", content)
    assert Spreadsheets().sniff(source).strength == 0.1
    with pytest.raises(SourceUnreadableError, match=words):
        read(source)


def test_a_text_table_under_the_old_name_is_read(make_source):
    source = make_source("report.xls", "Part\tQty\nHinge\t2\nLamp\t1\n")
    assert Spreadsheets().sniff(source).strength == 0.6
    [grid] = read(source)
    assert isinstance(grid, Grid)
    assert grid.cells.rows()[1] == (2, "Hinge", "2")


def test_an_empty_file_is_told(make_source):
    assert read(make_source("list.xls", b"")) == [NotData("the file is empty")]


def test_a_workbook_of_the_oldest_kind_is_read(make_source):
    def label(row, column, words):
        return record(0x04, struct.pack("<HH3xB", row, column, len(words)) + words.encode())

    number = record(0x03, struct.pack("<HH3xd", 1, 1, 2.0))
    cells = label(0, 0, "Part") + label(0, 1, "Qty") + label(1, 0, "Lamp") + number
    source = make_source(
        "oldest.xls", record(0x09, struct.pack("<HH", 2, 0x10)) + cells + record(0x0A, b"")
    )
    assert Spreadsheets().sniff(source).strength == 0.8
    [grid] = read(source)
    assert grid.cells.rows() == [(1, "Part", "Qty"), (2, "Lamp", "2")]
