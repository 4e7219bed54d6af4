"""Cells that hold a formula whose value the workbook does not store."""

from __future__ import annotations

from typing import TYPE_CHECKING

import polars as pl

if TYPE_CHECKING:
    from .columns import Findings

#: As layout writes them: "=B2*2 (cell C2)".
_FORMULA = r"^(=.*) \(cell [A-Z]{1,3}\d+\)$"
_NUMBERS = ("part_number", "stock_number", "casting_number")
_WHAT_TO_DO = (
    "open the workbook in a spreadsheet program and save it, so that the value is stored, or write "
    "the value into the cell"
)


def read_formulas(frame: pl.DataFrame, findings: Findings) -> pl.DataFrame:
    """Record a fault for each formula without a value where a value is needed; empty the cell.

    A quantity and a survey's state are always needed, a description only where no number names the
    part; else the formula goes to the remark.
    """
    for column in ("quantity", "presence", "description"):
        formula = pl.col(column).str.contains(_FORMULA).fill_null(value=False)
        marked = frame.filter(formula)
        if marked.is_empty():
            continue
        needed = pl.lit(value=True)
        if column == "description":
            needed = pl.all_horizontal(pl.col(name).is_null() for name in _NUMBERS)
        findings.fault(
            marked.filter(needed), column, "formula-without-value",
            "this cell holds a formula, and the file does not say what it comes to", _WHAT_TO_DO,
        )  # fmt: skip
        note = pl.lit("formula without a value: ") + pl.col(column).str.extract(_FORMULA, 1)
        frame = frame.with_columns(
            pl.when(formula)
            .then(pl.concat_str(["remark", note], separator="; ", ignore_nulls=True))
            .otherwise("remark").alias("remark"),
            pl.when(~formula).then(column).alias(column),
        )  # fmt: skip
    return frame
