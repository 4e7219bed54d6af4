"""Marks on cells that are not their words: struck through, hidden, comments, boxes."""

from __future__ import annotations

from typing import TYPE_CHECKING

import polars as pl

if TYPE_CHECKING:
    from partmuster.model import Grid

_SIGNS = {"row": pl.Int32(), "column": pl.Int32(), "mark": pl.String(), "value": pl.String()}


def signs_of(grid: Grid) -> pl.DataFrame:
    """Return a grid's marks with columns ``row``, ``column``, ``mark``, ``value``; maybe none."""
    if grid.marks is None or grid.marks.is_empty():
        return pl.DataFrame(schema=_SIGNS)
    return grid.marks.select(pl.col(name).cast(dtype) for name, dtype in _SIGNS.items())


def with_signs(lines: pl.DataFrame, signs: pl.DataFrame, describing: int | None) -> pl.DataFrame:
    """Return lines with ``struck``, ``hidden``, ``box``, and comments added to the remark.

    A row is struck where all of it is, or the cell that names the part (``describing``, counted
    from 1); a matrix cell where it is itself. A sheet or row hidden hides its lines; a hidden
    column hides only the matrix cells in it.
    """
    lines = lines.with_columns(
        struck=_marked(lines, signs, "struck", describing),
        hidden=_marked(lines, signs, "hidden", None),
    )
    boxes = signs.filter((pl.col("mark") == "box") & pl.col("row").is_not_null())
    if boxes.height:
        lines = lines.join(_row_boxes(boxes), on="row", how="left", maintain_order="left")
    comments = signs.filter((pl.col("mark") == "comment") & pl.col("value").is_not_null())
    if comments.height and "remark" in lines.columns:
        joined = comments.group_by("row", maintain_order=True).agg(
            (pl.lit("comment: ") + pl.col("value")).str.join("; ").alias("comments")
        )
        lines = (
            lines.join(joined, on="row", how="left", maintain_order="left")
            .with_columns(_joined("remark", "comments").alias("remark"))
            .drop("comments")
        )
    return lines


def _marked(lines: pl.DataFrame, signs: pl.DataFrame, mark: str, describing: int | None) -> pl.Expr:
    """Return whether lines carry a mark."""
    of_mark = signs.filter(pl.col("mark") == mark)
    if of_mark.is_empty():
        return pl.lit(value=False)
    if of_mark.filter(pl.col("row").is_null() & pl.col("column").is_null()).height:
        return pl.lit(value=True)
    whole = of_mark.filter(pl.col("column").is_null())["row"]
    found = pl.col("row").is_in(whole.implode())
    if describing is not None:
        named = of_mark.filter(pl.col("column") == describing)["row"].drop_nulls()
        found |= pl.col("row").is_in(named.implode())
    if lines["column"].null_count() < lines.height:
        cells = of_mark.select(
            pl.concat_str(pl.col("row").cast(pl.String).fill_null("*"), pl.lit(":"), "column")
        ).to_series()
        for row in (pl.col("row").cast(pl.String), pl.lit("*")):
            at = pl.concat_str(row, pl.lit(":"), "column")
            found |= at.is_in(cells.drop_nulls().implode()).fill_null(value=False)
    return found


def _row_boxes(boxes: pl.DataFrame) -> pl.DataFrame:
    """Return one box a row, around all its cells: ``left,top,right,bottom``."""
    sides = boxes.select("row", pl.col("value").str.split(",").alias("sides")).select(
        "row",
        *(
            pl.col("sides").list.get(at, null_on_oob=True).str.strip_chars().cast(
                pl.Float64, strict=False
            ).alias(name)
            for at, name in enumerate(("left", "top", "right", "bottom"))
        ),
    )  # fmt: skip
    around = sides.group_by("row").agg(
        pl.min("left"), pl.min("top"), pl.max("right"), pl.max("bottom")
    )
    numbers = [pl.col(name).round(1).cast(pl.String).str.strip_suffix(".0")
               for name in ("left", "top", "right", "bottom")]  # fmt: skip
    return around.select("row", pl.concat_str(numbers, separator=",").alias("box"))


def _joined(first: str, second: str) -> pl.Expr:
    """Return two texts joined with a semicolon, null where both are."""
    joined = pl.concat_str([first, second], separator="; ", ignore_nulls=True)
    return pl.when(joined != "").then(joined)
