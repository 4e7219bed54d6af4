"""Holdings of a month: by holder and line by line, what is offered, what moved, what grew old."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import polars as pl

from .months import year_before

if TYPE_CHECKING:
    import datetime as dt

    from .moment import Moment

#: What people say they give.
GIVEN: Final = ("offered", "swap")
_ITEM: Final = ("part", "hand", "position")
_COMPARED: Final = ("quantity", "condition", "place", "holder", "person")


def held(at: Moment) -> pl.DataFrame:
    """Return the loose parts at a moment: columns of ``report.Held``, and person, line ids."""
    return at.held.select(
        "holder", "person", part="part_id", hand="hand", position="position",
        part_number="part_number", quantity="at_least", condition="condition",
        availability="availability", builds="builds", place="place", words="words",
        said_on="said_on", line_ids=pl.col("lines").str.split(";"), trace="lines",
    )  # fmt: skip


def offered(held_now: pl.DataFrame) -> pl.DataFrame:
    """Return what is offered of what is held, where its part is known: by part."""
    return held_now.filter(pl.col("availability").is_in(GIVEN) & pl.col("part").is_not_null()).sort(
        *_ITEM, "holder", "trace", nulls_last=False, maintain_order=True
    )


def is_old(day: dt.date) -> pl.Expr:
    """Return whether the last sighting is older than a year on a day."""
    return pl.col("said_on") < year_before(day)


def touching(rows: pl.DataFrame, ids: pl.Series) -> pl.Series:
    """Return for each row whether one of its ``line_ids`` is among some ids."""
    numbered = rows.select("line_ids").with_row_index("row").explode("line_ids")
    found = numbered.join(ids.alias("line_ids").to_frame(), on="line_ids", how="semi")
    return pl.int_range(rows.height, eager=True, dtype=pl.UInt32).is_in(
        found.get_column("row").implode()
    )


def holders(held_now: pl.DataFrame, day: dt.date) -> pl.DataFrame:
    """Return what each holder has in sums, with the line ids behind."""
    known = pl.col("part").is_not_null()
    return (
        held_now.group_by("person", "holder", maintain_order=True)
        .agg(
            lines=pl.len().cast(pl.Int64),
            identified=known.sum().cast(pl.Int64),
            pieces=pl.col("quantity").filter(known).sum(),
            offered=pl.col("availability").is_in(GIVEN).sum().cast(pl.Int64),
            not_said=(pl.col("availability") == "unknown").sum().cast(pl.Int64),
            unsighted=is_old(day).sum().cast(pl.Int64),
            line_ids=pl.col("line_ids").explode(),
        )
        .sort(pl.col("holder").str.to_lowercase(), "holder", "person", nulls_last=True)
    )  # fmt: skip


def unsighted(held_now: pl.DataFrame, day: dt.date) -> pl.DataFrame:
    """Return stock whose last sighting is older than a year, the oldest first."""
    return held_now.filter(is_old(day)).with_columns(
        days=(pl.lit(day) - pl.col("said_on")).dt.total_days()
    ).sort("days", "holder", "trace", descending=[True, False, False], nulls_last=True)  # fmt: skip


def moves(now: Moment, before: Moment | None) -> pl.DataFrame:
    """Return what came in, went out or changed between two moments; nothing without a first.

    A line is the same as long as its id is: its holder, its words and its side make it. A line that
    ended while a like one began (part, hand, position and number of pieces equal) is one thing that
    moved, or, with the same holder, one that stands in another list now.
    """
    after = held(now).with_row_index("now_row")
    if before is None:
        after = after.clear()
    was = held(before).with_row_index("was_row") if before else after.rename({"now_row": "was_row"})
    same = (
        was.select("was_row", "line_ids").explode("line_ids")
        .join(after.select("now_row", "line_ids").explode("line_ids"), on="line_ids")
        .unique("now_row", keep="first", maintain_order=True)
        .unique("was_row", keep="first", maintain_order=True)
        .select("was_row", "now_row", why=pl.lit("its line says otherwise now"))
    )  # fmt: skip
    ended = was.join(same, on="was_row", how="anti")
    begun = after.join(same, on="now_row", how="anti")
    # several sheets of one item: another of its lines is still there
    ended = ended.filter(~touching(ended, after.get_column("line_ids").explode()))
    like = _alike(ended, begun)
    pairs = pl.concat([same, like.select("was_row", "now_row", "why")])
    ended = ended.join(like, on="was_row", how="anti")
    begun = begun.join(like, on="now_row", how="anti")
    said_gone = touching(ended, pl.Series(list(now.gone), dtype=pl.String))
    return pl.concat(
        [
            _changes(was, after, pairs),
            _one_sided(begun, "came in", "").with_columns(why=pl.lit("new in its list")),
            _one_sided(ended, "went out", "_before").with_columns(
                why=pl.when(said_gone)
                .then(pl.lit("its list says that it is sold, used or struck out"))
                .otherwise(pl.lit("no longer in its list"))
            ),
        ],
        how="diagonal",
    ).drop("line_ids").sort(
        pl.col("what").replace_strict(
            {"came in": 0, "went out": 1, "moved": 2, "more": 3, "fewer": 4}, default=5
        ),
        *_ITEM, pl.coalesce("holder", "holder_before"), "trace", nulls_last=True,
    )  # fmt: skip


def _alike(ended: pl.DataFrame, begun: pl.DataFrame) -> pl.DataFrame:
    """Pair lines that ended with like ones that began, one with one: first of the same holder."""
    key = [*_ITEM, "quantity"]
    found = []
    for by in ([*key, "person"], key):
        left, right = (
            frame.filter(pl.col("part").is_not_null()).with_columns(
                at=pl.int_range(pl.len()).over(by, order_by="trace")
            )
            for frame in (ended, begun)
        )
        pairs = left.join(right, on=[*by, "at"], nulls_equal=True, suffix="_now")
        same = pl.lit("the like stands in another list of the same holder now")
        other = pl.lit("it left one list while a like one came into another: likely the same")
        found.append(pairs.select("was_row", "now_row", why=same if "person" in by else other))
        ended = ended.join(pairs, on="was_row", how="anti")
        begun = begun.join(pairs, on="now_row", how="anti")
    return pl.concat(found)


def _changes(was: pl.DataFrame, after: pl.DataFrame, pairs: pl.DataFrame) -> pl.DataFrame:
    """Return what differs of what is there at both moments: a row for each thing that differs."""
    both = pairs.join(was, on="was_row").join(after, on="now_row", suffix="_now")
    both = both.rename({name: f"{name}_before" for name in (*_COMPARED, "trace")}).rename(
        {f"{name}_now": name for name in (*_COMPARED, "trace")}
    )
    moved = pl.col("person").ne_missing(pl.col("person_before")) | (
        pl.col("place").ne_missing(pl.col("place_before")) & pl.col("place").is_not_null()
        & pl.col("place_before").is_not_null()
    )  # fmt: skip
    kinds = {
        "moved": moved,
        "more": pl.col("quantity") > pl.col("quantity_before"),
        "fewer": pl.col("quantity") < pl.col("quantity_before"),
        "condition changed": pl.col("condition").ne_missing(pl.col("condition_before")),
    }
    return pl.concat(
        [
            both.filter(told).select(
                pl.lit(what).alias("what"), part="part_now", hand="hand_now",
                position="position_now", holder_before="holder_before", holder="holder",
                quantity_before="quantity_before", quantity="quantity",
                condition_before="condition_before", condition="condition",
                place_before="place_before", place="place", why="why", words="words_now",
                said_on="said_on_now",
                trace=pl.when(pl.col("trace") == pl.col("trace_before")).then("trace")
                .otherwise(pl.format("{};{}", "trace_before", "trace")),
            )
            for what, told in kinds.items()
        ]
    )  # fmt: skip


def _one_sided(rows: pl.DataFrame, what: str, side: str) -> pl.DataFrame:
    """Return lines that stand on one side only."""
    return rows.select(
        pl.lit(what).alias("what"), *_ITEM, pl.col("holder").alias(f"holder{side}"),
        pl.col("quantity").alias(f"quantity{side}"),
        pl.col("condition").alias(f"condition{side}"), pl.col("place").alias(f"place{side}"),
        "words", "said_on", "trace", "line_ids",
    )  # fmt: skip
