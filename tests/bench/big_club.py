"""A large club from a fixed seed: its facts as frames, and a club folder that says them as lines.

The facts are what a bench checks answers against; nothing of the answers' code makes or reads them.
Two invented families, hybrids, hulks, members who keep most of what they have, and descriptions of
which some are unsure or not known. Everything is drawn by hashing row numbers, so that a size
always gives the same club.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, fields
from pathlib import Path
from typing import TYPE_CHECKING

import polars as pl

from partmuster.store.club import Club
from partmuster.store.frames import stage
from partmuster.store.vocabulary_tables import store_vocabulary
from partmuster_trade import load_vocabulary

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

    from partmuster_trade.vocabulary import Vocabulary

FAMILIES = ("Otter", "Bramble")
MARKS = ("Mk 1", "Mk 2", "Mk 3", "Mk 4")
SEEN, SEEN_BEFORE = dt.date(2026, 5, 9), dt.date(2025, 6, 14)
_SQL = Path(__file__).parent


@dataclass(frozen=True, slots=True)
class Size:
    """How much of everything there is."""

    vehicles: int
    holdings: int
    keys: int
    parts_of_family: int
    fits: int
    members: int
    families: tuple[str, ...] = FAMILIES


BIG = Size(1_000, 1_000_000, 300_000, 500, 2_000, 200)
SMALL = Size(40, 6_000, 3_000, 120, 200, 20)


@dataclass(frozen=True, slots=True)
class Facts:
    """What is true of the club, a row a thing; see the functions that make the frames."""

    parts: pl.DataFrame
    members: pl.DataFrame
    vehicles: pl.DataFrame
    requirements: pl.DataFrame
    surveys: pl.DataFrame
    keys: pl.DataFrame
    holdings: pl.DataFrame
    fits: pl.DataFrame


def make_club(folder: Path, size: Size) -> tuple[Club, Facts]:
    """Make the club in a new folder; return it and the facts it was made from."""
    facts = make_facts(size)
    return say(folder, facts, load_vocabulary(), "big_club.sql"), facts


def say(folder: Path, facts: Facts, vocabulary: Vocabulary, *saying: str) -> Club:
    """Return a new club that says the facts as lines, as these files of SQL put them."""
    club = Club.open(folder, create=True)
    with club.writing() as con:
        store_vocabulary(con, vocabulary)
        for one in fields(facts):
            stage(con, f"fact_{one.name}", getattr(facts, one.name))
        for name in (*saying, "standing.sql"):
            con.execute((_SQL / name).read_text(encoding="utf-8"))
    return club


def make_facts(size: Size) -> Facts:
    """Return the facts of a club of this size."""
    parts = parts_of(load_vocabulary())
    vehicles = vehicles_of(size)
    requirements = _requirements(size, parts)
    keys = keys_of(size, parts)
    return Facts(
        parts, members_of(size), vehicles, requirements, _surveys(vehicles, requirements), keys,
        holdings_of(size, keys), fits_of(size, parts),
    )  # fmt: skip


def drawn(salt: int, of: pl.Expr | None = None) -> pl.Expr:
    """Return a number for each row (or each value of ``of``) that looks drawn by lot."""
    return (pl.int_range(pl.len()) if of is None else of).hash(seed=salt)


def one_of(values: tuple[str | None, ...], salt: int, of: pl.Expr | None = None) -> pl.Expr:
    """Return one of the values for each row; a value that stands twice is twice as likely."""
    index = (drawn(salt, of) % len(values)).cast(pl.Int32)
    return pl.lit(pl.Series(values, dtype=pl.String)).implode().list.get(index)


def share(percent: int, salt: int, of: pl.Expr | None = None) -> pl.Expr:
    """Return true for about so many of a hundred rows."""
    return drawn(salt, of) % 100 < percent


def parts_of(vocabulary: Vocabulary) -> pl.DataFrame:
    """Return the vocabulary's parts: part_id, assembly, handed, positions, needed_for, name."""
    return pl.DataFrame(
        [
            {
                "part_id": part.part_id, "assembly": part.assembly, "name": part.name,
                "handed": part.handed == "handed", "positions": list(part.positions),
                "needed_for": list(part.needed_for), "identity": part.identity_bearing,
            }
            for part in vocabulary.parts
            if part.replaced_by is None
        ],
        schema_overrides={"positions": pl.List(pl.String), "needed_for": pl.List(pl.String)},
    ).with_row_index("part")  # fmt: skip


def members_of(size: Size) -> pl.DataFrame:
    """Return members: number, name, the place where they keep things, its latitude, longitude."""
    return pl.DataFrame({"number": range(size.members)}).with_columns(
        name=pl.format("Member {}", "number"), place=pl.format("Barn {}", "number"),
        latitude=51 + drawn(81) % 3000 / 1000, longitude=drawn(82) % 4000 / 1000 - 4,
    )  # fmt: skip


def vehicles_of(size: Size) -> pl.DataFrame:
    """Return vehicles: number, name, family, mark, engine_mark (or none), role, aim, keeper, place.

    Vehicles that are taken apart, and a third of the hulks, have no aim; neither has one in ten of
    the others.
    """
    roles = ("kept-whole",) * 4 + ("under-restoration",) * 9 + ("hulk",) * 4 + (
        "breaking", "on-loan", None,
    )  # fmt: skip
    aims = ("static-display",) * 3 + ("runner",) * 4 + ("full-original",) * 2 + (None,)
    return (
        pl.DataFrame({"number": range(1, size.vehicles + 1)})
        .with_columns(
            family=one_of(size.families, 1), mark=one_of(MARKS, 2), role=one_of(roles, 3),
            aim=one_of(aims, 4), keeper=drawn(5) % size.members, place=drawn(6) % size.members,
            engine_mark=pl.when(share(33, 7)).then(one_of(MARKS, 8)),
            phase=pl.lit(None, pl.String),
        )
        .with_columns(
            name=pl.format("{} {}", "family", "number"),
            aim=pl.when((pl.col("role") != "breaking").fill_null(value=True)).then("aim"),
        )
    )  # fmt: skip


def items_of(parts: pl.DataFrame) -> pl.DataFrame:
    """Return every item of parts: a row for each hand and each position."""
    return (
        parts.with_columns(
            hand=pl.when("handed").then(pl.lit(["left", "right"])).otherwise(pl.lit([None])),
            position=pl.when(pl.col("positions").list.len() > 0).then("positions")
            .otherwise(pl.lit([None])),
        )
        .explode("hand").explode("position")
        .select("part", "part_id", "assembly", "needed_for", "hand", "position")
    )  # fmt: skip


def _requirements(size: Size, parts: pl.DataFrame) -> pl.DataFrame:
    """Return requirement lines: number, list, family, item, marks (none: all builds), quantity.

    List "old" is older than list "new" and differs from it now and then. Of one item in four
    the early and the late marks need different numbers; one in ten is needed by one mark only.
    """
    first = pl.concat(
        items_of(parts.filter(~pl.col("identity")).sort(drawn(20 + n, pl.col("part")))
               .head(size.parts_of_family)).with_columns(family=pl.lit(family))
        for n, family in enumerate(FAMILIES)
    ).with_columns(
        kind=drawn(10) % 20, quantity=drawn(11) % 6 // 2 + 1, mark=one_of(MARKS, 12)
    )  # fmt: skip
    lines = pl.concat(
        [
            first.filter(pl.col("kind") >= 7).with_columns(marks=pl.lit(None, pl.List(pl.String))),
            first.filter(pl.col("kind") < 5).with_columns(marks=pl.lit(list(MARKS[:2]))),
            first.filter(pl.col("kind") < 5).with_columns(
                marks=pl.lit(list(MARKS[2:])), quantity=pl.col("quantity") + 1
            ),
            first.filter(pl.col("kind").is_between(5, 6)).with_columns(
                marks=pl.concat_list("mark")
            ),
        ]
    ).drop("kind", "mark")
    old = lines.filter(share(30, 13)).with_columns(
        list=pl.lit("old"), quantity=pl.col("quantity") + share(20, 14).cast(pl.UInt64)
    )
    return (
        pl.concat([lines.with_columns(list=pl.lit("new")), old], how="diagonal")
        .with_columns(
            quantity=pl.col("quantity").cast(pl.Float64),
            part_number=pl.when(share(60, 15)).then(number_of(drawn(16) % 4)),
            phase=pl.lit(None, pl.String),
        )
        .with_row_index("number", offset=1)
    )


def number_of(issue: pl.Expr) -> pl.Expr:
    """Return a part number of an item; each has several issues."""
    hand = pl.col("hand").fill_null("")
    return pl.format(
        "ZK{}{}{}", pl.col("part") + 1000, hand.str.slice(0, 1).str.to_uppercase(), issue
    )


def _surveys(vehicles: pl.DataFrame, requirements: pl.DataFrame) -> pl.DataFrame:
    """Return survey lines: number, vehicle, item, presence, service, quantity (none: all), seen_on.

    About three in five of a family's items are looked at on each vehicle; one in eight was
    seen fitted a year before as well.
    """
    presences = ("fitted",) * 16 + ("missing",) * 2 + ("stand-in", "off-and-kept")
    items = requirements.select("family", "part", "part_id", "hand", "position").unique(
        maintain_order=True
    )
    seen = (
        vehicles.select("family", vehicle="number")
        .join(items, on="family", maintain_order="left_right")
        .filter(share(60, 31))
        .with_columns(presence=one_of(presences, 32), seen_on=pl.lit(SEEN))
        .with_columns(
            service=pl.when((pl.col("presence") == "fitted") & share(4, 33))
            .then(pl.lit("unserviceable")).otherwise(pl.lit("unknown")),
            quantity=pl.when((pl.col("presence") == "fitted") & share(10, 34)).then(1.0),
        )
    )  # fmt: skip
    before = seen.filter(share(12, 35)).with_columns(
        presence=pl.lit("fitted"), service=pl.lit("unknown"), quantity=pl.lit(None, pl.Float64),
        seen_on=pl.lit(SEEN_BEFORE),
    )  # fmt: skip
    return pl.concat([seen, before]).with_row_index("number", offset=1)


def keys_of(size: Size, parts: pl.DataFrame) -> pl.DataFrame:
    """Return ways in which items are described: key, item, accepted, probability, part_number.

    Of a hundred, 88 are accepted as a part, 7 are a probable one, and 5 are not known. One in
    five of a part that has hands names none.
    """
    told = (
        pl.DataFrame({"key": range(1, size.keys + 1)})
        .with_columns(
            part=(drawn(41) % parts.height).cast(pl.UInt32), lot=drawn(42) % 100,
            hand=one_of(("left", "left", "right", "right", None), 43),
            place=drawn(44),
        )
        .join(parts, on="part", maintain_order="left")
    )  # fmt: skip
    return (
        told.with_columns(
            hand=pl.when("handed").then("hand"),
            position=pl.when(pl.col("positions").list.len() > 0).then(
                pl.col("positions").list.get(
                    pl.col("place") % pl.col("positions").list.len() + pl.col("place") // 7 % 2,
                    null_on_oob=True,
                )
            ),
            accepted=pl.col("lot") < 88,
            probability=pl.when(pl.col("lot") < 88).then(1.0).when(pl.col("lot") < 95).then(0.6),
        )
        .with_columns(part_number=pl.when(share(30, 45)).then(number_of(drawn(46) % 8)))
        .select("key", "part", "part_id", "name", "hand", "position", "accepted", "probability",
                "part_number")
    )  # fmt: skip


def holdings_of(size: Size, keys: pl.DataFrame) -> pl.DataFrame:
    """Return holdings: number, key, member, family, mark, quantity, availability, grade, gone."""
    availability = ("kept",) * 10 + ("unknown",) * 5 + ("offered",) * 3 + ("swap", "promised")
    grades = ("good", "fair", "fair", "poor", "unknown", "unknown", "new-old-stock", "scrap")
    return pl.DataFrame({"number": range(1, size.holdings + 1)}).with_columns(
        key=(drawn(51) % keys.height + 1).cast(pl.Int64), member=drawn(52) % size.members,
        family=pl.when(share(50, 53)).then(one_of(size.families, 54)), quantity=drawn(55) % 5 + 0.0,
        availability=one_of(availability, 56), grade=one_of(grades, 57), gone=share(2, 58),
        unserviceable=share(6, 59), earlier=share(10, 60),
    ).with_columns(mark=pl.when(pl.col("family").is_not_null() & share(60, 61))
                   .then(one_of(MARKS, 62)))  # fmt: skip


def fits_of(size: Size, parts: pl.DataFrame) -> pl.DataFrame:
    """Return statements that a part of one mark goes on another, or never does."""
    grades = ("as-is", "as-is", "one-way", "with-work", "never")
    return pl.DataFrame({"number": range(1, size.fits + 1)}).with_columns(
        part=(drawn(71) % parts.height).cast(pl.UInt32), family=one_of(size.families, 72),
        mark=one_of(MARKS, 73), to_mark=one_of(MARKS, 74), grade=one_of(grades, 75),
    ).join(parts.select("part", "part_id"), on="part", maintain_order="left")  # fmt: skip


def count_all(con: DuckDBPyConnection) -> dict[str, int]:
    """Return how many lines of each kind the club has now, and how many ways of describing."""
    tables = ("vehicle", "requirement", "survey", "holding", "fit", "item_key")
    rows = [con.execute(f"SELECT count(*) FROM {table}").fetchall()[0] for table in tables]
    return {table: number for table, (number,) in zip(tables, rows, strict=True)}
