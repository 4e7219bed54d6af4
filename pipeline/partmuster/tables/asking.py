"""What surrounds a table, and what to ask a person where it is not clear."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from partmuster_schemas.words import KINDS
from partmuster_trade.headings import fold_heading

from .kinds import KIND_FIELDS, kinds_in_titles
from .marks import CHOICES
from .told import COLUMN, column_key

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Mapping, Sequence

    from .headings import Heading
    from .merged import Spans
    from .parts_list import PageEnd
    from .told import Shape, Told


@dataclass(frozen=True, slots=True)
class Around:
    """What surrounds a table: sheet, the grid's title, the file's name, and people's answers.

    ``over``: titles of the table at its left, where it has none of its own. ``spans``: from
    :func:`.merged.spans_of`. ``kind``: what the words above some of its columns say they list.
    ``learned``: the other source whose answers hold for this table too. ``beside``: notes beside
    the table. ``down``: the columns that have cells merged down. ``names``: what answers call each
    column, from :func:`.told.column_names`. ``vehicle``: the one after which the table is
    named, as others below each other are. ``page``: the page it stands on, ``before``: what the
    page before hands on. ``indents``: widths of leading blanks by column and row. ``block_ends``: a
    mark on a later page ends the attaching parts that are open here.
    """

    sheet: str | None
    title: str | None
    name: str
    told: Told
    stated_on: dt.date | None = None
    number: int = 1
    over: tuple[str, ...] = ()
    spans: Spans = field(default_factory=dict)
    kind: str | None = None
    learned: str | None = None
    beside: tuple[str, ...] = ()
    down: frozenset[str] = frozenset()
    names: Mapping[int, str] = field(default_factory=dict)
    vehicle: str | None = None
    page: int | None = None
    before: PageEnd | None = None
    indents: Mapping[str, Mapping[int, int]] = field(default_factory=dict)
    block_ends: bool = False

    @property
    def label(self) -> str:
        """What questions and answers call the table's place: its sheet, else the file's name."""
        return self.sheet or self.name.rpartition("/")[2]

    @property
    def kind_told(self) -> str | None:
        """The kind of line a person named for it, or the words above its columns."""
        return self.kind or self.told.kinds.get(self.label, self.told.kinds.get(""))


@dataclass(slots=True)
class Question:
    """Something only a person can settle about a table; ``lines`` is how many it touches."""

    topic: str
    subject: str
    question: str
    choices: str
    lines: int


def about_mark(sheet: str, mark: str, count: int) -> Question:
    """Return the question what a survey mark means."""
    place = f"sheet '{sheet}'" if sheet else "this survey"
    return Question("marks", f"{sheet}|{mark}", f"What does '{mark}' mean on {place}?",
                    ";".join(CHOICES), count)  # fmt: skip


def about_vehicle(sheet: str, count: int) -> Question:
    """Return the question which vehicle a survey is of."""
    place = f"sheet '{sheet}'" if sheet else "this table"
    return Question(
        "layout", f"{sheet}|vehicle", f"Which vehicle is {place} a survey of?", "", count
    )


def about_kind(
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
            "layout",
            f"{sheet}{COLUMN}{around.names.get(int(h.column)) or h.text or f'column {h.column}'}",
            f"What stands in column '{h.text or h.column}' of {place}? "
            f"For example: {', '.join(h.content.examples)}", choices, count,
        )
        for h in headings if h.content is not None
    ]  # fmt: skip


def field_told(around: Around, heading: str, column: str, name: str) -> str | None:
    """Return the field a person told for a column: for just this one, else for its heading.

    ``name``: what answers call it.
    """
    answers = around.told.fields
    for key in dict.fromkeys((column_key(name), f"column {column}", fold_heading(heading))):
        for place in (around.label, ""):
            if key and (place, key) in answers:
                return answers[place, key]
    return None


def as_told_elsewhere(around: Around, shape: Shape, titles: Sequence[str]) -> Around:
    """Return a table's surroundings with what was told of tables of its shape in other sources.

    What people said for this source itself rules, and so do titles (of table, sheet and file)
    that speak for another kind.
    """
    found = around.told.shapes.get(shape)
    if found is None or around.told.of_sheet(around.label):
        return around
    own = (*titles, *around.over, around.title or "", around.sheet or "", around.name)
    spoken = kinds_in_titles([(title, 1.0) for title in own])
    if found.kind and spoken and found.kind not in spoken:
        return around
    kinds = {around.label: found.kind} if found.kind else {}
    fields = {(around.label, heading): field for heading, field in found.fields.items()}
    told = replace(around.told, kinds=kinds, fields=fields)
    return replace(around, told=told, learned=found.source)
