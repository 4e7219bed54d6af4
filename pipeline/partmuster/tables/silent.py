"""Cells that say nothing: of how usual a feature is on a build, or whether it was there."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import polars as pl

from partmuster.reading.features import read_likelihood, read_seen

if TYPE_CHECKING:
    from collections.abc import Callable

_NOT_SAID = "nothing is said of this build"
_NOT_SEEN = "not looked at"


def without_silent(
    lines: pl.DataFrame, kind: str | None, *, cells: str | None
) -> tuple[pl.DataFrame, pl.DataFrame | None]:
    """Return lines that say something, and the others as raw lines that are none.

    ``cells``: the field of the cells where each is a line, so that an empty one says nothing; in a
    list a feature without an answer was seen.
    """
    if cells == "likelihood" and kind == "build":
        return _parted(lines, cells, _says_likelihood, _NOT_SAID, pl.lit(value=True))
    if cells in {"effectivity", "fit_grade"}:
        return _parted(lines, cells, _has_words, _NOT_SAID, pl.lit(value=True))
    if kind == "feature" and "presence" in lines.columns:
        bare = pl.lit(value=True)
        if "feature_value" in lines.columns:
            bare = pl.col("feature_value").is_null()
        asked = bare if cells else bare & pl.col("presence").is_not_null()
        return _parted(lines, "presence", _says_seen, _NOT_SEEN, asked)
    return lines, None


def _says_likelihood(text: str) -> bool:
    reading = read_likelihood(text)
    return bool(reading.likelihood or reading.problem)


def _has_words(text: str) -> bool:
    return re.search(r"\w", text) is not None


def _says_seen(text: str) -> bool:
    reading = read_seen(text)
    return reading.seen is not None or reading.problem


def _parted(
    lines: pl.DataFrame, column: str, says: Callable[[str], bool], reason: str, asked: pl.Expr
) -> tuple[pl.DataFrame, pl.DataFrame | None]:
    texts = lines[column].drop_nulls().unique().to_list()
    said = [text for text in texts if says(text)]
    silent = asked & ~pl.col(column).is_in(said).fill_null(value=False)
    none = lines.filter(silent)
    if none.is_empty():
        return lines, None
    at = [pl.col("column")] if "column" in lines.columns else []
    return lines.filter(~silent), none.select("row", "words", pl.lit(reason).alias("reason"), *at)
