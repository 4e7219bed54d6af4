"""Short sheets are typed together and long ones in blocks: nothing may depend on it."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import polars as pl
import pytest
from polars.testing import assert_frame_equal

from partmuster.host import load_plugins, source_file
from partmuster.running import typing_lines
from partmuster.running.matching import HandedParts
from partmuster.stages import normalise as stage
from partmuster.stages.layout import lay_out
from partmuster.stages.normalise import Context, normalise, normalise_several
from partmuster.stages.read import read_source

from .conftest import SmallClub

SHEETS = Path(__file__).parents[1] / "golden" / "ordinary" / "sheets"


@pytest.fixture(scope="module")
def laid_out(vocabulary):
    """Text lines and context of every fourth of the ordinary sheets."""
    import partmuster_plugins.spreadsheets as plugin

    host = load_plugins([plugin], outside=False)
    handed = HandedParts(vocabulary, "UK")
    found = []
    for number, path in enumerate(sorted(SHEETS.iterdir())[::4]):
        source = source_file(path, path.name)
        lines = lay_out(read_source(host.claim(source), source).batches, name=path.name).lines
        stated = dt.date(2026, 1, number + 1) if number % 3 else None
        context = Context(f"source{number}", dt.date(2026, 6, 1), handed, stated, "file-name", "GB")
        found.append((lines, context))
    return found


def same(one, other):
    """Assert that two results hold the same rows."""
    for name in ("faults", "doubts", "effectivity"):
        assert_frame_equal(getattr(one, name), getattr(other, name), check_row_order=False)
    # A key stands for every way of writing it; which one is shown does not matter.
    assert set(one.item_keys["item_key"]) == set(other.item_keys["item_key"])
    assert set(one.lines) == set(other.lines)
    for kind, lines in one.lines.items():
        assert_frame_equal(lines, other.lines[kind], check_row_order=False)


def test_sheets_typed_together_are_typed_as_each_alone(laid_out):
    together = normalise_several(laid_out)
    assert sum(typed.faults.height for typed in together) > 0
    for (lines, context), typed in zip(laid_out, together, strict=True):
        same(typed, normalise(lines, context))


def test_a_sheet_in_blocks_is_typed_as_in_one(laid_out, monkeypatch):
    lines, context = max(laid_out, key=lambda one: one[0].height)
    whole = normalise(lines, context)
    monkeypatch.setattr(stage, "BLOCK", 3)
    same(normalise(lines, context), whole)


def test_a_sheet_that_breaks_the_typing_stops_no_other(tmp_path, vocabulary, monkeypatch):
    def fragile(lines, context, *rest):
        if lines.filter(pl.col("words").str.contains("Breaker")).height:
            raise RuntimeError("broken")
        return normalise(lines, context, *rest)

    def several(sources):
        return [fragile(*one) for one in sources]

    monkeypatch.setattr(typing_lines, "normalise", fragile)
    monkeypatch.setattr(typing_lines, "normalise_several", several)
    (tmp_path / "good.csv").write_text("Part,Qty\nDynamo,1\n", encoding="utf-8")
    (tmp_path / "bad.csv").write_text("Part,Qty\nBreaker,1\n", encoding="utf-8")
    report = SmallClub(tmp_path, vocabulary).load(tmp_path / "good.csv",
                                                   tmp_path / "bad.csv")  # fmt: skip
    outcomes = {file.name: (file.outcome, file.loaded) for file in report.files}
    assert outcomes["good.csv"] == ("new", 1)
    assert outcomes["bad.csv"] == ("failed", 0)
    assert "RuntimeError: broken" in "".join(file.message for file in report.files)
