"""What lines call a part that a later change displaced, by any name of the vocabulary."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Final

import polars as pl

if TYPE_CHECKING:
    from partmuster_trade.vocabulary import Vocabulary

    from .sql import Question

#: As `later_changes` parts the words in SQL.
_BETWEEN: Final = re.compile(r"\s*(?:[,;&+]|\band\b)\s*")
_BEFORE: Final = re.compile(r"^(?:(?:the|an?|its|original)\s+)+")


def keep_displaced_names(asked: Question) -> None:
    """Keep which part each name means that lines give what was displaced, where it is one."""
    said = asked.con.execute(
        "SELECT DISTINCT lower(displaced) FROM said_survey WHERE displaced IS NOT NULL ORDER BY 1"
    ).fetchall()
    names = sorted({
        _BEFORE.sub("", one.strip()) for (words,) in said for one in _BETWEEN.split(words)
    })  # fmt: skip
    rows = [(name, part_id) for name in names if (part_id := _one(asked.vocabulary, name))]
    if rows:
        asked.keep_rows(
            "displaced_names",
            pl.DataFrame(rows, schema={"name": pl.String, "part_id": pl.String}, orient="row"),
        )


def _one(vocabulary: Vocabulary, name: str) -> str | None:
    """Return the only part that a name means, one or several of it."""
    found = vocabulary.named(name) or (vocabulary.named(name[:-1]) if name.endswith("s") else ())
    return (found[0].replaced_by or found[0].part_id) if len(found) == 1 else None
