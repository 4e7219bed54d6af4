"""Cell text made safe to print: no character that steers a terminal or turns its words about.

Done here, once, for every cell, comment and tab name of a spreadsheet; the file itself is kept
as it is. Marks that only tell the direction of a letter (U+200E, U+200F, U+061C) stay.
"""

from __future__ import annotations

import re

import polars as pl

#: Line ends of every sort, with those that word processors and databases leave in cells.
_BREAK = "[\r\x0b\x0c\x85\u2028\u2029]"
_BREAKS = f"\r\n|{_BREAK}"

#: Left out: NUL, the old end-of-file sign, and what reorders the characters after it (Unicode
#: Annex 9, embeddings, overrides and isolates; FROM-MEMORY).
_DROPPED = "[\x00\x1a\u202a-\u202e\u2066-\u2069]"

#: A space instead, so that words stay apart: the other control characters.
_SPACED = "[\x01-\x08\x0e-\x19\x1b-\x1f\x7f-\x84\x86-\x9f]"

_ODD = f"{_BREAK}|{_DROPPED}|{_SPACED}"
_ODD_SIGN = re.compile(_ODD)


def clean(text: str) -> str:
    """Return text with line feeds as its only line ends and no other control but the tab."""
    if _ODD_SIGN.search(text) is None:
        return text
    text = re.sub(_DROPPED, "", re.sub(_BREAKS, "\n", text))
    return re.sub(_SPACED, " ", text)


def clean_cells(frame: pl.DataFrame) -> pl.DataFrame:
    """Return text columns, each text as :func:`clean` gives it; null where nothing is left."""
    odd = columns_with(frame, _ODD)
    text = pl.col(odd).str.replace_all(_BREAKS, "\n").str.replace_all(_DROPPED, "")
    text = text.str.replace_all(_SPACED, " ")
    blank = pl.col(odd).str.contains(_ODD) & (text.str.strip_chars().str.len_bytes() == 0)
    return frame.with_columns(pl.when(~blank).then(text)) if odd else frame


def columns_with(frame: pl.DataFrame, pattern: str) -> list[str]:
    """Return the names of text columns in which a pattern is found."""
    found = frame.select(pl.col(pl.String).str.contains(pattern).any())
    return (
        [name for name, any_found in zip(found.columns, found.rows()[0], strict=True) if any_found]
        if found.width
        else []
    )


def number_words(number: float) -> str:
    """Return a number as a sheet's reader sees it: no point behind whole numbers."""
    return str(int(number)) if number.is_integer() and abs(number) < 1e15 else repr(number)  # noqa: PLR2004 - digits a float holds
