"""A club as it stood at the end of a day: the frames that a report compares."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import polars as pl

from partmuster.answers.donors import keep_candidates, looked_for
from partmuster.answers.lacks import lacks
from partmuster.answers.sql import (
    keep_lack_items,
    keep_loose_parts,
    keep_readings,
    keep_vehicles,
    list_literal,
    question,
    when,
)
from partmuster.store.frames import first_row

if TYPE_CHECKING:
    import datetime as dt

    from duckdb import DuckDBPyConnection

    from partmuster_trade.vocabulary import Vocabulary

#: Offers that go on the vehicle; what nobody has said goes, or never goes, closes no lack.
GOES: Final = ("as-is", "one-way", "with-work", "only-as-a-set")
#: So many offers are shown of each lack.
BEST: Final = 3


@dataclass(frozen=True, slots=True)
class Moment:
    """What the club held, wanted and lacked at the end of ``day``; see the macros of the names.

    ``held``: ``held_as_of``; ``gone``: ids of lines; ``wants``: ``wants_as_of``; ``vehicles``:
    ``vehicles_as_of``; ``lacks`` and ``completeness``: the answers; ``members``:
    ``members_as_of``; ``sources``: the newest versions; ``waiting``: ``waiting_as_of``.
    """

    day: dt.date
    held: pl.DataFrame
    gone: frozenset[str]
    wants: pl.DataFrame
    vehicles: pl.DataFrame
    lacks: pl.DataFrame
    completeness: pl.DataFrame
    members: pl.DataFrame
    sources: pl.DataFrame
    waiting: pl.DataFrame


@dataclass(frozen=True, slots=True)
class Supply:
    """What could close lacks: ``best`` offers as ``offers_for`` gives them, and sums by item.

    ``sums``: part, hand, position, vehicles, wanted, offered and to_ask (pieces), lines.
    ``by_lack``: vehicle, part, hand, position, state, offers (how many go on and are offered).
    """

    best: pl.DataFrame
    sums: pl.DataFrame
    by_lack: pl.DataFrame


def known_by(con: DuckDBPyConnection, day: dt.date, known_now: bool) -> bool:
    """Return whether anything was known of the club at the end of a day."""
    row = first_row(con, f"SELECT known FROM anything_known({when(day, known_now)})")  # noqa: S608  (a date and a truth value)
    return bool(row and row[0])


def moment(
    con: DuckDBPyConnection, vocabulary: Vocabulary, day: dt.date, known_now: bool
) -> Moment:
    """Return the club as it stood at the end of a day."""
    both = lacks(con, vocabulary, as_of=day, known_now=known_now)
    with question(con, vocabulary, day, known_now) as asked:
        keep_vehicles(asked)
        keep_readings(asked, "NULL")
        keep_loose_parts(asked, "NULL")
        frames = {
            name: asked.rows(f"SELECT * FROM {macro}({asked.moment}){order}")  # noqa: S608  (own names)
            for name, macro, order in (
                ("held", "held_as_of", ""),
                ("gone", "gone_as_of", ""),
                ("wants", "wants_as_of", ""),
                ("vehicles", "vehicles_as_of", " ORDER BY vehicle, vehicle_id"),
                ("members", "members_as_of", ""),
                ("sources", "sources_as_of", ""),
                ("waiting", "waiting_as_of", ""),
            )
        }
    frames["sources"] = frames["sources"].select("newest").unnest("newest").sort("name")
    gone = frozenset(frames.pop("gone").get_column("line_id"))
    return Moment(day, gone=gone, lacks=both.rows, completeness=both.completeness, **frames)


def supply(
    con: DuckDBPyConnection, vocabulary: Vocabulary, day: dt.date, known_now: bool
) -> Supply:
    """Return what could close the lacks of the vehicles that parts are looked for.

    ``sums`` counts each holding once for an item, on however many vehicles it would go.
    """
    with question(con, vocabulary, day, known_now) as asked:
        keep_vehicles(asked)
        vehicles = list_literal(looked_for(con))
        keep_lack_items(asked, vehicles, "NULL")
        candidates = keep_candidates(asked, "NULL")
        goes = list_literal(GOES)
        con.execute(
            "CREATE OR REPLACE TEMP TABLE report_offers AS "  # noqa: S608  (literals)
            f"SELECT * FROM offers_for({vehicles}, NULL, {candidates}, {asked.moment}, false, "
            f"closing := true) "
            f"WHERE rank IS NULL OR (list_contains({goes}, fit) AND standing <> 'not offered')"
        )
        best = asked.rows(
            "SELECT * FROM report_offers WHERE standing = 'offered' "  # noqa: S608  (a number)
            f"QUALIFY row_number() OVER (PARTITION BY lack ORDER BY rank) <= {BEST} "
            "ORDER BY lack, rank"
        )
        by_lack = asked.rows(
            "SELECT vehicle, part, hand, position, state, "
            "count(*) FILTER (standing = 'offered') AS offers "
            "FROM report_offers GROUP BY ALL ORDER BY ALL"
        )
        wanted = asked.rows(
            "SELECT part_id AS part, hand, position, count(DISTINCT vehicle_id) AS vehicles, "  # noqa: S608  (literals)
            "sum(quantity) AS wanted, string_agg(DISTINCT vehicle, ';' ORDER BY vehicle) AS names, "
            "string_agg(DISTINCT trim(array_to_string(list_concat(coalesce(lines, []), "
            "coalesce(survey_lines, [])), ';'), ';'), ';') AS lines "
            f"FROM looked_for({vehicles}, NULL, {asked.moment}) GROUP BY ALL ORDER BY ALL"
        )
        pieces = asked.rows(
            "SELECT part, hand, position, "
            "coalesce(sum(pieces) FILTER (offered), 0)::DOUBLE AS offered, "
            "coalesce(sum(pieces) FILTER (NOT offered), 0)::DOUBLE AS to_ask, "
            "string_agg(offered_lines, ';' ORDER BY offered_lines) AS offer_lines "
            "FROM (SELECT part, hand, position, offered_lines, bool_or(standing = 'offered') "
            "      AS offered, max(greatest(1, coalesce(at_least, 1))) AS pieces "
            "      FROM report_offers WHERE rank IS NOT NULL GROUP BY ALL) "
            "GROUP BY ALL ORDER BY ALL"
        )
    item = ["part", "hand", "position"]
    sums = wanted.join(pieces, on=item, how="left", nulls_equal=True, maintain_order="left")
    return Supply(best, sums.with_columns(pl.col("offered", "to_ask").fill_null(0.0)), by_lack)
