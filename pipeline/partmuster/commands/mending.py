"""The lines that need mending, as a person sees them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from partmuster.output import show
from partmuster.store.club import Club
from partmuster.store.frames import fetch

from .club import say
from .sources import known_source

if TYPE_CHECKING:
    from pathlib import Path

_MENDING_SHOWN = ("file", "sheet", "row", "column", "field", "value", "problem", "what_to_do",
                  "code", "trace")  # fmt: skip


def show_mending(folder: Path, form: str, source: str | None) -> None:
    """Show each fault with file, sheet, row, column, words and what to do."""
    with Club.open(folder, tell=say).reading() as con:
        chosen = known_source(con, source).source_id if source else None
        frame = fetch(
            con,
            "SELECT * FROM to_mend WHERE $1 IS NULL OR source_id = $1 ORDER BY file, sheet, row",
            [chosen],
        )
    show(frame, form, columns=_MENDING_SHOWN, spare=("trace", "code", "field"),
         nothing="nothing needs mending")  # fmt: skip
