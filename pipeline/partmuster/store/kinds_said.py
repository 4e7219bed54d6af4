"""The kinds of line that a club has: a question asked of those alone is planned in a fraction.

To plan a question takes about a millisecond for each view that it looks into, whatever stands
there; a view of every kind of line looks into each of them, some more than once.
"""

from __future__ import annotations

import re
from functools import cache
from typing import TYPE_CHECKING

from partmuster_schemas.said import MODELS

from .migrations import views_sql

if TYPE_CHECKING:
    from collections.abc import Collection

    from duckdb import DuckDBPyConnection

_ANY_LINE = " UNION ALL ".join(f"(SELECT '{kind}' FROM said_{kind} LIMIT 1)" for kind in MODELS)  # noqa: S608 - own names
_UNION = re.compile(r"\s+UNION(?: ALL)?\s+")
_KIND = re.compile(r"\bFROM (?:said_)?(\w+)")


def kinds_said(con: DuckDBPyConnection) -> frozenset[str]:
    """Return the kinds of which the club has lines, or had some."""
    return frozenset(kind for (kind,) in con.execute(_ANY_LINE).fetchall())


def united(view: str, kinds: Collection[str]) -> str:
    """Return what a base view selects, from some kinds of line alone.

    The view is a plain union of selects from one kind each, such as ``line_subject``.
    """
    selects, between = _selects(view)
    chosen = [select for kind, select in selects if kind in kinds]
    return between.join(chosen) if chosen else f"{selects[0][1]} LIMIT 0"


@cache
def _selects(view: str) -> tuple[tuple[tuple[str, str], ...], str]:
    """Return the selects of a view, each with its kind, and what stands between them."""
    found = re.search(rf"^CREATE VIEW {view} AS\s+(.*?);$", views_sql(), re.DOTALL | re.MULTILINE)
    assert found is not None, view
    selects = []
    for select in _UNION.split(found[1]):
        kind = _KIND.search(select)
        assert kind is not None, select
        selects.append((kind[1], select))
    return tuple(selects), " UNION ALL " if "UNION ALL" in found[1] else " UNION "
