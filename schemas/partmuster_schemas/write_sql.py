"""Writes the next migration: what brings the tables of the earlier ones to the models.

``python -m partmuster_schemas.write_sql NAME`` writes ``sql/NNNN_NAME.sql``. Migrations are never
edited once a club may have them; drop one that no club has, and write it again.
"""

from __future__ import annotations

import sys
from pathlib import Path

import duckdb

from .columns import described
from .ddl import create_table_sql, table_models

FOLDER = Path(__file__).parent / "sql"
_HEAD = "-- Written by `python -m partmuster_schemas.write_sql` from the models.\n\n"


def migration_files() -> list[Path]:
    """Return the migrations there are, in order."""
    return sorted(FOLDER.glob("[0-9][0-9][0-9][0-9]_*.sql"))


def next_migration() -> str:
    """Return the SQL that brings a club with all migrations to the models; empty if none is due.

    Raises:
        ValueError: a table or column went away, or became another: write that step by hand.
    """
    had = _tables()
    statements = []
    for table, model in table_models().items():
        wanted = {name: (spec["type"], spec["nullable"]) for name, spec in described(model).items()}
        if table not in had:
            statements.append(create_table_sql(table, model))
            continue
        for name, (dtype, nullable) in wanted.items():
            if name in had[table]:
                if had[table][name] != (dtype, nullable):
                    raise ValueError(f"{table}.{name} is {had[table][name]} in clubs")
            elif nullable:
                statements.append(f'ALTER TABLE {table} ADD COLUMN "{name}" {dtype};')
            else:
                raise ValueError(f"{table}.{name} must be filled: what stands there in old rows?")
        if gone := had[table].keys() - wanted.keys():
            raise ValueError(f"{table} has no column {', '.join(sorted(gone))} any more")
    if gone := had.keys() - table_models().keys():
        raise ValueError(f"there is no table {', '.join(sorted(gone))} any more")
    return _HEAD + "\n".join(statements) + "\n" if statements else ""


def _tables() -> dict[str, dict[str, tuple[str, bool]]]:
    """Return type and nullability of each column of each table after all migrations."""
    with duckdb.connect() as con:
        for file in migration_files():
            con.execute(file.read_text(encoding="utf-8"))
        rows = con.execute(
            "SELECT table_name, column_name, data_type, is_nullable FROM duckdb_columns() "
            "WHERE NOT internal"
        ).fetchall()
    found: dict[str, dict[str, tuple[str, bool]]] = {}
    for table, column, dtype, nullable in rows:
        found.setdefault(table, {})[column] = (dtype, nullable)
    return found


def main() -> None:
    """Write the file, or say that none is due."""
    sql = next_migration()
    if not sql:
        sys.stdout.write("the migrations lead to the models already\n")
        return
    name = f"{len(migration_files()) + 1:04d}_{'_'.join(sys.argv[1:]) or 'tables'}.sql"
    (FOLDER / name).write_text(sql, encoding="utf-8")
    sys.stdout.write(f"{FOLDER / name}\n")


if __name__ == "__main__":
    main()
