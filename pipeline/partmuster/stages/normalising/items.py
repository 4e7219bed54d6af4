"""The item a line is about: side, position, numbers, how many, in what state."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import polars as pl

from partmuster.reading.availability import read_availability
from partmuster.reading.conditions import read_condition
from partmuster.reading.numbers import normal_number, read_part_number, read_stock_number
from partmuster.reading.quantities import read_quantity
from partmuster.reading.sides import read_side

from .columns import Findings, nothing_to_none, read_column
from .counted_states import read_counted_states

if TYPE_CHECKING:
    from collections.abc import Callable

_HANDS = ("left", "right")
#: As layout notes them in the remark: what is struck through says nothing any more.
_STRUCK_WORDS = r"struck through: [^;]*"

#: A count in the name of a part; "3/8 x 2" is a size (common practice, no source).
_COUNTED = (
    r"(?i)[a-z)][\s,]*[\s,(-]x ?(\d{1,3})\)?$",
    r"(?i)[a-z)][\s,]*[\s,(-](\d{1,3}) ?(?:off|x)\)?$",
    r"(?i)^(\d{1,3}) ?(?:x|off) [a-z]{3}",
)


def read_numbers(frame: pl.DataFrame) -> pl.DataFrame:
    """Type the number columns; a stock number in the part-number column moves to its own.

    A placeholder ("n/a", "tbc", "-") is no number.
    """
    frame = read_column(
        frame, "part_number", _part_number,
        {"part_number_normal": pl.String, "_kind": pl.String},
    )  # fmt: skip
    is_stock = pl.col("_kind") == "stock"
    is_casting = pl.col("_kind") == "casting"
    frame = frame.with_columns(
        pl.when(pl.col("stock_number").is_null() & is_stock)
        .then(pl.col("part_number"))
        .otherwise(pl.col("stock_number"))
        .alias("stock_number"),
        pl.when(pl.col("casting_number").is_null() & is_casting)
        .then(pl.col("part_number"))
        .otherwise(pl.col("casting_number"))
        .alias("casting_number"),
        pl.when(is_casting).then(None).otherwise(pl.col("part_number_normal"))
        .alias("part_number_normal"),
    ).drop("_kind")  # fmt: skip
    frame = read_column(
        frame, "stock_number", _stock_number,
        {"_stock_normal": pl.String, "_class": pl.String},
    )  # fmt: skip
    own_class = pl.col("supply_class").str.extract(r"^(\d{4})(?:\.0)?$")
    return frame.with_columns(
        pl.coalesce("_stock_normal", "stock_number").alias("stock_number"),
        pl.coalesce(own_class, pl.col("_class")).alias("supply_class"),
        pl.coalesce("part_number_normal", "_stock_normal").alias("part_number_normal"),
    ).drop("_stock_normal", "_class")


def read_quantities(frame: pl.DataFrame, findings: Findings) -> pl.DataFrame:
    """Type the quantity: ``at_least``, ``at_most`` (empty = open), and the words."""

    def reader(text: str) -> tuple[Any, ...]:
        reading = read_quantity(text)
        sides = {side: (low, high) for side, low, high in reading.per_side}
        return (
            reading.at_least, reading.at_most, nothing_to_none(reading.unit), reading.special,
            reading.unserviceable, reading.of_total, reading.problem,
            *(value for hand in _HANDS for value in sides.get(hand, (None, None))),
        )  # fmt: skip

    number = pl.Float64
    frame = frame.with_columns(_or_counted_in_words().alias("quantity"))
    frame = frame.with_columns(
        pl.col("quantity").alias("quantity_text"), pl.col("unit").alias("_unit_said")
    )
    frame = read_column(
        frame, "quantity", reader,
        {"at_least": number, "at_most": number, "_unit": pl.String, "quantity_special": pl.String,
         "unserviceable": number, "of_total": number, "_problem": pl.String,
         "_left_least": number, "_left_most": number, "_right_least": number,
         "_right_most": number},
    )  # fmt: skip
    findings.fault(
        frame.filter(pl.col("_problem").is_not_null()), "quantity", "quantity-not-read",
        "this is not a quantity that can be read",
        "write a number, such as 2, 10+ or 'several'",
    )  # fmt: skip
    frame = read_column(frame, "_unit_said", _unit, {"_unit_given": pl.String, "_each": number})
    # "3" in a column headed pairs is six; "3 pr" was multiplied by its own reader already.
    times = pl.when(pl.col("_unit").is_null()).then(pl.col("_each")).otherwise(1.0)
    return frame.with_columns(
        (pl.col("at_least") * times).alias("at_least"),
        (pl.col("at_most") * times).alias("at_most"),
        pl.coalesce("_unit", "_unit_given", pl.lit("each")).alias("unit"),
    ).drop("_unit", "_unit_given", "_each", "_unit_said", "_problem")


def _or_counted_in_words() -> pl.Expr:
    """Return the quantity, of a holding or want without one that of its words: "Idler x 2"."""
    said = pl.col("description")
    counted = pl.coalesce(said.str.extract(pattern, 1) for pattern in _COUNTED)
    listed = pl.col("kind").is_in(["holding", "want"]) & pl.col("quantity").is_null()
    return pl.when(listed).then(counted).otherwise("quantity")


def read_conditions(frame: pl.DataFrame, findings: Findings) -> pl.DataFrame:
    """Type condition and availability; the condition's own words may say both.

    Adds ``_surplus`` (the availability says it is left over) and ``_availability_said``. A word
    that may be no condition ("US") is left open, and the line needs a decision.
    """

    def reader(text: str) -> tuple[Any, ...]:
        reading = read_condition(text)
        unsure = "; ".join(f"{word}: {' or '.join(r)}" for word, r in reading.ambiguous)
        return (reading.service, reading.making, reading.grade, reading.availability,
                reading.presence, reading.hedged, unsure or None)  # fmt: skip

    frame = frame.with_columns(
        pl.col("condition").alias("condition_text"),
        pl.col("availability").alias("_availability_said"),
    )
    frame = read_column(
        frame, "condition", reader,
        {"service": pl.String, "making": pl.String, "grade": pl.String,
         "_available": pl.String, "_presence": pl.String, "_hedged": pl.Boolean,
         "_unsure": pl.String},
    )  # fmt: skip
    findings.doubt(
        frame.filter(pl.col("_unsure").is_not_null()),
        pl.format("which is meant: {}", pl.col("_unsure")),
    )
    frame = read_column(
        frame, "availability", _availability, {"_offered": pl.String, "_surplus": pl.Boolean}
    )
    standing = pl.col("remark").str.replace_all(_STRUCK_WORDS, "")
    frame = frame.with_columns(standing.alias("_standing"))
    frame = read_column(
        frame, "_standing", _available_in_passing, {"_remarked": pl.String, "_o": pl.Boolean}
    )
    frame = frame.with_columns(
        pl.when(pl.col("kind") == "holding").then("condition_text").alias("_stated")
    )
    frame = read_column(
        frame, "_stated", _available_in_passing, {"_in_condition": pl.String, "_o": pl.Boolean}
    )
    said = pl.coalesce("_offered", "_available", "_in_condition", "_remarked", pl.lit("unknown"))
    # What was listed for sale and is now held for somebody is no offer any more.
    held = (pl.col("_remarked") == "promised") & said.is_in(["offered", "swap"])
    frame = frame.with_columns(
        pl.when(held).then(pl.lit("promised")).otherwise(said).alias("availability"),
        (pl.col("sure") & ~pl.col("_hedged").fill_null(value=False)).alias("sure"),
    ).drop("_available", "_offered", "_remarked", "_o", "_hedged", "_unsure", "_standing",
           "_stated", "_in_condition")  # fmt: skip
    return read_counted_states(frame, findings)


def split_sides(
    frame: pl.DataFrame, handed: Callable[[list[str]], set[str]], findings: Findings
) -> pl.DataFrame:
    """Split a row that means a left and a right item into one line each.

    A row means both where it says so ("LH & RH"), where its quantity does ("1 LH 1 RH"), and
    where it counts in pairs a part that the vocabulary calls handed. A quantity that does not
    halve is shared out downwards and needs a decision.
    """
    counted = pl.col("_left_least").is_not_null() | pl.col("_right_least").is_not_null()
    paired = (pl.col("unit") == "pair") & pl.col("side").is_null() & ~pl.col("_both") & ~counted
    texts = frame.filter(paired).get_column("description").drop_nulls().unique().to_list()
    pairs = handed(texts) if texts else set()
    both = pl.col("_both") | counted | (paired & pl.col("description").is_in(list(pairs)))
    frame = frame.with_columns(both.fill_null(value=False).alias("_split"))
    odd = frame.filter(
        pl.col("_split") & ~counted & (pl.col("at_least") > 1) & (pl.col("at_least") % 2 != 0)
    )
    findings.doubt(odd, "an odd number for left and right together: how many of each?")
    halves = [
        frame.filter("_split").with_columns(
            pl.lit(hand).alias("side"),
            _share("at_least", f"_{hand}_least", counted).alias("at_least"),
            _share("at_most", f"_{hand}_most", counted).alias("at_most"),
            pl.when(pl.col("unit") == "pair").then(pl.lit("each")).otherwise("unit").alias("unit"),
        )
        for hand in _HANDS
    ]
    whole = frame.filter(~pl.col("_split"))
    # One "LH" in the quantity alone ("2 LH") names one side only.
    split = pl.concat([whole, *halves]).filter(
        ~(pl.col("_split") & (pl.col("at_most") == 0) & counted)
    )
    return split.sort("raw_number", maintain_order=True).drop(
        "_split", "_both", "_left_least", "_left_most", "_right_least", "_right_most"
    )


def _share(total: str, own: str, counted: pl.Expr) -> pl.Expr:
    """Return one hand's part of a quantity: its own count, else half, at least one of one."""
    half = (pl.col(total) / 2).floor()
    return (
        pl.when(counted)
        .then(pl.col(own).fill_null(0.0))
        .when(pl.col(total) >= 2)  # noqa: PLR2004 - fewer than two cannot be halved
        .then(half)
        .otherwise(pl.col(total))
    )


def _part_number(text: str) -> tuple[str | None, str | None]:
    reading = read_part_number(text)
    return nothing_to_none(reading.normal), reading.kind


def normal_part_number(text: str) -> str | None:
    """Return the normal form of a part number as written, or None where it is none."""
    return _part_number(text)[0] if text else None


def _stock_number(text: str) -> tuple[str | None, str | None]:
    reading = read_stock_number(text)
    if reading is None:
        return nothing_to_none(normal_number(text)), None
    return nothing_to_none(normal_number(text)), reading.supply_class


def _available_in_passing(text: str) -> tuple[str | None, bool]:
    return _availability(text, in_passing=True)


def _availability(text: str, *, in_passing: bool = False) -> tuple[str | None, bool]:
    reading = read_availability(text, in_passing=in_passing)
    return (None if reading.availability == "unknown" else reading.availability), reading.surplus


def _unit(text: str) -> tuple[str | None, float]:
    from partmuster_trade import units  # noqa: PLC0415 - its tables are read on first use

    unit = units.unit_id(text) if text else None
    return unit, float((units.pieces(text) if text else None) or 1)


def side_and_position(
    frame: pl.DataFrame, description: str, side: str, position: str, country: str | None
) -> pl.DataFrame:
    """Fill one pair of side and position columns from a description, where they are empty."""

    def reader(text: str) -> tuple[Any, ...]:
        reading = read_side(text, country)
        hand = reading.side if reading.side != "both" else None
        return hand, " ".join(reading.positions) or None

    frame = read_column(frame, description, reader, {"_hand": pl.String, "_where": pl.String})
    frame = frame.with_columns(pl.col(side).alias("_stated"))
    frame = read_column(frame, "_stated", lambda text: (reader(text)[0],), {"_own": pl.String})
    return frame.with_columns(
        pl.coalesce("_own", "_hand").alias(side), pl.coalesce(position, "_where").alias(position)
    ).drop("_hand", "_where", "_stated", "_own")


def one_side_only(
    frame: pl.DataFrame, said: str, country: str | None, findings: Findings
) -> pl.DataFrame:
    """Fill the side of lines of which a cell says that they hold for one side only."""
    frame = read_column(
        frame, said, lambda text: (read_side(f"{text} side", country).side if text else None,),
        {"_only": pl.String},
    )  # fmt: skip
    told = pl.col("_only").is_not_null()
    differ = told & pl.col("side").is_not_null() & (pl.col("side") != pl.col("_only"))
    findings.doubt(frame.filter(differ), "two columns name different sides")
    findings.doubt(
        frame.filter(told & pl.col("_only").is_in(["near", "off"])),
        "near and off side need a country: partmuster settings country GB",
    )
    return frame.with_columns(pl.coalesce("side", "_only").alias("side")).drop("_only")
