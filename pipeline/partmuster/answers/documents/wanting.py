"""Wants of a month: new, open and found, and the offers that meet them."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import polars as pl

from .stock import offered, touching

if TYPE_CHECKING:
    from .moment import Moment

_ITEM: Final = ("part", "hand", "position")


def wants(now: Moment, before: Moment | None) -> pl.DataFrame:
    """Return wants with their state at the end of the month: columns of ``report.Wanted``.

    Found: open a month before, and closed or no longer in its list now.
    """
    open_now = now.wants.filter(~pl.col("closed"))
    was_open = (before.wants if before else now.wants.clear()).filter(~pl.col("closed"))
    there = open_now.join(was_open, on="line_id", how="semi")
    state = pl.lit("open")
    if before is not None:
        state = (
            pl.when(pl.col("line_id").is_in(there.get_column("line_id").implode()))
            .then(pl.lit("open")).otherwise(pl.lit("new"))
        )  # fmt: skip
    found = was_open.join(open_now, on="line_id", how="anti")
    rows = pl.concat(
        [open_now.with_columns(state=state), found.with_columns(state=pl.lit("found"))]
    )
    return rows.rename({"part_id": "part", "line_id": "trace"}).sort(
        pl.col("state").replace_strict({"new": 0, "open": 1, "found": 2}, default=3),
        *_ITEM, "holder", "trace", nulls_last=True,
    )  # fmt: skip


def matches(
    wanted: pl.DataFrame, held_now: pl.DataFrame, held_before: pl.DataFrame | None
) -> pl.DataFrame:
    """Return open wants with offers of the same part by somebody else, where one is new.

    Nothing is new where nothing was known a month before. A hand or position that only one of the
    two says has to be asked; where both say one and they differ, it is no match.
    """
    given = offered(held_now)
    if held_before is None:
        given = given.clear()
    before = offered(held_before if held_before is not None else held_now.clear())
    given = given.with_columns(is_new=~touching(given, before.get_column("line_ids").explode()))
    both = (
        wanted.filter((pl.col("state") != "found") & pl.col("part").is_not_null())
        .join(given, on="part", suffix="_offered")
        .filter(
            pl.col("person").ne_missing(pl.col("person_offered")),
            *(
                (pl.col(name) == pl.col(f"{name}_offered")).fill_null(value=True)
                for name in ("hand", "position")
            ),
            (pl.col("state") == "new") | pl.col("is_new"),
        )
    )
    asks = [
        pl.when(pl.col(name).is_null() != pl.col(f"{name}_offered").is_null())
        .then(pl.lit(f"{name} not said: ask"))
        for name in ("hand", "position")
    ]  # fmt: skip
    is_new = pl.col("state") == "new"
    return both.select(
        news=pl.when(is_new & pl.col("is_new")).then(pl.lit("both new"))
        .when(is_new).then(pl.lit("newly wanted")).otherwise(pl.lit("newly offered")),
        part="part", hand=pl.coalesce("hand", "hand_offered"),
        position=pl.coalesce("position", "position_offered"), wanted_by="holder",
        wanted_person="person", vehicle="vehicle", holder="holder_offered",
        person="person_offered", quantity="quantity_offered", condition="condition",
        ask=pl.concat_str(asks, separator="; ", ignore_nulls=True).replace("", None),
        trace=pl.format("{};{}", "trace", "trace_offered"),
    ).sort(*_ITEM, "wanted_by", "holder", "trace", nulls_last=True)  # fmt: skip
