"""Survey matrices: parts down the sheet, vehicles across it (or the other way round)."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import dataclass, field
from itertools import pairwise
from typing import TYPE_CHECKING

import polars as pl

from partmuster.reading.features import read_likelihood, read_seen
from partmuster.reading.sides import read_side

from .builds_across import names_serials
from .grid import DITTO, labelled
from .headings import HEAD_ROWS, KNOWN_INSIDE, meanings_of
from .marks import is_letter, is_presence, read_legend
from .own_columns import beside_field, own_columns, own_fields, vehicles_and_headings, without_own
from .ticked import names_answer, state_columns
from .two_rows import is_unit
from .visits import Visit, undated_before_others, visit_in, visits_above

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Mapping, Sequence

    from .own_columns import Own

_NUMBERED = re.compile(r"^\D*\d+\s*[A-Za-z]?$|^[IVX]{1,4}$")
_BUILD = re.compile(r"^(mk|mark|early|late|mid)\b|\b(mk|mark)\.?\s*\w+$", re.IGNORECASE)
_FIGURES = re.compile(r"^\d+$")
#: Fields of a list of holdings; with them, columns of yes and no are remarks, not vehicles.
_OF_HOLDINGS = frozenset({"quantity", "holder", "owner", "place", "price", "availability"})
_ITEMS = frozenset({"description", "part_number", "stock_number"})
_MOSTLY = 0.7
#: A heading for features is among the first ones of its row.
_FIRST_ONES = 3
_LONGEST_NAME = 40
_DITTO = re.compile(DITTO)
#: "Usual on", "Never on these builds".
_ON_BUILDS = re.compile(r"(?i)\s+(?:on|for|in)?\s*(?:these |which )?(?:builds?|marks?)?[?:]*$")
_MOST_LETTERS = 16
#: A column is judged by so many of its different texts.
_MOST_TEXTS = 60
#: Columns that count over the others are no vehicle's (common practice, no source).
_TOTAL = re.compile(r"^(grand |sub ?)?totals?\b|\btotals?$|^(sum|count)$", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Matrix:
    """Where a matrix has its headings (``at``: place in the frame) and its vehicle columns.

    ``across``: column and the name above it. ``parts_across``: vehicles stand down the sheet.
    ``visits``: what the columns are where each is a visit, and no vehicle; ``counted``: with
    figures alone below them. ``own``: the columns that belong to one of those across each.
    """

    at: int
    across: tuple[tuple[str, str], ...]
    parts_across: bool = False
    visits: Mapping[str, Visit] = field(default_factory=dict)
    counted: bool = False
    own: Own = field(default_factory=dict)

    @property
    def columns(self) -> frozenset[str]:
        """The columns across, and those that belong to one of them."""
        beside = {column for own in self.own.values() for column, _, _ in own}
        return frozenset({*dict(self.across), *beside})

    @property
    def names_vehicles(self) -> bool:
        """Whether the columns, or the rows, say which vehicle each line is of."""
        return all(visit.vehicle for visit in self.visits.values())


def find_matrix(
    table: pl.DataFrame, columns: Sequence[str], header_at: int | None
) -> Matrix | None:
    """Return the matrix a table is, or None.

    Two columns at least (or one whose heading is a name with a number) stand under headings that
    are no known ones and hold survey words or marks.
    """
    last = header_at if header_at is not None else min(table.height - 2, HEAD_ROWS)
    # Each row may be that of the headings: what no row makes a vehicle is left out for all.
    for at in range(last + 1):
        if _heads_features(table.row(at, named=True), columns):
            return _matrix_at(table, columns, at, frozenset(columns), sure_header=True,
                              readable=holds_seen)  # fmt: skip
    able = {name for name in columns if _may_hold_presence(table[name], last + 1)}
    if not able and not any(_ends_in_letters(table[name]) for name in columns):
        return None
    for at in range(last + 1):
        found = _matrix_at(table, columns, at, able, sure_header=at == header_at)
        if found is not None:
            return found
    return None


def _matrix_at(
    table: pl.DataFrame, columns: Sequence[str], at: int, able: Collection[str], *,
    sure_header: bool, readable: Callable[[pl.Series], bool] | None = None,
) -> Matrix | None:  # fmt: skip
    """Return the matrix with its headings in one row, or None; only ``able`` may hold marks.

    ``readable``: what a vehicle's column must be, if not of what surveys see.
    """
    readable = readable or holds_presence
    header = table.row(at, named=True)
    body = table.slice(at + 1)
    named = [(name, str(header[name])) for name in columns if header[name]]
    visits = _visits_at(named, body, at)
    if visits is not None:
        return visits
    if vehicles_and_headings([text for _, text in named]) is not None:
        return None
    handed = first_field(header[columns[0]]) == "vehicle"
    ticked = state_columns(named, body)
    unknown = [
        (name, text)
        for name, text in named
        if name != columns[0] and name not in ticked and may_be_name(text, handed=handed)
    ]
    if readable is holds_seen and any(_no_vehicle(text) for _, text in unknown):
        return None
    across = [(name, text) for name, text in unknown
              if name in able and readable(body[name])]  # fmt: skip
    across = across or _over_letters(named, unknown, table, body)
    across = without_own(across)
    numbered = sum(bool(_NUMBERED.match(text)) for _, text in across)
    stems = Counter(_stem(text) for _, text in across if _NUMBERED.match(text))
    known_ones = dict(across)
    for name, text in unknown:  # its like is a vehicle, whatever stands below it
        if name not in known_ones and _NUMBERED.match(text) and _stem(text) in stems:
            across.append((name, text))
    across.sort(key=lambda pair: int(pair[0]))
    if not across or (len(across) == 1 and not numbered) or len(across) == len(columns):
        return None
    own = own_columns(named, across)
    beside = {column for columns in own.values() for column, _, _ in columns}
    known = {m.field for name, text in named if name not in beside
             for m in meanings_of(text)[0][:1]}  # fmt: skip
    figures = all(_FIGURES.match(text) for _, text in across)
    doubts = (
        not numbered and (known & _OF_HOLDINGS or any(text.endswith("?") for _, text in across)),
        not sure_header and not _reads_as_head(across, numbered),
        figures and not _numbers_vehicles(across),
        (figures or not numbered) and not _has_words(across, body),
    )
    if any(doubts):
        return None
    return Matrix(at, tuple(across), parts_across=handed, own=own)


def _visits_at(named: Sequence[tuple[str, str]], body: pl.DataFrame, at: int) -> Matrix | None:
    """Return the matrix whose columns are visits, or None: survey words or figures below them."""
    if not any(first_field(text) in _ITEMS for _, text in named):
        return None
    visits = visits_above(named[1:])
    if not visits:
        return None
    across = tuple((name, text) for name, text in named if name in visits)
    cells = pl.concat([body[name].drop_nulls() for name in visits])
    if cells.is_empty() or not _holds_states(cells):
        return None
    counted = bool(cells.str.contains(r"^\d+$").all())
    if counted and len(visits) == 1:
        return None
    return Matrix(at, across, visits=visits, counted=counted, own=own_columns(named, across))


def _over_letters(
    named: Sequence[tuple[str, str]], unknown: Sequence[tuple[str, str]], table: pl.DataFrame,
    body: pl.DataFrame,
) -> list[tuple[str, str]]:  # fmt: skip
    """Return the columns of vehicles where letters stand for what was seen.

    The vehicles have numbers, or the table has a key to the letters.
    """
    if first_field(named[0][1]) not in _ITEMS or len(unknown) < 2:  # noqa: PLR2004 - one may be anything
        return []
    found = [(name, text) for name, text in unknown if _hold_letters(body[name])]
    if len(found) < 2:  # noqa: PLR2004 - one may be anything
        return []
    alike = len({_stem(text) for _, text in found}) == 1
    numbered = all(_NUMBERED.match(text) for _, text in found)
    return found if (alike and numbered) or _explained(table, body, found) else []


def _explained(
    table: pl.DataFrame, body: pl.DataFrame, found: Sequence[tuple[str, str]]
) -> bool:  # fmt: skip
    """Tell whether rows of the table that say no more are a key to most of the letters in it."""
    alone = table.filter(pl.col("n") == 1)["first"].drop_nulls().head(_MOST_TEXTS).to_list()
    pairs = table.filter((pl.col("n") == 2) & (pl.col("first").str.len_chars() <= 2))  # noqa: PLR2004 - a mark and its meaning
    names = [name for name in table.columns if name.isdigit()]
    alone += [" = ".join(filter(None, row))
              for row in pairs.head(_MOST_TEXTS).select(names).iter_rows()]  # fmt: skip
    key = {mark for text in alone for mark in read_legend(text)}
    cells = pl.concat([body[name].drop_nulls() for name, _ in found])
    return bool(key) and cells.is_in(list(key)).sum() >= _MOSTLY * cells.len()


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
    known = known or beside_field(text) is not None or is_unit(text)
    visit = visit_in(text)
    known = known or (visit is not None and not _FIGURES.match(text) and visit.vehicle is None)
    known = known or bool(_BUILD.search(text)) or names_serials(text)
    return not known and len(text) <= _LONGEST_NAME


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


def heads_features(text: str) -> bool:
    """Tell whether a heading is of features; what is to be checked may be a part as well."""
    return first_field(text) == "feature" and "check" not in text.casefold()


def _heads_features(header: Mapping[str, str | None], columns: Sequence[str]) -> bool:
    """Tell whether a row heads features down the sheet, and names no column for vehicles."""
    cells = [text for name in columns if (text := header[name])]
    if not any(map(heads_features, cells[:_FIRST_ONES])):
        return False
    return "vehicle" not in map(first_field, cells)


def _no_vehicle(text: str) -> bool:
    """Tell whether a heading beside features is an answer, or says how usual one is."""
    return names_answer(text) or bool(read_likelihood(_ON_BUILDS.sub("", text)).likelihood)


def holds_seen(cells: pl.Series) -> bool:
    """Tell whether most of a column's cells say whether a feature was there, or what it read."""
    texts = Counter(cells.drop_nulls().to_list()).most_common(_MOST_TEXTS)
    fitting = sum(count for text, count in texts if not read_seen(text).problem)
    return bool(texts) and fitting >= _MOSTLY * sum(count for _, count in texts)


def _hold_letters(cells: pl.Series) -> bool:
    """Tell whether a column's cells are a few letters, as a key explains, or survey words."""
    filled = cells.drop_nulls()
    if filled.is_empty() or not is_letter(filled[0]):
        return False
    texts = filled.unique()
    few = texts.len() <= _MOST_LETTERS
    return few and all(is_letter(text) or is_presence(text) for text in texts)


def _holds_states(cells: pl.Series) -> bool:
    """Tell whether most cells are survey words, marks, or letters that may stand for them."""
    texts = Counter(cells.to_list()).most_common(_MOST_TEXTS)
    fitting = sum(count for text, count in texts if is_presence(text) or is_letter(text))
    return fitting >= _MOSTLY * sum(count for _, count in texts)


def _ends_in_letters(cells: pl.Series) -> bool:
    filled = cells.drop_nulls()
    return not filled.is_empty() and is_letter(filled[-1])


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
    remarks: Sequence[tuple[str, str]], *, of_features: bool = False,
) -> pl.DataFrame:  # fmt: skip
    """Return one line a body cell, empty cells too, in order of row and column.

    ``fields``: (column, field) and ``remarks``: (column, label) of the columns beside the
    vehicles. Words are ``part | vehicle: cell``. ``of_features``: features stand for parts.
    """
    named = "feature" if of_features else "description"
    item, other = ("vehicle", named) if matrix.parts_across else (named, "vehicle")
    kept = ["row", *(name for name in lines.columns if name.startswith("section"))]
    item_column = next((column for column, field in fields if field == item), None)
    item_words = pl.col(item_column) if item_column else pl.lit(None, pl.String)
    row_remark = labelled(remarks) if remarks else pl.lit(None, pl.String)
    undated = undated_before_others(matrix.visits) if matrix.visits else set()
    pieces = []
    for column, text in matrix.across:
        own, beside = own_fields(matrix.own.get(column, ()), row_remark)
        said = [pl.lit(text).alias(other)]
        visit = matrix.visits.get(column)
        if visit is not None:
            said = [pl.lit(visit.vehicle).alias(other)] if visit.vehicle else []
            said.append(pl.lit(visit.day, pl.String).alias("date"))
            asked = f"on which day was '{text}'?" if column in undated else None
            said.append(pl.lit(asked, pl.String).alias("doubt"))
        exprs = {
            expr.meta.output_name(): expr
            for expr in (*(pl.col(name).alias(field) for name, field in fields), *own, *said)
        }
        cells = pl.concat_str(pl.col(column), *beside, separator="; ", ignore_nulls=True)
        pieces.append(lines.select(
            *kept,
            pl.lit(int(column), pl.Int32).alias("column"),
            *exprs.values(),
            pl.col(column).alias("presence"),
            pl.format("{} | {}:{}", item_words.fill_null(""), pl.lit(text),
                      pl.when(cells != "").then(pl.lit(" ") + cells).fill_null("")).alias("words"),
        ))  # fmt: skip
    return pl.concat(pieces, how="diagonal").sort("row", "column")
