"""Parts lists with a column for each build: "Mk 1 | Mk 2 early | Mk 2 late"."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import polars as pl

from partmuster_trade.headings import fold_heading

if TYPE_CHECKING:
    from collections.abc import Sequence

    from .headings import Heading

_BUILD = re.compile(
    r"^(?:[^\W\d]+ )?(?:(?:early|mid|late) )?(?:mk|mark) ?\w{1,4}(?: (?:early|mid|late))?$|"
    r"^(?:early|mid|late)$"
)
_FIGURES = r"^\d+(\.0)?$"
#: Signs that a part is used on a build (common practice, no source).
_TICKS = frozenset({"x", "X", "✓", "✔", "y", "Y", "yes", "Yes", "*", "•", "●", "+"})


def names_build(text: str) -> bool:
    """Tell whether words name a build and nothing else: "Mk 2 late"."""
    return bool(_BUILD.match(fold_heading(text)))


def build_columns(headings: Sequence[Heading], body: pl.DataFrame) -> tuple[dict[str, str], bool]:
    """Return heading by column for columns that each stand for a build, and whether they count.

    True where the cells are figures (how many off on that build), false where they are ticks;
    an empty dict where there are not two such columns or other things stand in them.
    """
    named = {h.column: h.text for h in headings
             if names_build(h.text) and h.content is not None}  # fmt: skip
    if len(named) < 2:  # noqa: PLR2004 - one such column is a column of marks
        return {}, False
    cells = pl.concat([body[name].alias("cell") for name in named]).drop_nulls()
    if cells.str.contains(_FIGURES).all():
        return named, True
    if set(cells.unique().to_list()) <= _TICKS:
        return named, False
    return {}, False


def spread(rows: pl.DataFrame, builds: dict[str, str], *, counted: bool) -> pl.DataFrame:
    """Return rows with ``build_words`` and, where counted, ``build_quantity``.

    Builds with the same figure share a line; a row with two figures gives two lines. A row with
    nothing under any build stays one line with both empty.
    """
    cells = rows.select("row", *builds).unpivot(index="row", variable_name="build").drop_nulls()
    cells = cells.with_columns(pl.col("build").replace(builds))
    keys = ["row", "value"] if counted else ["row"]
    joined = cells.group_by(keys, maintain_order=True).agg(
        pl.col("build").str.join(", ").alias("build_words")
    )
    if counted:
        joined = joined.rename({"value": "build_quantity"})
    return rows.join(joined, on="row", how="left", maintain_order="left_right")
