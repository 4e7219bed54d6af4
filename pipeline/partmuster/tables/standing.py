"""Cells of which some words are struck through: the words left standing are read."""

from __future__ import annotations

from difflib import SequenceMatcher

import polars as pl


def standing_cells(cells: pl.DataFrame, signs: pl.DataFrame) -> pl.DataFrame:
    """Return a grid's cells, partly struck ones with the words left standing only.

    ``signs``: from :func:`.signs.signs_of`.
    """
    partly = signs.filter(
        (pl.col("mark") == "partly-struck") & pl.col("row").is_not_null()
        & pl.col("column").cast(pl.String).is_in([n for n in cells.columns if n != "row"])
    )  # fmt: skip
    for (column,), marked in partly.partition_by("column", as_dict=True).items():
        name = str(column)
        left = dict(marked.select("row", "value").iter_rows())
        cells = cells.with_columns(
            pl.coalesce(
                pl.col("row").replace_strict(left, default=None, return_dtype=pl.String), name
            ).alias(name)
        )
    return cells


def partly_struck_notes(text: str, standing: str, words: str | None) -> list[tuple[str, str]]:
    """Return what a partly struck cell gives its line: (``words`` or ``remark``, text).

    The line's words get the cell as it was written; the words struck go to the remark.
    """
    gone = words_gone(text, standing)
    notes = [("remark", f"struck through: {gone}")] if gone else []
    if words and standing and standing in words:
        before, _, after = words.rpartition(standing)
        notes.append(("words", f"{before}{text}{after}"))
    return notes


def words_gone(text: str, standing: str) -> str:
    """Return the words of a text that are not among those left standing: "3 2", "2" -> "3"."""
    before, after = text.split(), standing.split()
    steps = SequenceMatcher(a=before, b=after, autojunk=False).get_opcodes()
    if any(step[0] in {"insert", "replace"} for step in steps):  # part of a word is struck
        letters = SequenceMatcher(a=text, b=standing, autojunk=False).get_opcodes()
        return "".join(text[a:b] for tag, a, b, _, _ in letters if tag != "equal").strip()
    return " ".join(word for tag, a, b, _, _ in steps if tag == "delete" for word in before[a:b])


def struck_words(remark: str | None, text: str) -> str:
    """Return a remark in which a struck cell is named as struck: "a; b" -> "b; struck ...: a"."""
    pieces = (remark or "").split("; ") if remark else []
    kept = [piece for piece in pieces if piece != text and not piece.endswith(f": {text}")]
    return "; ".join([*kept, f"struck through: {text}"])


def cell_name(row: int, column: int) -> str:
    """Return a cell's name in a spreadsheet: row 5, column 3 -> "C5"."""
    letters = ""
    while column:
        column, rest = divmod(column - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return f"{letters}{row}"
