"""The database's tables, written from the pandera models, so that fields are defined once."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .columns import described
from .records import TABLES
from .said import MODELS

if TYPE_CHECKING:
    import pandera.polars as pa


def table_models() -> dict[str, type[pa.DataFrameModel]]:
    """Return every table of the database with its model: ``said_holding`` ..., ``source`` ..."""
    return {**{f"said_{kind}": model for kind, model in MODELS.items()}, **TABLES}


def create_tables_sql() -> str:
    """Return the SQL that creates every table.

    History tables have no indexes and no keys: those would block later changes to the tables.
    """
    statements = []
    for table, model in table_models().items():
        columns = ",\n".join(
            f'    "{name}" {spec["type"]}{"" if spec["nullable"] else " NOT NULL"}'
            for name, spec in described(model).items()
        )
        statements.append(f"CREATE TABLE {table} (\n{columns}\n);")
    return "\n\n".join(statements) + "\n"
