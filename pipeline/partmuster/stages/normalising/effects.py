"""Which builds and serials a line is for, as clauses and intervals."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

import polars as pl

from partmuster.reading.builds import read_effectivity
from partmuster.reading.builds_in_remarks import (
    LIKELY,
    BuildsInRemark,
    read_builds_in_name,
    read_builds_in_remark,
    read_builds_in_section,
)

if TYPE_CHECKING:
    from .columns import Findings

#: Where a line may say its builds besides, and how it is read there.
_TOLD_IN: Final = {
    "remark": read_builds_in_remark,
    "description": read_builds_in_name,
    "section": read_builds_in_section,
}


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
    """Return lines with the builds that other words than a column of their own say.

    These are the remark, the description, and the section they stand under. Of words that may say
    builds, and of those that say otherwise than others, a person is asked; a line without builds of
    its own is then for none that can be told.
    """
    likely = [
        (column, reader)
        for column, reader in _TOLD_IN.items()
        if frame.get_column(column).str.contains(LIKELY).any()
    ]
    if not likely:
        return frame
    own = ("raw_number", "effectivity_text", "mark", "phase")
    told: dict[tuple[str | None, ...], tuple[str | None, str | None]] = {}
    columns = [column for column, _ in likely]
    found: list[tuple[str | None, str | None]] = []
    for row in frame.select(*own[1:], *columns).iter_rows():
        if row not in told:
            said = [(cell, reader(cell)) for cell, (_, reader) in
                    zip(row[3:], likely, strict=True) if cell is not None]  # fmt: skip
            told[row] = _together(row[0], said, bare=not any(row[:3]))
        found.append(told[row])
    schema = {"_told": pl.String, "_asking": pl.String}
    frame = pl.concat(
        [frame, pl.DataFrame(found, schema=schema, orient="row")], how="horizontal"
    )  # fmt: skip
    asked = pl.col("_asking").is_not_null()
    findings.doubt(frame.filter(asked), pl.format("{}: which builds is it for?", "_asking"))
    bare = pl.all_horizontal(pl.col(name).is_null() for name in own[1:])
    return frame.with_columns(
        pl.when(bare & ~asked).then("_told").otherwise("effectivity_text")
        .alias("effectivity_text"),
        (bare & asked).alias("_builds_asked"),
    ).drop("_told", "_asking")  # fmt: skip


def _together(
    column: str | None, said: list[tuple[str, BuildsInRemark]], *, bare: bool
) -> tuple[str | None, str | None]:
    """Return the builds that several texts of a line say together, and what is to be asked."""
    told = {words: found.effectivity for words, found in said if found.effectivity}
    if bare:
        unclear = [f"'{words}'" for words, found in said if found.asked]
        first = next(iter(told.values()), "")
        differ = any(not _agree(first, other) for other in told.values())
        asked = [*unclear, *(f"'{words}'" for words in told)] if unclear or differ else []
        return first or None, " or ".join(asked) or None
    other = [words for words, effect in told.items() if column and not _agree(column, effect)]
    return None, " or ".join(f"'{words}'" for words in (column, *other)) if other else None


def _agree(one: str, other: str) -> bool:
    """Tell whether two texts say the same builds and serials."""
    first, second = read_effectivity(one), read_effectivity(other)
    return (set(first.clauses), set(first.intervals)) == (
        set(second.clauses), set(second.intervals)
    )  # fmt: skip


def _id(words: str | None) -> str | None:
    from partmuster_trade import assemblies  # noqa: PLC0415 - its tables are read on first use

    return None if not words else assemblies.assembly_id(words) or words.lower()
