"""One table: its headings, kind, titles and rows, and from them lines of text."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

import polars as pl

from partmuster_schemas.text_lines import FIELDS
from partmuster_schemas.words import KINDS
from partmuster_trade.headings import HeadingMeaning, fold_heading

from . import grid, marks
from .content import content_of, fields_by_content, suits
from .headings import HEAD_ROWS, Heading, Taken, header_row, meanings_of
from .kinds import KIND_FIELDS, KindTaken, kinds_in_titles, take_kind
from .matrix import Matrix, cells_as_lines, find_matrix
from .rows import Sorted, sort_rows
from .titles import Stated, note_date, stated_in

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Sequence

    from .told import Told

_DESCRIBING = ("description", "part_number", "stock_number", "vehicle", "holder", "place",
               "feature", "statement", "assembly")  # fmt: skip
_NAMING = frozenset({"description", "part_number", "stock_number", "vehicle", "holder", "place",
                     "feature", "statement", "hull_serial", "phone"})  # fmt: skip
#: Kinds in whose tables a description alone may be an item of which nothing more is known.
_BARE_ITEMS = frozenset({"holding", "want", "lead", "promise", "vehicle", "holder", "place", None})
_ITEM_KINDS = frozenset({"holding", "requirement", "want", "survey", "promise", "lead"})
_CARRIED_VEHICLE = frozenset({"vehicle", "survey", "feature", "history"})
_SECTION_FIELDS = ("assembly", "side", "position")
_UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True)
class Around:
    """What surrounds a table: sheet, the grid's title, the file's name, and people's answers."""

    sheet: str | None
    title: str | None
    name: str
    told: Told
    stated_on: dt.date | None = None
    number: int = 1

    @property
    def label(self) -> str:
        """What questions and answers call the table's place: its sheet, else the file's name."""
        return self.sheet or self.name.rpartition("/")[2]

    @property
    def kind_told(self) -> str | None:
        """The kind of line a person named for it."""
        return self.told.kinds.get(self.label, self.told.kinds.get(""))


@dataclass(slots=True)
class Question:
    """Something only a person can settle about a table; ``lines`` is how many it touches."""

    topic: str
    subject: str
    question: str
    choices: str
    lines: int


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
    """A table's head: place of the headings, of the first body row, and titles above."""

    at: int | None
    body: int
    titles: tuple[str, ...]


def read_table(table: pl.DataFrame, columns: Sequence[str], around: Around) -> TableRead:
    """Return one table, cleaned by :func:`.grid.clean`, as lines of text.

    Every row of it is either the origin of lines (in a survey matrix: every body cell is) or
    listed in ``not_data``; none is both.
    """
    head_rows = [list(row) for row in table.head(HEAD_ROWS).select(columns).iter_rows()]
    explained = {key for place, key in around.told.fields if place in {around.label, ""}}
    at = header_row(head_rows, explained, kind_told=around.kind_told is not None)
    matrix = find_matrix(table, columns, at)
    if matrix is not None:
        at = matrix.at
    head = _head(table, columns, at)
    body = table.slice(head.body)
    header = list(table.select(columns).row(at)) if at is not None else None
    stated = _stated(head, around)
    across = {name for name, _ in matrix.across} if matrix else set()
    headings = _headings(body, [c for c in columns if c not in across], columns, header, around)
    taken = _kind(headings, head, around, stated, matrix)
    fields = dict(taken.fields)
    _fill_gaps(fields, headings, taken.kind, headless=header is None)
    if taken.kind == "holding" and stated.holder is None:
        _owner_has_it(fields)
    sheet = around.label
    no_vehicle = taken.kind == "survey" and not (
        matrix or stated.vehicle or _column_of(fields, ["vehicle"])
    )
    if taken.kind in _ITEM_KINDS and not matrix and not _names_items(fields):
        taken = KindTaken(None, {}, "no column is clearly the part's name or number")
    elif no_vehicle:
        taken = KindTaken(None, {}, "a survey, but of which vehicle is not said")
    describing = _column_of(fields, _DESCRIBING)
    rows = sort_rows(
        body, columns, header, describing,
        items_are_rows=taken.kind in _BARE_ITEMS and matrix is None,
    )  # fmt: skip
    above = table.head(head.body)
    legend = dict(rows.legend)
    for title in head.titles:
        legend.update(marks.read_legend(title))
    not_data = pl.concat([_above(above, columns, at), _with_words(rows, table, columns)])
    lines = _lines(rows.lines, columns, headings, fields, taken.kind, matrix)
    lines = _with_defaults(lines, taken.kind, stated, rows)
    questions: list[Question] = []
    if "presence" in lines.columns and taken.kind == "survey":
        lines, unclear = marks.settle_marks(lines, sheet, legend, around.told)
        questions += [_about_mark(sheet, mark, count) for mark, count in sorted(unclear.items())]
    if no_vehicle and lines.height:
        questions.append(_about_vehicle(sheet, lines.height))
    elif taken.kind is None and lines.height:
        questions += _about_kind(sheet, headings, lines.height, around)
    layout = _layout(columns, header, at, table, fields, taken, matrix, around)
    return TableRead(lines, not_data, layout, questions)


def _head(table: pl.DataFrame, columns: Sequence[str], at: int | None) -> _Head:
    """Return the head of a table whose headings stand at a place, or nowhere."""
    if at is None:
        several = (table["n"] > 1).arg_true()
        at_first = int(several[0]) if several.len() and len(columns) > 1 else 0
        titles = table.head(at_first)["first"].to_list()
        return _Head(None, at_first, tuple(titles))
    titles = table.head(at).select(w=grid.words_of(columns))["w"].to_list()
    return _Head(at, at + 1, tuple(title.replace(" | ", " ") for title in titles))


def _stated(head: _Head, around: Around) -> Stated:
    """Return what titles say, the sheet's before the file name's; people's answers fill gaps."""
    near = stated_in([*head.titles, around.title or "", around.sheet or ""], around.told.day_first)
    stem = around.name.rpartition("/")[2].rpartition(".")[0]
    far = stated_in([stem])
    told = around.told
    return Stated(
        holder=near.holder or told.holder or far.holder,
        place=near.place,
        family=near.family or told.family or far.family,
        vehicle=near.vehicle or told.vehicle or far.vehicle,
        date=near.date or around.stated_on,
    )


def _headings(
    body: pl.DataFrame, chosen: Sequence[str], columns: Sequence[str],
    header: Sequence[str | None] | None, around: Around,
) -> list[Heading]:  # fmt: skip
    """Return the headings of the chosen columns with what they may mean."""
    texts = dict(zip(columns, header or [None] * len(columns), strict=True))
    found = []
    for name in chosen:
        text = texts[name] or ""
        meanings, similarity = meanings_of(text) if text else ((), 0.0)
        key = fold_heading(text) or f"column {name}"
        answers = around.told.fields
        answer = answers.get((around.label, key), answers.get(("", key)))
        if answer is not None:
            meanings, similarity = (), 2.0
            if answer in FIELDS and answer != "remark":
                meanings = (HeadingMeaning(answer, (), "", 0),)
        found.append(Heading(name, text, meanings, similarity, content_of(body[name])))
    return _with_description(found)


def _with_description(headings: list[Heading]) -> list[Heading]:
    """Return headings, the first wordy column under an unknown one read as the part's name.

    Only where no heading can mean a part or a name, and another heading is known.
    """
    means = {m.field for h in headings for m in h.meanings}
    if means & _NAMING or not any(h.similarity for h in headings):
        return headings
    for at, heading in enumerate(headings):
        wordy = heading.content is not None and suits("description", heading.content) > 0
        if wordy and heading.text and not heading.similarity:
            guess = HeadingMeaning("description", (), "", 0)
            return [*headings[:at], replace(heading, meanings=(guess,), similarity=0.7),
                    *headings[at + 1 :]]  # fmt: skip
    return headings


def _kind(
    headings: Sequence[Heading], head: _Head, around: Around, stated: Stated,
    matrix: Matrix | None,
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
    spoken = kinds_in_titles(titles)
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


def _with_words(rows: Sorted, table: pl.DataFrame, columns: Sequence[str]) -> pl.DataFrame:
    """Return the sorted-out rows with their words."""
    words = table.select("row", grid.words_of(columns).alias("words"))
    return rows.not_data.join(words, on="row", how="left", maintain_order="left").select(
        "row", "words", "reason"
    )


def _lines(
    rows: pl.DataFrame, columns: Sequence[str], headings: Sequence[Heading],
    fields: dict[str, Taken], kind: str | None, matrix: Matrix | None,
) -> pl.DataFrame:  # fmt: skip
    """Return the line rows with fields for columns, and the rest of each row as remark."""
    rows = rows.with_columns(grid.words_of(columns).alias("words"))
    if kind is None:
        return rows.select("row", "words", "section", *_SECTIONS)
    rows = grid.carry_down_dittos(rows, columns)
    chosen = [(column, taken.field) for column, taken in fields.items() if taken.field != "remark"]
    across = {name for name, _ in matrix.across} if matrix else set()
    remark_columns = {column for column, taken in fields.items() if taken.field == "remark"}
    texts = {h.column: h.text for h in headings}
    remarks = [
        (name, "" if name in remark_columns else texts.get(name, ""))
        for name in columns
        if name not in dict(chosen) and name not in across
    ]
    if matrix is not None:
        return cells_as_lines(rows, matrix, chosen, remarks)
    remark = grid.labelled(remarks) if remarks else pl.lit(None, pl.String)
    return rows.select(
        "row", "words", "section", *_SECTIONS,
        *(pl.col(column).alias(name) for column, name in chosen), remark.alias("remark"),
    )  # fmt: skip


_SECTIONS = tuple(f"section_{name}" for name in _SECTION_FIELDS)


def _with_defaults(
    lines: pl.DataFrame, kind: str | None, stated: Stated, rows: Sorted
) -> pl.DataFrame:
    """Return lines with what titles, section rows and people's answers give for all of them."""
    date = stated.date
    for note in rows.notes:
        date = date or note_date(note)
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


def _about_mark(sheet: str, mark: str, count: int) -> Question:
    """Return the question what a survey mark means."""
    place = f"sheet '{sheet}'" if sheet else "this survey"
    return Question("marks", f"{sheet}|{mark}", f"What does '{mark}' mean on {place}?",
                    ";".join(marks.CHOICES), count)  # fmt: skip


def _about_vehicle(sheet: str, count: int) -> Question:
    """Return the question which vehicle a survey is of."""
    place = f"sheet '{sheet}'" if sheet else "this table"
    return Question(
        "layout", f"{sheet}|vehicle", f"Which vehicle is {place} a survey of?", "", count
    )


def _about_kind(
    sheet: str, headings: Sequence[Heading], count: int, around: Around
) -> list[Question]:
    """Return the question what a table lists or, that being told, what its columns hold."""
    place = f"sheet '{sheet}'" if sheet else "this table"
    kind = around.kind_told
    if kind not in KINDS:
        shown = ", ".join(h.text or (h.content.examples[0] if h.content else "") for h in headings)
        return [Question("layout", f"{sheet}|kind", f"What does {place} list? Columns: {shown}",
                         ";".join(KINDS), count)]  # fmt: skip
    choices = ";".join([*KIND_FIELDS[kind], "remark"])
    return [
        Question(
            "layout", f"{sheet}|column: {h.text or f'column {h.column}'}",
            f"What stands in column '{h.text or h.column}' of {place}? "
            f"For example: {', '.join(h.content.examples)}", choices, count,
        )
        for h in headings if h.content is not None
    ]  # fmt: skip


def _layout(
    columns: Sequence[str], header: Sequence[str | None] | None, at: int | None,
    table: pl.DataFrame, fields: dict[str, Taken], taken: KindTaken, matrix: Matrix | None,
    around: Around,
) -> list[dict[str, object]]:  # fmt: skip
    """Return how the table was understood, a row a column."""
    texts = dict(zip(columns, header or [None] * len(columns), strict=True))
    across = dict(matrix.across) if matrix else {}
    rows: list[dict[str, object]] = []
    for name in columns:
        one = fields.get(name) if taken.kind is not None else None
        field_name = "presence" if name in across else (one.field if one else None)
        if field_name == "remark":
            field_name = None
        why = f"under '{across[name]}'" if name in across else (one.reason if one else "remark")
        rows.append({
            "sheet": around.sheet, "table_number": around.number,
            "line_kind": taken.kind or _UNKNOWN,
            "header_row": table["row"][at] if at is not None else None,
            "column": int(name), "heading": texts[name], "field": field_name,
            "reason": f"{why}; table: {taken.reason}",
        })  # fmt: skip
    return rows
