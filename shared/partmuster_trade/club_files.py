"""Reads the vocabulary that members keep: headings and words of their own, parts by any name."""

from __future__ import annotations

import functools
import re
from dataclasses import replace
from typing import TYPE_CHECKING, Final

from partmuster_trade.assemblies import assembly_id
from partmuster_trade.club_tables import Table, read_table
from partmuster_trade.part_files import COLUMNS, NAME_COLUMNS, PartRow
from partmuster_trade.problems import Problem
from partmuster_trade.tables import bundled_rows, name_key, split_list

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from pathlib import Path

    from partmuster_trade.part import NameEntry

#: Headings that are no column of a part: names for one region, and which region.
_NAMES: Final = "names"
_REGION: Final = "region"
#: A title may stand above the headings.
_TITLE_ROWS: Final = 10
_NOT_ID: Final = re.compile(r"[^a-z0-9]+")


@functools.cache
def _headings() -> dict[str, str]:
    return {
        name_key(heading): row["column"]
        for row in bundled_rows("vocabulary_headings.csv")
        for heading in split_list(row["headings"])
    }


@functools.cache
def _words() -> dict[tuple[str, str], str]:
    return {
        (row["column"], name_key(word)): row["meaning"]
        for row in bundled_rows("vocabulary_words.csv")
        for word in split_list(row["words"])
    }


def _column(heading: str) -> str | None:
    return _headings().get(name_key(heading.replace("_", " ")))


def read_club_file(path: Path) -> tuple[list[PartRow], list[Problem]]:
    """Return the rows of one file, in the columns of a part; blank rows are passed over.

    A row may leave `part_id` empty and name its part; `name_parts` finds the id.
    """
    table = read_table(path)
    if isinstance(table, Problem):
        return [], [table]
    top = _heading_row(table.rows)
    if top is None:
        return [], [_told(table, 0, "", "empty-file", "is empty: give it a heading row")]
    heading = table.rows[top]
    problems = _heading_problems(table, top + 1, heading)
    if any(problem.code != "unknown-column" for problem in problems):
        return [], problems
    columns = [_column(text) for text in heading]
    written = {column: text for column, text in zip(columns, heading, strict=True) if column}
    if _NAMES in written:
        written = dict.fromkeys(NAME_COLUMNS, written[_NAMES]) | written
    rows: list[PartRow] = []
    for number, cells in enumerate(table.rows[top + 1 :], start=top + 2):
        if not any(cells):
            continue
        filled = dict.fromkeys((*COLUMNS, _NAMES, _REGION), "")
        filled.update((c, text) for c, text in zip(columns, cells, strict=False) if c and text)
        stray = [
            text for n, text in enumerate(cells) if text and (n >= len(heading) or not heading[n])
        ]
        row = PartRow(table.file, number, filled, table.sheet, written)
        faults = _plain_words(row)
        if stray:
            message = (
                f"has {stray[0]!r} under no heading: give that column a heading, "
                'or put a text that holds commas between quotes ("...")'
            )
            faults.append(row.problem("", "too-many-cells", message))
        problems += faults
        if not faults:
            rows.append(row)
    return rows, problems


def _told(table: Table, row: int, column: str, code: str, message: str) -> Problem:
    return Problem(table.file, row, column, code, message, table.sheet)


def _heading_row(rows: list[list[str]]) -> int | None:
    """Return the index of the first row that names a part column, else of the first filled."""
    filled = [n for n, row in enumerate(rows[:_TITLE_ROWS]) if any(row)]
    wanted = (n for n in filled if {"part_id", "name"} & {_column(cell) for cell in rows[n]})
    return next(wanted, filled[0] if filled else None)


def _heading_problems(table: Table, row: int, heading: list[str]) -> list[Problem]:
    columns = [_column(text) for text in heading]
    first = (split_list(row["headings"])[0] for row in bundled_rows("vocabulary_headings.csv"))
    known = ", ".join(heading.capitalize() for heading in first)
    problems = [
        _told(table, row, text, "unknown-column", f"is no heading known here; use {known}")
        for text, column in zip(heading, columns, strict=True)
        if text and column is None
    ]
    problems += [
        _told(table, row, text, "column-twice", f"means {column} like another: keep one")
        for n, (text, column) in enumerate(zip(heading, columns, strict=True))
        if column is not None and column in columns[:n]
    ]
    if not {"part_id", "name"} & set(columns):
        message = "is missing: add a column Part (the part's name) or part_id"
        problems.append(_told(table, row, "Part", "missing-column", message))
    return problems


def _plain_words(row: PartRow) -> list[Problem]:
    """Put the words of the part files for a member's, and names under their region; in place."""
    cells, problems = row.cells, []
    for column in ("handed", _REGION, "sort", "needed_for", "identity_bearing"):
        said = split_list(cells[column])
        cells[column] = ";".join(_words().get((column, name_key(word)), word) for word in said)
    cells["assembly"] = assembly_id(cells["assembly"]) or cells["assembly"]
    cells["positions"] = cells["positions"].casefold().replace("center", "centre")
    region, names = cells.pop(_REGION) or "any", cells.pop(_NAMES)
    if region not in {"any", "UK", "US", "AU"}:
        message = f"{region!r} is no region known here: use UK, US, AU, or leave it empty for all"
        problems.append(row.problem(_REGION, "unknown-word", message))
    elif "," in names:
        message = f"{names!r} holds a comma: put ; between names, and DYNAMO, BIG under Noun first"
        problems.append(row.problem(_NAMES, "comma-in-name", message))
    else:
        column = f"names_{region.lower()}"
        cells[column] = ";".join((*split_list(cells[column]), *split_list(names)))
    return problems


def name_parts(
    rows: Sequence[PartRow], known: Iterable[NameEntry]
) -> tuple[list[PartRow], list[Problem]]:
    """Return the rows with their part ids, those of new parts first.

    A row without an id adds names to the part it names; where no part is called so, it adds one,
    if it says to which assembly the part belongs.
    """
    ids: set[str] = set()
    called: dict[str, set[str]] = {}
    for entry in known:
        ids.add(entry.part_id)
        called.setdefault(name_key(entry.name), set()).add(entry.part_id)
    named: list[PartRow] = []
    problems: list[Problem] = []
    for row in sorted(rows, key=lambda row: not row.cells["assembly"]):
        found = row if row.cells["part_id"] else _with_id(row, ids, called)
        if isinstance(found, Problem):
            problems.append(found)
            continue
        part_id, name = found.cells["part_id"], found.cells["name"]
        ids.add(part_id)
        if name:
            called.setdefault(name_key(name), set()).add(part_id)
        named.append(found)
    return named, problems


def _with_id(row: PartRow, ids: set[str], called: dict[str, set[str]]) -> PartRow | Problem:
    name = row.cells["name"]
    if not name:
        return row.problem("name", "empty-cell", "is empty: say which part this is")
    meant = {name} if name in ids else called.get(name_key(name), set())
    if len(meant) > 1:
        message = f"{name!r} may be {' or '.join(sorted(meant))}: write one of these instead"
        return row.problem("name", "which-part", message)
    if meant:
        noun_first = row.cells["noun_first"]  # one more name of a part that has its own
        names = ";".join(filter(None, (row.cells["names_any"], noun_first)))
        cells = {"part_id": min(meant), "name": "", "noun_first": "", "names_any": names}
        return replace(row, cells=row.cells | cells)
    if not row.cells["assembly"]:
        message = (
            f"no part is called {name!r}: write it as the vocabulary does, "
            "or fill in Assembly and Handed to add it as a new part"
        )
        return row.problem("name", "unknown-part", message)
    part_id = _NOT_ID.sub("-", name.casefold()).strip("-")
    if part_id in ids:
        message = f"{part_id!r} is the id of another part: add a column part_id with a new one"
        return row.problem("name", "id-taken", message)
    cells = {"part_id": part_id, "sort": row.cells["sort"] or "part"}
    return replace(row, cells=row.cells | cells)
