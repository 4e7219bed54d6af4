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


def create_table_sql(table: str, model: type[pa.DataFrameModel]) -> str:
    """Return the SQL that creates a table.

    History tables have no indexes and no keys: those would block later changes to the tables.
    """
    columns = ",\n".join(
        f'    "{name}" {spec["type"]}{"" if spec["nullable"] else " NOT NULL"}'
        for name, spec in described(model).items()
    )
    return f"CREATE TABLE {table} (\n{columns}\n);\n"
