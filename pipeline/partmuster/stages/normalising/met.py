"""Wants that are met or withdrawn by what stands beside them are closed, as struck ones are."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

import polars as pl

from partmuster.reading.met import (
    MAY_SAY,
    MetReading,
    count_and_rest,
    name_and_rest,
    read_met,
    says_more,
)
from partmuster.reading.quantities import read_quantity

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Mapping

    from .columns import Findings

_SAID = ("description", "quantity", "status", "remark")
_DOUBT = "some of this want may be met: what is wanted still?"


def read_met_wants(frame: pl.DataFrame, country: str | None, findings: Findings) -> pl.DataFrame:
    """Return lines with ``_met`` (a want is met or withdrawn) and ``_met_on``, the day if said.

    To be called before quantities are read: of "2", "got 1, need 1 more" one is wanted, and "1
    (got)" is a quantity and more. What may be met in part needs a decision.
    """
    frame = frame.with_columns(
        pl.lit(value=False).alias("_met"), pl.lit(None, pl.Date).alias("_met_on")
    )
    wants = frame.get_column("kind") == "want"
    if not wants.any():
        return frame
    said = pl.any_horizontal(pl.col(name).str.contains(MAY_SAY) for name in _SAID)
    marked = frame.with_row_index("_at").filter(
        (pl.col("kind") == "want") & said.fill_null(value=False)
    )
    day_first = None if country is None else country != "US"
    found = [
        {"_at": line["_at"], **_reading(line, day_first)}
        for line in marked.select("_at", *_SAID).iter_rows(named=True)
    ]
    if not found:
        return _with_status(frame)
    findings.doubt(
        marked.filter(pl.Series([one["asks"] for one in found], dtype=pl.Boolean)), _DOUBT
    )
    places = [one["_at"] for one in found]
    changed = {"_met": "closed", "_met_on": "when", "description": "description",
               "quantity": "quantity", "remark": "remark"}  # fmt: skip
    return _with_status(
        frame.with_columns(
            frame.get_column(name).scatter(places, [one[key] for one in found])
            for name, key in changed.items()
        )
    )


def _with_status(frame: pl.DataFrame) -> pl.DataFrame:
    """Return wants with how they stand in the remark: "Ivo has one, agreed" has no other field."""
    told = (pl.col("kind") == "want") & pl.col("status").str.contains(r"\S\s+\S")
    return frame.with_columns(
        pl.when(told)
        .then(pl.concat_str("remark", "status", separator="; ", ignore_nulls=True))
        .otherwise("remark")
        .alias("remark")
    )


def _reading(line: Mapping[str, Any], day_first: bool | None) -> dict[str, Any]:
    """Return what one want's description, quantity, status and remark say together.

    What stands beside a quantity, or beside the name of a part, goes to the remark.
    """
    beside = count_and_rest(line["quantity"]) if line["quantity"] else None
    count, rest = beside if beside is not None else (line["quantity"], None)
    wanted = _number(count)
    named = name_and_rest(line["description"]) if line["description"] else None
    texts = [(rest, True), (named[1] if named else None, False), (line["status"], True),
             (line["remark"], False)]  # fmt: skip
    read = [
        read_met(text, wanted, asked=asked, day_first=day_first) if text else MetReading()
        for text, asked in texts
    ]
    closed = any(one.closed for one in read)
    left = {one.wanted for one in read if one.wanted is not None}
    more = any(text is not None and says_more(text) for text, _ in texts)
    asks = any(one.asks for one in read) or len(left) > 1 or (closed and (bool(left) or more))
    when: dt.date | None = next((one.when for one in read if one.when), None)
    if asks:
        closed, left = False, set()
    notes = [rest if read[0] != MetReading() else None, named[1] if named else None]
    return {
        "closed": closed, "when": when if closed else None, "asks": asks,
        "description": named[0] if named else line["description"],
        "quantity": str(left.pop()) if left else count if notes[0] else line["quantity"],
        "remark": "; ".join(filter(None, (line["remark"], *notes))) or None,
    }  # fmt: skip


def _number(quantity: str | None) -> float | None:
    """Return how many a quantity says exactly; infinite where it does not, None where nothing."""
    if not quantity:
        return None
    reading = read_quantity(quantity)
    exact = not reading.problem and reading.at_least == reading.at_most
    return reading.at_least if exact else math.inf
