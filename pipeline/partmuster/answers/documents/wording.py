"""Ids and words of closed lists as a person writes them."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import polars as pl

from partmuster_schemas import words as w
from partmuster_schemas.answers import LACKING, NOT_LACKING

if TYPE_CHECKING:
    from partmuster_trade.vocabulary import Vocabulary

_PLAIN: Final = {
    word: word.replace("-", " ")
    for word in (
        *w.GRADES, *w.CONDITION_GRADES, *w.PRESENCES, *w.AIMS, *w.ROLES, *LACKING, *NOT_LACKING
    )
    if "stand-in" not in word
}  # fmt: skip
_OF_WORDS: Final = (
    "state", "fit", "condition", "condition_before", "aim", "role", "taken", "presence",
)  # fmt: skip


def in_words(rows: pl.DataFrame, vocabulary: Vocabulary) -> pl.DataFrame:
    """Return rows with the names of parts and assemblies, and with words without hyphens."""
    parts = {part.part_id: part.name for part in vocabulary.parts}
    assemblies = {one.assembly_id: one.name for one in vocabulary.assemblies()}
    there = set(rows.columns)
    return rows.with_columns(
        *(pl.col(name).replace(parts) for name in ("part", "companion") if name in there),
        *(pl.col(name).replace(assemblies) for name in ("assembly",) if name in there),
        *(pl.col(name).replace(_PLAIN) for name in _OF_WORDS if name in there),
        *(
            pl.col(name).str.replace_all(";", ", ").str.replace_all("-", " ")
            for name in ("needed_for",)
            if name in there
        ),
    )
