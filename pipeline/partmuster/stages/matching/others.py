"""Matchers from plugins: they suggest; veto, threshold and acceptance stay with the core."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import polars as pl

from .candidates import Reading

if TYPE_CHECKING:
    from collections.abc import Sequence

    from partmuster.hooks import Matcher
    from partmuster_trade import Vocabulary

_COLUMNS: Final = {
    "item_key": pl.String(), "part_id": pl.String(), "probability": pl.Float64(),
    "reasons": pl.String(),
}  # fmt: skip


def other_readings(
    matchers: Sequence[Matcher], batch: pl.DataFrame, vocabulary: Vocabulary,
    failures: list[str] | None,
) -> dict[str, list[Reading]]:  # fmt: skip
    """Return what plugin matchers offer for keys that wait, by item key.

    A matcher that raises or hands back rubbish is left out and named in ``failures``; rows for
    keys that were not asked are left out.
    """
    names = pl.DataFrame(
        [(entry.part_id, entry.name, entry.region, entry.style) for entry in vocabulary.names()],
        schema=dict.fromkeys(("part_id", "name", "region", "style"), pl.String),
        orient="row",
    )
    asked = set(batch.get_column("item_key").to_list())
    found: dict[str, list[Reading]] = {}
    for matcher in matchers:
        name = str(getattr(matcher, "name", type(matcher).__name__))
        try:
            rows = matcher.candidates(batch, names).select(
                pl.col(column).cast(dtype) for column, dtype in _COLUMNS.items()
            )
        except (KeyboardInterrupt, GeneratorExit):
            raise
        except BaseException as error:  # noqa: BLE001 - a plugin may raise anything; it is named
            text = f"matcher '{name}' failed and was left out: {type(error).__name__}: {error}"
            if failures is not None and text not in failures:
                failures.append(text)
            continue
        for key, part_id, probability, reasons in rows.drop_nulls("probability").iter_rows():
            if key in asked and 0.0 <= probability <= 1.0:
                reading = Reading(part_id, probability, "fuzzy", (f"{name}: {reasons or ''}",))
                found.setdefault(key, []).append(reading)
    return found
