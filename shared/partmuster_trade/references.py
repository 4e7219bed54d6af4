"""Published condition codes, and the definitions behind the grades of fit."""

from __future__ import annotations

import functools
from dataclasses import dataclass

from partmuster_trade.tables import bundled_rows


@dataclass(frozen=True, slots=True)
class ConditionCode:
    """An official condition code; the same letter means nothing without its `scheme`."""

    scheme: str
    code: str
    title: str
    meaning: str
    source: str


@dataclass(frozen=True, slots=True)
class Definition:
    """A published definition; `relation` says which grade of fit it bears on."""

    term: str
    meaning: str
    document: str
    relation: str
    source: str


@functools.cache
def condition_codes() -> tuple[ConditionCode, ...]:
    """Return all condition codes of both schemes, `supply` and `disposal`."""
    return tuple(ConditionCode(**row) for row in bundled_rows("condition_codes.csv"))


def condition_code(scheme: str, code: str) -> ConditionCode | None:
    """Return one condition code, or None if the scheme has no such code."""
    wanted = (scheme, code.strip().upper())
    return next((c for c in condition_codes() if (c.scheme, c.code) == wanted), None)


@functools.cache
def definitions() -> tuple[Definition, ...]:
    """Return the published definitions of interchangeability and its kin."""
    return tuple(Definition(**row) for row in bundled_rows("definitions.csv"))
