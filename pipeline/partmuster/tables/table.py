"""One table: its headings, kind, titles and rows, and from them lines of text."""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

import polars as pl

from . import grid, marks, parts_list
from .apart import lines_apart
from .asking import (
    Around,
    Question,
    about_kind,
    about_mark,
    about_vehicle,
    as_told_elsewhere,
)
from .assemblies import read_section
from .builds_across import spread
from .cell_lines import lines_of_cells, named_once, told_by_titles
from .changes import with_change_answers
from .dates_down import day_of_count, with_dates_down
from .groups import Group, find_groups, read_as, shared_columns
from .head import Head, read_head, shape_of
from .indenture import GIVEN
from .kind_words import kind_of
from .kinds import KIND_FIELDS
from .layout_rows import layout_rows
from .likelihoods import read_key
from .merged import joined_under
from .name_columns import with_names_joined
from .rows import Sorted, sort_rows
from .rows_beside import rows_above, with_margin, with_words
from .serial_columns import with_serials
from .sides_across import with_side_fields, with_sides
from .silent import without_silent
from .taking import TableTaken, column_of, stated_by, take_table
from .ticked import with_states_joined
from .titles import Stated, note_date
from .told import column_names
from .under_headings import ANSWERED, counted_presence, meanings_under, with_answers
from .vehicle_rows import VEHICLE, with_vehicle_rows
from .visits import with_counts

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from .matrix import Matrix


_DESCRIBING = ("description", "part_number", "stock_number", "vehicle", "holder", "place",
               "feature", "statement", "assembly")  # fmt: skip
#: Kinds in whose tables a description alone may be an item of which nothing more is known.
_BARE_ITEMS = frozenset({"holding", "want", "lead", "promise", "vehicle", "holder", "place", None})
_CARRIED_VEHICLE = frozenset({"vehicle", "survey", "feature", "history"})
#: What a row says of having gone stays in its remark too: to whom, for how much.
_ALSO_REMARKS = frozenset({"gone", "gone_to", "gone_on", "had"})
_SECTION_FIELDS = ("assembly", "side", "position")


@dataclass(slots=True)
class TableRead:
    """A table as lines of text.

    ``lines``: columns ``row``, ``words``, ``section``, ``kind``, ``sheet_date``, fields, and
    ``column`` in a matrix. ``not_data``: ``row``, ``words``, ``reason`` of the rows that are no
    lines. ``layout``: how each column was taken. ``goes_on``: by row, the one that it goes on from.
    ``end``: what a parts list hands on to the next page.
    """

    lines: pl.DataFrame
    not_data: pl.DataFrame
    layout: list[dict[str, object]] = field(default_factory=list)
    questions: list[Question] = field(default_factory=list)
    goes_on: dict[int, int] = field(default_factory=dict)
    end: parts_list.PageEnd | None = None


@dataclass(frozen=True, slots=True)
class _Part:
    """A table, or the columns of it that are read together, with what they are taken for."""

    columns: Sequence[str]
    texts: Mapping[str, str | None]
    taken: TableTaken
    around: Around
    stated: Stated
    group: Group | None = None

    @property
    def own(self) -> Sequence[str]:
        """The columns that no other part has."""
        return self.group.columns if self.group else self.columns


def read_table(table: pl.DataFrame, columns: Sequence[str], around: Around) -> TableRead:
    """Return one table as lines of text.

    ``table``: from :func:`.pieces.find_pieces`: rows cleaned by :func:`.grid.clean`, with
    ``words``, and with ``margin``, a note beside the row, where there are any.
    Every row of it is either the origin of lines (in a survey matrix: every body cell is) or
    listed in ``not_data``; none is both.
    """
    head, matrix = read_head(table, columns, around)
    before = parts_list.goes_on(table, columns, head, matrix, around)
    if before is not None and head.at is None:
        head = parts_list.head_of(before)
    around = as_told_elsewhere(around, shape_of(head.texts), head.titles)
    texts = dict(zip(columns, head.texts or [None] * len(columns), strict=True))
    table, columns = joined_under(table, columns, head.covers)
    if matrix is None and not head.covers and (head.at is not None or before is None):
        table, columns, head = with_states_joined(table, columns, head)
        table, columns, head = with_names_joined(table, columns, head)
        texts = dict(zip(columns, head.texts or [None] * len(columns), strict=True))
    body = table.slice(head.body)
    vehicles = with_vehicle_rows(body, columns, head.texts) if matrix is None else None
    if vehicles is not None:
        body = vehicles[0]
        columns, texts = [VEHICLE, *columns], {VEHICLE: "Vehicle", **texts}
        head = replace(head, texts=("Vehicle", *head.texts), plain=("Vehicle", *head.plain))
    stated = parts_list.stated_with(stated_by(head, around), before)
    parts = _parts(body, columns, texts, head, matrix, stated, around, before)
    taken = parts[0].taken
    listed = None
    if taken.kind == "requirement" and matrix is None and len(parts) == 1:
        listed = parts_list.begin(body, columns, texts, taken, head, stated, around, before)
        body = listed.rows.body
    rows = sort_rows(
        body, columns, [texts[name] for name in columns] if head.texts else None,
        column_of(taken.fields, _DESCRIBING),
        items_are_rows=taken.kind in _BARE_ITEMS and matrix is None,
        open_sections=listed.sections if listed else (),
    )  # fmt: skip
    not_data = pl.concat([rows_above(table.head(head.body), head), with_words(rows, table)])
    if vehicles is not None:
        named = vehicles[1].select("row", "words", pl.lit("section heading").alias("reason"))
        not_data = pl.concat([not_data, named])
    rows = _under_titles(rows, head.titles)
    rows = replace(rows, notes=(*rows.notes, *around.beside))
    header_row_number = table["row"][head.at] if head.at is not None else None
    read = TableRead(pl.DataFrame(), not_data)
    if listed is not None:
        rows, read.end, read.questions = parts_list.finish(listed, rows)
        read.goes_on = listed.rows.goes_on
        read.not_data = pl.concat([not_data, listed.rows.not_data])
    _read_parts(read, parts, rows, head.titles, header_row_number)
    if "margin" in table.columns:
        read.lines = with_margin(read.lines, table)
    return read


def _read_parts(
    read: TableRead, parts: Sequence[_Part], rows: Sorted, titles: Sequence[str],
    header_row: int | None,
) -> None:  # fmt: skip
    """Put the lines of all parts into what was read of a table, and how each was taken."""
    pieces = []
    for part in parts:
        lines, questions = _read_part(part, parts, rows, titles)
        across = part.taken.likelihoods
        cells = across.cells if across else "presence" if part.taken.matrix else None
        lines, silent = without_silent(lines, part.taken.kind, cells=cells)
        if silent is not None:
            read.not_data = pl.concat([read.not_data, silent], how="diagonal")
        pieces.append(lines)
        read.questions += questions
        shown = part.columns if part is parts[0] else part.own
        read.layout += layout_rows(shown, part.texts, header_row, part.taken, part.around)
    read.lines = pl.concat(pieces, how="diagonal")


def _parts(
    body: pl.DataFrame, columns: Sequence[str], texts: Mapping[str, str | None], head: Head,
    matrix: Matrix | None, stated: Stated, around: Around, before: parts_list.PageEnd | None,
) -> list[_Part]:  # fmt: skip
    """Return the groups of columns under words that say whose or what sort they are, or the table.

    Each group is read with the columns that belong to none.
    """
    if before is not None and head.at is None:
        around = _named(around, texts)
        return [_Part(columns, dict(texts), before.taken_for(columns), around, stated)]
    plain = dict(zip(texts, head.plain or [None] * len(texts), strict=True))
    groups = find_groups(head.above, plain) if matrix is None else []
    shared = shared_columns(columns, groups)
    found: list[_Part] = []
    for group in groups:
        own = [name for name in columns if name in shared or name in group.columns]
        its_texts = {name: plain[name] for name in own}
        near, said = _named(group.around(around), plain), group.stated(stated)
        asked = {name: read_as(group, text) if name in group.columns else text
                 for name, text in its_texts.items()}  # fmt: skip
        taken = take_table(body, asked, head, None, said, near)
        if not set(group.fields) <= KIND_FIELDS.get(taken.kind or "", {}).keys():
            break
        found.append(_Part(own, its_texts, taken, near, said, group))
    if groups and len(found) == len(groups) and all(part.taken.kind for part in found):
        return found
    chosen = {name: texts[name] for name in columns}
    around = _named(around, texts)
    taken = take_table(body, chosen, head, matrix, stated, around)
    if around.before is not None and head.at is None and around.kind_told is None:
        reason = "no headings, and not the columns of the page before"
        taken = replace(taken, kind=None, fields={}, reason=reason)
    return [_Part(columns, chosen, taken, around, stated)]


def _named(around: Around, texts: Mapping[str, str | None]) -> Around:
    return replace(around, names=column_names({int(name): texts[name] for name in texts}))


def _read_part(
    part: _Part, parts: Sequence[_Part], rows: Sorted, titles: Sequence[str]
) -> tuple[pl.DataFrame, list[Question]]:
    """Return the lines of one part and what to ask about it."""
    taken, around = part.taken, part.around
    heads = [taken.headings[0].text] if len(taken.headings) == 1 else []
    family, assembly = told_by_titles(taken.kind, [*titles, *heads], around)
    date = part.stated.date or day_of_count(taken.headings, taken.fields, around.told.day_first)
    stated = replace(part.stated, family=part.stated.family or family, date=date)
    if assembly and not column_of(taken.fields, ["assembly", "series"]):
        bare = pl.coalesce("section_assembly", pl.lit(assembly)).alias("section_assembly")
        rows = replace(rows, lines=rows.lines.with_columns(bare))
    key = read_key([*titles, *rows.notes]) if taken.likelihoods else {}
    lines = _with_defaults(
        _lines(rows.lines, part.columns, taken, key), taken.kind, stated, rows,
        part.group.fields if part.group else {}, day_first=around.told.day_first,
    )  # fmt: skip
    if part.group is not None:
        lines = lines.filter(pl.col("row").is_in(_rows_of(part, parts, rows).implode()))
    if taken.kind is not None and taken.matrix is None:
        lines = lines_apart(lines, taken.apart)
    questions: list[Question] = []
    if taken.kind == "survey" and taken.matrix is None and "quantity" in lines.columns:
        only_counts = all(one.tells != "survey" for one in taken.fields.values())
        below_vehicle = part.group is not None and part.group.sort == "vehicle"
        counted = counted_presence(lines, some=below_vehicle and only_counts)
        lines = lines.with_columns(counted.alias("presence"))
    if "presence" in lines.columns and taken.kind == "survey":
        legend = dict(rows.legend)
        for text in (*titles, *rows.notes):
            legend.update(marks.read_legend(text))
        under = _answers_in(taken, "presence")
        lines, unclear = marks.settle_marks(lines, around.label, legend, around.told, under)
        questions = [about_mark(around.label, *found) for found in sorted(unclear.items())]
    if taken.no_vehicle and lines.height:
        questions.append(about_vehicle(around.label, lines.height))
    elif taken.kind is None and lines.height:
        questions = about_kind(around.label, taken.headings, lines.height, around)
    return lines, questions


def _rows_of(part: _Part, parts: Sequence[_Part], rows: Sorted) -> pl.Series:
    """Return the rows with a cell under a group's words; the first has those without any, too."""
    filled = rows.lines.filter(pl.any_horizontal(pl.col(part.own).is_not_null()))["row"]
    if part is not parts[0]:
        return filled
    grouped = [name for one in parts for name in one.own]
    bare = rows.lines.filter(pl.all_horizontal(pl.col(grouped).is_null()))["row"]
    return pl.concat([filled, bare])


def _under_titles(rows: Sorted, titles: Sequence[str]) -> Sorted:
    """Return sorted rows, those before any section under the one above the headings ("HULL")."""
    if titles and kind_of(titles[-1]) == "holding":  # "FOR SALE" says more than its kind
        bare = pl.coalesce("section", pl.lit(titles[-1])).alias("section")
        return replace(rows, lines=rows.lines.with_columns(bare))
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


def _lines(
    rows: pl.DataFrame, columns: Sequence[str], taken: TableTaken, key: Mapping[str, str]
) -> pl.DataFrame:
    """Return the line rows with fields for columns, and the rest of each row as remark."""
    if taken.kind is None:
        return rows.select("row", "words", "section", *_SECTIONS)
    if taken.builds:
        rows = spread(rows, taken.builds, counted=taken.counted)
    rows = grid.carry_down_dittos(rows, columns)
    fields = {column: one.field for column, one in taken.fields.items()}
    chosen = [(column, name) for column, name in fields.items() if name != "remark"]
    across = (
        taken.matrix.columns
        if taken.matrix
        else {
            *taken.builds,
            *(taken.likelihoods.builds if taken.likelihoods else ()),
            *taken.sides,
            *taken.apart.columns,
            *(column for one in taken.serials for column in one.columns),
            *(column for column, _, _ in taken.counted_on),
        }
    )
    texts = {heading.column: heading.text for heading in taken.headings}
    remarks = [
        (name, "" if fields.get(name) == "remark" else texts.get(name, ""))
        for name in columns
        if (name not in dict(chosen) or fields[name] in _ALSO_REMARKS) and name not in across
    ]
    cells = lines_of_cells(rows, taken, chosen, remarks, key)
    if cells is not None:
        return cells
    if taken.kind in ANSWERED:
        rows, remarks = with_answers(rows, taken.kind, chosen, remarks, texts)
    rows = with_change_answers(rows, chosen, texts)
    remark = grid.labelled(remarks) if remarks else pl.lit(None, pl.String)
    for name, column in (("effectivity", "build_words"), ("quantity", "build_quantity")):
        if column in rows.columns:
            chosen = [*((c, f) for c, f in chosen if f != name), (column, name)]
    rows, chosen = with_serials(rows, taken.serials, chosen, apart=taken.kind == "build")
    if taken.counted_on:
        rows = with_counts(rows, taken.counted_on)
        chosen += [("counted", "quantity"), ("counted_on", "date")]
        remark = pl.concat_str("counted_before", remark, separator="; ", ignore_nulls=True)
        remark = pl.when(remark != "").then(remark)
    if taken.sides:
        rows = with_sides(rows, taken.sides, taken.kind, column_of(taken.fields, ["quantity"]))
        rows, chosen, remark = with_side_fields(rows, chosen, remark, taken.kind)
    given = {name: field for name, field in GIVEN.items() if name in rows.columns}
    asked = [column for column, field in chosen if field == "doubt"]
    if asked and "asks" in given:
        both = pl.concat_str(*asked, "asks", separator="; ", ignore_nulls=True)
        rows = rows.with_columns(pl.when(both != "").then(both).alias("asks"))
    chosen = [*((c, f) for c, f in chosen if f not in given.values()), *given.items()]
    return rows.select(
        "row", "words", "section", *_SECTIONS,
        *(pl.col(column).alias(name) for column, name in chosen), remark.alias("remark"),
        *taken.apart.selected(),
    )  # fmt: skip


_SECTIONS = tuple(f"section_{name}" for name in _SECTION_FIELDS)


def _answers_in(taken: TableTaken, name: str) -> dict[str, str]:
    """Return what a bare yes or no, folded, means in the column taken for a field."""
    column = column_of(taken.fields, [name])
    texts = (heading.text for heading in taken.headings if heading.column == column)
    return meanings_under(next(texts, ""), name)


def _with_defaults(
    lines: pl.DataFrame, kind: str | None, stated: Stated, rows: Sorted,
    above: Mapping[str, str], *, day_first: bool | None,
) -> pl.DataFrame:  # fmt: skip
    """Return lines with what titles, section rows, answers and words above give for all of them."""
    date = stated.date
    for note in rows.notes:
        date = date or note_date(note, day_first)
    allowed = KIND_FIELDS.get(kind or "", {})
    given: dict[str, pl.Expr] = {
        name: pl.col(f"section_{name}") for name in _SECTION_FIELDS if name in allowed
    }
    for name in ("holder", "place", "family", "vehicle", "gone"):
        value = getattr(stated, name)
        fits = name in allowed and (name != "family" or kind != "vehicle")
        one_vehicle = name != "vehicle" or kind in {"survey", "feature", "history", "want"}
        if kind == "want" and name == "vehicle" and not re.search(r"\s\d", value or ""):
            continue  # "list2.csv" is no vehicle that things are wanted for
        if value is not None and fits and one_vehicle and kind not in {"place", "holder"}:
            given[name] = pl.lit(value)
    given |= {name: pl.lit(text) for name, text in above.items() if name in allowed}
    carried = [name for name in ("vehicle",) if name in lines.columns and kind in _CARRIED_VEHICLE]
    carried += [name for name in ("assembly",) if named_once(lines, name)]
    # A vehicle named once stands for the rows below it until the next (common practice).
    lines = with_dates_down(lines.with_columns(pl.col(carried).forward_fill()), kind)
    filled = [
        (pl.coalesce(name, expr) if name in lines.columns else expr).alias(name)
        for name, expr in given.items()
    ]
    return lines.with_columns(
        *filled,
        pl.lit(kind, pl.String).alias("kind"),
        pl.lit(date, pl.Date).alias("sheet_date"),
    ).drop(*_SECTIONS)
