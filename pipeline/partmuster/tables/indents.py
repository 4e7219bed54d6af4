"""How far a description is indented: by dots (seen in published manuals) or by leading blanks."""

from __future__ import annotations

from typing import TYPE_CHECKING

import polars as pl

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

_DOTS = r"^((?:[.•·∙●▪]\s*)+)\S"
_ANY_DOT = r"[.•·∙●▪]"
#: One blank at the start of a cell is a slip of the hand, and no indent.
_LEAST_BLANKS = 2
_TAB = 4


def widths_of(cells: pl.DataFrame) -> dict[str, dict[int, int]]:
    """Return by column and row how many blanks a grid's cells begin with; a tab counts four."""
    found: dict[str, dict[int, int]] = {}
    for name in cells.columns:
        if name == "row" or cells[name].dtype != pl.String:
            continue
        blank = cells.filter(pl.col(name).str.contains(r"^\s{2,}\S|^\t\S"))
        if blank.height:
            found[name] = {
                row: len(text.expandtabs(_TAB)) - len(text.expandtabs(_TAB).lstrip())
                for row, text in blank.select("row", name).iter_rows()
            }
    return found


def indented(
    body: pl.DataFrame, describing: str | None, indents: Mapping[str, Mapping[int, int]]
) -> tuple[pl.DataFrame, bool]:
    """Return rows with ``indent``, their descriptions without dots, and whether any has one.

    A row whose description has dots counts a cell more (``n``): it can be no section.
    """
    none = body.with_columns(indent=pl.lit(None, pl.Int32))
    if describing is None or not body.height:
        return none, False
    texts = body[describing]
    dotted = texts.str.contains(_DOTS).fill_null(value=False)
    if dotted.any():
        levels: list[int] = []
        plain: list[str | None] = []
        for text, has in zip(texts, dotted, strict=True):
            level, rest = _without_dots(text) if has else (0, text)
            levels.append(level)
            plain.append(rest)
        if not any(levels):
            return none, False
        indent = pl.Series("indent", levels, dtype=pl.Int32)
        return body.with_columns(
            indent, pl.Series(describing, plain, dtype=pl.String),
            n=pl.col("n") + (indent > 0).cast(pl.Int32),
        ), True  # fmt: skip
    widths = indents.get(describing, {})
    rows = body["row"].to_list()
    found = [widths.get(row, 0) for row in rows]
    if not _steps(found):
        return none, False
    step = min(width for width in found if width)
    indent = pl.Series("indent", [width // step for width in found], dtype=pl.Int32)
    return body.with_columns(indent, n=pl.col("n") + (indent > 0).cast(pl.Int32)), True


def _without_dots(text: str) -> tuple[int, str]:
    """Return how many dots a description begins with, and the rest: ". . BRACKET", "..BRACKET".

    A dot right before a figure is a decimal point: ".250 BOLT".
    """
    at = 0
    places = []
    while at < len(text) and (text[at] in ".•·∙●▪" or text[at].isspace()):
        if not text[at].isspace():
            places.append(at)
        at += 1
    if text[at : at + 1].isdigit() and text[at - 1] == ".":
        at = places.pop()
    return len(places), text[at:]


def _steps(widths: Sequence[int]) -> bool:
    """Tell whether widths of leading blanks are the steps of an indenture."""
    some = [width for width in widths if width]
    return bool(some) and len(some) < len(widths) and min(some) >= _LEAST_BLANKS and all(
        width % min(some) == 0 for width in some
    )  # fmt: skip
