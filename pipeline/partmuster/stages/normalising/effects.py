"""Which builds and serials a line is for, as clauses and intervals."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import polars as pl

from partmuster.reading.builds import read_effectivity

if TYPE_CHECKING:
    from .columns import Findings


def read_effects(
    frame: pl.DataFrame, columns: tuple[str, str], findings: Findings, *, needed: bool
) -> tuple[pl.DataFrame, pl.DataFrame]:
    """Read which builds and serials a line is for.

    For a parts list, words that cannot be read are a fault: read as "all" they would claim too
    much. For a holding they only leave its build unknown.
    """
    text = pl.coalesce(*columns)
    frame = frame.with_columns(text.alias("effectivity_text"))
    rows: list[dict[str, Any]] = []
    problems: dict[str, str] = {}
    every: set[str] = set()
    doubts: dict[str, str] = {}
    for words in frame.get_column("effectivity_text").drop_nulls().unique().to_list():
        reading = read_effectivity(words)
        if reading.problem:
            problems[words] = reading.problem
            continue
        if reading.all:
            every.add(words)
        if reading.doubt:
            doubts[words] = reading.doubt
        rows += [
            {"effectivity_text": words, "assembly": _id(c.assembly), "mark": c.mark,
             "phase": c.phase, "reach": c.reach, "is_interval": False}
            for c in reading.clauses
        ]  # fmt: skip
        rows += [
            {"effectivity_text": words, "series": _id(i.series), "first_serial": i.first,
             "last_serial": i.last, "is_interval": True}
            for i in reading.intervals
        ]  # fmt: skip
    if needed:
        findings.fault(
            frame.filter(pl.col("effectivity_text").is_in(list(problems))), "effectivity_text",
            "effectivity-not-read", "it cannot be told which builds or serials this is for",
            "write it as 'Mk 1', 'Mk 2 late', 'hull nos 1001-1450' or 'all'",
        )  # fmt: skip
        asked = frame.filter(pl.col("effectivity_text").is_in(list(doubts)))
        findings.doubt(asked, pl.col("effectivity_text").replace(doubts))
    schema = {
        "effectivity_text": pl.String, "assembly": pl.String, "mark": pl.String,
        "phase": pl.String, "reach": pl.String, "series": pl.String, "first_serial": pl.Int64,
        "last_serial": pl.Int64, "is_interval": pl.Boolean,
    }  # fmt: skip
    clauses = pl.DataFrame(rows, schema=schema)
    # A mark or a phase in columns of its own is a clause too.
    own = frame.filter(
        pl.col("effectivity_text").is_null()
        & (pl.col("mark").is_not_null() | pl.col("phase").is_not_null())
    )
    own_clauses = own.select(
        "raw_number", pl.lit(None, dtype=pl.String).alias("assembly"), "mark", "phase",
        pl.lit(None, dtype=pl.String).alias("reach"),
        pl.lit(None, dtype=pl.String).alias("series"),
        pl.lit(None, dtype=pl.Int64).alias("first_serial"),
        pl.lit(None, dtype=pl.Int64).alias("last_serial"),
        pl.lit(value=False).alias("is_interval"),
    )  # fmt: skip
    joined = frame.select("raw_number", "effectivity_text").join(
        clauses, on="effectivity_text", how="inner"
    )
    effects = pl.concat([joined.drop("effectivity_text"), own_clauses.select(
        joined.drop("effectivity_text").columns
    )]).unique(maintain_order=True)  # fmt: skip
    blank = pl.col("effectivity_text").is_null() & pl.col("mark").is_null() & pl.col(
        "phase"
    ).is_null()  # fmt: skip
    stated_all = pl.col("effectivity_text").is_in(list(every))
    all_builds = (stated_all | blank) if needed else stated_all
    return frame.with_columns(all_builds.fill_null(value=needed).alias("all_builds")), effects


def _id(words: str | None) -> str | None:
    from partmuster_trade import assemblies  # noqa: PLC0415 - its tables are read on first use

    return None if not words else assemblies.assembly_id(words) or words.lower()
