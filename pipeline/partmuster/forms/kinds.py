"""What a kind of form is made of, and what is read from one that was filled in."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping

#: Name of the hidden sheet and of the document property that tell a form from any other workbook.
MARKER = "partmuster-form"
NAME_LABEL = "Your name"
ID_HEADING = "Id (leave as it is)"


@dataclass(frozen=True, slots=True)
class Column:
    """One column of a form; ``width`` in characters. People write in those that are ``filled``."""

    key: str
    heading: str
    width: int
    filled: bool = False
    choices: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class FormKind:
    """One kind of form. ``version`` grows when older programs would misread a newer form.

    ``lead``: one sentence above the table; ``legend``: pairs of a word and what it means.
    """

    name: str
    version: int
    sheet: str
    title: str
    lead: str
    columns: tuple[Column, ...]
    legend: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class FormRow:
    """One thing that is asked: its id, the cells by column key, and choices of its own."""

    row_id: str
    cells: Mapping[str, str | int | None]
    choices: Mapping[str, tuple[str, ...]] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Stamp:
    """What a form says of itself: its kind, its version, and the club it was made for."""

    form: str
    version: int
    club: str
    club_name: str


@dataclass(frozen=True, slots=True)
class Entry:
    """What stands in one cell that people fill in; ``text`` is None where nothing does.

    Numbers and dates are text as a person would write them (3, 2026-03-31).
    """

    cell: str
    text: str | None
    is_formula: bool = False


@dataclass(frozen=True, slots=True)
class FilledRow:
    """A row in which something was filled in: its number, its id, the entries by column key."""

    row: int
    row_id: str | None
    entries: Mapping[str, Entry]


@dataclass(frozen=True, slots=True)
class FilledForm:
    """A form that came back: what it says of itself, who filled it in, and the rows filled in."""

    stamp: Stamp
    sheet: str
    filled_by: str | None
    name_cell: str
    rows: tuple[FilledRow, ...]


def column_letter(number: int) -> str:
    """Return the letters of a column, as spreadsheet programs name it: 1 is A, 28 is AB."""
    letters = ""
    while number > 0:
        number, rest = divmod(number - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return letters
