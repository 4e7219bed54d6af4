"""Later changes in surveys: from their own columns, else from the words of state and remark."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import polars as pl

from partmuster.reading.later_changes import (
    LIKELY,
    read_later_change,
    read_stays,
    says_nothing,
)

from .columns import read_column

if TYPE_CHECKING:
    from collections.abc import Sequence

_COLUMNS = ("later_change", "change_by", "change_when", "displaced", "change_stays")
_READ = {"_later": pl.Boolean, "_by": pl.String, "_when": pl.String, "_displaced": pl.String,
         "_stays": pl.String}  # fmt: skip


def read_changes(frame: pl.DataFrame) -> pl.DataFrame:
    """Return survey lines with what is said of later changes, typed.

    To be called before the state's words leave their columns. What a column says counts before
    words elsewhere; a column that says who, when, or what was displaced tells of a later change.
    """
    words = _joined(["presence", "condition", "remark"])
    likely = frame.select(pl.when(words.str.contains(LIKELY)).then(words).alias("_words"))
    told = any(frame.get_column(name).null_count() < frame.height for name in _COLUMNS)
    if not told and likely.get_column("_words").null_count() == frame.height:
        nothing = [pl.lit(None, pl.String).alias(name) for name in _COLUMNS[1:]]
        return frame.with_columns(pl.lit(None, pl.Boolean).alias("later_change"), *nothing)
    frame = frame.with_columns(likely)
    frame = read_column(frame, "_words", lambda text: _read(text, column=False), _READ)
    frame = frame.rename({name: f"_in_words{name}" for name in _READ})
    frame = read_column(frame, "later_change", lambda text: _read(text, column=True), _READ)
    for name in ("change_by", "change_when", "displaced"):
        frame = read_column(frame, name, lambda text: (_said(text),), {f"_own_{name}": pl.String})
    frame = read_column(frame, "change_stays", lambda text: (read_stays(text), _said(text)),
                        {"_own_stays": pl.String, "_stays_said": pl.String})  # fmt: skip
    more = frame.select(pl.any_horizontal(
        pl.col(name).is_not_null() for name in ("_own_change_by", "_own_change_when",
                                                "_own_displaced", "_own_stays")
    )).to_series()  # fmt: skip
    unread = pl.when(pl.col("_own_stays").is_null()).then(pl.format("stays: {}", "_stays_said"))
    described = pl.when(pl.col("_later") & (pl.col("later_change").str.len_chars() > 3)).then(  # noqa: PLR2004 - "yes"
        pl.format("later change: {}", "later_change")
    )
    is_later = pl.coalesce("_later", pl.when(more).then(pl.lit(value=True)), "_in_words_later")
    of_words = pl.when(is_later)
    return frame.with_columns(
        is_later.alias("later_change"),
        pl.coalesce("_own_change_by", "_by", of_words.then("_in_words_by")).alias("change_by"),
        pl.coalesce("_own_change_when", "_when", of_words.then("_in_words_when"))
        .alias("change_when"),
        pl.coalesce("_own_displaced", "_displaced", of_words.then("_in_words_displaced"))
        .alias("displaced"),
        pl.coalesce("_own_stays", "_stays", of_words.then("_in_words_stays"))
        .alias("change_stays"),
        _joined(["remark", described, unread]).alias("remark"),
    )  # fmt: skip


def _joined(texts: Sequence[pl.Expr | str]) -> pl.Expr:
    joined = pl.concat_str(texts, separator="; ", ignore_nulls=True)
    return pl.when(joined != "").then(joined)


def _read(text: str, *, column: bool) -> tuple[Any, ...]:
    read = read_later_change(text, column=column)
    return read.later, read.by, read.when, read.displaced, read.stays


def _said(text: str) -> str | None:
    return None if says_nothing(text) else text
