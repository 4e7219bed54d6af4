"""What the answers about fits share: the steps of chains of fit statements, kept as tables."""

from __future__ import annotations

from typing import TYPE_CHECKING

import polars as pl

if TYPE_CHECKING:
    from partmuster_trade.vocabulary import Vocabulary

    from .parts import AskedPart
    from .sql import Question


def keep_fits(asked: Question) -> None:
    """Keep what is said of fits, and the builds and families it is said of."""
    asked.keep("known_builds", "", "")
    asked.keep("family_names", "", "")
    asked.keep(
        "fit_statements", "part_ids", "NULL",
        where="part_ids IS NULL OR list_contains(part_ids, for_part)",
    )  # fmt: skip


def candidate_parts(asked: Question, wanted: str) -> list[str]:
    """Return the parts that may serve for some (a list literal), and what must come with them."""
    found = asked.con.execute(
        f"SELECT DISTINCT part_id FROM candidate_parts({wanted}, {asked.moment}) "  # noqa: S608  (literals)
        "WHERE part_id IS NOT NULL ORDER BY 1"
    ).fetchall()
    return [part_id for (part_id,) in found]


def of_item(
    rows: pl.DataFrame, wanted: AskedPart, vocabulary: Vocabulary, before: str = ""
) -> pl.DataFrame:
    """Return the rows of the hand and position that were asked for, or that state none.

    ``before`` is what stands before the columns' names.
    """
    keep = pl.lit(value=True)
    if any(vocabulary.by_id(part_id).handed == "handed" for part_id in wanted.part_ids):
        keep &= _is_or_unstated(f"{before}hand", wanted.side)
    said = (wanted.position or "").split()
    positions = {word for part_id in wanted.part_ids for word in _positions(vocabulary, part_id)}
    keep &= _is_or_unstated(
        f"{before}position", " ".join(w for w in said if w in positions) or None
    )
    return rows.filter(keep)


def _positions(vocabulary: Vocabulary, part_id: str) -> list[str]:
    return " ".join(vocabulary.by_id(part_id).positions).split()


def _is_or_unstated(column: str, value: str | None) -> pl.Expr:
    return pl.lit(value=True) if value is None else pl.col(column).fill_null(value) == value
