"""Reading a text column once per distinct text, and collecting what is wrong with it."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

import polars as pl

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

FAULT_SCHEMA: dict[str, Any] = {
    "raw_number": pl.Int64,
    "line_kind": pl.String,
    "field": pl.String,
    "value": pl.String,
    "code": pl.String,
    "problem": pl.String,
    "what_to_do": pl.String,
}
DOUBT_SCHEMA: dict[str, Any] = {"raw_number": pl.Int64, "reason": pl.String}


@dataclass(slots=True)
class Findings:
    """Faults (the line needs mending) and doubts (it needs a decision), by raw line."""

    faults: list[pl.DataFrame] = field(default_factory=list)
    doubts: list[pl.DataFrame] = field(default_factory=list)

    def fault(
        self, rows: pl.DataFrame, column: str, code: str, problem: str, what_to_do: str
    ) -> None:
        """Record one fault for each of the rows, with the words that stand in ``column``."""
        if rows.height:
            self.faults.append(
                rows.select(
                    "raw_number",
                    pl.col("kind").alias("line_kind"),
                    pl.lit(column).alias("field"),
                    pl.col(column).cast(pl.String).alias("value"),
                    pl.lit(code).alias("code"),
                    pl.lit(problem).alias("problem"),
                    pl.lit(what_to_do).alias("what_to_do"),
                )
            )

    def doubt(self, rows: pl.DataFrame, reason: pl.Expr | str) -> None:
        """Record a doubt for each of the rows."""
        if rows.height:
            text = pl.lit(reason) if isinstance(reason, str) else reason
            self.doubts.append(rows.select("raw_number", text.cast(pl.String).alias("reason")))

    def all_faults(self) -> pl.DataFrame:
        """Return all faults, one row each."""
        return pl.concat(self.faults) if self.faults else pl.DataFrame(schema=FAULT_SCHEMA)

    def all_doubts(self) -> pl.DataFrame:
        """Return all doubts, one row each."""
        return pl.concat(self.doubts) if self.doubts else pl.DataFrame(schema=DOUBT_SCHEMA)


def read_column(
    frame: pl.DataFrame,
    column: str,
    reader: Callable[[str], tuple[Any, ...]],
    schema: Mapping[str, Any],
) -> pl.DataFrame:
    """Return the frame with the columns of ``schema`` read from a text column.

    The reader sees each distinct text once; an empty cell is read as ``""``. Columns of the
    frame that ``schema`` names again are replaced, but for the text column itself.
    """
    whole = frame.get_column(column)
    if whole.null_count() == whole.len():
        values = zip(schema.items(), reader(""), strict=True)
        return frame.with_columns(
            pl.lit(value, dtype=dtype).alias(name)
            for (name, dtype), value in values
            if name != column
        )
    texts = whole.unique()
    rows = [(text, *reader(text or "")) for text in texts.to_list()]
    table = pl.DataFrame(rows, schema={column: pl.String, **schema}, orient="row")
    # Joined by itself: a frame of lines has a hundred columns, and a join copies them all.
    found = frame.select(column).join(
        table, on=column, how="left", nulls_equal=True, maintain_order="left"
    )
    return frame.with_columns(found.drop(column))


def nothing_to_none(text: str | None) -> str | None:
    """Return the text, or None where it is empty."""
    return text or None
