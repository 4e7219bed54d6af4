"""Lists that count each side in a column of its own: "LH | RH"."""

from __future__ import annotations

from typing import TYPE_CHECKING

import polars as pl

from partmuster.reading.sides import read_side

from .headings import meanings_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from .headings import Heading

_HANDS = frozenset({"left", "right", "near", "off"})


def side_columns(headings: Sequence[Heading]) -> dict[str, str]:
    """Return heading by column for columns that each count one side; empty where there are not two.

    Such a heading is a side, "Qty" at most beside it, and figures stand below it.
    """
    found: dict[str, str] = {}
    for heading in headings:
        reading = read_side(heading.text)
        counts = heading.content is not None and heading.content.whole == 1
        rest = reading.rest.strip(" .-")
        how_many = not rest or any(m.field == "quantity" for m in meanings_of(rest)[0])
        if reading.side in _HANDS and how_many and counts:
            found[heading.column] = heading.text.replace(rest, "").strip() if rest else heading.text
    return found if len(found) > 1 else {}


def quantity_of(sides: dict[str, str]) -> pl.Expr:
    """Return the figures of each side as one quantity in words, "1 LH, 1 RH"."""
    cells = [pl.col(name) + pl.lit(f" {text}") for name, text in sides.items()]
    joined = pl.concat_str(cells, separator=", ", ignore_nulls=True)
    return pl.when(joined != "").then(joined)
