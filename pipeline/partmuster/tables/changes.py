"""Columns about later changes: what yes and no say under their headings, and whose "When" it is."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import TYPE_CHECKING

import polars as pl

from partmuster_trade.headings import fold_heading

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from .headings import Heading, Taken

_REVERSED = re.compile(r"\brevers|\bundo|\bremove|\bgo\b")
_KEPT = re.compile(r"\bkept\b|\bkeep\b|\bstay")
_YES = ("y", "yes", "true", "x", "✓", "✔", "√")
_NO = ("n", "no", "false")


def with_change_answers(
    rows: pl.DataFrame, chosen: Sequence[tuple[str, str]], headings: Mapping[str, str]
) -> pl.DataFrame:
    """Return rows, a bare yes or no under "Kept?" or "To be reversed" in what it stands for."""
    for column, field in chosen:
        asked = fold_heading(headings.get(column, ""))
        kept, undone = bool(_KEPT.search(asked)), bool(_REVERSED.search(asked))
        if field != "change_stays" or kept == undone:
            continue
        pair = ("kept", "to be reversed") if kept else ("to be reversed", "kept")
        meanings = dict.fromkeys(_YES, pair[0]) | dict.fromkeys(_NO, pair[1])
        answer = pl.col(column).str.to_lowercase().replace_strict(meanings, default=None)
        rows = rows.with_columns(pl.coalesce(answer, column).alias(column))
    return rows


def when_changed(fields: dict[str, Taken], headings: Sequence[Heading]) -> None:
    """Take a bare "When" right behind who made a change, or what it is, for its own day."""
    before = None
    for heading in headings:
        taken = fields.get(heading.column)
        after_change = before is not None and before.field in {"change_by", "later_change"}
        bare = fold_heading(heading.text) in {"when", "date", "year"}
        if taken is not None and taken.field == "date" and bare and after_change:
            fields[heading.column] = replace(taken, field="change_when")
        before = taken
