"""Makes parts of the rows of part files, the package's and a club's; collects every fault."""

from __future__ import annotations

import csv
import io
import re
from dataclasses import dataclass, field, fields, replace
from typing import TYPE_CHECKING, Final, get_args

from partmuster_trade import part as words
from partmuster_trade.part import Part
from partmuster_trade.problems import Problem
from partmuster_trade.tables import name_key, split_list

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

COLUMNS: Final = tuple(one.name for one in fields(Part))
NAME_COLUMNS: Final = tuple(column for column in COLUMNS if column.startswith("names_"))
NEEDED: Final = ("name", "assembly", "handed", "sort")
_ID: Final = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)*")
_YES_NO: Final = {"yes": True, "no": False, "": False}
_CLOSED: Final[dict[str, tuple[str, ...]]] = {
    "handed": get_args(words.Handed),
    "sort": get_args(words.Sort),
    "needed_for": get_args(words.Need),
    "positions": get_args(words.Position),
    "identity_bearing": tuple(word for word in _YES_NO if word),
}


@dataclass(frozen=True, slots=True)
class PartRow:
    """One row of a part file, its cells by column, and where it stands.

    `headings`: columns that the file calls by another name, and that name.
    """

    file: str
    row: int
    cells: dict[str, str]
    sheet: str = ""
    headings: Mapping[str, str] = field(default_factory=dict)
    bundled: bool = False

    def problem(self, column: str, code: str, message: str) -> Problem:
        """Return a problem that stands in this row."""
        heading = self.headings.get(column, column)
        return Problem(self.file, self.row, heading, code, message, self.sheet)


def read_rows(file: str, text: str) -> tuple[list[PartRow], list[Problem]]:
    """Return the rows of one of the package's part files. Blank rows are passed over."""
    try:
        table = list(csv.reader(io.StringIO(text.removeprefix("\ufeff")), strict=True))
    except csv.Error as error:
        message = f"cannot be read as CSV ({error}): save it again as comma-separated text"
        return [], [Problem(file, 0, "", "not-csv", message)]
    if not table:
        return [], [Problem(file, 0, "", "empty-file", "is empty: give it a heading row")]
    heading = [cell.strip() for cell in table[0]]
    problems = _heading_problems(file, heading)
    if problems:
        return [], problems
    rows: list[PartRow] = []
    for number, cells in enumerate(table[1:], start=2):
        if not any(cell.strip() for cell in cells):
            continue
        if len(cells) > len(heading):
            message = (
                f"has {len(cells)} cells under {len(heading)} headings: "
                'put a text that holds commas between quotes ("...")'
            )
            problems.append(Problem(file, number, "", "too-many-cells", message))
            continue
        filled = dict.fromkeys(COLUMNS, "")
        filled.update(zip(heading, (cell.strip() for cell in cells), strict=False))
        rows.append(PartRow(file, number, filled, bundled=True))
    return rows, problems


def _heading_problems(file: str, heading: list[str]) -> list[Problem]:
    problems = [
        Problem(file, 1, column, "unknown-column", f"is not a column; use {', '.join(COLUMNS)}")
        for column in heading
        if column not in COLUMNS
    ]
    problems += [
        Problem(file, 1, column, "column-twice", "stands twice: keep one")
        for column in dict.fromkeys(heading)
        if heading.count(column) > 1
    ]
    if "part_id" not in heading:
        problems.append(Problem(file, 1, "part_id", "missing-column", "is missing: add it"))
    return problems


def build_parts(
    rows: Iterable[PartRow],
) -> tuple[dict[str, Part], dict[str, list[PartRow]], list[Problem]]:
    """Return parts by id, the rows that gave each, and the problems.

    A row whose id is already there adds its names and nothing else.
    """
    parts: dict[str, Part] = {}
    given: dict[str, list[PartRow]] = {}
    problems: list[Problem] = []
    for row in rows:
        part_id = row.cells["part_id"]
        if part_id in parts:
            problems += _repeat_problems(row, parts[part_id])
            parts[part_id] = _with_names(parts[part_id], row)
            given[part_id].append(row)
            continue
        faults = _row_problems(row)
        problems += faults
        if not faults:
            parts[part_id] = _part(row)
            given[part_id] = [row]
    return parts, given, problems


def _row_problems(row: PartRow) -> list[Problem]:
    problems: list[Problem] = []
    part_id = row.cells["part_id"]
    if not _ID.fullmatch(part_id):
        message = f"{part_id!r} is no id: use small letters, digits and hyphens, as in track-link"
        problems.append(row.problem("part_id", "bad-id", message))
    problems += [
        row.problem(column, "empty-cell", "is empty: a new part needs it")
        for column in NEEDED
        if not row.cells[column]
    ]
    for column, allowed in _CLOSED.items():
        problems += [
            row.problem(column, "unknown-word", f"{word!r} is not one of {', '.join(allowed)}")
            for word in split_list(row.cells[column])
            if word not in allowed
        ]
    return problems


def _repeat_problems(row: PartRow, known: Part) -> list[Problem]:
    given = {c: v for c, v in row.cells.items() if v and c not in {"part_id", "source"}}
    changed = [c for c in given if c not in NAME_COLUMNS and given[c] != _cell(known, c)]
    return [
        row.problem(
            column,
            "cannot-change",
            f"{known.part_id!r} is a known part and a further row only adds names: "
            f"leave this cell empty, or give a new part_id",
        )
        for column in changed
    ]


def _cell(part: Part, column: str) -> str:
    value = getattr(part, column)
    if isinstance(value, bool):
        return "yes" if value else "no"
    return ";".join(value) if isinstance(value, tuple) else value or ""


def _with_names(part: Part, row: PartRow) -> Part:
    known = {name_key(entry.name) for entry in part.names() if entry.region == "any"}
    added: dict[str, tuple[str, ...]] = {}
    for column in NAME_COLUMNS:
        held: tuple[str, ...] = getattr(part, column)
        here = known | {name_key(name) for name in held}
        new = (name for name in split_list(row.cells[column]) if name_key(name) not in here)
        added[column] = (*held, *new)
    return replace(
        part,
        names_any=added["names_any"],
        names_uk=added["names_uk"],
        names_us=added["names_us"],
        names_au=added["names_au"],
        names_period=added["names_period"],
    )


def _noun_first(name: str) -> str:
    """Return a name as parts lists print it, by putting its last word first."""
    *rest, noun = name.split()
    return (f"{noun}, {' '.join(rest)}" if rest else noun).upper()


def _part(row: PartRow) -> Part:
    """Return the part of a row in which no problem was found."""
    cells = row.cells
    return Part(
        part_id=cells["part_id"],
        name=cells["name"],
        noun_first=cells["noun_first"] or _noun_first(cells["name"]),
        assembly=cells["assembly"],
        handed=next(word for word in words.HANDED if word == cells["handed"]),
        positions=tuple(p for p in words.POSITIONS if p in split_list(cells["positions"])),
        unit=cells["unit"] or "each",
        supply_class=cells["supply_class"],
        needed_for=tuple(n for n in words.NEEDS if n in split_list(cells["needed_for"])),
        sort=next(word for word in words.SORTS if word == cells["sort"]),
        mated_with=split_list(cells["mated_with"]),
        companions=split_list(cells["companions"]),
        caution=split_list(cells["caution"]),
        identity_bearing=_YES_NO[cells["identity_bearing"]],
        names_any=split_list(cells["names_any"]),
        names_uk=split_list(cells["names_uk"]),
        names_us=split_list(cells["names_us"]),
        names_au=split_list(cells["names_au"]),
        names_period=split_list(cells["names_period"]),
        replaced_by=cells["replaced_by"] or None,
        source=cells["source"] or "club, no source given",
    )
