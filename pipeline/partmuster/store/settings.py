"""The table ``setting``: facts about the club's records themselves."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Final

from .frames import first_row

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

SCHEMA_VERSION = "schema-version"
VIEWS_HASH = "views-hash"
GENERATION = "generation"
#: How many of the matches accepted by likeness may be wrong, as a share.
ERROR_SETTING: Final = "match-error"
_MOST_WRONG: Final = 1 / 20
_ERROR = re.compile(r"(?:(\d+)\s*(?:in|/)\s*(\d+)|(\d*\.?\d+)\s*(%)?)", re.IGNORECASE)


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


def read_error(text: str) -> float | None:
    """Return the share that "1 in 200", "0.5 %" or "0.005" says; None where it says none."""
    found = _ERROR.fullmatch(text.strip())
    if found is None:
        return None
    wrong, of, share, percent = found.groups()
    if share is None:
        said = int(wrong) / int(of) if int(of) else 1.0
    else:
        said = float(share) / (100 if percent else 1)
    return said if said <= _MOST_WRONG else None
