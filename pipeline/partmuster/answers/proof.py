"""What was read from the pages of a source: each line, its place, its words and its doubts."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from partmuster.store.frames import fetch
from partmuster.store.outcomes import PART_OPEN
from partmuster_schemas.columns import described
from partmuster_schemas.said import MODELS

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from duckdb import DuckDBPyConnection

    from partmuster.store.sources import KnownVersion

#: The columns in which a line's words are shown.
CELLS = ("item", "number", "description", "quantity", "used_on", "remark")
#: The order in which a quoted word is looked for: numbers are doubted most.
_LOOKED_IN = ("number", "quantity", "used_on", "item", "description", "remark")
#: A word of so many letters tells a cell of which it is a part.
_TELLING = 3
#: Fields of a text line that are shown in a column of another name; all others are remarks.
_SHOWN_IN = {
    "item_number": "item",
    "description": "description",
    "quantity": "quantity", "unit": "quantity", "quantity_basis": "quantity",
    "effectivity": "used_on", "build": "used_on", "mark": "used_on", "phase": "used_on",
    "first_serial": "used_on", "last_serial": "used_on", "series": "used_on",
    "part_number": "number", "casting_number": "number", "drawing_number": "number",
    "stock_number": "number", "maker_number": "number",
}  # fmt: skip
#: Columns of a said line, the cell they are shown in, and what goes before their words.
_SAID = (
    ("item_number", "item", ""),
    ("part_number", "number", ""),
    ("casting_number", "number", "casting "),
    ("drawing_number", "number", "drawing "),
    ("stock_number", "number", "stock no. "),
    ("maker_number", "number", "maker's no. "),
    ("description", "description", ""),
    ("quantity_text", "quantity", ""),
    ("effectivity_text", "used_on", ""),
    ("level", "remark", "level "),
    ("parent_words", "remark", "under: "),
    ("attaching", "remark", "attaching part"),
    ("companions_text", "remark", "with: "),
    ("superseded_by", "remark", "superseded by "),
    ("remark", "remark", ""),
)
#: Words of a doubt that name the cell it is about.
_ABOUT = (
    ("item", re.compile(r"(?i)\bitem (?:number|no)\b")),
    ("number", re.compile(r"(?i)\b(?:part |stock |casting |drawing )?numbers?\b")),
    ("quantity", re.compile(r"(?i)\b(?:quantity|how many)\b")),
    ("used_on", re.compile(r"(?i)\b(?:builds?|used on|serials?)\b")),
    ("description", re.compile(r"(?i)\b(?:description|sides?|positions?)\b")),
)
#: Doubts that a look at the picture settles, as layout and :mod:`..running.misread` say them.
_TO_LOOK_AT = "read with doubt: |read as '|could not be read|the number reads '"
_QUOTED = re.compile(r"'([^']+)'|\"([^\"]+)\"|“([^”]+)”")


@dataclass(frozen=True, slots=True)
class Doubt:
    """What is wrong or unsure in a line; ``cell`` is one of ``CELLS``, or None for the line."""

    words: str
    what_to_do: str | None = None
    cell: str | None = None


@dataclass(slots=True)
class ReadLine:
    """A raw line of a page. ``cells`` is empty where its words are in no known columns.

    ``box``: left, top, right, bottom in the page's own units.
    """

    number: int
    page: int | None
    row: int | None
    box: tuple[float, float, float, float] | None
    words: str
    outcome: str
    reason: str | None
    cells: dict[str, str] = field(default_factory=dict)
    doubts: list[Doubt] = field(default_factory=list)


def lines_read(con: DuckDBPyConnection, version: KnownVersion) -> list[ReadLine]:
    """Return every raw line of a version of a source, in order, with its doubts."""
    of_version = [version.source_id, version.version]
    raw = fetch(
        con,
        "SELECT raw_number, page, row, box, words, outcome, reason, sheet FROM raw_line "
        "WHERE source_id = ? AND source_version = ? ORDER BY raw_number",
        of_version,
    )
    said = _said(con, version)
    faults = _faults(con, version)
    tables = _tables(con, version)
    lines = []
    for row in raw.iter_rows(named=True):
        line = ReadLine(
            row["raw_number"], row["page"], row["row"], box_of(row["box"]), row["words"] or "",
            row["outcome"], row["reason"],
        )  # fmt: skip
        if line.outcome != "not-data":
            line.cells = said.get(line.number) or _in_columns(line, tables)
            line.doubts = faults.get(line.number) or _doubts(line)
        lines.append(line)
    return lines


def waiting_for_a_look(con: DuckDBPyConnection, source_id: str | None) -> list[tuple[str, int]]:
    """Return sources with lines that wait since their page was read with doubt, and how many."""
    found = fetch(
        con,
        "SELECT v.name, count(*) AS lines FROM raw_line r JOIN newest_version n "
        "ON n.source_id = r.source_id AND n.version = r.source_version "
        "JOIN source_version v ON v.source_id = n.source_id AND v.version = n.version "
        "WHERE r.outcome = 'decision' AND r.box IS NOT NULL AND regexp_matches(r.reason, $1) "
        "AND ($2 IS NULL OR r.source_id = $2) GROUP BY ALL ORDER BY v.name",
        [_TO_LOOK_AT, source_id],
    )
    return [(str(name), int(lines)) for name, lines in found.iter_rows()]


def box_of(text: str | None) -> tuple[float, float, float, float] | None:
    """Return a box that is written ``left,top,right,bottom``, or None."""
    try:
        left, top, right, bottom = (float(side) for side in (text or "").split(","))
    except ValueError:
        return None
    return left, top, right, bottom


def _said(con: DuckDBPyConnection, version: KnownVersion) -> dict[int, dict[str, str]]:
    """Return what each raw line was loaded as: its words by cell."""
    found: dict[int, dict[str, list[str]]] = {}
    for kind, model in MODELS.items():
        there = described(model)
        columns = [(name, cell, before) for name, cell, before in _SAID if name in there]
        if "description" not in there:
            continue
        rows = fetch(
            con,
            f"""
            SELECT o.raw_number, {", ".join(f"s.{name}" for name, _, _ in columns)}
            FROM line_origin o JOIN said_{kind} s
                ON s.line_id = o.line_id AND s.source_version <= o.source_version
            WHERE o.source_id = ? AND o.source_version = ?
            QUALIFY row_number() OVER (PARTITION BY o.raw_number, s.line_id
                                       ORDER BY s.revision DESC) = 1
            ORDER BY o.raw_number, s.line_id
            """,  # noqa: S608 - names of a closed list
            [version.source_id, version.version],
        )
        for row in rows.iter_rows(named=True):
            cells = found.setdefault(row["raw_number"], {})
            for name, cell, before in columns:
                words = _worded(row[name], before)
                if words and words not in cells.setdefault(cell, []):
                    cells[cell].append(words)
    return {
        number: {cell: "; ".join(words) for cell, words in cells.items() if words}
        for number, cells in found.items()
    }


def _worded(value: Any, before: str) -> str | None:
    if value is None or value is False or value == "":
        return None
    return before if value is True else f"{before}{value}"


def _faults(con: DuckDBPyConnection, version: KnownVersion) -> dict[int, list[Doubt]]:
    """Return what needs mending, by raw line."""
    rows = fetch(
        con,
        "SELECT raw_number, field, value, problem, what_to_do FROM mending "
        "WHERE source_id = ? AND source_version = ? ORDER BY ALL",
        [version.source_id, version.version],
    )
    found: dict[int, list[Doubt]] = {}
    for row in rows.iter_rows(named=True):
        words = row["problem"] if row["value"] is None else f"'{row['value']}': {row['problem']}"
        doubt = Doubt(words, row["what_to_do"], _SHOWN_IN.get(row["field"]))
        found.setdefault(row["raw_number"], []).append(doubt)
    return found


def _tables(con: DuckDBPyConnection, version: KnownVersion) -> list[tuple[int, tuple[str, ...]]]:
    """Return the tables of a version: the row of the headings, and the cell of each column.

    One whose columns are not told clearly, because several pages share its number, is left out.
    """
    rows = fetch(
        con,
        'SELECT table_number, coalesce(header_row, 0) AS header_row, "column", '
        "list(DISTINCT coalesce(field, 'remark')) AS fields FROM layout_taken "
        "WHERE source_id = ? AND source_version = ? GROUP BY ALL "
        'ORDER BY table_number, header_row, "column"',
        [version.source_id, version.version],
    )
    found: dict[tuple[int, int], list[str | None]] = {}
    for number, header_row, _, fields in rows.iter_rows():
        cell = _SHOWN_IN.get(fields[0], "remark") if len(fields) == 1 else None
        found.setdefault((number, header_row), []).append(cell)
    return [
        (header_row, tuple(cell for cell in cells if cell is not None))
        for (_, header_row), cells in found.items()
        if None not in cells
    ]


def _in_columns(
    line: ReadLine, tables: Sequence[tuple[int, tuple[str, ...]]]
) -> dict[str, str]:  # fmt: skip
    """Return the cells of a line that was not loaded, where its words leave no choice.

    The words name the filled cells only: they are told apart where every column is filled.
    """
    words = line.words.split(" | ")
    fitting = {
        cells for header_row, cells in tables
        if len(cells) == len(words) and (line.row is None or header_row < line.row)
    }  # fmt: skip
    if len(fitting) != 1:
        return {}
    found: dict[str, list[str]] = {}
    for cell, text in zip(fitting.pop(), words, strict=True):
        found.setdefault(cell, []).append(text)
    return {cell: "; ".join(texts) for cell, texts in found.items()}


def _doubts(line: ReadLine) -> list[Doubt]:
    """Return why a line waits for a decision, with the cell that is in doubt."""
    if line.outcome not in ("decision", "mending") or not line.reason:
        return []
    # The load stage joins several doubts of a line so.
    return [
        Doubt(words, None, cell_in_doubt(words, line.cells)) for words in line.reason.split("; ")
    ]


def cell_in_doubt(reason: str, cells: Mapping[str, str]) -> str | None:
    """Return the cell that a doubt is about, or None where its words do not tell.

    Words that it quotes tell it, as a whole cell before a part of one; else what it names.
    """
    if reason == PART_OPEN:
        return "description"
    quoted = [next(filter(None, found)) for found in _QUOTED.findall(reason)]
    for words in reversed(quoted):  # "read as this, taken for that": that is shown
        for cell in _LOOKED_IN:
            if cells.get(cell) == words:
                return cell
    for words in reversed(quoted):
        for cell in _LOOKED_IN:
            if len(words) >= _TELLING and words in cells.get(cell, ""):
                return cell
    return next((cell for cell, about in _ABOUT if about.search(reason)), None)
