"""Charts: bars with their numbers in words, told apart without colour."""

from __future__ import annotations

import re
from xml.etree import ElementTree as ET

import polars as pl
import pytest

from partmuster_plugins.publishers import charts

from .views import column, section

SVG = "{http://www.w3.org/2000/svg}"
VEHICLES = section(
    column("vehicle"), column("low", "share"), column("high", "share"),
    title="How far each vehicle is", chart=("vehicle", "low", "high"),
)  # fmt: skip
SCARCE = section(
    column("part"), column("wanted", "number"), column("offered", "number"),
    title="The scarcest parts", chart=("part", "wanted", "offered"),
)  # fmt: skip


def frame(of, *rows):
    names = [one.name for one in of.columns]
    return pl.DataFrame(rows, schema=names, orient="row", strict=False, infer_schema_length=None)


def drawn(of, *rows):
    chart = charts.chart_of(of, frame(of, *rows))
    [picture] = charts.pictures(chart, "chart")
    return chart, ET.fromstring(picture)


def told(picture):
    """The text alternative: its name and its long description."""
    return {
        one.tag.removeprefix(SVG): one.text
        for one in picture
        if one.tag in (SVG + "title", SVG + "desc")
    }


def bars(picture, kind):
    return [one for one in picture.iter(SVG + "rect") if kind in one.get("class", "").split()]


def share(text):
    assert text.endswith("%")
    return float(text.removesuffix("%"))


def test_a_range_is_a_bar_with_a_lighter_end():
    _, picture = drawn(VEHICLES, ("Otter 7", 0.4, 0.65), ("Marten 2", 1.0, 1.0))
    sure, unsure = bars(picture, "first"), bars(picture, "unsure")
    assert [share(one.get("width")) for one in sure] == [40, 100]
    assert [(share(one.get("x")), share(one.get("width"))) for one in unsure] == [(40, 25)]
    # not by colour alone: the end is hatched and has an outline, and the numbers stand beside it
    assert all("url(#" in one.get("fill") for one in unsure)
    assert "40 % to 65 %" in ET.tostring(picture, encoding="unicode")


def test_the_text_alternative_carries_the_numbers():
    _, picture = drawn(
        VEHICLES, ("Otter 7", 0.4, 0.65), ("Marten 2", 1.0, 1.0), ("Fox", None, None)
    )
    assert picture.get("role") == "img"
    ids = picture.get("aria-labelledby").split()
    assert ids == [one.get("id") for one in picture if one.tag in (SVG + "title", SVG + "desc")]
    words = told(picture)
    assert words["title"] == "How far each vehicle is"
    assert "Otter 7: 40 % to 65 %." in words["desc"]
    assert "Marten 2: 100 %." in words["desc"]
    assert "Fox: not known." in words["desc"]


def test_several_numbers_are_bars_of_different_make_with_a_legend():
    chart, picture = drawn(SCARCE, ("Track guard", 6.0, 1.0), ("Hub cap", 3.0, None))
    assert [one.heading for one in chart.series] == ["wanted", "offered"]
    assert [share(one.get("width")) for one in bars(picture, "first")] == [100, 50]
    [second] = bars(picture, "second")
    assert share(second.get("width")) == pytest.approx(100 / 6, abs=0.01)
    assert "url(#" in second.get("fill")
    assert told(picture)["desc"].endswith(
        "Track guard: wanted 6, offered 1. Hub cap: wanted 3, offered not known."
    )


def test_two_numbers_that_happen_to_rise_are_no_range():
    chart, _ = drawn(SCARCE, ("Track guard", 1.0, 6.0))
    assert not chart.is_range


def test_bars_below_nothing_start_where_nothing_is():
    one = section(column("part"), column("change", "number"), chart=("part", "change"))
    _, picture = drawn(one, ("up", 3.0), ("down", -1.0))
    up, down = bars(picture, "first")
    assert (share(up.get("x")), share(up.get("width"))) == (25, 75)
    assert (share(down.get("x")), share(down.get("width"))) == (0, 25)


def test_only_so_many_bars_are_drawn_and_the_chart_says_so():
    rows = [(f"Otter {n}", 0.1, 0.2) for n in range(charts.MOST_BARS + 9)]
    chart = charts.chart_of(VEHICLES, frame(VEHICLES, *rows))
    first, second = (ET.fromstring(one) for one in charts.pictures(chart, "chart"))
    drawn_bars = bars(first, "first") + bars(second, "first")
    assert len(drawn_bars) == charts.MOST_BARS
    assert told(second)["title"] == "How far each vehicle is, continued"
    assert f"Otter {charts.MOST_BARS - 1}: 10 % to 20 %." in told(second)["desc"]
    assert not {one.get("id") for one in first.iter() if one.get("id")} & {
        one.get("id") for one in second.iter()
    }
    assert chart.note == f"The first {charts.MOST_BARS} of {len(rows)}."
    assert chart.note in told(first)["desc"]


def test_no_chart_without_a_number_to_draw():
    assert charts.chart_of(section(column("part")), pl.DataFrame({"part": ["a"]})) is None
    assert charts.chart_of(VEHICLES, frame(VEHICLES).clear()) is None
    assert charts.chart_of(VEHICLES, frame(VEHICLES, ("Fox", None, None))) is None


def test_any_words_are_safe_in_a_chart():
    nasty = '</svg><script>alert("x")</script>\x00 & ' + "long " * 40
    _, picture = drawn(VEHICLES, (nasty, 0.5, 0.6), (None, 0.1, 0.1))
    assert not list(picture.iter(SVG + "script"))
    labels = [one.text for one in picture.iter(SVG + "text") if one.get("class") == "label"]
    assert len(labels[0]) <= charts.LONGEST_LABEL
    assert labels[0].endswith("…")
    assert labels[1] == "(no name)"
    # what is cut in the picture stands whole in its text
    assert "</svg><script>" in told(picture)["desc"]
    assert "long long" in told(picture)["desc"]


def test_ids_begin_with_what_they_are_given():
    _, picture = drawn(VEHICLES, ("Fox", 0.1, 0.2))
    ids = [one.get("id") for one in picture.iter() if one.get("id")]
    assert len(ids) == len(set(ids))
    assert all(one.startswith("chart-1") for one in ids)
    refers = re.findall(r"url\(#([^)]+)\)", ET.tostring(picture, encoding="unicode"))
    assert set(refers) <= set(ids)
