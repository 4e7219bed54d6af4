"""One number in a parts list for the left hand and the right: whose it is must be asked.

A part that is the same on both sides has one number. Of any other it may be one hand's, or a
pair's; given to both it would confirm a wrong side.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import polars as pl

from partmuster.reading.sides import read_side

if TYPE_CHECKING:
    from collections.abc import Callable

    from .columns import Findings

_HAND = r"(?:l\.?/?h\.?|r\.?/?h\.?|left|right)(?:[- ]hand)?"
_HANDS = re.compile(
    rf"[\s,;(]*(?<!\w){_HAND}\s*(?:&|\+|/|,|and)\s*{_HAND}(?!\w)(?: sides?)?[)\s]*"
    r"|[\s,;(]*\b(?:(?:one|1) )?(?:on |for )?(?:each|both) (?:sides?|hands?)\b[)\s]*",
    re.IGNORECASE,
)
#: Columns of the numbers that a row says of each hand: see :mod:`.parts_words`.
_OWN = {"left": "_left_number", "right": "_right_number"}


def ask_of_shared_numbers(
    items: pl.DataFrame, same: Callable[[list[str]], set[str]], findings: Findings
) -> pl.DataFrame:
    """Return lines, none with a number that its row gives to both hands of a part.

    ``same``: which of some descriptions surely name a part that is the same on both sides. The
    number stays in the remark, and a person is asked.
    """
    sided = items.filter(
        (pl.col("kind") == "requirement") & pl.col("side").is_in(["left", "right"])
        & pl.col("part_number").is_not_null() & ~_said_of_its_hand(items)
    )  # fmt: skip
    shared = (
        sided.group_by("raw_number", "part_number", "description")
        .agg(pl.n_unique("side").alias("hands"))
        .filter(pl.col("hands") > 1)
    )
    if shared.is_empty():
        return items
    plain = {name: _without_hands(name) for name in shared["description"].drop_nulls().unique()}
    known = same(list(plain.values()))
    sure = [name for name, rest in plain.items() if rest in known]
    shared = shared.filter(~pl.col("description").fill_null("").is_in(sure))
    if shared.is_empty():
        return items
    findings.doubt(
        shared,
        pl.format("'{}': is it the left hand's number, the right hand's, or the same on both?",
                  "part_number"),
    )  # fmt: skip
    marked = items.join(
        shared.select("raw_number", "part_number", pl.lit(value=True).alias("_shared")),
        on=["raw_number", "part_number"], how="left", maintain_order="left",
    )  # fmt: skip
    ask = pl.col("_shared").fill_null(value=False) & pl.col("side").is_in(["left", "right"])
    kept = pl.concat_str(
        "remark", pl.format("part number: {}", "part_number"), separator="; ", ignore_nulls=True
    )
    return marked.with_columns(
        pl.when(ask).then(kept).otherwise("remark").alias("remark"),
        *(pl.when(~ask).then(name).alias(name) for name in ("part_number", "part_number_normal")),
    ).drop("_shared")


def _without_hands(name: str) -> str:
    """Return a part's name without the words for both hands, but with its positions."""
    left = " ".join(_HANDS.sub(" ", name).split()).strip(" ,;-")
    return left if left != name else read_side(name).rest


def _said_of_its_hand(items: pl.DataFrame) -> pl.Expr:
    """Tell whether a line's number is said to be its own hand's."""
    said = pl.lit(value=False)
    for hand, name in _OWN.items():
        if name in items.columns:
            said |= (pl.col("side") == hand) & (pl.col(name).fill_null("") != "")
    return said
