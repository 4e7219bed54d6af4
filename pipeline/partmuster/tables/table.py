"""One table: its headings, kind, titles and rows, and from them lines of text."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

import polars as pl

from . import grid, marks
from .asking import Around, Question, about_kind, about_mark, about_vehicle
from .assemblies import read_section
from .builds_across import build_columns, spread
from .content import fields_by_content
from .headings import HEAD_ROWS, Heading, Taken, header_row, joined_headings
from .kinds import KIND_FIELDS, KindTaken, kinds_in_titles, take_kind
from .matrix import Matrix, cells_as_lines, find_matrix
from .read_headings import read_headings
from .rows import Sorted, sort_rows
from .sides_across import quantity_of, side_columns
from .titles import Stated, note_date, stated_in
from .under_headings import ANSWERED, meanings_under, with_answers

if TYPE_CHECKING:
    from collections.abc import Sequence


_DESCRIBING = ("description", "part_number", "stock_number", "vehicle", "holder", "place",
               "feature", "statement", "assembly")  # fmt: skip
#: Kinds in whose tables a description alone may be an item of which nothing more is known.
_BARE_ITEMS = frozenset({"holding", "want", "lead", "promise", "vehicle", "holder", "place", None})
_ITEM_KINDS = frozenset({"holding", "requirement", "want", "survey", "promise", "lead"})
_CARRIED_VEHICLE = frozenset({"vehicle", "survey", "feature", "history"})
_SECTION_FIELDS = ("assembly", "side", "position")
_UNKNOWN = "unknown"


@dataclass(slots=True)
class TableRead:
    """A table as lines of text.

    ``lines``: columns ``row``, ``words``, ``section``, ``kind``, ``sheet_date``, fields, and
    ``column`` in a matrix. ``not_data``: ``row``, ``words``, ``reason`` of the rows that are no
    lines. ``layout``: how each column was taken.
    """

    lines: pl.DataFrame
    not_data: pl.DataFrame
    layout: list[dict[str, object]] = field(default_factory=list)
    questions: list[Question] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class _Head:
    """A table's head: place and texts of the headings, first body row, titles above."""

    at: int | None
    body: int
    titles: tuple[str, ...]
    texts: tuple[str | None, ...] = ()


@dataclass(frozen=True, slots=True)
class _Taken:
    """What a table was taken for.

    ``fields``: by column. ``builds``: heading by column where each stands for a build, with
    figures in them if ``counted``; ``sides``: likewise where each counts one side.
    ``no_vehicle``: a survey that does not say of which vehicle.
    """

    kind: str | None
    fields: dict[str, Taken]
    reason: str
    headings: list[Heading]
    matrix: Matrix | None
    builds: dict[str, str]
    counted: bool
    sides: dict[str, str]
    no_vehicle: bool = False


def read_table(table: pl.DataFrame, columns: Sequence[str], around: Around) -> TableRead:
    """Return one table, cleaned by :func:`.grid.clean`, as lines of text.

    Every row of it is either the origin of lines (in a survey matrix: every body cell is) or
    listed in ``not_data``; none is both.
    """
    head, matrix = _head(table, columns, around)
    body = table.slice(head.body)
    stated = _stated(head, around)
    taken = _take(body, columns, head, matrix, stated, around)
    rows = sort_rows(
        body, columns, head.texts or None, _column_of(taken.fields, _DESCRIBING),
        items_are_rows=taken.kind in _BARE_ITEMS and matrix is None,
    )  # fmt: skip
    not_data = pl.concat(
        [_above(table.head(head.body), columns, head.at), _with_words(rows, table, columns)]
    )
    rows = _under_titles(rows, head.titles)
    lines = _with_defaults(
        _lines(rows.lines, columns, taken), taken.kind, stated, rows,
        day_first=around.told.day_first,
    )  # fmt: skip
    questions: list[Question] = []
    if "presence" in lines.columns and taken.kind == "survey":
        legend = dict(rows.legend)
        for title in head.titles:
            legend.update(marks.read_legend(title))
        under = _answers_in(taken, "presence")
        lines, unclear = marks.settle_marks(lines, around.label, legend, around.told, under)
        questions = [about_mark(around.label, *found) for found in sorted(unclear.items())]
    if taken.no_vehicle and lines.height:
        questions.append(about_vehicle(around.label, lines.height))
    elif taken.kind is None and lines.height:
        questions = about_kind(around.label, taken.headings, lines.height, around)
    header_row_number = table["row"][head.at] if head.at is not None else None
    layout = _layout(columns, head.texts, header_row_number, taken, around)
    return TableRead(lines, not_data, layout, questions)


def _head(
    table: pl.DataFrame, columns: Sequence[str], around: Around
) -> tuple[_Head, Matrix | None]:
    """Return the head of a table, and the survey matrix it is, if it is one."""
    top = [list(row) for row in table.head(HEAD_ROWS).select(columns).iter_rows()]
    explained = {key for place, key in around.told.fields if place in {around.label, ""}}
    at = header_row(top, explained, kind_told=around.kind_told is not None)
    matrix = find_matrix(table, columns, at)
    if matrix is not None:
        at = matrix.at
    if at is None:
        several = (table["n"] > 1).arg_true()
        body = int(several[0]) if several.len() and len(columns) > 1 else 0
        return _Head(None, body, tuple(table.head(body)["first"].to_list())), None
    titles = (" ".join(cell for cell in row if cell) for row in top[:at])
    texts = top[at] if matrix is not None or at == 0 else joined_headings(top[at - 1], top[at])
    return _Head(at, at + 1, tuple(titles), tuple(texts)), matrix


def _take(
    body: pl.DataFrame, columns: Sequence[str], head: _Head, matrix: Matrix | None,
    stated: Stated, around: Around,
) -> _Taken:  # fmt: skip
    """Return what a table is taken for, by its headings, titles and content."""
    across = {name for name, _ in matrix.across} if matrix else set()
    texts = dict(zip(columns, head.texts or [None] * len(columns), strict=True))
    chosen = {column: text or "" for column, text in texts.items() if column not in across}
    headings = read_headings(body, chosen, around, of_vehicle=stated.vehicle is not None)
    builds, counted = build_columns(headings, body) if matrix is None else ({}, False)
    kind = _kind(headings, head, around, stated, matrix, builds)
    if kind.kind != "requirement":
        builds = {}
    fields = {column: taken for column, taken in kind.fields.items() if column not in builds}
    _fill_gaps(fields, headings, kind.kind, headless=head.at is None)
    if kind.kind == "holding" and stated.holder is None:
        _owner_has_it(fields)
    no_vehicle = kind.kind == "survey" and not (
        matrix or stated.vehicle or _column_of(fields, ["vehicle"])
    )
    name, reason = kind.kind, kind.reason
    if name in _ITEM_KINDS and not matrix and not _names_items(fields):
        name, reason = None, "no column is clearly the part's name or number"
    elif no_vehicle:
        name, reason = None, "a survey, but of which vehicle is not said"
    counts = "quantity" in KIND_FIELDS.get(name or "", {}) and not _column_of(fields, ["quantity"])
    sides = side_columns(headings) if counts and matrix is None else {}
    fields = {column: taken for column, taken in fields.items() if column not in sides}
    return _Taken(name, fields, reason, headings, matrix, builds, counted, sides, no_vehicle)


def _stated(head: _Head, around: Around) -> Stated:
    """Return what titles say, the sheet's before the file name's; people's answers fill gaps."""
    near = stated_in([*head.titles, around.title or "", around.sheet or ""], around.told.day_first)
    stem = around.name.rpartition("/")[2].rpartition(".")[0]
    far = stated_in([stem], around.told.day_first)
    told = around.told
    return Stated(
        holder=near.holder or told.holder or far.holder,
        place=near.place,
        family=near.family or told.family or far.family,
        vehicle=near.vehicle or told.vehicle or far.vehicle,
        date=near.date or around.stated_on,
    )


def _kind(
    headings: Sequence[Heading], head: _Head, around: Around, stated: Stated,
    matrix: Matrix | None, builds: dict[str, str],
) -> KindTaken:  # fmt: skip
    """Return the kind of the table's lines and the fields of its columns."""
    told = around.kind_told
    given = [name for name in ("holder", "vehicle") if getattr(stated, name) is not None]
    if matrix is not None:
        taken = take_kind(headings, {}, ["vehicle", "presence"], told="survey")
        fields = {c: t for c, t in taken.fields.items()
                  if t.field not in {"presence", "condition", "quantity", "unit"}}  # fmt: skip
        way = (
            "vehicles down, parts across" if matrix.parts_across else "parts down, vehicles across"
        )
        return KindTaken("survey", fields, f"matrix: {way}")
    titles = [(text, 4.0) for text in (*head.titles, around.title or "")]
    titles += [(around.sheet or "", 3.0), (around.name.rpartition("/")[2], 2.0)]
    if len(headings) == 1:  # the heading of a list of one column is its title too
        titles.append((headings[0].text, 4.0))
    spoken = kinds_in_titles(titles)
    if builds:
        spoken["requirement"] = max(spoken.get("requirement", 0.0), 4.0)
    if head.at is None and told is None:
        by_content = fields_by_content([(h.column, h.content) for h in headings])
        fields = {c: Taken(f, "content") for c, f in by_content.items()}
        kind = max(spoken, key=lambda k: spoken[k]) if spoken else "holding"
        clear = {"description", "quantity"} <= set(by_content.values()) or (
            bool(spoken) and "description" in by_content.values()
        )
        fields = {c: t for c, t in fields.items() if t.field in KIND_FIELDS[kind]}
        if clear and kind in _ITEM_KINDS - {"survey", "promise"}:
            return KindTaken(kind, fields, "no headings: told by content")
        return KindTaken(None, {}, "no headings, and the content is not clear")
    return take_kind(headings, spoken, given, told)


def _fill_gaps(
    fields: dict[str, Taken], headings: Sequence[Heading], kind: str | None, *, headless: bool
) -> None:
    """Give columns without a heading the field their cells speak for, where it is wanted."""
    if kind is None or kind not in _ITEM_KINDS | {"fit"}:
        return
    have = {taken.field for taken in fields.values()}
    bare = [(h.column, h.content) for h in headings if not h.text and h.column not in fields]
    for column, name in fields_by_content(bare).items():
        wanted = headless or name == "description"
        if wanted and name in KIND_FIELDS[kind] and name not in have:
            fields[column] = Taken(name, "content")


def _owner_has_it(fields: dict[str, Taken]) -> None:
    """Take the owner for the holder where a list of holdings names no other (common practice)."""
    if any(taken.field == "holder" for taken in fields.values()):
        return
    for column, taken in fields.items():
        if taken.field == "owner":
            fields[column] = Taken("holder", "heading; nobody else is named as having it")


def _names_items(fields: dict[str, Taken]) -> bool:
    """Tell whether a column names parts, by words or number."""
    return any(t.field in {"description", "part_number", "stock_number", "drawing_number",
                           "casting_number", "maker_number"} for t in fields.values())  # fmt: skip


def _column_of(fields: dict[str, Taken], wanted: Sequence[str]) -> str | None:
    """Return the column of the first of the wanted fields that has one."""
    by_field = {taken.field: column for column, taken in fields.items()}
    return next((by_field[name] for name in wanted if name in by_field), None)


def _above(above: pl.DataFrame, columns: Sequence[str], at: int | None) -> pl.DataFrame:
    """Return the rows down to the headings as rows that are no lines."""
    reason = pl.when(pl.int_range(pl.len()) == (-1 if at is None else at))
    return above.select(
        "row", grid.words_of(columns).alias("words"),
        reason.then(pl.lit("headings")).otherwise(pl.lit("title")).alias("reason"),
    )  # fmt: skip


def _under_titles(rows: Sorted, titles: Sequence[str]) -> Sorted:
    """Return sorted rows, those before any section under the one above the headings ("HULL")."""
    section = read_section(titles[-1]) if titles else None
    if section is None or not section.named or section.assembly is None:
        return rows
    first = pl.col("section").is_null()
    lines = rows.lines.with_columns(
        pl.when(first).then(pl.lit(section.assembly)).otherwise("section_assembly")
        .alias("section_assembly"),
        pl.when(first).then(pl.lit(section.words)).otherwise("section").alias("section"),
    )  # fmt: skip
    return replace(rows, lines=lines)


def _with_words(rows: Sorted, table: pl.DataFrame, columns: Sequence[str]) -> pl.DataFrame:
    """Return the sorted-out rows with their words."""
    words = table.select("row", grid.words_of(columns).alias("words"))
    return rows.not_data.join(words, on="row", how="left", maintain_order="left").select(
        "row", "words", "reason"
    )


def _lines(rows: pl.DataFrame, columns: Sequence[str], taken: _Taken) -> pl.DataFrame:
    """Return the line rows with fields for columns, and the rest of each row as remark."""
    rows = rows.with_columns(grid.words_of(columns).alias("words"))
    if taken.kind is None:
        return rows.select("row", "words", "section", *_SECTIONS)
    if taken.builds:
        rows = spread(rows, taken.builds, counted=taken.counted)
    rows = grid.carry_down_dittos(rows, columns)
    fields = {column: one.field for column, one in taken.fields.items()}
    chosen = [(column, name) for column, name in fields.items() if name != "remark"]
    across = (
        {name for name, _ in taken.matrix.across} if taken.matrix else {*taken.builds, *taken.sides}
    )
    texts = {heading.column: heading.text for heading in taken.headings}
    remarks = [
        (name, "" if fields.get(name) == "remark" else texts.get(name, ""))
        for name in columns
        if name not in dict(chosen) and name not in across
    ]
    if taken.matrix is not None:
        return cells_as_lines(rows, taken.matrix, chosen, remarks)
    if taken.kind in ANSWERED:
        rows, remarks = with_answers(rows, taken.kind, chosen, remarks, texts)
    remark = grid.labelled(remarks) if remarks else pl.lit(None, pl.String)
    for name, column in (("effectivity", "build_words"), ("quantity", "build_quantity")):
        if column in rows.columns:
            chosen = [*((c, f) for c, f in chosen if f != name), (column, name)]
    if taken.sides:
        rows = rows.with_columns(quantity_of(taken.sides).alias("side_quantity"))
        chosen.append(("side_quantity", "quantity"))
    return rows.select(
        "row", "words", "section", *_SECTIONS,
        *(pl.col(column).alias(name) for column, name in chosen), remark.alias("remark"),
    )  # fmt: skip


_SECTIONS = tuple(f"section_{name}" for name in _SECTION_FIELDS)


def _answers_in(taken: _Taken, name: str) -> dict[str, str]:
    """Return what a bare yes or no, folded, means in the column taken for a field."""
    column = _column_of(taken.fields, [name])
    texts = (heading.text for heading in taken.headings if heading.column == column)
    return meanings_under(next(texts, ""), name)


def _with_defaults(
    lines: pl.DataFrame, kind: str | None, stated: Stated, rows: Sorted, *,
    day_first: bool | None,
) -> pl.DataFrame:  # fmt: skip
    """Return lines with what titles, section rows and people's answers give for all of them."""
    date = stated.date
    for note in rows.notes:
        date = date or note_date(note, day_first)
    allowed = KIND_FIELDS.get(kind or "", {})
    given: dict[str, pl.Expr] = {
        name: pl.col(f"section_{name}") for name in _SECTION_FIELDS if name in allowed
    }
    for name in ("holder", "place", "family", "vehicle"):
        value = getattr(stated, name)
        fits = name in allowed and (name != "family" or kind != "vehicle")
        one_vehicle = name != "vehicle" or kind in {"survey", "feature", "history"}
        if value is not None and fits and one_vehicle and kind not in {"place", "holder"}:
            given[name] = pl.lit(value)
    carried = [name for name in ("vehicle",) if name in lines.columns and kind in _CARRIED_VEHICLE]
    carried += [name for name in ("assembly",) if _named_once(lines, name)]
    # A vehicle named once stands for the rows below it until the next (common practice).
    lines = lines.with_columns(pl.col(carried).forward_fill())
    filled = [
        (pl.coalesce(name, expr) if name in lines.columns else expr).alias(name)
        for name, expr in given.items()
    ]
    return lines.with_columns(
        *filled,
        pl.lit(kind, pl.String).alias("kind"),
        pl.lit(date, pl.Date).alias("sheet_date"),
    ).drop(*_SECTIONS)


def _named_once(lines: pl.DataFrame, name: str) -> bool:
    """Tell whether a column names a group in its first row only: filled first, never repeated."""
    if name not in lines.columns or not lines.height or lines[name][0] is None:
        return False
    same_as_above = (lines[name] == lines[name].shift(1)).any()
    return lines[name].null_count() > 0 and not same_as_above


def _layout(
    columns: Sequence[str], header: Sequence[str | None], header_row_number: int | None,
    taken: _Taken, around: Around,
) -> list[dict[str, object]]:  # fmt: skip
    """Return how the table was understood, a row a column."""
    texts = dict(zip(columns, header or [None] * len(columns), strict=True))
    found = dict(taken.fields) if taken.kind is not None else {}
    if taken.matrix is not None:
        found |= {name: Taken("presence", f"under '{text}'") for name, text in taken.matrix.across}
    found |= {name: Taken("effectivity", "a column for each build") for name in taken.builds}
    found |= {name: Taken("quantity", "a column for each side") for name in taken.sides}
    remark = Taken("remark", "remark")
    rows: list[dict[str, object]] = []
    for name in columns:
        one = found.get(name, remark)
        rows.append({
            "sheet": around.sheet, "table_number": around.number,
            "line_kind": taken.kind or _UNKNOWN, "header_row": header_row_number,
            "column": int(name), "heading": texts[name],
            "field": None if one.field == "remark" else one.field,
            "reason": f"{one.reason}; table: {taken.reason}",
        })  # fmt: skip
    return rows
