"""Units in which parts are counted and measured."""

from __future__ import annotations

import functools
from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING

from partmuster_trade.tables import bundled_rows, split_list

if TYPE_CHECKING:
    from collections.abc import Mapping


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit; `pieces` is None where a unit is no fixed count (a set, a box, a metre).

    `issue_code` is the official two-letter unit of issue, empty where there is none.
    """

    unit_id: str
    words: tuple[str, ...]
    pieces: int | None
    issue_code: str
    source: str


@functools.cache
def all_units() -> Mapping[str, Unit]:
    """Return all units by id."""
    return MappingProxyType(
        {
            row["unit_id"]: Unit(
                row["unit_id"],
                split_list(row["words"]),
                int(row["pieces"]) if row["pieces"] else None,
                row["issue_code"],
                row["source"],
            )
            for row in bundled_rows("units.csv")
        }
    )


@functools.cache
def _by_word() -> dict[str, str]:
    return {word: unit.unit_id for unit in all_units().values() for word in unit.words}


def unit_id(word: str) -> str | None:
    """Return the unit a word or official code stands for ("prs." and "PR": pair), or None."""
    return _by_word().get(" ".join(word.casefold().replace(".", "").split()))


def pieces(word: str) -> int | None:
    """Return how many pieces one of the unit is, or None if unknown or no fixed count."""
    found = unit_id(word)
    return all_units()[found].pieces if found else None
