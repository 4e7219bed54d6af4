"""What the words of a question mean: the match stage for one description typed by a person."""

from __future__ import annotations

from typing import TYPE_CHECKING

import polars as pl

from partmuster.reading.numbers import normal_number
from partmuster.reading.sides import read_side
from partmuster.stages.match import match
from partmuster.stages.normalising.identity import with_item_key
from partmuster.store.frames import fetch
from partmuster.store.settings import read_settings

from .context import region_of
from .matching import KEY_SCHEMA, NO_DECISIONS, NO_NUMBERS
from .standard import standard_in_force

if TYPE_CHECKING:
    from collections.abc import Callable

    from duckdb import DuckDBPyConnection

    from partmuster_trade import Vocabulary


def identifier_of(con: DuckDBPyConnection, vocabulary: Vocabulary) -> Callable[[str], pl.DataFrame]:
    """Return a function that tells what words or a part number mean in this club.

    It returns candidates, the best first: part_id, name, probability, method, accepted, reasons,
    and side and position as the words name them.
    """
    country = read_settings(con).get("country")

    def identify(words: str) -> pl.DataFrame:
        known = _by_number(con, words)
        if known is not None:
            return _meant(known, vocabulary, None, None)
        reading = read_side(words, country)
        side = reading.side if reading.side in ("left", "right") else None
        position = " ".join(reading.positions) or None
        key = with_item_key(
            pl.DataFrame({"description": [words], "side": [side], "position": [position]},
                         schema=dict.fromkeys(("description", "side", "position"), pl.String))
        )  # fmt: skip
        key = key.with_columns(
            pl.lit(None, dtype=dtype).alias(name)
            for name, dtype in KEY_SCHEMA.items()
            if name not in key.columns
        ).select(list(KEY_SCHEMA))
        found = match(
            key, vocabulary, pl.DataFrame(schema=NO_NUMBERS), pl.DataFrame(schema=NO_DECISIONS),
            region=region_of(country), standard=standard_in_force(con).standard,
        )  # fmt: skip
        return _meant(found, vocabulary, side, position)

    return identify


def _by_number(con: DuckDBPyConnection, words: str) -> pl.DataFrame | None:
    """Return the parts that lines with this number are accepted as, most lines first."""
    number = normal_number(words)
    if not number:
        return None
    found = fetch(
        con,
        """
        SELECT i.target, max(i.probability) AS probability, 'number' AS method,
            count(DISTINCT i.target) OVER () = 1 AS accepted,
            'lines with this number say so' AS reasons
        FROM item_key k JOIN identification_now i ON i.key = k.item_key AND i.role = 'part'
        WHERE i.accepted AND i.target IS NOT NULL AND k.part_number_normal = ?
        GROUP BY i.target ORDER BY count(*) DESC, i.target
        """,
        [number],
    )
    return found if found.height else None


def _meant(
    found: pl.DataFrame, vocabulary: Vocabulary, side: str | None, position: str | None
) -> pl.DataFrame:
    named = found.filter(pl.col("target").is_not_null())
    names = [vocabulary.by_id(part_id).name for part_id in named.get_column("target").to_list()]
    return named.select(
        pl.col("target").alias("part_id"), pl.Series("name", names, dtype=pl.String),
        "probability", "method", "accepted", "reasons",
        pl.lit(side, dtype=pl.String).alias("side"),
        pl.lit(position, dtype=pl.String).alias("position"),
    )  # fmt: skip
