"""A fresh database with the rows of another: no log, no freed blocks, this program's views."""

from __future__ import annotations

import tempfile
from contextlib import contextmanager
from typing import TYPE_CHECKING

import duckdb

from partmuster_schemas.ddl import table_models

from .club import WRITING_MEMORY
from .errors import ClubBusyError, plain_error
from .migrations import CONFIG, build_new
from .settings import SCHEMA_VERSION, VIEWS_HASH

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from pathlib import Path

    from duckdb import DuckDBPyConnection

    from .lock import Patience

#: Settings that are of the file, not of the club.
OF_THE_FILE = (SCHEMA_VERSION, VIEWS_HASH)


@contextmanager
def fresh_database(file: Path) -> Iterator[DuckDBPyConnection]:
    """Make an empty club database with this program's tables and views, and open it to be filled.

    What is put into it is committed at the end, in one transaction.
    """
    build_new(file)
    with duckdb.connect(str(file), config=CONFIG) as con:
        con.execute("SET memory_limit = ?", [WRITING_MEMORY])
        con.execute("SET temp_directory = ?", [tempfile.gettempdir()])
        con.execute("BEGIN")
        yield con
        con.execute("COMMIT")
        con.execute("CHECKPOINT")


def insert_rows(con: DuckDBPyConnection, table: str, select: str) -> int:
    """Put the rows of a SELECT (all of the table's columns) into a table; return how many.

    Settings that are of the file itself are not taken over.
    """
    if table == "setting":
        con.execute("DELETE FROM main.setting WHERE name = 'generation'")
        own = ", ".join(f"'{name}'" for name in OF_THE_FILE)
        select = f"SELECT * FROM ({select}) WHERE name NOT IN ({own})"  # noqa: S608  (own names)
    row = con.execute(f"INSERT INTO main.{table} BY NAME {select}").fetchall()
    return int(row[0][0])


def attach(
    con: DuckDBPyConnection, file: Path, name: str, folder: Path, patience: Patience
) -> None:
    """Attach a club's file for reading, waiting for who writes to it.

    Raises:
        ClubBusyError, ClubDamagedError: it cannot be read.
    """
    while True:
        try:
            con.execute(f"ATTACH '{sql_path(file)}' AS {name} (READ_ONLY)")
        except (duckdb.Error, OSError) as error:
            plain = plain_error(error, folder)
            if plain is None:
                raise
            if not isinstance(plain, ClubBusyError):
                raise plain from error
        else:
            return
        patience.wait()


def sql_path(file: Path) -> str:
    """Return a path as it stands within a SQL text literal."""
    return str(file).replace("'", "''")


def count_rows(con: DuckDBPyConnection, tables: Sequence[str] | None = None) -> dict[str, int]:
    """Return the number of rows of every table (default: of all the club's)."""
    names = list(table_models()) if tables is None else tables
    found = con.execute(
        " UNION ALL ".join(f"SELECT '{name}', count(*) FROM main.{name}" for name in names)  # noqa: S608  (own names)
    )
    return dict(found.fetchall())
