"""What waits for a person, where sources disagree, what is dangerous, and what it all rests on."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import polars as pl

from partmuster.store.frames import fetch
from partmuster_trade.cautions import caution

if TYPE_CHECKING:
    from collections.abc import Iterable

    from duckdb import DuckDBPyConnection

    from partmuster_trade.vocabulary import Vocabulary

    from .moment import Moment

_ITEM: Final = ("part", "hand", "position")


def disagreements(con: DuckDBPyConnection, now: Moment, when: str) -> pl.DataFrame:
    """Return where statements differ: of what vehicles lack, and numbers on two vehicles.

    ``when``: the arguments ``day, known_now``.
    """
    told = now.lacks.filter(pl.col("disagrees").is_not_null()).select(
        "assembly", *_ITEM, "trace", subject="vehicle", taken="state", otherwise="disagrees"
    )
    shared = fetch(
        con,
        "SELECT sort AS subject, number AS taken, 'on two vehicles: ' || vehicles AS otherwise, "  # noqa: S608  (a date and a truth value)
        f"trace FROM shared_identities_as_of({when})",
    )
    return pl.concat([told, shared], how="diagonal_relaxed")


def basis(now: Moment) -> pl.DataFrame:
    """Return the sources that were taken in, with the sum of their lines."""
    return now.sources.select(
        "source_id", "version", "said_on", "lines_read", source="name",
        recorded_on=pl.col("recorded_from").dt.date(), accepted="lines_loaded",
        in_review="lines_decision", to_mend="lines_mending", not_data="lines_not_data",
    )  # fmt: skip


def cautions(vocabulary: Vocabulary, parts: Iterable[str]) -> pl.DataFrame:
    """Return the cautions of parts (ids), each once with the names of the parts it is for."""
    by_caution: dict[str, list[str]] = {}
    for part_id in sorted({one for one in parts if one in vocabulary}):
        part = vocabulary.by_id(part_id)
        for name in part.caution:
            by_caution.setdefault(name, []).append(part.name)
    rows = [
        {
            "caution": caution(name).text, "authority": caution(name).authority,
            "parts": ", ".join(sorted(names)), "restricted": caution(name).restricted,
        }
        for name, names in sorted(by_caution.items())
    ]  # fmt: skip
    return pl.DataFrame(
        rows, schema={"caution": pl.String, "authority": pl.String, "parts": pl.String,
                      "restricted": pl.Boolean},
    )  # fmt: skip


def restricted_parts(vocabulary: Vocabulary) -> frozenset[str]:
    """Return the parts of which passing on is restricted by law in many places."""
    return frozenset(
        part.part_id
        for part in vocabulary.parts
        if any(caution(name).restricted for name in part.caution)
    )
