"""What forms for reading set in type: the sections of a view, in words, made to fit a page.

Columns stand beside each other as far as there is room; what does not fit stands beneath its row,
each value after its heading. So a page of paper, and a screen, shows every column without letters
too small to read.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from .charts import Chart, chart_of
from .values import clean, shown_in

if TYPE_CHECKING:
    from collections.abc import Sequence

    from partmuster.plugin_api import ClubView, Section, SectionColumn

#: Rows of a section that are read on a page; the workbook has all.
MOST_ROWS = 200
#: Letters that stand beside each other on A4, laid across, at the size that is printed.
_ROOM = 128
#: The widest column of words, and from where on most of its words are too long for a column.
_WIDEST, _TOO_LONG = 26, 70
#: A cell of more letters stands beneath its row, even where its column stands beside others.
_LONGEST, _LONGEST_TITLE = 140, 200
BELOW = "(below)"
_BETWEEN = 2

#: How the meaning of a column begins that people fill in on paper, and the room it has.
_BY_HAND, _HAND_ROOM = "to be written", 14


@dataclass(frozen=True, slots=True)
class Row:
    """One row: what stands beside each other, and what stands beneath, with its headings."""

    beside: tuple[str, ...]
    beneath: tuple[tuple[SectionColumn, str], ...]


@dataclass(frozen=True, slots=True)
class Table:
    """The rows of a section, as far as they are shown.

    ``titled``: the place of the column that names a row, the first whose words differ.
    ``by_hand``: which of the columns are empty and filled in on paper; ``unsaid``: those left out,
    with nothing in them.
    """

    columns: tuple[SectionColumn, ...]
    titled: int
    by_hand: tuple[bool, ...]
    rows: tuple[Row, ...]
    unsaid: tuple[SectionColumn, ...]
    total: int

    @property
    def cut(self) -> str:
        """How much is shown, where that is not all."""
        if self.total <= len(self.rows):
            return ""
        return f"The first {len(self.rows):,} of {self.total:,} rows: the workbook has them all."

    @property
    def count(self) -> str:
        """How many rows there are, in words."""
        return f"{self.total:,} {'row' if self.total == 1 else 'rows'}"


@dataclass(frozen=True, slots=True)
class SetSection:
    """A section as it is set; ``anchor`` is its place in the document, unique in it."""

    anchor: str
    title: str
    lead: str
    if_empty: str
    table: Table | None
    chart: Chart | None

    @property
    def count(self) -> str:
        """How much the section holds, in words."""
        return self.table.count if self.table else "none"


@dataclass(frozen=True, slots=True)
class Meaning:
    """What a heading means; ``sections``: where it means this and not what was said before."""

    heading: str
    meaning: str
    sections: tuple[str, ...]


def set_sections(view: ClubView) -> list[SetSection]:
    """Return the sections of a view in order, with their rows in words."""
    taken = {"content", "contents", "columns", "title"}
    return [_section(one, view, taken) for one in view.sections()]


def meanings(view: ClubView) -> list[Meaning]:
    """Return what each heading means, by the alphabet.

    Of several meanings the one that most sections have comes first and stands for all sections
    that the others do not name.
    """
    found: dict[str, dict[str, list[str]]] = {}
    for section in view.sections():
        for column in section.columns:
            said = found.setdefault(column.heading, {})
            said.setdefault(column.meaning, []).append(section.title)
    told = []
    for heading, said in sorted(found.items(), key=lambda one: (one[0].casefold(), one[0])):
        common = sorted(said.items(), key=lambda one: -len(one[1]))
        for place, (meaning, titles) in enumerate(common):
            where = tuple(map(clean, titles)) if place else ()
            told.append(Meaning(clean(heading), clean(meaning), where))
    return told


def _section(section: Section, view: ClubView, taken: set[str]) -> SetSection:
    rows = view.ask(section.name)
    columns = tuple(replace(one, heading=clean(one.heading)) for one in section.columns)
    section = replace(section, columns=columns)
    words = [
        [shown_in(column, value) for value in rows.get_column(column.name).head(MOST_ROWS)]
        for column in section.columns
    ]
    return SetSection(
        _anchor(section.name, taken),
        clean(section.title), clean(section.lead), clean(section.if_empty),
        _table(section.columns, words, rows.height) if rows.height else None,
        chart_of(section, rows) if section.chart else None,
    )  # fmt: skip


def _anchor(name: str, taken: set[str]) -> str:
    plain = re.sub(r"[^A-Za-z0-9_]+", "-", name).strip("-") or "section"
    plain = plain if plain[0].isalpha() else f"section-{plain}"
    anchor, n = plain, 1
    while anchor in taken:
        n += 1
        anchor = f"{plain}-{n}"
    taken.add(anchor)
    return anchor


def _table(columns: Sequence[SectionColumn], words: list[list[str]], total: int) -> Table:
    beside, unsaid = _beside(columns, words)
    beneath = [n for n in range(len(columns)) if n not in beside and n not in unsaid]
    titled = next(
        (place for place, n in enumerate(beside)
         if columns[n].kind == "text" and len(set(words[n])) > 1), 0
    )  # fmt: skip
    rows = []
    for row in range(len(words[0])):
        cells = {n: _beside_cell(words[n][row], is_title=n == beside[titled]) for n in beside}
        below = sorted(beneath + [n for n, cell in cells.items() if cell != words[n][row]])
        rows.append(Row(
            tuple(cells.values()),
            tuple((columns[n], words[n][row]) for n in below if words[n][row]),
        ))  # fmt: skip
    return Table(
        tuple(columns[n] for n in beside),
        titled,
        tuple(_is_by_hand(columns[n], words[n]) for n in beside),
        tuple(rows), tuple(columns[n] for n in unsaid), total,
    )  # fmt: skip


def _is_by_hand(column: SectionColumn, words: list[str]) -> bool:
    return column.meaning.startswith(_BY_HAND) and not any(words)


def _beside_cell(words: str, *, is_title: bool) -> str:
    if is_title and len(words) > _LONGEST_TITLE:
        return words[:_LONGEST_TITLE].rstrip() + "…"
    return BELOW if len(words) > _LONGEST and not is_title else words


def _beside(
    columns: Sequence[SectionColumn], words: list[list[str]]
) -> tuple[list[int], list[int]]:
    """Which columns stand beside each other, and which of the others have nothing in them."""
    every = range(len(columns))
    wide = {n: _width(columns[n], words[n]) for n in every}
    if sum(wide.values()) <= _ROOM and not any(_too_long(words[n]) for n in every):
        return list(every), []
    hands = [n for n in every if _is_by_hand(columns[n], words[n])]
    unsaid = [n for n in every if not any(words[n]) and n not in hands]
    said = [n for n in every if n not in unsaid]
    if not said:
        return list(every), []
    if sum(wide[n] for n in said) <= _ROOM and not any(_too_long(words[n]) for n in said[1:]):
        return said, unsaid
    beside = sorted({said[0], *hands})
    room = _ROOM - sum(wide[n] for n in beside)
    for n in said[1:]:
        fits = columns[n].kind != "ids" and wide[n] <= room and not _too_long(words[n])
        if fits and n not in beside:
            beside.append(n)
            room -= wide[n]
    return sorted(beside), unsaid


def _width(column: SectionColumn, words: list[str]) -> int:
    """How many letters a column needs, so that its words are broken at blanks."""
    if _is_by_hand(column, words):
        return _HAND_ROOM + _BETWEEN
    heading = max((len(one) for one in column.heading.split()), default=1)
    if column.kind not in ("text", "ids"):
        return max(heading, *(len(one) for one in words)) + _BETWEEN
    return max(heading, min(_usual(words), _WIDEST), 3) + _BETWEEN


def _too_long(words: list[str]) -> bool:
    return _usual(words) > _TOO_LONG


def _usual(words: list[str]) -> int:
    """How long what is said in a column is, but for the longest quarter."""
    said = sorted(len(one) for one in words if one)
    return said[(len(said) - 1) * 3 // 4] if said else 0
