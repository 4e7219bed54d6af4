"""Which builds and serials a line is for, as clauses and intervals."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import polars as pl

from partmuster.reading.builds import read_effectivity
from partmuster.reading.builds_in_remarks import LIKELY, read_builds_in_remark

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
    frame = frame.with_columns(
        text.alias("effectivity_text"), pl.lit(value=False).alias("_builds_asked")
    )
    if needed:
        frame = _told_in_remarks(frame, findings)
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
    all_builds = all_builds.fill_null(value=needed) & ~pl.col("_builds_asked")
    return frame.with_columns(all_builds.alias("all_builds")).drop("_builds_asked"), effects


def _told_in_remarks(frame: pl.DataFrame, findings: Findings) -> pl.DataFrame:
    """Return lines with the builds that their remarks say where no column does.

    Of a remark that may say them, and of one that says otherwise than a column, a person is asked;
    a line without builds of its own is then for none that can be told.
    """
    remarks = frame.get_column("remark")
    if remarks.null_count() == frame.height:
        return frame
    likely = remarks.filter(remarks.str.contains(LIKELY)).unique().to_list()
    read = {text: read_builds_in_remark(text) for text in likely}
    told = {text: found.effectivity for text, found in read.items() if found.effectivity}
    asked = [text for text, found in read.items() if found.asked]
    if not told and not asked:
        return frame
    said = pl.col("remark").replace_strict(told, default=None, return_dtype=pl.String)
    bare = pl.all_horizontal(pl.col(n).is_null() for n in ("effectivity_text", "mark", "phase"))
    unclear = bare & pl.col("remark").is_in(asked)
    findings.doubt(
        frame.filter(unclear), pl.format("'{}': which builds is it for?", pl.col("remark"))
    )
    both = frame.select("raw_number", "effectivity_text", "remark", _said=said).filter(
        pl.col("effectivity_text").is_not_null() & pl.col("_said").is_not_null()
    )
    differ = [
        number for number, column, _, remark in both.iter_rows() if not _agree(column, remark)
    ]
    findings.doubt(
        frame.filter(pl.col("raw_number").is_in(differ)),
        pl.format("'{}' or '{}': which builds is it for?", "effectivity_text", "remark"),
    )
    return frame.with_columns(
        pl.when(bare).then(said).otherwise("effectivity_text").alias("effectivity_text"),
        unclear.fill_null(value=False).alias("_builds_asked"),
    )


def _agree(one: str, other: str) -> bool:
    """Tell whether two texts say the same builds and serials."""
    first, second = read_effectivity(one), read_effectivity(other)
    return (set(first.clauses), set(first.intervals)) == (
        set(second.clauses), set(second.intervals)
    )  # fmt: skip


def _id(words: str | None) -> str | None:
    from partmuster_trade import assemblies  # noqa: PLC0415 - its tables are read on first use

    return None if not words else assemblies.assembly_id(words) or words.lower()
