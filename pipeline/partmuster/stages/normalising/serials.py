"""Serial numbers, and the words that stand where there is none."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

import polars as pl

from .columns import read_column

if TYPE_CHECKING:
    from .columns import Findings

#: Where a serial would stand: nobody knows it, or it cannot be read (common practice, no source).
_NOT_KNOWN = re.compile(
    r"^\W*$|^(?:n/?k|n/?a|unknown|none|nil|tbc|tba|no|blank|missing|illegible|unreadable)\b"
    r"|\b(?:not|never|can'?t|cannot|yet to) (?:be )?(?:known|found|find|read|readable|legible|"
    r"fitted|there|visible|recorded|stamped|seen|checked|confirmed)\b"
    r"|\b(?:missing|gone|lost|illegible|unreadable|painted over|ground off|worn)\b",
    re.IGNORECASE,
)
_NOT_USED = re.compile(
    r"\b(?:not|never) (?:used|issued|allotted|allocated|built)\b|\bunused\b", re.IGNORECASE
)
#: A build under a heading that may be a serial's: "Engine | late Mk 1".
_MARK = re.compile(r"\b(?:mk|mark)\.? ?(?:\d|[ivx]+\b)", re.IGNORECASE)
_SEVERAL = re.compile(r"\d ?(?:to|thru|through|and|&) ?[a-z]{0,3}[- ]?\d", re.IGNORECASE)


def read_serials(frame: pl.DataFrame, column: str, into: str, findings: Findings) -> pl.DataFrame:
    """Type a serial: the digits at its end, so that "H 1042" is 1042.

    Words that tell why there is none ("not known", "C8 to C10, not used") go to the remark.
    """

    def reader(text: str) -> tuple[Any, ...]:
        bare = not re.search(r"\d", text)
        if text and ((bare and _NOT_KNOWN.search(text)) or _NOT_USED.search(text)):
            return None, text
        if _SEVERAL.search(text) or _MARK.search(text):
            return None, None
        found = re.search(r"(\d{1,12})\D{0,2}$", text.strip())
        return (int(found.group(1)) if found else None), None

    frame = frame.with_columns(pl.col(column).alias("_serial"))
    frame = read_column(frame, "_serial", reader, {"_value": pl.Int64, "_none": pl.String})
    nothing = pl.col("_none").is_not_null()
    unread = pl.col("_value").is_null() & pl.col("_serial").is_not_null() & ~nothing
    findings.fault(
        frame.filter(unread), "_serial",
        "serial-not-read", "there is no number in this serial", "write the serial number",
    )  # fmt: skip
    told = pl.format("{}: {}", pl.lit(column.replace("_", " ")), "_none")
    return frame.with_columns(
        pl.col("_value").alias(into),
        pl.when(nothing).then(pl.concat_str("remark", told, separator="; ", ignore_nulls=True))
        .otherwise("remark").alias("remark"),
        *([pl.when(~nothing).then(column).alias(column)] if column != into else []),
    ).drop("_value", "_serial", "_none")  # fmt: skip
