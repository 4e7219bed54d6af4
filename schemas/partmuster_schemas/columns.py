"""How a column of any schema is described: meaning, audience, and database type.

Every column is classed for an audience (registrar, members, circulated); the copy that goes round
may carry only what is classed for it. An unclassed column fails a test.
"""

from __future__ import annotations

from functools import cache
from typing import Any, Literal

import pandera.polars as pa
import polars as pl

Audience = Literal["registrar", "members", "circulated"]

#: From the most trusted to the widest circle; a column classed for one is seen by those before it.
AUDIENCES: tuple[Audience, ...] = ("registrar", "members", "circulated")

_DATABASE_TYPES: dict[Any, str] = {
    pl.String: "VARCHAR",
    pl.Boolean: "BOOLEAN",
    pl.Int32: "INTEGER",
    pl.Int64: "BIGINT",
    pl.Float64: "DOUBLE",
    pl.Date: "DATE",
    pl.Datetime: "TIMESTAMP",
}


def about(doc: str, audience: Audience = "registrar", **checks: Any) -> Any:
    """Return a pandera field with its meaning and audience; nullable unless told otherwise.

    ``checks`` are passed to :func:`pandera.polars.Field` (``isin``, ``ge``, ``nullable`` ...).
    """
    checks.setdefault("nullable", True)
    return pa.Field(metadata={"doc": doc, "audience": audience}, **checks)


def described(model: type[pa.DataFrameModel]) -> dict[str, dict[str, Any]]:
    """Return each column of a model in order: its ``type``, ``doc``, ``audience``, ``nullable``.

    Raises:
        ValueError: a column has no meaning or no audience.
    """
    return dict(_described(model))


@cache
def _described(model: type[pa.DataFrameModel]) -> dict[str, dict[str, Any]]:
    found: dict[str, dict[str, Any]] = {}
    for name, spec in model.to_schema().columns.items():
        metadata = spec.metadata or {}
        if metadata.get("audience") not in AUDIENCES or not metadata.get("doc"):
            raise ValueError(f"{model.__name__}.{name} has no audience or no meaning")
        found[name] = {
            "type": database_type(spec.dtype.type),
            "doc": metadata["doc"],
            "audience": metadata["audience"],
            "nullable": spec.nullable,
        }
    return found


def database_type(dtype: Any) -> str:
    """Return the DuckDB type that keeps a polars type."""
    return _DATABASE_TYPES[dtype.base_type() if hasattr(dtype, "base_type") else dtype]


def polars_schema(model: type[pa.DataFrameModel]) -> dict[str, Any]:
    """Return the polars type of each column of a model, in order, for casting a frame to it."""
    return {name: spec.dtype.type for name, spec in model.to_schema().columns.items()}
