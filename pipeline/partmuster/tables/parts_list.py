"""A parts list as a whole: its rows, what belongs under what, and how it goes on over pages."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

import polars as pl

from partmuster_trade.headings import fold_heading

from .assemblies import is_continued
from .content import suits
from .figures import with_figures
from .head import Head, shape_of
from .indenture import Open, with_indenture
from .parts_list_rows import sift_rows
from .quantity_basis import about_basis, basis_in, basis_of_titles
from .read_headings import read_headings
from .titles import Stated

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from .asking import Around, Question
    from .matrix import Matrix
    from .parts_list_rows import Block, ListRows
    from .rows import SectionRow, Sorted
    from .taking import TableTaken


#: A brace joins rows: to one quantity, one remark, or as either of them.
_BRACE = r"(?:^|\s)[{}⎧⎨⎩⎫⎬⎭](?:\s|$)"
_ASKED_OF_BRACES = "a brace joins this row with others: what does it say of each?"


@dataclass(frozen=True, slots=True)
class PageEnd:
    """What a page of a parts list hands on to the next one of the same source."""

    page: int | None
    columns: tuple[str, ...]
    texts: tuple[str | None, ...]
    taken: TableTaken
    stated: Stated
    titles: tuple[str, ...]
    basis: str | None
    open: Open = field(default_factory=Open)
    block: Block | None = None
    section: SectionRow | None = None
    figure: str | None = None

    def taken_for(self, columns: Sequence[str]) -> TableTaken:
        """Return what the next page's columns are taken for."""
        names = dict(zip(self.columns, columns, strict=True))
        reason = f"headings of page {self.page}" if self.page else "headings of the page before"
        fields = {names[name]: replace(taken, reason=reason)
                  for name, taken in self.taken.fields.items()}  # fmt: skip
        headings = [replace(heading, column=names[heading.column])
                    for heading in self.taken.headings if heading.column in names]  # fmt: skip
        return replace(self.taken, fields=fields, headings=headings)


def goes_on(
    table: pl.DataFrame, columns: Sequence[str], head: Head, matrix: Matrix | None, around: Around
) -> PageEnd | None:
    """Return the page before if this one goes on with its table, with or without its headings.

    With headings: they are the same, and no title says that something else begins.
    """
    before = around.before
    if before is None or matrix is not None:
        return None
    if head.at is not None:
        old = {fold_heading(title) for title in before.titles}
        same = shape_of(head.texts) == shape_of(before.texts)
        new = [text for text in head.titles
               if fold_heading(text) not in old and not is_continued(text)]  # fmt: skip
        return before if same and not new else None
    return before if _of_same_kinds(table, columns, before, around) else None


def _of_same_kinds(
    table: pl.DataFrame, columns: Sequence[str], before: PageEnd, around: Around
) -> bool:
    """Tell whether a page without headings has as many columns as the one before, of its kinds."""
    taken = before.taken
    if len(columns) != len(before.columns) or around.kind_told not in {None, "requirement"}:
        return False
    named = taken.builds or taken.sides or taken.serials or taken.apart.columns
    if named and before.columns != tuple(columns):
        return False
    lines = table.filter(pl.col("n") > 1)
    found = read_headings(lines, dict.fromkeys(columns, ""), around, of_vehicle=False)
    contents = {heading.column: heading.content for heading in found}
    return all(
        suits(one.field, contents.get(new)) > -1
        for old, new in zip(before.columns, columns, strict=True)
        if (one := taken.fields.get(old)) is not None
    )


def head_of(before: PageEnd) -> Head:
    """Return the head of a page that has none of its own."""
    return Head(None, 0, (), before.texts, before.texts)


def stated_with(stated: Stated, before: PageEnd | None) -> Stated:
    """Return what titles say, gaps filled by those of the page before."""
    if before is None:
        return stated
    old = before.stated
    return Stated(
        stated.holder or old.holder, stated.by_name or old.by_name, stated.place or old.place,
        stated.family or old.family, stated.vehicle or old.vehicle, stated.date or old.date,
        stated.gone or old.gone,
    )  # fmt: skip


@dataclass(slots=True)
class PartsList:
    """A parts list that is being read: its rows, and what the page before left open."""

    rows: ListRows
    columns: Sequence[str]
    taken: TableTaken
    head: Head
    stated: Stated
    around: Around
    before: PageEnd | None

    @property
    def sections(self) -> list[SectionRow]:
        """The section that is open above the first row."""
        return [self.before.section] if self.before and self.before.section else []


def begin(
    body: pl.DataFrame, columns: Sequence[str], texts: Mapping[str, str | None],
    taken: TableTaken, head: Head, stated: Stated, around: Around, before: PageEnd | None,
) -> PartsList:  # fmt: skip
    """Return a parts list's rows sifted."""
    heads = [*head.titles, *around.over, around.title or "", *(before.titles if before else ())]
    rows = sift_rows(
        body,
        columns,
        [texts[name] for name in columns],
        taken.fields,
        heads,
        around.indents,
        before.block if before else None,
        None if before is None else "bare" if head.at is None else "headed",
    )
    if rows.open is not None and around.block_ends:
        rows.blocks[rows.open] = replace(rows.blocks[rows.open], ended=True)  # fmt: skip
    return PartsList(rows, columns, taken, head, stated, around, before)


def finish(parts_list: PartsList, rows: Sorted) -> tuple[Sorted, PageEnd, list[Question]]:
    """Return sorted rows with what belongs under what, what is open at the end, and questions."""
    before, around = parts_list.before, parts_list.around
    if before is not None and before.section is not None:
        first = pl.col("section").is_null()
        names = ("section", "section_assembly", "section_side", "section_position")
        rows = replace(rows, lines=rows.lines.with_columns(
            pl.when(first).then(pl.lit(value, pl.String)).otherwise(name).alias(name)
            for name, value in zip(names, before.section, strict=True)
        ))  # fmt: skip
    basis = _basis(parts_list, rows)
    lines, opened, asked = with_indenture(
        rows.lines, parts_list.columns, parts_list.taken.fields, parts_list.rows, basis,
        _begun(before),
    )  # fmt: skip
    lines, figure = with_figures(
        lines, parts_list.taken.fields, parts_list.rows.figure_ends,
        before.figure if before else None,
    )  # fmt: skip
    braced = pl.any_horizontal(pl.col(name).str.contains(_BRACE) for name in parts_list.columns)
    brace = pl.when(braced.fill_null(value=False)).then(pl.lit(_ASKED_OF_BRACES))
    asks = pl.concat_str("asks", "number_asks", brace, separator="; ", ignore_nulls=True)
    lines = lines.with_columns(asks=pl.when(asks != "").then(asks))
    block = parts_list.rows.blocks[parts_list.rows.open] if parts_list.rows.open else None
    titles = (*parts_list.head.titles, *(before.titles if before else ()))
    end = PageEnd(
        around.page, tuple(parts_list.columns), parts_list.head.texts, parts_list.taken,
        parts_list.stated, titles, basis, opened, block, _section_of(rows, before), figure,
    )  # fmt: skip
    questions = [about_basis(around.label, asked)] if asked else []
    return replace(rows, lines=lines), end, questions


def _begun(before: PageEnd | None) -> Open:
    """Return what is open above the first row, as a copy."""
    if before is None:
        return Open()
    return replace(before.open, above=list(before.open.above))


def _section_of(rows: Sorted, before: PageEnd | None) -> SectionRow | None:
    """Return the section that is open at the end."""
    names = ("section", "section_assembly", "section_side", "section_position")
    if not rows.lines.height:
        return before.section if before else None
    words, assembly, side, position = rows.lines.tail(1).select(names).row(0)
    return None if words is None else (words, assembly, side, position)


def _basis(parts_list: PartsList, rows: Sorted) -> str | None:
    """Return what quantities count for: as a person, the heading, or titles and notes say."""
    around, before = parts_list.around, parts_list.before
    if told := around.told.about(around.label, "basis"):
        return told
    texts = dict(zip(parts_list.columns, parts_list.head.texts, strict=False))
    found = [basis_in(texts.get(column)) for column, one in parts_list.taken.fields.items()
             if one.field == "quantity"]  # fmt: skip
    by_heading = next(filter(None, found), None)
    titles = [*parts_list.head.titles, *around.over, around.title or "", *rows.notes]
    return by_heading or basis_of_titles(titles) or (before.basis if before else None)
