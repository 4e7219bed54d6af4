"""How long a month's report takes of a large club with a history, and whether its sums are right.

Right is what plain SQL counts in the tables of lines, which the report's code does not use.
"""

from __future__ import annotations

import tempfile
import time
from pathlib import Path
from typing import TYPE_CHECKING

import polars as pl

from partmuster.answers.documents.months import read_month
from partmuster.answers.documents.report import Report
from partmuster.answers.documents.view import MonthlyView
from partmuster.store.club import Club
from partmuster.store.frames import first_row
from partmuster_trade import load_vocabulary

from .big_club import Size, make_facts, say
from .figures import Figure, measure, partmuster

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

LARGE = Size(200, 100_000, 30_000, 500, 2_000, 60)
LITTLE = Size(20, 3_000, 1_500, 120, 200, 20)
MONTH, DAY, DAY_BEFORE = "2026-10", "2026-10-31", "2026-09-30"
#: What counted at the end of a day, as plain SQL has it.
_THEN = (
    "said_on <= DATE '{day}' AND recorded_from < DATE '{day}' + 1 "
    "AND (recorded_to IS NULL OR recorded_to >= DATE '{day}' + 1) "
    "AND NOT gone AND at_most IS DISTINCT FROM 0"
)


def run(*, small: bool) -> list[Figure]:
    """Report October 2026 of a club of 200 vehicles, 100,000 holdings and 36 months."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name) / "club"
        say(folder, make_facts(LITTLE if small else LARGE), load_vocabulary(), "big_club.sql",
            "report_history.sql")  # fmt: skip
        club = Club.open(folder)
        out = Path(name) / "out"
        both = measure(partmuster(
            "--club", folder, "report", "--month", MONTH, "--audience", "members",
            "--form", "workbook", "--form", "page", "--out", out,
        ))  # fmt: skip
        files = [one for one in out.iterdir() if one.is_file()]
        with club.reading() as con:
            report = Report(con, load_vocabulary(), read_month(MONTH))
            view = MonthlyView(report, "members", "Bench", "salt")
            sections, plain = _sections(view), _plain_workbook(view, Path(name))
            wrong = _wrong(con, view)
        return [
            Figure("workbook and page, as one command", both.seconds, "s", 15,
                   baseline="polars' own workbook of the holdings alone, once asked",
                   baseline_value=plain, judged=not small),
            Figure("peak memory", both.peak_megabytes, "MB", 1000, judged=not small),
            Figure("files written", len(files), "", 2, "equal"),
            Figure("their size", sum(one.stat().st_size for one in files) / 1e6, "MB"),
            *sections,
            *wrong,
        ]  # fmt: skip


def _sections(view: MonthlyView) -> list[Figure]:
    """Return how long the sections take that take longest, in the order they are asked."""
    found = []
    for section in view.sections():
        started = time.perf_counter()
        rows = view.ask(section.name).height
        found.append((time.perf_counter() - started, section.name, rows))
    slow = sorted(found, reverse=True)[:4]
    return [Figure(f"asking {name}, {rows} rows", seconds, "s") for seconds, name, rows in slow]


def _plain_workbook(view: MonthlyView, folder: Path) -> float:
    rows = view.ask("holdings")
    started = time.perf_counter()
    rows.write_excel(folder / "plain.xlsx")
    return time.perf_counter() - started


def _wrong(con: DuckDBPyConnection, view: MonthlyView) -> list[Figure]:
    """Return by how much sums of the report differ from plain counts; all should be 0."""
    figures = {
        trace.split(":", 1)[1]: value
        for trace, value in view.ask("figures").select("trace", "value").iter_rows()
    }
    then, before = (_THEN.format(day=day) for day in (DAY, DAY_BEFORE))
    held = _count(con, f"SELECT count(*) FROM said_holding WHERE {then}")
    wants = _count(
        con,
        f"SELECT count(*) FROM said_want WHERE recorded_from < DATE '{DAY}' + 1 "
        f"AND (recorded_to IS NULL OR recorded_to >= DATE '{DAY}' + 1) AND NOT closed",
    )
    more_or_fewer = _count(
        con,
        f"SELECT count(*) FROM (SELECT line_id, at_least FROM said_holding WHERE {then}) n "
        f"JOIN (SELECT line_id, at_least FROM said_holding WHERE {before}) b USING (line_id) "
        "WHERE n.at_least <> b.at_least",
    )
    moves = view.ask("moves").group_by("what").len()
    counted = dict(moves.iter_rows())
    came, went = counted.get("came in", 0), counted.get("went out", 0)
    net = held - _count(con, f"SELECT count(*) FROM said_holding WHERE {before}")
    told = view.ask("moves").filter(
        pl.col("what").is_in(["more", "fewer"])
        & pl.col("trace").str.contains(";", literal=True).not_()
    )
    return [
        Figure("lines held, off by", abs(figures["holdings:all"] - held), "", 0, "equal"),
        Figure("open wants, off by", abs(figures["wants:open"] - wants), "", 0, "equal"),
        Figure("came in less went out, off by", abs(came - went - net), "", 0, "equal"),
        Figure("more or fewer, off by", abs(told.height - more_or_fewer), "", 0, "equal"),
    ]


def _count(con: DuckDBPyConnection, sql: str) -> int:
    row = first_row(con, sql)
    assert row is not None
    return int(row[0])
