"""Sayings of the trade as data: how people tell what they saw, have, want or promised.

Each ``data/sayings_*.csv`` has the columns ``rule`` (a name that explains itself), ``saying``
(patterns, ``;`` between), ``kind`` (of line), ``means`` (``field=value``, ``;`` between), ``note``
and ``source``. A club's own file has the same columns.

A saying is words and slots. ``(a|b c)``: one of these. ``[a]``: may be left out. ``{parts}``: one
part or a list with a shared verb; ``{part}``: one. ``{vehicle}``, ``{person}``, ``{build}``,
``{state}``; ``{be}``, ``{have}``: the verb in any of its forms; ``{words}``: whatever stands there,
to the next word of the saying or the end of the clause. A slot may be named: ``{to:parts}``.
"""

from __future__ import annotations

import csv
import functools
import io
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from .tables import bundled_text, split_list

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path

COLUMNS: Final = ("rule", "saying", "kind", "means", "note", "source")
#: The bundled tables; earlier ones are tried first.
TABLES: Final = (
    "promises", "fits", "wants", "holdings", "states", "features", "history", "leads",
)  # fmt: skip


class SayingsError(ValueError):
    """A table of sayings is not as it must be; the text names file, row and what to do."""


@dataclass(frozen=True, slots=True)
class Saying:
    """One pattern, the kind of line it makes, and the fields it fills."""

    rule: str
    pattern: str
    kind: str
    means: Mapping[str, str]
    source: str


def read_sayings(name: str, text: str) -> tuple[Saying, ...]:
    """Return the sayings of one table.

    Raises:
        SayingsError: a column is missing or unknown, or a row is not whole.
    """
    reader = csv.DictReader(io.StringIO(text), strict=True)
    if tuple(reader.fieldnames or ()) != COLUMNS:
        raise SayingsError(f"{name}, row 1: the columns must be {', '.join(COLUMNS)}")
    found: list[Saying] = []
    for number, row in enumerate(reader, start=2):
        if None in row or None in row.values() or not row["rule"].strip():
            raise SayingsError(f"{name}, row {number}: a cell is missing, or there are too many")
        means: dict[str, str] = {}
        for pair in split_list(row["means"]):
            key, equals, value = pair.partition("=")
            if not equals:
                raise SayingsError(f"{name}, row {number}: '{pair}' must be field=value")
            means[key.strip()] = value.strip()
        patterns = split_list(row["saying"])
        if not patterns:
            raise SayingsError(f"{name}, row {number}: write a saying")
        found += [
            Saying(row["rule"].strip(), pattern, row["kind"].strip(), means, row["source"])
            for pattern in patterns
        ]
    return tuple(found)


@functools.cache
def load_sayings(table: str) -> tuple[Saying, ...]:
    """Return the sayings of one of the package's tables."""
    name = f"sayings_{table}.csv"
    return read_sayings(name, bundled_text(name))


def club_sayings(path: Path) -> tuple[Saying, ...]:
    """Return a club's own sayings; raises SayingsError as :func:`read_sayings`."""
    return read_sayings(path.name, path.read_text(encoding="utf-8-sig"))
