"""How fast it is worked out what can serve for what is lacking, and whether it is right."""

from __future__ import annotations

import time
from collections import defaultdict
from statistics import median
from typing import TYPE_CHECKING, Any

import polars as pl

from partmuster.answers.chains import keep_fits
from partmuster.answers.sql import (
    Question,
    keep_lack_items,
    keep_vehicles,
    list_literal,
    question,
)
from partmuster.answers.vehicles import find_vehicle

from .figures import Figure
from .fits_by_networkx import Fits, Side
from .fits_club import fits_vocabulary

if TYPE_CHECKING:
    from partmuster.store.club import Club

    from .fits_club import FitsFacts

#: Of so many of what all vehicles lack the grades are checked.
CHECKED = 300
_WANTED = """
    CREATE OR REPLACE TEMP TABLE wanted AS
    SELECT row_number() OVER (ORDER BY part_id, hand, position, family, mark, phase) AS target, *
    FROM (SELECT DISTINCT part_id, hand, position, lower(family) AS family, mark, phase
          FROM kept_lack_items
          WHERE state IN ('missing', 'unserviceable', 'stand-in') AND quantity > 0)
"""
_CHAINS = """
    CREATE OR REPLACE TEMP TABLE served AS
    SELECT target, on_part, on_hand, members, grade
    FROM fit_chains(
        (SELECT list({'target': target, 'part_id': part_id, 'hand': hand, 'position': position,
                      'assembly': NULL::VARCHAR, 'family': family, 'mark': mark, 'phase': phase,
                      'numbers': NULL::VARCHAR[]}) FROM wanted),
        CAST([] AS STRUCT(part_id VARCHAR, family VARCHAR, mark VARCHAR, phase VARCHAR,
                          number VARCHAR)[]), NULL, false)
"""
Served = dict[tuple[Side, str | None], set[str]]


def closure_figures(club: Club, facts: FitsFacts, vehicles: list[str]) -> list[Figure]:
    """Return what the closure takes for what some vehicles lack, and all; and what is wrong."""
    handed = set(facts.parts.filter(pl.col("handed"))["part_id"])
    times, plain_times, wrong, checked = [], [], 0, 0
    graph, making = None, 0.0
    for vehicle in (*vehicles, None):
        with (
            club.reading() as con,
            question(con, fits_vocabulary(), None, known_now=False) as asked,
        ):
            if graph is None:
                making, graph = _timed(lambda: _graph(asked, facts))
            _want(asked, vehicle)
            started = time.perf_counter()
            keep_fits(asked)
            con.execute(_CHAINS)
            times.append(time.perf_counter() - started)
            wanted = con.execute("SELECT * FROM wanted ORDER BY hash(target)").fetchall()
            asked_of = wanted if vehicle else wanted[:CHECKED]
            seconds, right = _timed(
                lambda: {row[0]: _plain(graph, row, handed) for row in asked_of}  # noqa: B023
            )
            plain_times.append(seconds * len(wanted) / max(1, len(asked_of)))
            found = _served(asked)
            wrong += sum(found[target] != served for target, served in right.items())
            checked += len(right)
            rows = con.execute("SELECT count(*), count(DISTINCT target) FROM served").fetchall()[0]
    return [
        Figure("closure of what one vehicle lacks", median(times[:-1]), "s",
               baseline="networkx, once its graph is made",
               baseline_value=median(plain_times[:-1])),
        Figure(f"closure of what all vehicles lack, {len(wanted)} items", times[-1], "s",
               baseline=f"networkx, by the time of {CHECKED}", baseline_value=plain_times[-1]),
        Figure("making the graph of networkx", making, "s"),
        Figure(f"what serves for {rows[1]} of these", rows[0], "rows"),
        Figure(f"items served otherwise than networkx says, of {checked}", wrong, "", 0, "equal"),
    ]  # fmt: skip


def _timed(ask: Any) -> tuple[float, Any]:
    started = time.perf_counter()
    answer = ask()
    return time.perf_counter() - started, answer


def _graph(asked: Question, facts: FitsFacts) -> Fits:
    builds = asked.con.execute("SELECT family, mark, phase FROM known_builds(NULL, false)")
    return Fits(facts.statements.to_dicts(), [Side("", *row) for row in builds.fetchall()])


def _want(asked: Question, vehicle: str | None) -> None:
    """Keep what a vehicle lacks (None = all of them), each item at each build once."""
    keep_vehicles(asked)
    ids = None if vehicle is None else [find_vehicle(asked.con, vehicle, None, known_now=False)]
    keep_lack_items(asked, list_literal(ids), "NULL")
    asked.con.execute(_WANTED)


def _plain(graph: Fits, row: tuple[Any, ...], handed: set[str]) -> Served:
    """Return what serves by the plain version, for each part at each build."""
    _, part, hand, _, family, mark, phase = row
    served: Served = defaultdict(set)
    for (node, of_hand), grade in graph.serving(Side(part, family, mark, phase), hand).items():
        for side in graph.members[node]:
            if (
                side == Side(part, family, mark, phase)
                and mark
                and graph.leads_back
                and of_hand == hand
            ):  # no chain leads from what is wanted to itself
                if graph.said_of_itself:
                    served[side, of_hand if side.part in handed else None].add(graph.said_of_itself)
                continue
            served[side, of_hand if side.part in handed else None].add(grade)
    return served


def _served(asked: Question) -> dict[int, Served]:
    found: dict[int, Served] = defaultdict(lambda: defaultdict(set))
    rows = asked.con.execute(
        "SELECT target, on_part, on_hand, grade, m.family, m.mark, m.phase "
        "FROM (SELECT *, unnest(members) AS m FROM served)"
    ).fetchall()
    for target, part, hand, grade, *build in rows:
        found[target][Side(part, *build), hand].add(grade)
    return found
