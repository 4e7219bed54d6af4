"""Which new files are mostly the same as a source, or as another file of the same import."""

from __future__ import annotations

from typing import TYPE_CHECKING

import polars as pl

from partmuster.store.sources import shares_with_sources

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from duckdb import DuckDBPyConnection

#: A new name with this share of its lines in another source is probably the same list again.
_MOSTLY = 0.8
_LINES = 5


def said_words(raw: pl.DataFrame) -> pl.DataFrame:
    """Return the distinct words of a file's lines: one column, ``words``."""
    return raw.filter(pl.col("outcome") != "not-data").select("words").drop_nulls().unique()


class Likeness:
    """What each of several new files has in common with sources, and with the files before it.

    ``words``: of each file, from :func:`said_words`; None for one that is not to be compared.
    All are compared at once: one by one, 200 short files took longer than anything else.
    """

    def __init__(self, con: DuckDBPyConnection, words: Sequence[pl.DataFrame | None]) -> None:
        sizes = [0 if one is None or one.height < _LINES else one.height for one in words]
        every = pl.concat([
            pl.DataFrame(schema={"words": pl.String, "file": pl.UInt32}),
            *(one.with_columns(pl.lit(number, pl.UInt32).alias("file"))
              for number, one in enumerate(words) if one is not None and sizes[number]),
        ])  # fmt: skip
        size = pl.Series("size", sizes, dtype=pl.Int64)
        mostly = (pl.col("equal") >= _LINES) & (
            pl.col("equal") >= _MOSTLY * pl.lit(size).gather(pl.col("file"))
        )
        self._sources: dict[int, str] = {}
        if every.height:
            known = shares_with_sources(con, every).filter(mostly)
            for file, name in known.select("file", "name").iter_rows():
                self._sources.setdefault(file, name)
        self._files = _pairs(every).filter(mostly) if len(set(every["file"])) > 1 else None

    def source_like(self, file: int) -> str | None:
        """Return the name of the source that says most of a file's lines, if one does."""
        return self._sources.get(file)

    def file_like(self, file: int, counts: Callable[[int], bool]) -> int | None:
        """Return the first of the files before it that count and say most of its lines."""
        if self._files is None:
            return None
        before = self._files.filter(pl.col("file") == file).get_column("other").sort()
        return next((other for other in before if counts(other)), None)


def _pairs(every: pl.DataFrame) -> pl.DataFrame:
    """Return how many words each file (``file``) shares with each one before it (``other``)."""
    others = every.rename({"file": "other"})
    return (
        every.join(others, on="words")
        .filter(pl.col("other") < pl.col("file"))
        .group_by("file", "other")
        .agg(pl.len().cast(pl.Int64).alias("equal"))
    )
