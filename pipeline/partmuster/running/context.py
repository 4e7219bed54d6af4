"""What the club knows that settles words: families, their parts lists, members' countries."""

from __future__ import annotations

from typing import TYPE_CHECKING

import polars as pl

from partmuster.store.frames import fetch

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from duckdb import DuckDBPyConnection

    from partmuster.store.put_aside import LinesOfKind

#: Country of a holder to the region whose words he uses.
_REGIONS = {"GB": "UK", "IE": "UK", "US": "US", "CA": "US", "AU": "AU", "NZ": "AU"}
_USERS = "SELECT item_key, holder_key FROM holding UNION SELECT item_key, holder_key FROM want"


def region_of(country: str | None) -> str | None:
    """Return the region of a country's words: UK, US or AU; None where it has none."""
    return _REGIONS.get((country or "").upper())


def families_of(
    con: DuckDBPyConnection, new_lines: Sequence[Mapping[str, LinesOfKind]]
) -> list[str]:
    """Return the names of all vehicle families that registers, lists and builds name."""
    known = fetch(
        con,
        "SELECT DISTINCT family FROM (SELECT family FROM vehicle UNION ALL SELECT family FROM "
        "requirement UNION ALL SELECT family FROM build) WHERE family IS NOT NULL",
    )
    named = [known.get_column("family").cast(pl.String)]
    named += [
        lines[kind].get_column("family")
        for lines in new_lines
        for kind in ("vehicle", "requirement", "build")
        if kind in lines
    ]
    return sorted(pl.concat(named).drop_nulls().unique().to_list())


def listed_parts(
    con: DuckDBPyConnection,
    new_lines: Sequence[Mapping[str, LinesOfKind]],
    by_name: pl.DataFrame,
    any_family: str,
) -> pl.DataFrame:
    """Return (family, part_id) of what parts lists name surely; all of it for ``any_family`` too.

    ``by_name``: identifications of the new lines' keys.
    """
    text = {"family": pl.String, "part_id": pl.String}
    known = fetch(
        con,
        "SELECT DISTINCT r.family, i.target AS part_id FROM requirement r "
        "JOIN identification_now i ON i.role = 'part' AND i.key = r.item_key "
        "WHERE i.accepted AND i.target IS NOT NULL AND r.family IS NOT NULL",
    ).cast(text)  # type: ignore[arg-type]
    named = by_name.filter("accepted").select("key", pl.col("target").alias("part_id"))
    new = [
        lines["requirement"]
        .select("family", "item_key")
        .join(named, left_on="item_key", right_on="key")
        .select(list(text))
        for lines in new_lines
        if "requirement" in lines
    ]
    listed = pl.concat([known, *new]).drop_nulls().unique()
    return pl.concat([listed, listed.with_columns(pl.lit(any_family).alias("family"))]).unique()


def words_of_new_members(
    con: DuckDBPyConnection, new_lines: Sequence[Mapping[str, LinesOfKind]]
) -> list[str]:
    """Return the item keys used by people whom the new lines tell about: now a region may."""
    named = [lines["holder"].get_column("holder_key") for lines in new_lines if "holder" in lines]
    if not named:
        return []
    users = fetch(con, f"SELECT item_key FROM ({_USERS}) WHERE list_contains($1, holder_key)",  # noqa: S608 - own names
                  [pl.concat(named).drop_nulls().unique().to_list()])  # fmt: skip
    return users.get_column("item_key").drop_nulls().to_list()


def with_regions(
    con: DuckDBPyConnection,
    keys: pl.DataFrame,
    new_lines: Sequence[Mapping[str, LinesOfKind]],
) -> pl.DataFrame:
    """Give each key the region of those who use its words, where the members' list tells it.

    Words used from several regions get none: then the club's own region does not settle them
    either, and a person has to.
    """
    holders = [fetch(con, "SELECT holder_key, country FROM holder WHERE country IS NOT NULL")]
    users = [fetch(con, _USERS)]
    for lines in new_lines:
        if "holder" in lines:
            holders.append(lines["holder"].select("holder_key", "country").drop_nulls())
        users += [
            lines[kind].select("item_key", "holder_key").unique()
            for kind in ("holding", "want")
            if kind in lines
        ]
    text = {"holder_key": pl.String, "country": pl.String}
    countries = pl.concat([frame.cast(text) for frame in holders]).unique("holder_key")  # type: ignore[arg-type]
    countries = countries.with_columns(
        pl.col("country").replace_strict(_REGIONS, default=None).alias("region")
    )
    used = pl.concat([frame.cast(pl.String) for frame in users]).drop_nulls()
    regions = (
        used.join(countries, on="holder_key")
        .group_by("item_key")
        .agg(pl.col("region").unique().alias("regions"))
        .with_columns(
            pl.when(pl.col("regions").list.len() == 1)
            .then(pl.col("regions").list.first())
            .otherwise(pl.lit("mixed"))
            .alias("_region")
        )
    )
    return keys.join(regions.select("item_key", "_region"), on="item_key", how="left").with_columns(
        pl.coalesce("_region", "region").alias("region")
    ).drop("_region")  # fmt: skip
