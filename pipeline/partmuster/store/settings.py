"""The table ``setting``: facts about the club's records themselves."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .frames import first_row

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

SCHEMA_VERSION = "schema-version"
VIEWS_HASH = "views-hash"
GENERATION = "generation"


def read_settings(con: DuckDBPyConnection) -> dict[str, str | None]:
    """Return all settings, value by name."""
    return dict(con.execute("SELECT name, value FROM setting").fetchall())


def put_setting(con: DuckDBPyConnection, name: str, value: str) -> None:
    """Set one value."""
    known = first_row(con, "UPDATE setting SET value = ? WHERE name = ?", [value, name])
    if not known or not known[0]:
        con.execute("INSERT INTO setting (name, value) VALUES (?, ?)", [name, value])


def generation(con: DuckDBPyConnection) -> int:
    """Return how often the club has been written to; equal numbers mean an unchanged club."""
    return int(read_settings(con).get(GENERATION) or 0)
