"""The parts of which there are fewest, of what is wanted and what is offered."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import polars as pl

if TYPE_CHECKING:
    from .moment import Supply

_ITEM: Final = ("part", "hand", "position")


def scarcest(supply: Supply, wanted: pl.DataFrame) -> pl.DataFrame:
    """Return parts of which more is wanted than is offered, the scarcest first.

    ``wanted``: the section of wants. A want that names a vehicle which lacks the part is that lack
    told once more, and does not count again. Common practice, no source.
    """
    lacking = supply.by_lack.select("vehicle", *_ITEM).unique()
    others = (
        wanted.filter((pl.col("state") != "found") & pl.col("part").is_not_null())
        .join(lacking, on=["vehicle", *_ITEM], how="anti", nulls_equal=True)
        .group_by(*_ITEM)
        .agg(more=pl.col("quantity").sum(),
             want_lines=pl.col("trace").sort().str.join(";"))
    )  # fmt: skip
    rows = supply.sums.join(others, on=_ITEM, how="full", coalesce=True, nulls_equal=True)
    lines = pl.concat_str("lines", "offer_lines", "want_lines", separator=";", ignore_nulls=True)
    rows = rows.with_columns(
        wanted=pl.col("wanted").fill_null(0.0) + pl.col("more").fill_null(0.0),
        vehicles=pl.col("vehicles").fill_null(0),
        offered=pl.col("offered").fill_null(0.0),
        to_ask=pl.col("to_ask").fill_null(0.0),
        line_ids=lines.str.split(";").list.unique(maintain_order=True),
    ).with_columns(short=pl.col("wanted") - pl.col("offered"))
    return rows.filter(pl.col("short") > 0).sort(
        "short", "to_ask", "vehicles", *_ITEM,
        descending=[True, False, True, False, False, False], nulls_last=True,
    )  # fmt: skip
