"""Thread and bearing tables against published values, and against what an independent package has.

The values of bd_warehouse 0.4.0 (Apache-2.0) stand here as its data files have them
(tap_hole_sizes.csv, hex_head_parameters.csv, iso_228_1.csv, the tables of ball bearings; diameters
of numbered sizes from its decode_imperial_size): the package itself needs a whole CAD kernel.
"""

from __future__ import annotations

import csv
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest

from partmuster_trade.measures import Measure
from partmuster_trade.tables import bundled_rows
from partmuster_trade.threads import all_series, all_threads, series_with, threads_of

REFERENCE = Path(__file__).parents[3] / "shared" / "reference" / "threads.csv"

UNIFIED = """#0-80 #1-64 #1-72 #2-56 #2-64 #3-48 #3-56 #4-40 #4-48 #5-40 #5-44 #6-32 #6-40 #8-32
#8-36 #10-24 #10-32 #12-24 #12-28 1/4-20 1/4-28 5/16-18 5/16-24 3/8-16 3/8-24 7/16-14 7/16-20 1/2-13
1/2-20 9/16-12 9/16-18 5/8-11 5/8-18 3/4-10 3/4-16 7/8-9 7/8-14 1-8 1-12"""
NUMBERED = {
    "#0": "0.0600", "#1": "0.0730", "#2": "0.0860", "#3": "0.0990", "#4": "0.1120",
    "#5": "0.1250", "#6": "0.1380", "#8": "0.1640", "#10": "0.1900", "#12": "0.2160",
}  # fmt: skip
METRIC = """M1.6-0.35 M1.8-0.35 M2-0.4 M2.5-0.45 M3-0.5 M3.5-0.6 M4-0.7 M5-0.8 M6-1 M7-1 M8-1.25
M10-1.5 M12-1.75 M14-2 M16-2 M18-2.5 M20-2.5 M22-2.5 M24-3 M27-3 M30-3.5"""
METRIC_FINE = """M6-0.75 M7-0.75 M8-1 M10-1.25 M10-1 M12-1.5 M12-1.25 M14-1.5 M14-1.25 M16-1.5 M18-2
M18-1.5"""
PIPE = """1/16 28 7.723;1/8 28 9.728;1/4 19 13.157;3/8 19 16.662;1/2 14 20.955;5/8 14 22.911;
3/4 14 26.441;7/8 14 30.201;1 11 33.249;1-1/8 11 37.897;1-1/4 11 41.910;1-1/2 11 47.803;
1-3/4 11 53.746;2 11 59.614;2-1/4 11 65.710;2-1/2 11 75.184;2-3/4 11 81.534;3 11 87.884"""
BEARINGS = "604 4 12 4;608 8 22 7;625 5 16 5;6000 10 26 8;6200 10 30 9;6300 10 35 11"


def rows(*series):
    return {(t.size, t.tpi): t for t in all_threads() if t.series in series}


@pytest.mark.parametrize("designation", UNIFIED.split())
def test_unified_sizes_and_pitches_of_the_package(designation):
    size, tpi = designation.split("-")
    thread = rows("UNC", "UNF")[size, Fraction(tpi)]
    major = Decimal(NUMBERED[size]) if size in NUMBERED else None
    assert thread.major_in == (major or Decimal(str(float(Fraction(size)))))


def test_no_unified_size_has_another_pitch_than_the_package():
    known = {(s, Fraction(t)) for s, t in (d.split("-") for d in UNIFIED.split())}
    small = {key for key in rows("UNC", "UNF") if "-" not in key[0] and key[0] != "2"}
    assert small == known


@pytest.mark.parametrize(
    ("series", "designations"), [("M-coarse", METRIC), ("M-fine", METRIC_FINE)]
)
def test_metric_pitches_of_the_package(series, designations):
    found = {(t.measure.value, Fraction(t.pitch_mm)) for t in all_threads() if t.series == series}
    for designation in designations.split():
        size, pitch = designation[1:].split("-")
        assert (Fraction(size), Fraction(pitch)) in found


@pytest.mark.parametrize("row", PIPE.split(";"))
def test_pipe_threads_of_the_package(row):
    size, tpi, major = row.split()
    assert rows("BSP")[size, Fraction(tpi)].major_mm == Decimal(major)


@pytest.mark.parametrize("row", BEARINGS.split(";"))
def test_bearings_of_the_package(row):
    number, *sizes = row.split()
    ours = {
        r["number"]: [r["bore"], r["outside"], r["width"]] for r in bundled_rows("bearings.csv")
    }
    assert ours[number] == sizes


def two_figures(value):
    return float(f"{value:.2g}")


@pytest.mark.parametrize("number", range(17))
def test_association_threads_follow_their_published_rule(number):
    # pitch 0.9^k mm and diameter 6 p^1.2 mm, both to two significant figures (encyclopedia
    # article on British Association threads; a supplier's page says the same)
    (thread,) = (t for t in all_threads() if t.size == f"{number}BA")
    pitch = two_figures(0.9**number)
    assert float(thread.pitch_mm) == pitch
    assert float(thread.major_mm) == two_figures(6 * pitch**1.2)


@pytest.mark.parametrize(
    ("size", "whitworth", "coarse"),
    [
        # Whitworth threading table, Chart No 1; charts citing ASME B1.1
        ("1/4", 20, 20), ("5/16", 18, 18), ("3/8", 16, 16), ("7/16", 14, 14), ("1/2", 12, 13),
        ("9/16", 12, 12), ("5/8", 11, 11), ("3/4", 10, 10), ("7/8", 9, 9), ("1", 8, 8),
    ],
)  # fmt: skip
def test_coarse_and_whitworth_share_a_pitch_but_at_half_an_inch(size, whitworth, coarse):
    measure = Measure(Fraction(size), "in")
    (british,), (american,) = threads_of("BSW", measure), threads_of("UNC", measure)
    assert (british.tpi, american.tpi) == (whitworth, coarse)
    assert (british.angle, american.angle) == (55, 60)
    assert (series_with(measure, Fraction(whitworth)) == ("BSW", "UNC")) == (size != "1/2")


def test_pitch_diameter_and_angle_of_a_row_agree_with_each_other():
    angles = {table: one.angle for one in all_series().values() for table in one.table}
    for thread in all_threads():
        assert float(thread.pitch_mm) == pytest.approx(25.4 / float(thread.tpi), rel=2e-3)
        assert float(thread.major_mm) == pytest.approx(float(thread.major_in) * 25.4, abs=2e-2)
        assert thread.angle == angles[thread.series]
        assert thread.source.startswith(("SOURCE-SEEN", "FROM-MEMORY"))


@pytest.mark.skipif(
    not REFERENCE.exists(), reason="the reference tables are not beside the project"
)
def test_the_rows_of_the_reference_are_copied_as_they_are():
    with REFERENCE.open(encoding="utf-8") as handle:
        published = list(csv.DictReader(handle))
    assert published
    ours = {(row["series"], row["size"]): row for row in bundled_rows("threads.csv")}
    for row in published:
        assert ours[row["series"], row["size"]] == row
