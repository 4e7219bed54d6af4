"""Cautions to show beside a part or a job, with the authority to defer to."""

from __future__ import annotations

import functools
from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING

from partmuster_trade.tables import bundled_rows

if TYPE_CHECKING:
    from collections.abc import Mapping


@dataclass(frozen=True, slots=True)
class Caution:
    """A hazard in plain words; `source` says whether the wording was seen or remembered.

    `restricted`: passing such parts on is restricted by law in many places: weapon parts,
    radioactive instruments, asbestos goods, vessels under pressure (common practice, no source).
    """

    caution_id: str
    hazard: str
    text: str
    authority: str
    source: str
    restricted: bool


@functools.cache
def all_cautions() -> Mapping[str, Caution]:
    """Return all cautions by id."""
    return MappingProxyType({row["caution_id"]: _read(row) for row in bundled_rows("cautions.csv")})


def _read(row: Mapping[str, str]) -> Caution:
    words = {name: text for name, text in row.items() if name != "restricted"}
    return Caution(**words, restricted=row["restricted"] == "yes")


def caution(caution_id: str) -> Caution:
    """Return one caution; raises KeyError for an id that does not exist."""
    return all_cautions()[caution_id]
