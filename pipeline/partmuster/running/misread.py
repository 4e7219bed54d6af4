"""Part numbers that differ from another only in signs easily taken for each other.

The other is one that the club knows, or one of the same list. Neither is put in place of the other:
the line waits, and the question names both readings.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import polars as pl

from partmuster.store.frames import fetch
from partmuster_schemas.columns import polars_schema
from partmuster_schemas.said import MODELS

if TYPE_CHECKING:
    from collections.abc import Mapping

    from duckdb import DuckDBPyConnection

    from partmuster.store.put_aside import LinesOfKind

_ASKED = {"raw_number": pl.Int64(), "reason": pl.String()}
#: Typed letters O and I for figures (two manuals, SOURCE-SEEN); S and B only an engine takes for
#: figures (reading practice, FROM-MEMORY).
_TYPED = ("OI", "01")
_READ = ("OISB", "0158")
_NUMBERED = tuple(
    kind for kind, model in MODELS.items() if "part_number_normal" in polars_schema(model)
)
_LEAST = 4  # signs; shorter numbers are too like each other


def misread_numbers(
    con: DuckDBPyConnection, source_id: str, lines: Mapping[str, LinesOfKind], raw: pl.DataFrame
) -> pl.DataFrame:
    """Return what to ask (raw_number, reason) of parts-list lines whose number may be misread.

    Compared are numbers of other sources, then those of the same list that stand there as often or
    oftener; one that other sources know as it stands is none. ``raw``: the raw lines; those with a
    box were read from a page.
    """
    if "requirement" not in lines:
        return pl.DataFrame(schema=_ASKED)
    boxed = raw.filter(pl.col("box").is_not_null())["raw_number"]
    number = pl.col("number")
    new = lines["requirement"].select("raw_number", "part_number", "part_number_normal")
    new = new.rename({"part_number_normal": "number"}).with_columns(
        pl.col("raw_number").is_in(boxed.implode()).alias("read")
    )
    new = new.filter(
        number.str.contains("[01OI]") | (pl.col("read") & number.str.contains("[58SB]")),
        number.str.len_chars() >= _LEAST,
    ).unique("raw_number")
    if new.is_empty():
        return pl.DataFrame(schema=_ASKED)
    said = " UNION ALL ".join(
        f"SELECT part_number_normal AS number, part_number AS written FROM said_{kind} "  # noqa: S608 - own names
        "WHERE recorded_to IS NULL AND part_number_normal IS NOT NULL AND source_id <> $1"
        for kind in _NUMBERED
    )
    known = fetch(con, f"SELECT number, min(written) AS written FROM ({said}) GROUP BY 1",  # noqa: S608 - own names
                  [source_id])  # fmt: skip
    fresh = new.join(known, on="number", how="anti")
    found = [
        fresh.filter(pl.col("read") == read)
        .with_columns(_folded(*signs).alias("folded"))
        .join(known.select("written", _folded(*signs).alias("folded")), on="folded")
        .select("raw_number", "part_number", "written", where=pl.lit("the club knows"))
        for read, signs in ((True, _READ), (False, _TYPED))
    ]
    found += [_like_others(new, fresh, read=True), _like_others(new, fresh, read=False)]
    asked = pl.concat(found).sort("raw_number", "where", "written", descending=[False, True, False])
    return asked.unique("raw_number", keep="first").select(
        "raw_number",
        pl.format("the number reads '{}', {} '{}': which is it?", "part_number", "where",
                  "written").alias("reason"),
    ).sort("raw_number")  # fmt: skip


def _like_others(new: pl.DataFrame, fresh: pl.DataFrame, *, read: bool) -> pl.DataFrame:
    """Return lines whose number is like another of the same list that stands there as often."""
    folded = _folded(*(_READ if read else _TYPED)).alias("folded")
    own = new.with_columns(folded).group_by("number", "folded").agg(
        pl.len().alias("times"), pl.min("part_number").alias("written")
    )  # fmt: skip
    pairs = own.join(own, on="folded", suffix="_other").filter(
        pl.col("number") != pl.col("number_other"), pl.col("times") <= pl.col("times_other")
    )
    return (
        fresh.filter(pl.col("read") == read)
        .join(pairs.select("number", "written_other"), on="number")
        .select("raw_number", "part_number", written="written_other",
                where=pl.lit("the same list has"))
    )  # fmt: skip


def _folded(letters: str, figures: str) -> pl.Expr:
    """Return the number with letters that look like figures as these."""
    return pl.col("number").str.replace_many(list(letters), list(figures))
