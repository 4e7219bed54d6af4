"""Sheets mangled at random: no import crashes, no line is lost, and the exit code is true."""

from __future__ import annotations

import csv
import io
import zipfile
from pathlib import Path

import openpyxl
import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from partmuster_trade import load_vocabulary
from tests.long import examples
from tests.unit.conftest import SmallClub

ROOT = Path(__file__).parents[2]
SHEETS = sorted(
    path
    for folder in ("samples/ashmere", "tests/golden/ordinary/sheets")
    for path in (ROOT / folder).iterdir()
    if path.suffix in {".csv", ".tsv", ".txt", ".xlsx"}
)
TEXTS = [path for path in SHEETS if path.suffix != ".xlsx"]
BOOKS = [path for path in SHEETS if path.suffix == ".xlsx"]
#: Words an import must never need: what failed was not foreseen.
UNFORESEEN = ("could not be understood", "the importer failed", "broke down", "given up", "GB of")
#: Most rows that are kept of a sheet, so that one import stays short.
ROWS = 25
ODD = st.one_of(
    st.text(max_size=12),
    st.sampled_from(
        ["", " ", "=1+1", "-", "?", "n/a", "#REF!", '"', "''", ";", "|", "\u202e", "\x1b[2J", "½",
         "1e999", "-5", "99999999999999999999", "31/02/2026", "0000-00-00", "LH & RH", "ditto",
         "Otter 1", "Qty", "What", "total", "é" * 300, "\ufeff", "\u2028", "٣", "１２"]
    ),
)  # fmt: skip
AT = st.integers(0, 10_000)


def flipped(data, draw):
    data = bytearray(data)
    for at, byte in draw(st.lists(st.tuples(AT, st.integers(0, 255)), min_size=1, max_size=8)):
        data[at % len(data)] = byte
    return bytes(data)


def cut(data, draw):
    return data[: draw(AT) % len(data)]


def doubled(data, draw):
    at, end = sorted(draw(AT) % len(data) for _ in range(2))
    return data[:end] + data[at:end] * draw(st.integers(1, 3)) + data[end:]


def filled_in(data, draw):
    at = draw(AT) % len(data)
    return data[:at] + draw(st.binary(max_size=40)) + data[at:]


BYTES = st.sampled_from([flipped, cut, doubled, filled_in])


def shuffled(rows, draw):
    return draw(st.permutations(rows))


def swapped(rows, draw):
    for _ in range(draw(st.integers(1, 6))):
        one, other = (rows[draw(AT) % len(rows)] for _ in range(2))
        if one and other:
            a, b = draw(AT) % len(one), draw(AT) % len(other)
            one[a], other[b] = other[b], one[a]
    return rows


def headless(rows, draw):
    return rows[draw(st.integers(1, 3)) :] or rows


def headed_twice(rows, draw):
    at = draw(AT) % len(rows)
    return [*rows[:at], list(rows[0]), *rows[at:]]


def blown_up(rows, draw):
    row = rows[draw(AT) % len(rows)]
    return [*rows, *([list(row)] * draw(st.integers(1, 60)))]


def widened(rows, draw):
    many = draw(st.integers(1, 60))
    return [[*row, *([draw(ODD)] * many)] for row in rows[:3]] + rows[3:]


def odd(rows, draw):
    for _ in range(draw(st.integers(1, 8))):
        row = rows[draw(AT) % len(rows)]
        if row:
            row[draw(AT) % len(row)] = draw(ODD)
    return rows


def gaps(rows, draw):
    at = draw(AT) % len(rows)
    return [*rows[:at], *([[]] * draw(st.integers(1, 4))), *rows[at:]]


def sideways(rows, _draw):
    width = max(map(len, rows))
    whole = [[*row, *[""] * (width - len(row))] for row in rows]
    return [list(column) for column in zip(*whole, strict=True)]


CELLS = st.lists(
    st.sampled_from(
        [shuffled, swapped, headless, headed_twice, blown_up, widened, odd, gaps, sideways]
    ),
    min_size=1, max_size=3,
)  # fmt: skip


def mangled_rows(rows, draw):
    rows = [list(row) for row in rows[:ROWS]]
    for mangle in draw(CELLS):
        rows = mangle(rows, draw) or [[""]]
    return rows


@st.composite
def mangled_text(draw):
    """Return the name and bytes of a mangled text table; separators may be mixed."""
    path = draw(st.sampled_from(TEXTS))
    data = path.read_bytes()
    if draw(st.booleans()):
        sign = "\t" if path.suffix == ".tsv" else ","
        rows = list(csv.reader(data.decode("utf-8", "replace").splitlines(), delimiter=sign))
        signs = draw(st.sampled_from([",", ";", "\t", "|", ",;", "\t,"]))
        lines = [
            signs[at % len(signs)].join(
                f'"{value}"' if draw(st.integers(0, 9)) == 0 else value for value in map(str, row)
            )
            for at, row in enumerate(mangled_rows(rows, draw))
        ]
        end = draw(st.sampled_from(["\n", "\r\n", "\r"]))
        codec = draw(st.sampled_from(["utf-8", "utf-8-sig", "utf-16", "cp1252", "utf-16-le"]))
        data = (end.join(lines) + end).encode(codec, "replace")
    if data and draw(st.integers(0, 2)) == 0:
        data = draw(BYTES)(data, draw)
    return path.suffix, data


def writable(value):
    """Return a value without what the library that makes workbooks refuses to write."""
    if not isinstance(value, str):
        return value
    return "".join(sign for sign in value if sign.isprintable())[:1000]


def book_of(rows, draw):
    book = openpyxl.Workbook()
    sheet = book.active
    for row in rows:
        sheet.append([writable(value) for value in row])
    for _ in range(draw(st.integers(0, 2))):
        row, column = draw(st.integers(1, 6)), draw(st.integers(1, 6))
        sheet.merge_cells(
            start_row=row, start_column=column, end_row=row + draw(st.integers(0, 3)),
            end_column=column + draw(st.integers(0, 3)),
        )  # fmt: skip
    if draw(st.integers(0, 5)) == 0:
        sheet.cell(draw(st.integers(1, 5000)), draw(st.integers(1, 300)), "stray")
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def mangled_part(data, draw):
    """Return a workbook with the bytes of one part mangled, and sound as a package."""
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        parts = {name: archive.read(name) for name in archive.namelist()}
    name = draw(st.sampled_from(sorted(parts)))
    parts[name] = draw(BYTES)(parts[name], draw)
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        for part, content in parts.items():
            archive.writestr(part, content)
    return out.getvalue()


@st.composite
def mangled_book(draw):
    """Return the name and bytes of a mangled workbook."""
    path = draw(st.sampled_from(BOOKS))
    data = path.read_bytes()
    how = draw(st.integers(0, 3))
    if how < 2:
        sheet = openpyxl.load_workbook(io.BytesIO(data)).worksheets[0]
        data = book_of(mangled_rows([list(row) for row in sheet.values], draw), draw)
    if how in {1, 2}:
        data = mangled_part(data, draw)
    if how == 3:
        data = draw(BYTES)(data, draw)
    return path.suffix, data


@pytest.fixture(scope="module")
def small(tmp_path_factory):
    return SmallClub(tmp_path_factory.mktemp("mangled"), load_vocabulary())


def stored(small):
    sums = small.rows(
        "SELECT s.name, s.lines_read, s.lines_loaded + s.lines_decision + s.lines_mending"
        " + s.lines_not_data, count(r.raw_number) FROM source_sum s"
        " LEFT JOIN raw_line r ON r.source_id = s.source_id AND r.source_version = s.version"
        " GROUP BY ALL"
    )
    return {name: counts for name, *counts in sums}


# What failed is to be shown, however long the sheets are that it failed with.
@pytest.mark.filterwarnings("ignore:Generating overly large repr")
@settings(
    max_examples=examples(14), deadline=None, derandomize=True, database=None,
    phases=[Phase.explicit, Phase.generate], suppress_health_check=list(HealthCheck),
)  # fmt: skip
@given(st.lists(mangled_text(), min_size=3, max_size=4), st.lists(mangled_book(), max_size=2))
def test_no_mangled_sheet_ends_an_import_or_loses_a_line(small, texts, books):
    run = len(list(small.sheets.iterdir()))
    for number, (suffix, data) in enumerate([*texts, *books]):
        small.write(f"{run}/mangled {run} {number}{suffix}", data)
    small.write(f"{run}/good {run}.csv", f"What,Qty,Whose\nDynamo,{run + 1},Bob Birch\n")
    report = small.load(small.sheets / str(run), separate=True)
    known = stored(small)
    done = []
    for file in report.files:
        assert not any(words in file.message for words in UNFORESEEN), file.message
        assert file.adds_up
        if file.name in known:
            assert known[file.name] == [file.read] * 3
        else:
            assert file.read == 0
            assert file.message
        done.append(file.name in known or file.outcome == "unchanged")
    assert report.plugin_failures == []
    assert report.failed == (not all(done)), "the exit code tells the truth"
    [good] = [file for file in report.files if file.name.startswith("good")]
    assert (good.outcome, good.loaded, good.not_data) == ("new", 1, 1)
