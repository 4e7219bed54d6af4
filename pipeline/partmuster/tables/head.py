"""A table's head: where its headings stand, in one row or two, and the titles above them."""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from partmuster_trade.headings import fold_heading

from .asking import as_told_elsewhere, field_told
from .groups import headings_below_groups
from .headings import HEAD_ROWS, header_row, joined_headings, meanings_of
from .hybrids_told import is_title_of_hybrids
from .likelihoods import phases_under_marks
from .matrix import Matrix, find_matrix
from .merged import spread_across
from .own_columns import vehicles_and_headings
from .serial_columns import under_serials
from .titles import wanted_for
from .told import column_names
from .two_rows import (
    above_filled,
    below_joined,
    groups_above,
    has_row_above,
    is_second_row,
    names_lines,
)
from .visits import visit_in

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    import polars as pl

    from .asking import Around

#: The answer that a sheet has no row of headings.
NO_HEADINGS = "none"
_WORDS = re.compile(r"[^\W\d_][^\d]{0,29}")
_MOSTLY = 0.9


@dataclass(frozen=True, slots=True)
class Head:
    """A table's head.

    ``at``: the row of the headings, ``first`` and ``body``: the first row of headings and the
    first below them. ``texts``: the headings by place; ``plain``: without the words above groups
    of columns, which are in ``above`` by column. ``covers``: columns by the first of those that
    one merged heading covers.
    """

    at: int | None
    body: int
    titles: tuple[str, ...]
    texts: tuple[str | None, ...] = ()
    plain: tuple[str | None, ...] = ()
    first: int = 0
    above: Mapping[str, str | None] = field(default_factory=dict)
    covers: Mapping[str, tuple[str, ...]] = field(default_factory=dict)


def read_head(
    table: pl.DataFrame, columns: Sequence[str], around: Around
) -> tuple[Head, Matrix | None]:
    """Return the head of a table, and the survey matrix it is, if it is one."""
    top = [list(row) for row in table.head(HEAD_ROWS).select(columns).iter_rows()]
    at, told = _header_at(table, columns, top, around)
    matrix = _unless_told(find_matrix(table, columns, at), columns, top, around)
    if told and matrix is not None and matrix.at != at:
        matrix = None
    if not told and matrix is None and at is not None:
        matrix = _unless_told(_matrix_below(table, columns, top, at), columns, top, around)
    if at is None and matrix is None:
        several = (table["n"] > 1).arg_true()
        body = int(several[0]) if several.len() and len(columns) > 1 and not told else 0
        if len(columns) == 1 and not told and table.height > 1:
            body = int(wanted_for(str(table["first"][0])) is not None  # "Otter 2 - still wanted"
                       or is_title_of_hybrids(table["first"]))  # fmt: skip
        return Head(None, body, tuple(table.head(body)["first"].to_list())), None
    if matrix is not None:
        at = matrix.at if at is None or not _in_groups(top, columns, table, at, around) else at
        matrix = matrix if at == matrix.at else None
    assert at is not None
    return _head_at(table, columns, top, at, around, matrix), matrix


def _unless_told(
    matrix: Matrix | None, columns: Sequence[str], top: Sequence[Sequence[str | None]],
    around: Around,
) -> Matrix | None:  # fmt: skip
    """Return a matrix without the columns whose field people told; none of what is no survey."""
    if matrix is None or matrix.at >= len(top):
        return matrix
    titles = [" ".join(filter(None, row)) for row in top[: matrix.at]]
    told = as_told_elsewhere(around, shape_of(top[matrix.at]), titles)
    if told.kind_told not in {None, "survey", "feature"}:
        return None
    names = column_names({int(n): text for n, text in zip(columns, top[matrix.at], strict=True)})
    across = tuple(
        (name, text) for name, text in matrix.across
        if field_told(told, text, name, names[int(name)]) is None
    )  # fmt: skip
    return replace(matrix, across=across) if across else None


def _matrix_below(
    table: pl.DataFrame, columns: Sequence[str], top: Sequence[Sequence[str | None]], at: int
) -> Matrix | None:
    """Return the matrix whose vehicles stand in the row below the other headings, or None."""
    if at + 1 >= len(top):
        return None
    under = [(over, text) for over, text in zip(top[at], top[at + 1], strict=True)
             if over and names_lines(over)]  # fmt: skip
    if not under or any(text and text != over for over, text in under):
        return None
    found = find_matrix(table, columns, at + 1)
    return found if found is not None and found.at == at + 1 else None


def _head_at(
    table: pl.DataFrame, columns: Sequence[str], top: Sequence[Sequence[str | None]], at: int,
    around: Around, matrix: Matrix | None,
) -> Head:  # fmt: skip
    """Return the head whose headings stand in one row, with the rows above and below it."""
    own, above = (_spread(top, columns, table, place, around) for place in (at, at - 1))
    first = body = at
    texts: Sequence[str | None] = own
    groups: list[str | None] = [None] * len(columns)
    phases = phases_under_marks(own, above) if matrix is None and at > 0 else None
    below = (
        phases_under_marks([*_spread(top, columns, table, at + 1, around)], own)
        if matrix is None and at + 1 < len(top) and phases is None
        else None
    )
    covers: dict[str, tuple[str, ...]] = {}
    filled: Sequence[str | None] = own
    if phases is not None:
        first, texts = at - 1, phases
    elif below is not None:
        body, texts = at + 1, below
    elif has_row_above(own, above):
        first = at - 1
        filled = above_filled(own, above)
        groups = groups_above(own, above) if matrix is None else groups
        texts = [f"{over} {text}" if over else text
                 for over, text in zip(groups, filled, strict=True)]  # fmt: skip
        texts = under_serials(texts, above)
    elif matrix is None and at + 1 < len(top) and is_second_row(top[at], top[at + 1]):
        texts = below_joined(top[at], top[at + 1])
        body = at + 1
    elif matrix is None:
        covers = _covered(columns, top[at], int(table["row"][at]), around)
        texts = joined_headings(top[at - 1], top[at]) if at > 0 else top[at]
        with_series = under_serials(texts, above)
        first, texts = (at, texts) if with_series == list(texts) else (at - 1, with_series)
    joined = any(groups) or phases is not None or below is not None
    apart = vehicles_and_headings(own) if matrix is None and not joined else None
    if apart is not None:
        groups, filled = [vehicle for vehicle, _ in apart], [heading for _, heading in apart]
    titles = (" ".join(cell for cell in row if cell) for row in top[:first])
    return Head(
        at, body + 1, tuple(titles), tuple(texts), tuple(filled if any(groups) else texts), first,
        dict(zip(columns, groups, strict=True)), covers,
    )  # fmt: skip


def _header_at(
    table: pl.DataFrame,
    columns: Sequence[str],
    top: Sequence[Sequence[str | None]],
    around: Around,
) -> tuple[int | None, bool]:
    """Return which row holds the headings, and whether a person said so."""
    told = around.told.about(around.label, "header-row")
    if told == NO_HEADINGS:
        return None, True
    if told is not None and told.isdigit() and int(told) in table["row"].head(len(top)).to_list():
        return table["row"].to_list().index(int(told)), True
    for at, row in enumerate(top):
        if shape_of(row) in around.told.shapes:
            return at, False
    explained = {key for place, key in around.told.fields if place in {around.label, ""}}
    found = headings_below_groups(columns, top)
    if found is not None:
        return found, False
    for at, row in enumerate(top):
        if vehicles_and_headings(row) is not None:
            return at, False
    found = header_row(top, explained, kind_told=around.kind_told is not None)
    return (_words_over_figures(table, columns, top) if found is None else found), False


def _words_over_figures(
    table: pl.DataFrame, columns: Sequence[str], top: Sequence[Sequence[str | None]]
) -> int | None:
    """Return the first full row if it can only be headings, though few of them are known, or None.

    It has a known one, different words without figures, and figures stand below one of them.
    """
    full = max((table["n"][at] for at in range(len(top))), default=0)
    at = next((at for at in range(len(top)) if table["n"][at] == full), 0)
    words = [text for text in top[at] if text] if top else []
    plain = len(words) > 1 and len({*words}) == len(words)
    if not plain or not all(_WORDS.fullmatch(text) or visit_in(text) for text in words):
        return None
    if not any(meanings_of(text)[1] == 1 for text in words):
        return None
    body = table.slice(at + 1)
    figures = [body[name].str.contains(r"\d").sum() for name in columns]
    counted = [count > _MOSTLY * body[name].count() and count > 1
               for name, count in zip(columns, figures, strict=True)]  # fmt: skip
    over_counts = any(counted) or any(
        named and visit_in(named) and body[name].str.contains(r"^\d{1,4}$").all()
        for name, named in zip(columns, top[at], strict=True)
    )
    return at if over_counts else None


def shape_of(headings: Sequence[str | None]) -> tuple[str, ...]:
    """Return the headings of a table, folded, by which tables of one shape are known."""
    return tuple(filter(None, (fold_heading(text or "") for text in headings)))


def _in_groups(
    top: Sequence[Sequence[str | None]], columns: Sequence[str], table: pl.DataFrame, at: int,
    around: Around,
) -> bool:  # fmt: skip
    """Tell whether the same headings stand again under several words."""
    if at == 0:
        return False
    own, above = (_spread(top, columns, table, place, around) for place in (at, at - 1))
    # A row that names a part is no row of headings: "Mirror | fitted | fitted".
    headed = any(
        names_lines(text or "") or (names_lines(over or "") and text is None)
        for over, text in zip(above, own, strict=True)
    )
    return headed and any(groups_above(own, above))


def _spread(
    top: Sequence[Sequence[str | None]], columns: Sequence[str], table: pl.DataFrame, at: int,
    around: Around,
) -> list[str | None]:  # fmt: skip
    """Return the texts of a row, merged cells in all their columns; nothing above the first."""
    if at < 0:
        return [None] * len(columns)
    return spread_across(top[at], columns, int(table["row"][at]), around.spans)


def _covered(
    columns: Sequence[str], own: Sequence[str | None], row: int, around: Around
) -> dict[str, tuple[str, ...]]:
    """Return the columns that headings merged across cover, by the first of them."""
    found = {}
    for name, text in zip(columns, own, strict=True):
        width = around.spans.get((row, int(name)), 1)
        under = tuple(c for c in columns if int(name) <= int(c) < int(name) + width)
        if text and len(under) > 1:
            found[name] = under
    return found
