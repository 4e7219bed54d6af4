"""What is on record of persons who were forgotten, and the note that lets a killed one be finished.

A forgetting first swaps the database and then removes sheets from the archive. Before the swap a
file is written beside the database, which names those sheets (by hash, never the person). As long
as it is there the work is not done: with the new database in place the sheets are to be removed,
with the old one nothing is.
"""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

from .disk import swap_in, sync_folder
from .frames import first_row

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from duckdb import DuckDBPyConnection

_NOTE = "forgetting.json"
#: What is said of a content that was removed.
REMOVED = "this content was removed at a person's request"


def begin(folder: Path, forgotten_id: str, contents: Sequence[str]) -> None:
    """Note which contents go from the archive once the database is swapped."""
    made = folder / f"{_NOTE}.making"
    text = json.dumps({"forgotten_id": forgotten_id, "contents": list(contents)})
    made.write_text(text, encoding="utf-8")
    swap_in(made, folder / _NOTE)


def is_unfinished(folder: Path) -> bool:
    """Tell whether a forgetting was begun and not finished."""
    return (folder / _NOTE).is_file()


def unfinished_contents(con: DuckDBPyConnection, folder: Path) -> list[str]:
    """Return the contents that are still to be removed from the archive."""
    if not is_unfinished(folder):  # another program may have been quicker
        return []
    note = json.loads((folder / _NOTE).read_text(encoding="utf-8"))
    known = "SELECT 1 FROM forgotten WHERE forgotten_id = ?"
    if first_row(con, known, [note["forgotten_id"]]) is None:
        return []  # killed before the swap: the club is as it was
    return [str(content_hash) for content_hash in note["contents"]]


def finish(folder: Path) -> None:
    """Take the note away: all is done."""
    (folder / f"{_NOTE}.making").unlink(missing_ok=True)
    (folder / _NOTE).unlink(missing_ok=True)
    sync_folder(folder)


def was_removed(con: DuckDBPyConnection, content_hash: str) -> bool:
    """Tell whether a content was removed from the archive at a person's request."""
    sql = "SELECT 1 FROM forgotten WHERE content_hash = ?"
    return first_row(con, sql, [content_hash]) is not None
