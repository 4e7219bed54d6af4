"""What was imported, and how it was understood."""

from __future__ import annotations

from typing import TYPE_CHECKING

from partmuster.model import PartmusterError
from partmuster.output import show
from partmuster.store.club import Club
from partmuster.store.frames import fetch
from partmuster.store.sources import current_version

from .club import say

if TYPE_CHECKING:
    from pathlib import Path

    from duckdb import DuckDBPyConnection

    from partmuster.store.sources import KnownVersion


_SOURCES_SHOWN = ("source_id", "name", "version", "said_on", "lines_read", "lines_loaded",
                  "lines_decision", "lines_mending", "lines_not_data")  # fmt: skip


def show_sources(folder: Path, form: str) -> None:
    """Show every source's newest version with its sum of lines."""
    with Club.open(folder, tell=say).reading() as con:
        frame = fetch(con, "SELECT * FROM source_sum ORDER BY name")
    show(frame, form, columns=_SOURCES_SHOWN, spare=("said_on", "version", "lines_not_data"),
         nothing="nothing was imported yet")  # fmt: skip


def known_source(con: DuckDBPyConnection, source: str) -> KnownVersion:
    """Return the newest version of a source, by id or name.

    Raises:
        PartmusterError: there is no such source.
    """
    known = current_version(con, source)
    if known is None:
        raise PartmusterError(f"there is no source '{source}': 'partmuster sources' lists them")
    return known
