"""Marks on cells that are not their words: struck through, hidden, comments, formulas, boxes."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import polars as pl

from .doubtful_readings import with_doubtful_readings
from .standing import cell_name, partly_struck_notes, struck_words

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from partmuster.model import Grid

_SIGNS = {"row": pl.Int32(), "column": pl.Int32(), "mark": pl.String(), "value": pl.String()}
#: The column that names what a line is about: where it is struck, the whole line is.
_NAMING = {"vehicle": ("vehicle", "club_number"), "holder": ("holder",), "place": ("place",),
           "feature": ("feature",), "history": ("statement",), "lead": ("statement",),
           "build": ("build", "mark", "feature")}  # fmt: skip
_NAMING_ITEMS = ("description", "part_number", "stock_number", "vehicle")
#: Fields a line cannot do without; a formula without a value there needs mending.
_WANTED = frozenset({"description", "quantity", "presence"})
_STRUCK_QUANTITY = "the quantity is struck through: how many are there now?"
_STRUCK_PART = "some of this is struck through: what still holds?"
#: How the layout shows the columns of vehicles, and those that belong to one.
_WHOSE = re.compile(r"^(?P<how>under|belongs to) '(?P<name>.*)'; table:")


def signs_of(grid: Grid) -> pl.DataFrame:
    """Return a grid's marks with columns ``row``, ``column``, ``mark``, ``value``; maybe none.

    A cell of which no words are left standing is struck like any other.
    """
    if grid.marks is None or grid.marks.is_empty():
        return pl.DataFrame(schema=_SIGNS)
    signs = grid.marks.select(pl.col(name).cast(dtype) for name, dtype in _SIGNS.items())
    nothing_left = (pl.col("mark") == "partly-struck") & (
        pl.col("value").fill_null("").str.strip_chars() == ""
    )
    return signs.with_columns(
        pl.when(nothing_left).then(pl.lit("struck")).otherwise("mark").alias("mark")
    )


def with_signs(
    lines: pl.DataFrame, signs: pl.DataFrame, layout: Sequence[Mapping[str, object]],
    cells: pl.DataFrame,
) -> pl.DataFrame:  # fmt: skip
    """Return a table's lines with ``struck``, ``hidden``, ``box``, ``comment`` and ``doubt``.

    ``layout``: how each column of the table was taken. ``cells``: the grid as it stands. A row is
    struck where all of it is, or the cell that names what it is about; a matrix cell where it is
    itself, or the vehicle above it. Any other struck cell empties its field, and its words go to
    the remark; so do comments, and formulas without a value. A sheet or row hidden hides its
    lines; a hidden column hides only the matrix cells in it.
    """
    columns = [int(str(row["column"])) for row in layout]
    signs = signs.filter(pl.col("column").is_null() | pl.col("column").is_in(columns))
    kind = str(layout[0]["line_kind"]) if layout else ""
    by_field = {str(row["field"]): int(str(row["column"])) for row in reversed(layout)
                if row["field"] is not None}  # fmt: skip
    naming = next((by_field[name] for name in _NAMING.get(kind, _NAMING_ITEMS)
                   if name in by_field), None)  # fmt: skip
    header_row = next((row["header_row"] for row in layout), None)
    heading = None if header_row is None else int(str(header_row))
    marked = _marked(lines, signs, "struck", naming, heading)
    if "struck" in lines.columns:
        marked |= pl.col("struck").fill_null(value=False)
    lines = lines.with_columns(
        struck=marked, hidden=_marked(lines, signs, "hidden", None, None),
        comment=pl.lit(None, pl.String),
        doubt=pl.col("doubt") if "doubt" in lines.columns else pl.lit(None, pl.String),
    )  # fmt: skip
    lines = with_boxes(lines, signs)
    fields = {int(str(row["column"])): None if row["field"] is None else str(row["field"])
              for row in layout}  # fmt: skip
    lines = with_doubtful_readings(lines, signs, fields, cells)
    worded = signs.filter(
        pl.col("mark").is_in(["struck", "partly-struck", "comment", "formula"])
        & pl.col("row").is_not_null() & pl.col("column").is_not_null()
    )  # fmt: skip
    if worded.is_empty() or "remark" not in lines.columns:
        return lines
    words = _Worded(lines, fields, naming, heading, cells)
    words.owners = _owners(layout)
    return words.with_words(worded)


def with_boxes(rows: pl.DataFrame, signs: pl.DataFrame) -> pl.DataFrame:
    """Return rows of a grid with the ``box`` around their cells, where any cell has one."""
    boxes = signs.filter((pl.col("mark") == "box") & pl.col("row").is_not_null())
    if boxes.is_empty():
        return rows
    return rows.join(_row_boxes(boxes), on="row", how="left", maintain_order="left")


def _owners(layout: Sequence[Mapping[str, object]]) -> dict[int, int]:
    """Return the column of the vehicle to which other columns of a survey matrix belong."""
    found = {int(str(row["column"])): match for row in layout
             if (match := _WHOSE.match(str(row["reason"])))}  # fmt: skip
    across = {match["name"]: column for column, match in found.items() if match["how"] == "under"}
    return {column: across[match["name"]] for column, match in found.items()
            if match["how"] != "under" and match["name"] in across}  # fmt: skip


class _Worded:
    """Writes what marked cells say into the lines they belong to; only those are touched."""

    def __init__(
        self, lines: pl.DataFrame, fields: Mapping[int, str | None], naming: int | None,
        heading: int | None, cells: pl.DataFrame,
    ) -> None:  # fmt: skip
        self.lines, self.fields, self.naming, self.heading = lines, fields, naming, heading
        self.cells = cells
        self.matrix = lines["column"].null_count() < lines.height
        self.changed: dict[str, dict[int, str | None]] = {}
        self.owners: dict[int, int] = {}

    def with_words(self, signs: pl.DataFrame) -> pl.DataFrame:
        """Return the lines with what these marks (each at a row and column) say."""
        where = self._lines_by_row(signs)
        texts = self._texts(signs)
        for row, column, mark, value in signs.sort("row", "column").iter_rows():
            for line in self._lines_at(where, row, column):
                self._take(line, row, column, mark, value, texts.get((row, column)))
        lines = self.lines
        for name, values in self.changed.items():
            column = lines[name].to_list()
            for line, text in values.items():
                column[line] = text
            lines = lines.with_columns(pl.Series(name, column, dtype=pl.String))
        return lines

    def _take(
        self, line: int, row: int, column: int, mark: str, value: str | None, text: str | None
    ) -> None:
        field = self.fields.get(column)
        if mark == "comment" and value:
            self._add(line, "remark", f"comment: {value}", "; ")
            self._add(line, "comment", value, "\n")
        elif mark == "partly-struck" and text:
            for name, words in partly_struck_notes(text, value or "", self._get(line, "words")):
                if name == "words":
                    self._set(line, name, words)
                else:
                    self._add(line, name, words, "; ")
        elif mark == "formula":
            if field in _WANTED and field in self.lines.columns and not self._get(line, field):
                self._set(line, field, f"{value} (cell {cell_name(row, column)})")
            else:
                self._add(line, "remark", f"formula without a value: {value}", "; ")
        elif mark == "struck" and text and not self.lines["struck"][line]:
            self._strike(line, field, text)

    def _strike(self, line: int, field: str | None, text: str) -> None:
        """Take a struck cell out of a line that still stands."""
        if field is None:
            self._set(line, "remark", struck_words(self._get(line, "remark"), text))
            return
        self._add(line, "remark", f"struck through: {text}", "; ")
        if self._get(line, field) != text:
            self._add(line, "doubt", _STRUCK_PART, "; ")
            return
        self._set(line, field, None)
        if field == "quantity":
            self._add(line, "doubt", _STRUCK_QUANTITY, "; ")

    def _lines_by_row(self, signs: pl.DataFrame) -> dict[int, list[int]]:
        """Return the lines of each marked row, by their place; all of them for a marked heading."""
        indexed = self.lines.select("row").with_row_index("at")
        if self.heading is None or not (signs["row"] == self.heading).any():
            indexed = indexed.filter(pl.col("row").is_in(signs["row"].unique().implode()))
        found: dict[int, list[int]] = {}
        for at, row in indexed.iter_rows():
            found.setdefault(row, []).append(at)
        return found

    def _lines_at(self, where: Mapping[int, list[int]], row: int, column: int) -> list[int]:
        """Return the lines that a marked cell belongs to."""
        of_cell = self.matrix and self.fields.get(column) == "presence"
        if row == self.heading:
            every = [at for lines in where.values() for at in lines]
            return self._of_column(every, column) if of_cell else []
        lines = where.get(row, [])
        if self.matrix and column in self.owners:
            return self._of_column(lines, self.owners[column])
        return self._of_column(lines, column) if of_cell else lines

    def _of_column(self, lines: list[int], column: int) -> list[int]:
        return [at for at in lines if self.lines["column"][at] == column]

    def _texts(self, signs: pl.DataFrame) -> dict[tuple[int, int], str]:
        """Return the words of marked cells as they stand in the grid."""
        rows = self.cells.filter(pl.col("row").is_in(signs["row"].unique().implode()))
        by_row = {row["row"]: row for row in rows.to_dicts()}
        found = {}
        for row, column in signs.select("row", "column").iter_rows():
            text = by_row.get(row, {}).get(str(column))
            if text is not None and str(text).strip():
                found[row, column] = str(text).strip()
        return found

    def _get(self, line: int, name: str) -> str | None:
        changed = self.changed.get(name, {})
        if line in changed:
            return changed[line]
        value: str | None = self.lines[name][line] if name in self.lines.columns else None
        return value

    def _set(self, line: int, name: str, value: str | None) -> None:
        if name in self.lines.columns:
            self.changed.setdefault(name, {})[line] = value

    def _add(self, line: int, name: str, words: str, between: str) -> None:
        before = self._get(line, name)
        self._set(line, name, f"{before}{between}{words}" if before else words)


def _marked(
    lines: pl.DataFrame, signs: pl.DataFrame, mark: str, naming: int | None, heading: int | None
) -> pl.Expr:
    """Return whether lines carry a mark."""
    of_mark = signs.filter(pl.col("mark") == mark)
    if of_mark.is_empty():
        return pl.lit(value=False)
    if of_mark.filter(pl.col("row").is_null() & pl.col("column").is_null()).height:
        return pl.lit(value=True)
    whole = of_mark.filter(pl.col("column").is_null())["row"]
    found = pl.col("row").is_in(whole.implode())
    if naming is not None:
        named = of_mark.filter(pl.col("column") == naming)["row"].drop_nulls()
        found |= pl.col("row").is_in(named.implode())
    if lines["column"].null_count() < lines.height:
        cells = of_mark.select(
            pl.concat_str(pl.col("row").cast(pl.String).fill_null("*"), pl.lit(":"), "column")
        ).to_series()
        above = [] if heading is None else [pl.lit(str(heading))]
        for row in (pl.col("row").cast(pl.String), pl.lit("*"), *above):
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
