"""Side, position and location of the item a line is about, from every column that may say them."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import polars as pl

from partmuster.reading.sides import read_side
from partmuster.reading.text import fold

from .columns import read_column

if TYPE_CHECKING:
    from .columns import Findings

#: Columns that may name a side or a position, the one whose word counts first to last.
_SIDE_FROM = ("side", "description", "position", "location")
_POSITION_FROM = ("position", "side", "location", "description")
_OPPOSITES = (("front", "rear"), ("upper", "lower"), ("inner", "outer"), ("top", "bottom"))
#: In a column of sides or positions these words are sides; in a sentence they are not.
_BARE = {"near": "near side", "off": "off side", "driver": "driver's side"}
_BOTH = "both"


def read_sides(frame: pl.DataFrame, country: str | None, findings: Findings) -> pl.DataFrame:
    """Type side, position and location, from their own columns and from the description.

    Adds ``_both`` (the words name both sides). Where two columns name different sides, or
    opposite positions, none is taken and the line needs a decision.
    """

    def reader(text: str) -> tuple[Any, ...]:
        # Folded, as the matcher reads it: then it is read once for both.
        reading = read_side(fold(text), country)
        ambiguous = "; ".join(f"{word}: {' or '.join(r)}" for word, r in reading.ambiguous)
        return (reading.side, " ".join(reading.positions) or None, reading.station,
                ambiguous or None)  # fmt: skip

    def bare_reader(text: str) -> tuple[Any, ...]:
        return reader(_BARE.get(fold(text), text))

    added: list[str] = []
    for column in _SIDE_FROM:
        names = [f"_{what}_in_{column}" for what in ("side", "position", "station", "unsure")]
        frame = read_column(
            frame, column, bare_reader if column in {"side", "position"} else reader,
            dict.fromkeys(names, pl.String),
        )  # fmt: skip
        added += names
    side = pl.coalesce(f"_side_in_{column}" for column in _SIDE_FROM)
    # What a place says in two ways ("shelf LR") is no reason to ask.
    unsure = pl.coalesce(f"_unsure_in_{column}" for column in _SIDE_FROM if column != "location")
    never = pl.lit(value=False)
    sides_differ = _several_sides() if _in_several(frame, "side") else never
    positions_differ = _opposite_positions() if _in_several(frame, "position") else never
    findings.doubt(frame.filter(sides_differ), "two columns name different sides")
    findings.doubt(frame.filter(positions_differ), "two columns name opposite positions")
    findings.doubt(
        frame.filter(side.is_null() & unsure.is_not_null()),
        pl.format("which is meant: {}", unsure),
    )
    findings.doubt(
        frame.filter(side.is_in(["near", "off"])),
        "near and off side need a country: partmuster settings country GB",
    )
    chosen = pl.when(~sides_differ).then(side)
    return frame.with_columns(
        (chosen == _BOTH).fill_null(value=False).alias("_both"),
        pl.when(chosen != _BOTH).then(chosen).alias("side"),
        pl.when(~positions_differ)
        .then(pl.coalesce(f"_position_in_{column}" for column in _POSITION_FROM))
        .alias("position"),
        pl.coalesce(
            "location", "_station_in_side", "_station_in_position", "_station_in_description"
        ).alias("location"),
    ).drop(added)


def _in_several(frame: pl.DataFrame, what: str) -> bool:
    """Tell whether more than one column names a side, or a position, in any row."""
    named = (frame.get_column(f"_{what}_in_{column}") for column in _SIDE_FROM)
    return sum(found.null_count() < found.len() for found in named) > 1


def _several_sides() -> pl.Expr:
    """Return whether a row's columns name different sides; "both" differs from none."""
    named = pl.concat_list(
        pl.when(pl.col(f"_side_in_{column}") != _BOTH).then(pl.col(f"_side_in_{column}"))
        for column in _SIDE_FROM
    )
    return named.list.drop_nulls().list.n_unique() > 1


def _opposite_positions() -> pl.Expr:
    """Return whether one column of a row names a position and another only its opposite."""
    cells = [pl.col(f"_position_in_{column}").fill_null("") for column in _POSITION_FROM]
    differ = pl.lit(value=False)
    for one, two in _OPPOSITES:
        only_one = pl.any_horizontal(
            cell.str.contains(one, literal=True) & ~cell.str.contains(two, literal=True)
            for cell in cells
        )
        only_two = pl.any_horizontal(
            cell.str.contains(two, literal=True) & ~cell.str.contains(one, literal=True)
            for cell in cells
        )
        differ |= only_one & only_two
    return differ
