"""Several tables on one sheet, one below the other."""

from __future__ import annotations

from typing import TYPE_CHECKING

import polars as pl

from partmuster_trade.headings import fold_heading, heading_meanings

from .groups import headings_below_groups
from .headings import HEAD_ROWS, header_row
from .kinds import kinds_in_titles
from .matrix import find_matrix, names_vehicles
from .titles import stated_in
from .two_rows import has_row_above
from .vehicle_rows import lists_what_was_seen, may_name_vehicle

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator, Sequence

#: Sheets typed with a blank line after every row are not searched beyond this many blanks.
_MOST_GAPS = 300
#: Larger sheets are searched for further headings below empty rows only.
_MOST_ROWS = 20_000
_TITLE_ROWS = 4
_NAMING = frozenset({"description", "part_number", "stock_number", "vehicle", "holder", "place",
                     "feature", "mark"})  # fmt: skip
_MOSTLY_HEADINGS = 0.66
_FULL_ROW = 3


def split_tables(cells: pl.DataFrame, columns: Sequence[str]) -> list[pl.DataFrame]:
    """Return the tables of a cleaned grid, top to bottom, each with its titles.

    A new table begins after an empty row where a row of known headings follows, title rows
    between them allowed; without an empty row, with the titles above such a row. The same headings
    again are a new table only under a title that says whose they are, or of what kind.
    """
    starts = [0]
    header, last = _headings_below(cells, columns, 0)
    named = header is not None and _under_a_name(cells, columns, last)
    heads = {fold_heading(text) for text in cells["first"].head(last).to_list()}
    for start, at, found, titles in _heads(cells, columns, header if named else None):
        another = found != header or _says_whose(_not_running(titles, heads))
        another = another or (named and len(titles) == 1 and may_name_vehicle(titles[0]))
        # Headings in the row below others are their second row.
        if header is not None and another and start > last + 1:
            starts.append(start)
        header, last = found, at
    ends = [*starts[1:], cells.height]
    return [
        part
        for a, b in zip(starts, ends, strict=True)
        for part in _headless_above(cells.slice(a, b - a), columns)
    ]


def _heads(
    cells: pl.DataFrame, columns: Sequence[str], under_names: list[str] | None
) -> Iterator[tuple[int, int, list[str], list[str]]]:
    """Yield where another table may begin, its row of headings, these, folded, and its titles.

    ``under_names``: headings above which a vehicle's name may stand, without an empty row.
    """
    gaps = (
        cells.with_row_index("at").filter(pl.col("row").diff() > 1)["at"].head(_MOST_GAPS).to_list()
    )
    found: dict[int, tuple[int, list[str], list[str]]] = {}
    known = set()
    for gap in gaps:
        headings, at = _headings_below(cells, columns, gap)
        if headings is not None:
            found[gap] = at, headings, cells["first"][gap:at].to_list()
            known.add(at)
    for at in _rows_of_headings(cells, columns):
        headings = _as_headings([cell for cell in cells.select(columns).row(at) if cell])
        if at in known or headings is None or not any(_may_name(text) for text in headings):
            continue
        start = at
        while start > 1 and at - start < _TITLE_ROWS and _is_title(cells, start - 1):
            start -= 1
        if headings == under_names and start == at and cells["n"][at - 1] == 1:
            start -= may_name_vehicle(cells["first"][at - 1])
        found[start] = at, headings, cells["first"][start:at].to_list()
    for start in sorted(found):
        yield start, *found[start]


def _rows_of_headings(cells: pl.DataFrame, columns: Sequence[str]) -> list[int]:
    """Return the rows that hold known headings and nothing else, two at least."""
    if cells.height > _MOST_ROWS:
        return []
    known = list(heading_meanings())
    folded = [
        pl.col(name).str.to_lowercase().str.replace_all(r"[\W_]+", " ").str.strip_chars()
        for name in columns
    ]
    hits = pl.sum_horizontal(text.is_in(known).fill_null(value=False) for text in folded)
    rows = cells.with_row_index("at").filter((hits > 1) & (hits == pl.col("n")))
    return rows["at"].to_list()


def _is_title(cells: pl.DataFrame, at: int) -> bool:
    """Tell whether a row without an empty one below it is a title: one text, whose or what sort."""
    return cells["n"][at] == 1 and _says_whose([cells["first"][at]])


def _not_running(titles: Sequence[str], heads: Collection[str]) -> list[str]:
    """Return titles without those of a parts list that stood above the table before, too.

    They run on from page to page.
    """
    return [text for text in titles
            if fold_heading(text) not in heads
            or "requirement" not in kinds_in_titles([(text, 1.0)])]  # fmt: skip


def _under_a_name(cells: pl.DataFrame, columns: Sequence[str], at: int) -> bool:
    """Tell whether a survey's headings stand right under what may be a vehicle's name."""
    if at == 0 or cells["n"][at - 1] != 1 or not may_name_vehicle(cells["first"][at - 1]):
        return False
    return lists_what_was_seen(cells.select(columns).row(at), cells.slice(at + 1), columns)


def _says_whose(titles: Sequence[str]) -> bool:
    """Tell whether titles name a holder, family or vehicle, or say what sort of list follows."""
    stated = stated_in(titles)
    named = stated.holder or stated.family or stated.vehicle
    return bool(named or kinds_in_titles([(title, 1.0) for title in titles]))


def _headless_above(table: pl.DataFrame, columns: Sequence[str]) -> list[pl.DataFrame]:
    """Return a table, parted where full rows above its headings can be no titles.

    They may be lines without headings, and titles are dropped.
    """
    top = list(table.head(HEAD_ROWS).select(columns).iter_rows())
    at = headings_below_groups(columns, top) or header_row(top)
    # Headings merged down two rows stand in both.
    if at and (
        has_row_above(top[at], top[at - 1])
        or any(text and text == over for text, over in zip(top[at], top[at - 1], strict=True))
    ):
        at -= 1
    if not at or find_matrix(table, columns, at) is not None:
        return [table]
    full = max(_FULL_ROW, _MOSTLY_HEADINGS * table["n"][at])
    above = (table["n"].head(at) >= full).arg_true()
    if above.is_empty():
        return [table]
    end = int(above[-1]) + 1
    return [table.head(end), table.slice(end)]


def _headings_below(
    cells: pl.DataFrame, columns: Sequence[str], start: int
) -> tuple[list[str] | None, int]:
    """Return the headings in or shortly below a row, folded, and where, under title rows only."""
    rows = cells.slice(start, _TITLE_ROWS + 1).select(columns).iter_rows()
    for at, row in enumerate(rows, start):
        texts = [cell for cell in row if cell]
        headings = _as_headings(texts)
        if headings is not None:
            return headings, at
        if len(texts) > 1 and not all(_says_whose([text]) for text in texts):
            break
    return None, start


def _may_name(text: str) -> bool:
    """Tell whether a heading, folded, may name what the lines below it are about."""
    return any(meaning.field in _NAMING for meaning in heading_meanings().get(text, ()))


def _as_headings(texts: Sequence[str]) -> list[str] | None:
    """Return a row's texts, folded, if most of them are known headings, and two at least.

    Those of a survey matrix are headings, too: "Part | Otter 3 | Otter 4".
    """
    known = heading_meanings()
    folded = [fold_heading(text) for text in texts]
    hits = sum(text in known for text in folded)
    if hits > 1 and hits >= _MOSTLY_HEADINGS * len(folded):
        return folded
    return folded if hits and names_vehicles(texts) else None
