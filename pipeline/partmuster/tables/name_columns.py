"""People whose name stands in two columns: "Surname | First name"."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import polars as pl

from partmuster_trade.headings import fold_heading

if TYPE_CHECKING:
    from collections.abc import Sequence

    from .head import Head

#: Headings, folded (common practice, no source).
_SURNAMES = ("surname", "last name", "family name", "second name", "members surname",
             "member surname", "lastname")  # fmt: skip
_FIRST_NAMES = ("first name", "firstname", "first names", "forename", "forenames",
                "forename s", "first name s", "fore name", "christian name s",
                "christian name", "christian names", "given name", "given names")  # fmt: skip
_INITIALS = ("initials", "initial", "inits", "init")
_JOINED = "Member name"


def with_names_joined(
    table: pl.DataFrame, columns: Sequence[str], head: Head
) -> tuple[pl.DataFrame, Sequence[str], Head]:
    """Return a table with first name and surname in one column, as others write the name."""
    found = {fold_heading(text): name
             for name, text in zip(columns, head.plain, strict=False) if text}  # fmt: skip
    first = next((found[words] for words in _FIRST_NAMES if words in found), None)
    last = next((found[words] for words in _SURNAMES if words in found), None)
    if first is None and last is not None:
        first = next((found[words] for words in _INITIALS if words in found), None)
    if last is None and first is not None:
        last = found.get("name") or found.get("name of member")
    if first is None or last is None:
        return table, columns, head
    whole = pl.concat_str([first, last], separator=" ", ignore_nulls=True)
    above = pl.int_range(pl.len()) < head.body
    table = table.with_columns(
        pl.when(above).then(last).when(whole != "").then(whole).alias(last)
    )  # fmt: skip
    left = [name for name in columns if name != first]
    texts, plain = (
        tuple(_JOINED if name == last else text
              for name, text in zip(columns, row, strict=True) if name != first)
        for row in (head.texts, head.plain)
    )  # fmt: skip
    return table, left, replace(head, texts=texts, plain=plain)
