"""The one place where a report leaves out what an audience may not see.

Columns are left out by their class (``partmuster_schemas.report``), sections by theirs, and rows
and values by the rules here. Publishers see only what comes through :func:`seen_by`.
"""

from __future__ import annotations

import base64
import hashlib
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import polars as pl

from partmuster_schemas.columns import AUDIENCES, described

if TYPE_CHECKING:
    from collections.abc import Mapping

    import pandera.polars as pa

    from partmuster_schemas.columns import Audience

    from .moment import Moment

#: Sections of a circulated copy from which parts are left out whose trade is restricted.
_OF_OFFERS: Final = ("offered", "matches", "offers")
#: A region says nothing of one holder where at least so many are in it.
_NOT_ALONE: Final = 2
#: Letters of a code: with 30 bits two of 1,000 holders have the same one in 2,000 clubs.
_LETTERS: Final = 6


@dataclass(frozen=True, slots=True)
class Circle:
    """Who reads a copy: the audience, and what a circulated copy puts in place of names.

    ``codes`` and ``regions``: by person; ``restricted``: parts left out of what is offered.
    """

    audience: Audience
    codes: Mapping[str, str]
    regions: Mapping[str, str]
    restricted: frozenset[str]

    @property
    def rank(self) -> int:
        """0 for the registrar, more for a wider circle."""
        return AUDIENCES.index(self.audience)

    def may_see(self, audience: Audience) -> bool:
        """Return whether what is classed for an audience is for this circle."""
        return AUDIENCES.index(audience) >= self.rank


def circle(audience: Audience, now: Moment, salt: str, restricted: frozenset[str]) -> Circle:
    """Return what an audience sees in place of names at a moment; ``salt`` is the club's secret.

    In a circulated copy a region is that of at least two of those who hold or want something.
    """
    persons = pl.concat(
        [now.held.select("person"), now.wants.select("person")]
    ).drop_nulls().unique(maintain_order=True)  # fmt: skip
    listed = persons.join(now.members, on="person", how="left", maintain_order="left")
    if audience == "circulated":
        crowd = pl.len().over("region") >= _NOT_ALONE
        listed = listed.with_columns(region=pl.when(crowd).then("region"))
    codes, regions = {}, {}
    for person, code, region in listed.select("person", "code", "region").iter_rows():
        codes[person] = code or _code(salt, person)
        if region:
            regions[person] = region
    return Circle(audience, codes, regions, restricted)


def _code(salt: str, person: str) -> str:
    """Return a code that stays a person's, and tells nothing without the club's secret."""
    digest = hashlib.blake2b(person.encode(), key=salt.encode()[:64]).digest()
    return "H-" + base64.b32encode(digest)[:_LETTERS].decode()


def columns_for(model: type[pa.DataFrameModel], circle: Circle) -> list[str]:
    """Return the columns of a model that a circle may see, in order."""
    return [name for name, one in described(model).items() if circle.may_see(one["audience"])]


def rows_for(section: str, rows: pl.DataFrame, circle: Circle) -> pl.DataFrame:
    """Return the rows of a section that a circle may see, with codes and regions.

    A circulated copy tells of no line whose part nobody has identified, and offers no part whose
    trade is restricted by law in many places.
    """
    if circle.audience == "circulated" and "part" in rows.columns:
        rows = rows.filter(pl.col("part").is_not_null())
        if section in _OF_OFFERS:
            rows = rows.filter(~pl.col("part").is_in(list(circle.restricted)))
    made = {"code": ("person", circle.codes), "region": ("person", circle.regions),
            "wanted_code": ("wanted_person", circle.codes)}  # fmt: skip
    return rows.with_columns(
        pl.col(person).replace_strict(values, default=None, return_dtype=pl.String).alias(name)
        for name, (person, values) in made.items()
        if person in rows.columns
    )


def seen_by(
    section: str, model: type[pa.DataFrameModel], rows: pl.DataFrame, circle: Circle
) -> pl.DataFrame:
    """Return what a circle sees of a section: its rows, and of these its columns."""
    found = rows_for(section, rows, circle)
    wanted = columns_for(model, circle)
    types = {name: one.dtype.type for name, one in model.to_schema().columns.items()}
    return found.select(
        (pl.col(name) if name in found.columns else pl.lit(None)).cast(types[name]).alias(name)
        for name in wanted
    )
