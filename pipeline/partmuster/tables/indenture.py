"""What belongs under what in a parts list, and how many that makes on the vehicle.

A part belongs under the nearest line above of a lower level; attaching parts under the line before
their caption, and their quantity attaches one of it (seen in published manuals).
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import polars as pl

from partmuster.reading.quantities import read_quantity

from . import grid
from .assemblies import is_continued
from .quantity_basis import basis_in

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from .headings import Taken
    from .parts_list_rows import Block, ListRows

#: Columns that are put beside a parts list's lines, and the fields that they fill.
GIVEN = {"own_level": "level", "own_parent": "parent_words", "own_attaching": "attaching",
         "own_basis": "quantity_basis", "own_times": "times", "own_figure": "figure",
         "asks": "doubt"}  # fmt: skip
_READ = ("description", "quantity", "level", "parent_words", "attaching", "part_number",
         "item_number", "quantity_basis")  # fmt: skip
_DOT = re.compile(r"[.•·∙●▪]")


@dataclass(frozen=True, slots=True)
class Above:
    """A line that others may belong under; ``times``: how many of what it belongs to there are.

    None where that cannot be told. ``names``: what a caption or a column may call it.
    """

    level: int
    words: str
    quantity: str | None
    times: float | None
    notes: tuple[str, ...]
    names: frozenset[str]

    def on_vehicle(self) -> tuple[float | None, tuple[str, ...]]:
        """Return how many of it are on the vehicle, and what was taken for that."""
        if self.quantity is None:
            return self.times, self.notes
        read = read_quantity(self.quantity)
        if read.special == "reference":
            return self.times, (*self.notes, f"{self.words} is REF: counted as 1")
        plain = read.problem is None and read.special is None and read.at_least > 0
        if not plain or read.at_least != read.at_most or self.times is None:
            return None, self.notes
        return self.times * read.at_least, self.notes


@dataclass(slots=True)
class Open:
    """What is open at a place of a parts list, and so at the end of a page.

    ``above``: the lines that others may belong under; ``last``: the last that is no attaching
    part; ``attached``: what the open block attaches.
    """

    section: str | None = None
    above: list[Above] = field(default_factory=list)
    last: Above | None = None
    attached: Above | None = None
    first_level: int | None = None


@dataclass(slots=True)
class _Said:
    """What is given for one line."""

    level: str | None
    parent: str | None = None
    attaching: str | None = None
    basis: str | None = None
    times: str | None = None
    asks: str | None = None


def with_indenture(
    lines: pl.DataFrame, columns: Sequence[str], fields: Mapping[str, Taken], rows: ListRows,
    basis: str | None, start: Open,
) -> tuple[pl.DataFrame, Open, int]:  # fmt: skip
    """Return a parts list's lines with the columns of ``GIVEN``, what is open, and lines to ask of.

    ``basis``: what quantities count for, where it is said. ``start``: what was open above.
    """
    by_field = {taken.field: name for name, taken in fields.items()}
    has_levels = rows.marked or "level" in by_field or bool(start.above)
    if not (has_levels or rows.blocks or "parent_words" in by_field):
        if basis is not None and "quantity_basis" not in by_field:
            lines = lines.with_columns(own_basis=pl.lit(basis))
        last = _last(lines, by_field)
        section = lines["section"][-1] if lines.height else start.section
        return lines, Open(section, last=last or start.last), 0
    plain = grid.carry_down_dittos(lines, columns)
    reader = _Reader(rows.blocks, basis, start, set(rows.figure_ends), leveled=has_levels)
    said = [reader.read(one) for one in _ones(plain, by_field)]
    texts = {
        "own_level": [one.level for one in said], "own_parent": [one.parent for one in said],
        "own_attaching": [one.attaching for one in said], "own_basis": [one.basis for one in said],
        "own_times": [one.times for one in said],
        "asks": [_both(asked, one.asks) for asked, one in zip(lines["asks"], said, strict=True)],
    }  # fmt: skip
    given = lines.with_columns(
        pl.Series(name, column, dtype=pl.String) for name, column in texts.items()
    )
    return given, reader.open, reader.asked


def _ones(lines: pl.DataFrame, by_field: Mapping[str, str]) -> Iterator[dict[str, object]]:
    chosen = {name: by_field[name] for name in _READ if name in by_field}
    return lines.select(
        "row", "section", "indent", "block", "asks",
        *(pl.col(column).alias(name) for name, column in chosen.items()),
    ).iter_rows(named=True)  # fmt: skip


def _last(lines: pl.DataFrame, by_field: Mapping[str, str]) -> Above | None:
    """Return the last line as one that a block may attach."""
    return _above(next(_ones(lines.tail(1), by_field)), 0, 1.0, ()) if lines.height else None


def _both(asked: str | None, more: str | None) -> str | None:
    return "; ".join(filter(None, (asked, more))) or None


def _above(
    one: Mapping[str, object], level: int, times: float | None, notes: tuple[str, ...]
) -> Above:
    names = [_text(one, name) for name in ("description", "part_number", "item_number")]
    words = next((name for name in names[:2] if name), "")
    quantity = _text(one, "quantity")
    return Above(level, words, quantity, times, notes,
                 frozenset(name.casefold() for name in names if name))  # fmt: skip


def _text(one: Mapping[str, object], name: str) -> str | None:
    value = one.get(name)
    return None if value is None else str(value)


class _Reader:
    """Goes through a parts list's lines from top to bottom."""

    def __init__(
        self, blocks: Mapping[int, Block], basis: str | None, start: Open, ends: set[int],
        *, leveled: bool,
    ) -> None:  # fmt: skip
        self.blocks, self.basis, self.open, self.leveled = blocks, basis, start, leveled
        self.ends = sorted(ends)
        self.block: int | None = 1 if start.attached is not None else None
        self.closed = False
        self.listed: list[Above] = []
        self.asked = 0
        self.unsure = False
        self.began = start.section is not None or bool(start.above)

    def read(self, one: Mapping[str, object]) -> _Said:
        """Return what is given for a line, and remember it for those below."""
        self._leave_sections(one)
        level = self._level(one)
        said = _Said(str(level) if level is not None else None)
        if level is None and one.get("level") is not None:
            said.asks = f"what level is '{one['level']}'?"
        depth = level or 0
        if one["asks"] is not None:  # it may be no line of its own, so nothing goes by it
            self.unsure, said.basis = True, self.basis
            return said
        parent, attaching = self._attached(one, depth, said)
        if not attaching:
            self.open.above = [line for line in self.open.above if line.level < depth]
            parent = self._named_parent(one) or (self.open.above[-1] if self.open.above else None)
        times, notes = (1.0, ()) if parent is None else parent.on_vehicle()
        said.parent = _text(one, "parent_words") or (parent.words if parent else None)
        said.attaching = "yes" if attaching else _text(one, "attaching")
        self._count(one, said, parent, times, notes)
        self.unsure = self.unsure and depth > 0
        above = _above(one, depth, times, notes)
        self.listed.append(above)
        if not attaching:
            if self.leveled:
                self.open.above.append(above)
            self.open.last = above
        return said

    def _leave_sections(self, one: Mapping[str, object]) -> None:
        """Forget what stood above a section heading or the end of a figure."""
        section, row = _text(one, "section"), int(str(one["row"]))
        ended = bool(self.ends) and row > self.ends[0]
        if section is not None and section != self.open.section and is_continued(section):
            section = self.open.section or section  # it goes on, though nothing was named so
            self.began = False
        self.ends = [end for end in self.ends if end > row] if ended else self.ends
        if ended or (self.began and section != self.open.section):
            self.open.above, self.open.last = [], None
            self.closed = self.block == one["block"] or self.closed
        self.open.section, self.began = section, True

    def _level(self, one: Mapping[str, object]) -> int | None:
        said = _text(one, "level")
        if said is not None and said.isdecimal():
            return int(said)
        if said is not None and _DOT.search(said) and not re.search(r"\w", said):
            return len(_DOT.findall(said))
        indent = one["indent"]
        return None if indent is None else int(str(indent))

    def _attached(
        self, one: Mapping[str, object], depth: int, said: _Said
    ) -> tuple[Above | None, bool]:
        """Return what a line in a block of attaching parts attaches, and whether it is in it."""
        number = None if one["block"] is None else int(str(one["block"]))
        if number is None:
            self.block, self.open.attached = None, None
            return None, False
        block = self.blocks[number]
        if number != self.block:
            self.block, self.closed = number, False
            self.open.attached = self._whose(block.whose) if block.whose else self.open.last
            self.open.first_level = None
        if self.closed:
            return None, False
        attached, first = self.open.attached, self.open.first_level
        if first is None:
            self.open.first_level = depth
            if attached is None:
                said.asks = "attaching parts of what?"
        elif not block.ended and attached is not None and depth <= attached.level:
            if first > attached.level or depth < attached.level:
                self.closed = True
                self.open.attached = None
                return None, False
            said.asks = (f"no mark ends the attaching parts of {attached.words}: is this still one "
                         "of them?")  # fmt: skip
            return None, False
        return attached, True

    def _whose(self, whose: str) -> Above | None:
        """Return the line that a caption names: "ATTACHING PARTS FOR ITEM 3"."""
        bare = re.sub(r"(?i)^(?:item|ref|index|part)s?\b\.?\s*(?:no\.?|number)?\s*", "", whose)
        wanted = {whose.casefold().strip(), bare.casefold().strip()}
        return next((line for line in reversed(self.listed) if line.names & wanted), None)

    def _named_parent(self, one: Mapping[str, object]) -> Above | None:
        """Return the line that a column for the next higher assembly names."""
        named = _text(one, "parent_words")
        return self._whose(named) if named else None

    def _count(
        self, one: Mapping[str, object], said: _Said, parent: Above | None, times: float | None,
        notes: tuple[str, ...],
    ) -> None:  # fmt: skip
        """Say how many of what it belongs to a line's quantity is for, or ask."""
        own = _text(one, "quantity_basis")
        said.basis = own or self.basis
        basis = basis_in(f"per {own}") if own else self.basis
        read = read_quantity(_text(one, "quantity") or "1")
        named = _text(one, "parent_words")
        if parent is None and named and basis == "assembly" and read.special is None:
            said.asks = _both(said.asks, f"how many of {named} are on the vehicle?")
        if parent is None or read.special is not None or basis in {"vehicle", "figure"}:
            return
        if self.unsure and times != 1 and parent.level <= int(said.level or 0):
            said.asks = _both(said.asks, "what does this belong to? A row above may be a part")
        if basis is None:
            if times != 1:
                self.asked += 1
                said.asks = _both(said.asks, f"is the quantity for one {parent.words}, or for all "
                                             "of them?")  # fmt: skip
            return
        if times is None:
            said.asks = _both(said.asks, f"how many of {parent.words} are on the vehicle?")
        elif times != 1 or notes:
            noted = f" ({'; '.join(dict.fromkeys(notes))})" if notes else ""
            said.times = f"{times:g}{noted}"
