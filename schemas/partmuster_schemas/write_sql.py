"""Writes the first migration, ``sql/0001_tables.sql``, from the models.

``python -m partmuster_schemas.write_sql``
"""

from __future__ import annotations

from pathlib import Path

from .ddl import create_tables_sql

FILE = Path(__file__).parent / "sql" / "0001_tables.sql"
_HEAD = "-- Written by `python -m partmuster_schemas.write_sql` from the models; do not edit.\n\n"


def tables_sql() -> str:
    """Return the text of the first migration."""
    return _HEAD + create_tables_sql()


def main() -> None:
    """Write the file."""
    FILE.parent.mkdir(exist_ok=True)
    FILE.write_text(tables_sql(), encoding="utf-8")


if __name__ == "__main__":
    main()
