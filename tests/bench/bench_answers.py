"""How fast the three questions are answered in a large club, and whether the answers are right.

Right is what the facts say from which the club was made, counted here in another way than the
answers count. The club is opened anew for each of the five vehicles, so that nothing that one
question left behind serves the next vehicle; the vocabulary is loaded before.
"""

from __future__ import annotations

import tempfile
import time
from pathlib import Path
from statistics import median
from typing import TYPE_CHECKING, Any

from partmuster.answers.donors import donors
from partmuster.answers.holders import holders
from partmuster.answers.lacks import lacks
from partmuster.running.words import identifier_of
from partmuster_trade import load_vocabulary

from .answers_by_hand import (
    asked_vehicles,
    donors_by_hand,
    holders_by_hand,
    lacks_by_hand,
    other_hands,
)
from .big_club import BIG, SMALL, count_all, make_club
from .figures import Figure, measure, partmuster

if TYPE_CHECKING:
    from collections.abc import Callable

    import polars as pl
    from duckdb import DuckDBPyConnection

    from partmuster.store.club import Club

RUNS = 5
#: A handed part that many have.
PART, HAND, WORDS = "steering-lever", "left", "steering lever lh"
_PLAIN_JOIN = """
    SELECT count(*) FROM said_holding h JOIN identification i ON i.key = h.item_key
    WHERE i.role = 'part' AND i.target = ? AND i.accepted AND i.recorded_to IS NULL
      AND h.recorded_to IS NULL
"""


def run(*, small: bool) -> list[Figure]:
    """Ask a club of 1,000 vehicles and a million holdings, or a small one."""
    with tempfile.TemporaryDirectory() as name:
        started = time.perf_counter()
        club, facts = make_club(Path(name) / "club", SMALL if small else BIG)
        made = time.perf_counter() - started
        with club.reading() as con:
            size = count_all(con)
        asked = asked_vehicles(facts, RUNS)
        of_size = f"{facts.vehicles.height} vehicles and {size['holding']} holdings"
        rounds = [_ask(club, vehicle) for vehicle in asked]
        return [
            _median(rounds, "opened", "opening the club"),
            _median(rounds, "lacks", "lacks of one vehicle"),
            _median(rounds, "holders", f"holders of '{WORDS}'"),
            _median(rounds, "donors", "donors for all that one vehicle lacks"),
            Figure(f"the three together, {of_size}", median(_three(one) for one in rounds), "s",
                   0.5, baseline="one hand-written join, counting the holdings of one part",
                   baseline_value=median(one["plain"] for one in rounds), judged=not small),
            Figure("making the club", made, "s"),
            *_right(rounds, facts, asked),
            *_commands(club, asked[0]),
        ]  # fmt: skip


def _ask(club: Club, vehicle: str) -> dict[str, Any]:
    """Ask the three questions on one connection; return the times and the answers."""
    vocabulary = load_vocabulary()
    started = time.perf_counter()
    with club.reading() as con:
        opened = time.perf_counter() - started
        identify = identifier_of(con, vocabulary)
        identify("radiator")  # reads the vocabulary's names, once a program
        answered: dict[str, Any] = {"opened": opened}
        for name, ask in {
            "lacks": lambda: lacks(con, vocabulary, vehicle),
            "holders": lambda: holders(con, vocabulary, WORDS, identify),
            "donors": lambda: donors(con, vocabulary, vehicle, identify=identify),
            "plain": lambda: _plain_join(con),
        }.items():
            answered[name], answered[f"{name}_rows"] = _timed(ask)
        return answered


def _plain_join(con: DuckDBPyConnection) -> int:
    return int(con.execute(_PLAIN_JOIN, [PART]).fetchall()[0][0])


def _timed(ask: Callable[[], Any]) -> tuple[float, Any]:
    started = time.perf_counter()
    rows = ask()
    return time.perf_counter() - started, rows


def _median(rounds: list[dict[str, Any]], key: str, name: str) -> Figure:
    return Figure(name, median(one[key] for one in rounds), "s")


def _three(one: dict[str, Any]) -> float:
    return float(one["lacks"] + one["holders"] + one["donors"])


def _right(rounds: list[dict[str, Any]], facts: Any, asked: list[str]) -> list[Figure]:
    """Return how much of the answers differs from what the facts say; all should be 0."""
    lacking = donating = other = lacks_rows = donor_rows = 0
    for vehicle, one in zip(asked, rounds, strict=True):
        rows, offers = one["lacks_rows"].rows, one["donors_rows"]
        lacking += _differing(_quantities(rows), lacks_by_hand(facts, vehicle))
        donating += _differing(_candidates(offers), donors_by_hand(facts, vehicle))
        other += other_hands(facts, offers)
        lacks_rows += rows.height
        donor_rows += offers.height
    held = rounds[0]["holders_rows"].height
    return [
        Figure(f"lacks that differ from the facts, of {lacks_rows}", lacking, "rows", 0, "equal"),
        Figure("holders less those counted in the facts",
               held - holders_by_hand(facts, PART, HAND), "rows", 0, "equal"),
        Figure(f"lacks with other loose donors than the facts, of {donor_rows} donors", donating,
               "rows", 0, "equal"),
        Figure("donors of the other hand", other, "rows", 0, "equal"),
    ]  # fmt: skip


def _quantities(rows: pl.DataFrame) -> dict[tuple[Any, ...], float]:
    names = ("assembly", "part", "hand", "position", "state")
    return {tuple(row[name] for name in names): row["quantity"] for row in rows.to_dicts()}


def _candidates(offers: pl.DataFrame) -> dict[tuple[Any, ...], int]:
    """Return how many loose parts there are for each lacking item."""
    counted: dict[tuple[Any, ...], int] = {}
    names = ("part", "hand", "position", "state")
    for row in offers.select(*names, "from").iter_rows(named=True):
        item = tuple(row[name] for name in names)
        counted[item] = counted.get(item, 0) + ((row["from"] or "").startswith("loose"))
    return counted


def _differing(found: dict[tuple[Any, ...], Any], right: dict[tuple[Any, ...], Any]) -> int:
    return sum(found.get(item) != right.get(item) for item in found.keys() | right.keys())


def _commands(club: Club, vehicle: str) -> list[Figure]:
    """Return what the three take as commands, each with its own start of the program."""
    asked = {"lacks": vehicle, "holders": WORDS, "donors": vehicle}
    bare = measure(partmuster("--help")).seconds
    return [
        Figure(f"partmuster {command}", measure(
            partmuster("--club", club.folder, command, words, "--format", "csv")).seconds, "s",
            baseline="partmuster --help", baseline_value=bare)
        for command, words in asked.items()
    ]  # fmt: skip
