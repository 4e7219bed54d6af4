"""What descriptions mean, worked out from everything the club says, whatever came in first.

A number names a part once lines accepted by name have taught it, wherever those lines stand. So
the keys of an import are matched by name first, the numbers are learned from old and new lines
together, and every key that carries such a number is matched again.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import polars as pl

from partmuster.stages.match import learn_numbers, match
from partmuster.stages.normalising.identity import with_item_key
from partmuster.store.frames import fetch
from partmuster_schemas.columns import polars_schema
from partmuster_schemas.records import ItemKey
from partmuster_schemas.said import MODELS

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping, Sequence

    from duckdb import DuckDBPyConnection

    from partmuster.hooks import Matcher
    from partmuster_trade import Vocabulary

KEY_SCHEMA = polars_schema(ItemKey)
NO_NUMBERS = {"number": pl.String, "maker": pl.String, "part_id": pl.String, "hand": pl.String,
              "position": pl.String}  # fmt: skip
NO_DECISIONS = {"topic": pl.String, "subject": pl.String, "answer": pl.String}
#: Country of a holder to the region whose words he uses.
_REGIONS = {"GB": "UK", "IE": "UK", "US": "US", "CA": "US", "AU": "AU", "NZ": "AU"}
_USERS = "SELECT item_key, holder_key FROM holding UNION SELECT item_key, holder_key FROM want"
_NUMBERED = tuple(
    kind for kind, model in MODELS.items() if "part_number_normal" in polars_schema(model)
)


def region_of(country: str | None) -> str | None:
    """Return the region of a country's words: UK, US or AU; None where it has none."""
    return _REGIONS.get((country or "").upper())


class HandedParts:
    """Which descriptions name a part with a left and a right hand, by exact name alone."""

    def __init__(self, vocabulary: Vocabulary, region: str | None) -> None:
        self._vocabulary = vocabulary
        self._region = region

    def __call__(self, descriptions: list[str]) -> set[str]:
        """Return those of the descriptions that surely name a handed part."""
        keys = with_item_key(pl.DataFrame({"description": descriptions}))
        keys = keys.with_columns(
            pl.lit(None, dtype=dtype).alias(name)
            for name, dtype in KEY_SCHEMA.items()
            if name not in keys.columns
        ).select(list(KEY_SCHEMA))
        found = match(
            keys, self._vocabulary, pl.DataFrame(schema=NO_NUMBERS),
            pl.DataFrame(schema=NO_DECISIONS), region=self._region,
        )  # fmt: skip
        meant = found.filter("accepted").join(keys, left_on="key", right_on="item_key")
        return {
            row["description"]
            for row in meant.select("description", "target").iter_rows(named=True)
            if self._vocabulary.by_id(row["target"]).handed == "handed"
        }


def identify(
    con: DuckDBPyConnection,
    new_lines: Sequence[Mapping[str, pl.DataFrame]],
    new_keys: pl.DataFrame,
    vocabulary: Vocabulary,
    matchers: Sequence[Matcher],
    *,
    region: str | None,
    again: Collection[str] | None = None,
    everything: bool = False,
    failures: list[str] | None = None,
) -> pl.DataFrame:
    """Return what the new keys mean, and old keys that new lines or new words tell otherwise.

    ``new_lines``: typed frames by kind, one mapping a version. Item keys in ``again`` are
    matched again, with ``everything`` all that the club has. A plugin's matcher that fails is
    left out and named in ``failures``. Columns: those of ``Identification`` without the recorded
    ones.
    """
    old_keys = fetch(con, f"SELECT {', '.join(KEY_SCHEMA)} FROM item_key").select(  # noqa: S608 - own names
        pl.col(name).cast(dtype) for name, dtype in KEY_SCHEMA.items()
    )
    keys = pl.concat([new_keys.select(list(KEY_SCHEMA)), old_keys]).unique(
        "item_key", keep="first", maintain_order=True
    )
    keys = _with_regions(con, keys, new_lines)
    # A family's name is no part of a part's: one never heard of before may change any reading.
    everything = everything or bool(
        old_keys.height and set(_families(con, new_lines)) - set(_families(con, ()))
    )
    fresh = keys if everything else keys.join(old_keys, on="item_key", how="anti")
    once_more = {*(again or ()), *_words_of_new_members(con, new_lines)}
    if once_more:
        fresh = pl.concat([fresh, keys.filter(pl.col("item_key").is_in(list(once_more)))]).unique(
            "item_key", maintain_order=True
        )
    families = _families(con, new_lines)
    # The store lets people's decisions rule over all this.
    undecided = pl.DataFrame(schema=NO_DECISIONS)
    no_numbers = pl.DataFrame(schema=NO_NUMBERS)
    by_name = match(fresh, vocabulary, no_numbers, undecided, matchers, region, families, failures)
    lines = _numbered_lines(con, new_lines)
    numbers = learn_numbers(lines, _taught(con, by_name), vocabulary)
    # Only what the new lines say of a number can change what older lines with it mean; and a new
    # line only where its number is known at all.
    touched = lines if everything else _numbered_lines(None, new_lines)
    told_again = _carrying(
        keys, fresh, numbers.get_column("number"), touched.get_column("part_number_normal")
    )
    if not told_again.height:
        return by_name
    by_number = match(
        told_again, vocabulary, numbers, undecided, matchers, region, families, failures
    )
    rest = by_name.join(told_again, left_on="key", right_on="item_key", how="anti")
    return pl.concat([rest, by_number])


def _taught(con: DuckDBPyConnection, by_name: pl.DataFrame) -> pl.DataFrame:
    """Return what teaches numbers: names just read, names read before, and people's decisions."""
    standing = fetch(
        con,
        "SELECT role, key, rank, target, probability, method, reasons, accepted "
        "FROM identification_now WHERE role = 'part' AND method IN ('exact', 'decision')",
    ).cast(dict(by_name.schema))  # type: ignore[arg-type]
    decided = standing.filter(pl.col("method") == "decision")
    named = by_name.filter(pl.col("method") == "exact").join(decided, on="key", how="anti")
    before = standing.filter(pl.col("method") == "exact").join(by_name, on="key", how="anti")
    return pl.concat([frame.select(by_name.columns) for frame in (named, before, decided)])


def _carrying(
    keys: pl.DataFrame, fresh: pl.DataFrame, known: pl.Series, touched: pl.Series
) -> pl.DataFrame:
    """Return the keys that carry a number: a known one if they are fresh, else a touched one."""
    is_fresh = pl.col("item_key").is_in(fresh.get_column("item_key").to_list())
    return keys.filter(
        pl.any_horizontal(
            pl.when(is_fresh)
            .then(pl.col(column).is_in(known.to_list()))
            .otherwise(pl.col(column).is_in(touched.to_list()))
            for column in ("part_number_normal", "casting_number")
        ).fill_null(value=False)
    )


def _families(
    con: DuckDBPyConnection, new_lines: Sequence[Mapping[str, pl.DataFrame]]
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


def _numbered_lines(
    con: DuckDBPyConnection | None, new_lines: Sequence[Mapping[str, pl.DataFrame]]
) -> pl.DataFrame:
    """Return item key, number, maker, side and position of lines with a part number.

    Of the new lines, and of the club's too where a connection is given.
    """
    columns = ["item_key", "part_number_normal", "maker", "side", "position"]
    selects = " UNION ".join(
        f"SELECT {', '.join(columns)} FROM {kind} WHERE part_number_normal IS NOT NULL"  # noqa: S608 - own names
        for kind in _NUMBERED
    )
    nothing = pl.DataFrame(schema=dict.fromkeys(columns, pl.String))
    frames = [nothing if con is None else fetch(con, selects).cast(pl.String)]
    for lines in new_lines:
        frames += [
            frame.select(columns).filter(pl.col("part_number_normal").is_not_null())
            for kind, frame in lines.items()
            if kind in _NUMBERED
        ]
    return pl.concat(frames).unique(maintain_order=True)


def _words_of_new_members(
    con: DuckDBPyConnection, new_lines: Sequence[Mapping[str, pl.DataFrame]]
) -> list[str]:
    """Return the item keys used by people whom the new lines tell about: now a region may."""
    named = [lines["holder"].get_column("holder_key") for lines in new_lines if "holder" in lines]
    if not named:
        return []
    users = fetch(con, f"SELECT item_key FROM ({_USERS}) WHERE list_contains($1, holder_key)",  # noqa: S608 - own names
                  [pl.concat(named).drop_nulls().unique().to_list()])  # fmt: skip
    return users.get_column("item_key").drop_nulls().to_list()


def _with_regions(
    con: DuckDBPyConnection,
    keys: pl.DataFrame,
    new_lines: Sequence[Mapping[str, pl.DataFrame]],
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
