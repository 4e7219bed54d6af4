"""Part, casting, drawing and stock numbers."""

from __future__ import annotations

import pytest

from partmuster.reading.numbers import (
    collated_number,
    normal_number,
    numbers_in,
    read_part_number,
    read_stock_number,
)

READ = {
    "B-704-9": ("B7049", "unknown"),
    "4H.5274": ("4H5274", "unknown"),
    "EB700/3": ("EB7003", "unknown"),
    "79807": ("79807", "unknown"),
    "79807.0": ("79807", "unknown"),
    "ab 1234": ("AB1234", "unknown"),
    "P/N 12345": ("12345", "part"),
    "PN:12345-1": ("123451", "part"),
    "Pt No 12345": ("12345", "part"),
    "Pt. No. AB/123": ("AB123", "part"),
    "Part no. 12345": ("12345", "part"),
    "part number: 12345": ("12345", "part"),
    "part 12345": ("12345", "part"),
    "no. 12345": ("12345", "unknown"),
    "Part #12345": ("12345", "part"),
    "cast 51-2233": ("512233", "casting"),
    "Casting no. 512233": ("512233", "casting"),
    "drg 4471": ("4471", "drawing"),
    "Drg. No. D 4471": ("D4471", "drawing"),
    "maker's no. 88/1": ("881", "maker"),
    "NSN 2530-99-812-3456": ("2530998123456", "stock"),
    "2530-99-812-3456": ("2530998123456", "stock"),
    "FSN 2530-812-3456": ("25308123456", "stock"),
    "12345/LH": ("12345LH", "unknown"),
}


@pytest.mark.parametrize(("text", "expected"), READ.items())
def test_read(text, expected):
    got = read_part_number(text)
    assert (got.normal, got.kind) == expected
    assert got.problem is None
    assert got.as_written == text


def test_heading_gives_the_kind():
    assert read_part_number("12345", "part").kind == "part"
    assert read_part_number("cast 12345", "part").kind == "casting"


@pytest.mark.parametrize(
    "text",
    ["", "n/a", "N/A", "none", "tbc", "-", "--", "?", "unknown", "not known", "no number",
     "unstamped", "P/N ?", "part no: none", "xxx"],
)  # fmt: skip
def test_placeholder_is_no_number(text):
    got = read_part_number(text)
    assert (got.normal, got.problem) == (None, None)


@pytest.mark.parametrize(
    ("text", "problem"),
    [
        ("bracket", "not-a-number"),
        ("Mk 2", "not-a-number"),
        ("1/2 BSF", "not-a-number"),
        ("12345 LH", "words-in-number"),
        ("illegible", "illegible"),
        ("12345?", "unsure-number"),
        ("123?5", "unsure-number"),
        ("12_45", "unsure-number"),
        ("12345 / 67890", "several-numbers"),
        ("12345 or 67890", "several-numbers"),
        ("12345, 67890", "several-numbers"),
        ("1.23457E+11", "spreadsheet-damage"),
        ("2024-03-01 00:00:00", "spreadsheet-damage"),
        ("Mar-12", "spreadsheet-damage"),
        ("#N/A", "spreadsheet-damage"),
        ("see 12345", "words-in-number"),
        ("12345 bracket", "words-in-number"),
        ("superseded by 12345", "words-in-number"),
        ("1" * 60, "not-a-number"),
        ("5855-00-VIE-WER", "not-a-stock-number"),
        ("NSN 7195-DS-MIS-CFUR", "not-a-stock-number"),
    ],
)
def test_problem(text, problem):
    got = read_part_number(text)
    assert (got.normal, got.problem) == (None, problem)


def test_normal_and_collated():
    assert normal_number(" b-704.9/a ") == "B7049A"
    assert collated_number("IO-1O") == "1010"
    assert normal_number("IO-1O") == "IO1O"


@pytest.mark.parametrize(
    ("text", "form", "supply_class", "country", "item", "valid"),
    [
        ("1005-00-073-9421", "nsn", "1005", "00", "0739421", True),
        ("2530 99 812 3456", "nsn", "2530", "99", "8123456", True),
        ("NSN: 2530998123456", "nsn", "2530", "99", "8123456", True),
        ("1005-073-9421", "fsn", "1005", None, "0739421", True),
        ("00-073-9421", "niin", None, "00", "0739421", True),
        ("NIIN 000739421", "niin", None, "00", "0739421", True),
        ("5855-00-VIE-WER", "none", "5855", None, None, False),
        ("7195-DS-MIS-CFUR", "none", "7195", None, None, False),
        ("1385-01-C01-9248", "none", "1385", "01", None, False),
        ("NSN 2530-99-8123", "none", "2530", "99", None, False),
        ("0005-00-073-9421", "none", None, None, None, False),
    ],
)
def test_stock_number(text, form, supply_class, country, item, valid):
    got = read_stock_number(text)
    assert got is not None
    assert (got.form, got.supply_class, got.country_code, got.item_number, got.valid) == (
        form, supply_class, country, item, valid,
    )  # fmt: skip
    assert (got.problem is None) == valid


@pytest.mark.parametrize("text", ["", "B-704-9", "79807", "123456789", "2024-03-01", "mudguard"])
def test_no_stock_number(text):
    assert read_stock_number(text) is None


@pytest.mark.parametrize(
    ("text", "numbers"),
    [
        ("Mudguard front LH, P/N 12345, cast 512233", (("12345", "part"), ("512233", "casting"))),
        ("bracket 4H.5274 for Mk 2", (("4H5274", "unknown"),)),
        ("ROD B-704-91", (("B70491", "unknown"),)),
        ("lamp NSN 2530-99-812-3456 boxed", (("2530998123456", "stock"),)),
        ('bolt 3/8 x 1 1/2" UNF, 24v, M10, 10mm, 1944', ()),
        ("seen 14.02.2026 and 2026-02-14", ()),
        ("ring 01632 960123", ()),
        ("engine no 123456 hull no. 1001234", ()),
        ("member7891@example.org", ()),
        ("Part No: AB 1234", (("AB1234", "part"),)),
        ("tyre 9.00-16", ()),
        ("rod 12345-16", (("1234516", "unknown"),)),
        ("", ()),
    ],
)
def test_numbers_in(text, numbers):
    assert tuple((n.normal, n.kind) for n in numbers_in(text)) == numbers
