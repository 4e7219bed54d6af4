"""Small sheets as members keep them, and what a person reads from each, written by hand."""

import datetime as dt
import json
from pathlib import Path

import polars as pl
import pytest

from partmuster.model import Grid
from partmuster.stages.layout import lay_out
from partmuster.tables.told import told_by
from partmuster_schemas.text_lines import FIELDS, text_line_schema

FOLDER = Path(__file__).parents[1] / "golden" / "layout"
CASES = sorted(path.stem for path in FOLDER.glob("*.txt"))


def grid_of(text, sheet, title):
    rows = [
        [cell.strip() or None for cell in line.split("|")] if line.strip() else []
        for line in text.splitlines()
    ]
    width = max(len(row) for row in rows)
    data = {"row": pl.Series(range(1, len(rows) + 1), dtype=pl.Int32)}
    for at in range(width):
        cells = [row[at] if at < len(row) else None for row in rows]
        data[str(at + 1)] = pl.Series(cells, dtype=pl.String)
    return Grid(cells=pl.DataFrame(data), sheet=sheet, title=title)


def load(case):
    expected = json.loads((FOLDER / f"{case}.json").read_text("utf-8"))
    text = (FOLDER / f"{case}.txt").read_text("utf-8")
    grid = grid_of(text, expected.get("sheet"), expected.get("title"))
    answers = [
        (topic, subject, answer)
        for topic, given in expected.get("told", {}).items()
        for subject, answer in given.items()
    ]
    return expected, text, lay_out([grid], told_by(answers), name=expected.get("name", ""))


def test_there_are_cases():
    assert len(CASES) >= 20


@pytest.mark.parametrize("case", CASES)
def test_lines(case):
    expected, _, out = load(case)
    assert dict(out.lines.schema) == text_line_schema()
    shown = ["row", "column", "section", *FIELDS]
    found = [
        {name: value for name, value in row.items() if value is not None}
        for row in out.lines.select(shown).to_dicts()
    ]
    wanted = [{k: v for k, v in line.items() if k != "kind"} for line in expected["lines"]]
    assert found == wanted


@pytest.mark.parametrize("case", CASES)
def test_kind_date_and_words(case):
    expected, _, out = load(case)
    kinds = out.lines["kind"].to_list()
    if isinstance(expected["kind"], list):
        assert kinds == [line["kind"] for line in expected["lines"]]
    else:
        assert set(kinds) == {expected["kind"]}
    date = expected.get("date")
    assert set(out.lines["sheet_date"]) == {dt.date.fromisoformat(date) if date else None}
    for place, words in expected.get("words", {}).items():
        row, _, column = place.partition(":")
        chosen = out.lines.filter(pl.col("row") == int(row))
        if column:
            chosen = chosen.filter(pl.col("column") == int(column))
        assert chosen["words"].to_list() == [words]


@pytest.mark.parametrize("case", CASES)
def test_every_row_once(case):
    expected, text, out = load(case)
    filled = {at for at, line in enumerate(text.splitlines(), 1) if line.strip("| ")}
    assert set(out.raw["row"]) == filled
    assert out.raw["raw_number"].to_list() == list(range(1, out.raw.height + 1))
    assert not out.raw.select("row", "column").is_duplicated().any()
    not_data = out.raw.filter(pl.col("outcome") == "not-data")
    assert {str(row): reason.split()[0] for row, reason in
            not_data.select("row", "reason").iter_rows()} == expected["not_data"]  # fmt: skip
    lines = out.raw.filter(pl.col("outcome") == "line")
    assert set(lines["raw_number"]) == set(out.lines["raw_number"])
    origins = {(line["row"], line.get("column")) for line in expected["lines"]}
    assert set(lines.select("row", "column").rows()) == origins


@pytest.mark.parametrize("case", CASES)
def test_questions(case):
    expected, _, out = load(case)
    found = out.questions.select("topic", "subject", "lines").rows()
    assert sorted(found) == sorted(tuple(asked) for asked in expected.get("questions", []))
