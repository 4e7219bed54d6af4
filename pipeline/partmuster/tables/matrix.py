"""Survey matrices: parts down the sheet, vehicles across it (or the other way round)."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

import polars as pl

from partmuster.reading.sides import read_side

from .grid import DITTO, labelled
from .headings import HEAD_ROWS, KNOWN_INSIDE, meanings_of
from .marks import is_presence

if TYPE_CHECKING:
    from collections.abc import Collection, Sequence

_NUMBERED = re.compile(r"^\D*\d+\s*[A-Za-z]?$|^[IVX]{1,4}$")
_BUILD = re.compile(r"^(mk|mark|early|late|mid)\b|\b(mk|mark)\.?\s*\w+$", re.IGNORECASE)
_FIGURES = re.compile(r"^\d+$")
#: Fields of a list of holdings; with them, columns of yes and no are remarks, not vehicles.
_OF_HOLDINGS = frozenset({"quantity", "holder", "owner", "place", "price", "availability"})
_MOSTLY = 0.7
_LONGEST_NAME = 40
_DITTO = re.compile(DITTO)
#: A column is judged by so many of its different texts.
_MOST_TEXTS = 60
#: Columns that count over the others are no vehicle's (common practice, no source).
_TOTAL = re.compile(r"^(grand |sub ?)?totals?\b|\btotals?$|^(sum|count)$", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Matrix:
    """Where a matrix has its headings (``at``: place in the frame) and its vehicle columns.

    ``across``: column and the name above it. ``parts_across``: vehicles stand down the sheet.
    """

    at: int
    across: tuple[tuple[str, str], ...]
    parts_across: bool = False


def find_matrix(
    table: pl.DataFrame, columns: Sequence[str], header_at: int | None
) -> Matrix | None:
    """Return the matrix a table is, or None.

    Two columns at least (or one whose heading is a name with a number) stand under headings that
    are no known ones and hold survey words or marks.
    """
    last = header_at if header_at is not None else min(table.height - 2, HEAD_ROWS)
    # Each row may be that of the headings: what no row makes a vehicle is left out for all.
    able = {name for name in columns if _may_hold_presence(table[name], last + 1)}
    if not able:
        return None
    for at in range(last + 1):
        found = _matrix_at(table, columns, at, able, sure_header=at == header_at)
        if found is not None:
            return found
    return None


def _matrix_at(
    table: pl.DataFrame, columns: Sequence[str], at: int, able: Collection[str], *,
    sure_header: bool,
) -> Matrix | None:  # fmt: skip
    """Return the matrix with its headings in one row, or None; only ``able`` may hold marks."""
    header = table.row(at, named=True)
    body = table.slice(at + 1)
    named = [(name, str(header[name])) for name in columns if header[name]]
    handed = first_field(header[columns[0]]) == "vehicle"
    unknown = [(name, text) for name, text in named
               if name != columns[0] and may_be_name(text, handed=handed)]  # fmt: skip
    across = [(name, text) for name, text in unknown
              if name in able and holds_presence(body[name])]  # fmt: skip
    numbered = sum(bool(_NUMBERED.match(text)) for _, text in across)
    stems = Counter(_stem(text) for _, text in across if _NUMBERED.match(text))
    known_ones = dict(across)
    for name, text in unknown:  # its like is a vehicle, whatever stands below it
        if name not in known_ones and _NUMBERED.match(text) and _stem(text) in stems:
            across.append((name, text))
    across.sort(key=lambda pair: int(pair[0]))
    if not across or (len(across) == 1 and not numbered) or len(across) == len(columns):
        return None
    known = {m.field for _, text in named for m in meanings_of(text)[0][:1]}
    figures = all(_FIGURES.match(text) for _, text in across)
    doubts = (
        not numbered and (known & _OF_HOLDINGS or any(text.endswith("?") for _, text in across)),
        not sure_header and not _reads_as_head(across, numbered),
        figures and not _numbers_vehicles(across),
        (figures or not numbered) and not _has_words(across, body),
    )
    if any(doubts):
        return None
    return Matrix(at, tuple(across), parts_across=handed)


def first_field(text: str | None) -> str | None:
    """Return the field a heading means first, or None."""
    return next((meaning.field for meaning in meanings_of(text)[0]), None) if text else None


def may_be_name(text: str, *, handed: bool = False) -> bool:
    """Tell whether a heading may be a vehicle's name: not a known heading, side, build or total.

    ``handed``: parts stand across, so that it may name a part and its side; a side alone is none.
    """
    side = read_side(text)
    if side.side is not None and not (handed and side.rest.strip(" .-")):
        return False
    known = meanings_of(text)[1] in {1, KNOWN_INSIDE} or bool(_TOTAL.search(text))
    return not known and len(text) <= _LONGEST_NAME and not _BUILD.search(text)


def names_vehicles(texts: Sequence[str], least: int = 2) -> bool:
    """Tell whether a row's texts can only be a matrix's headings: "Part | Otter 3 | Otter 4".

    Below a heading for parts, names with numbers or headings that are known; for vehicles, names
    of parts without figures. ``least``: how many names.
    """
    field = first_field(texts[0]) if texts and meanings_of(texts[0])[1] == 1 else None
    if field not in {"description", "vehicle"} or any(map(is_presence, texts[1:])):
        return False
    parts = field == "vehicle"
    names = [text for text in texts[1:] if may_be_name(text, handed=parts)]
    others = [text for text in texts[1:] if text not in names]
    if parts:
        fitting = all(not re.search(r"[\d:=]", text) for text in names)
    else:
        fitting = all(_NUMBERED.match(text) for text in names)
    known = all(meanings_of(text)[1] > 0 or _TOTAL.search(text) for text in others)
    return len(names) >= least and fitting and known


def holds_presence(cells: pl.Series) -> bool:
    """Tell whether most of a column's cells are survey words or marks."""
    total, fitting, _ = _presence_in(cells)
    return total > 0 and fitting >= _MOSTLY * total


def _may_hold_presence(cells: pl.Series, above: int) -> bool:
    """Tell whether :func:`holds_presence` may hold below some of the first ``above`` rows."""
    total, fitting, all_judged = _presence_in(cells)
    return fitting > 0 and not (all_judged and fitting < _MOSTLY * (total - above))


def _presence_in(cells: pl.Series) -> tuple[int, int, bool]:
    """Return how many cells were judged, how many fit a survey, and whether all were judged.

    Counted in Python: on 300 columns of few cells each, a query a column costs more.
    """
    texts = Counter(cells.drop_nulls().to_list())
    counts = [(text, count) for text, count in texts.most_common(_MOST_TEXTS)
              if not _DITTO.search(text)]  # fmt: skip
    fitting = sum(count for text, count in counts if is_presence(text))
    return sum(count for _, count in counts), fitting, len(texts) <= _MOST_TEXTS


def _reads_as_head(across: Sequence[tuple[str, str]], numbered: int) -> bool:
    """Tell whether a row without known headings is one: names, not marks themselves."""
    marks = sum(is_presence(text) for _, text in across if not _FIGURES.match(text))
    return numbered >= _MOSTLY * len(across) or marks == 0


def _numbers_vehicles(across: Sequence[tuple[str, str]]) -> bool:
    """Tell whether bare numbers may be headings: several, and rising."""
    numbers = [int(text) for _, text in across]
    return len(numbers) > 1 and all(later > earlier for earlier, later in pairwise(numbers))


def _has_words(across: Sequence[tuple[str, str]], body: pl.DataFrame) -> bool:
    """Tell whether words or signs stand in the columns, and not figures alone."""
    return any(body[name].drop_nulls().str.contains(r"^\d+$").not_().any() for name, _ in across)


def _stem(text: str) -> str:
    """Return a vehicle's name without its number."""
    return re.sub(r"\W*\d+\s*[A-Za-z]?$", "", text).casefold()


def cells_as_lines(
    lines: pl.DataFrame, matrix: Matrix, fields: Sequence[tuple[str, str]],
    remarks: Sequence[tuple[str, str]],
) -> pl.DataFrame:  # fmt: skip
    """Return one line a body cell, empty cells too, in order of row and column.

    ``fields``: (column, field) and ``remarks``: (column, label) of the columns beside the
    vehicles. Words are ``part | vehicle: cell``.
    """
    item, other = ("vehicle", "description") if matrix.parts_across else ("description", "vehicle")
    kept = ["row", *(name for name in lines.columns if name.startswith("section"))]
    item_column = next((column for column, field in fields if field == item), None)
    item_words = pl.col(item_column) if item_column else pl.lit(None, pl.String)
    pieces = [
        lines.select(
            *kept,
            pl.lit(int(column), pl.Int32).alias("column"),
            *(pl.col(name).alias(field) for name, field in fields),
            pl.lit(text).alias(other),
            pl.col(column).alias("presence"),
            (labelled(remarks) if remarks else pl.lit(None, pl.String)).alias("remark"),
            pl.format("{} | {}:{}", item_words.fill_null(""), pl.lit(text),
                      pl.concat_str(pl.lit(" "), pl.col(column)).fill_null("")).alias("words"),
        )
        for column, text in matrix.across
    ]  # fmt: skip
    return pl.concat(pieces).sort("row", "column")
