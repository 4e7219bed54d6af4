"""Colours used as a code: which lines carry one, what it says of them, and what to ask.

A colour on most of the lines, on every other row, or on most of a column is decoration.
"""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

import polars as pl

from .asking import Question
from .colour_keys import CHOICES, NOTHING, choice_of
from .colour_names import colour_name

if TYPE_CHECKING:
    from .asking import Around
    from .colour_keys import Keys

#: On more than this share of lines a colour is decoration.
_MINORITY = 0.5
_ALTERNATING = 0.9
_LEAST_BANDED = 4
_EXAMPLES = 3
_WITHDRAWING = frozenset({"gone", "withdrawn"})
#: The field that a choice fills, where the row itself says nothing there.
_FIELDS = {"kept": "availability", "offered": "availability", "swap": "availability",
           "promised": "availability", "closed": "status"}  # fmt: skip


def with_colours(
    lines: pl.DataFrame, signs: pl.DataFrame, around: Around, keys: Keys
) -> tuple[pl.DataFrame, list[Question]]:
    """Return a table's lines with what their colours mean, and the questions about the others.

    ``lines``: with ``kind`` and ``column`` (in a matrix). ``signs``: the marks of its cells. What
    a row says itself stays; the colour, and its meaning, stand in the remark. A person's answer
    counts before the sheet's own key.
    """
    kind = next(iter(lines["kind"].drop_nulls()), None)
    marked = _coloured_lines(lines, signs) if kind and "remark" in lines.columns else None
    if kind is None or marked is None or marked.is_empty():
        return lines, []
    questions = []
    for (mark, code), found in marked.partition_by(
        "mark", "value", as_dict=True, maintain_order=True
    ).items():
        key = subject_of(str(mark), str(code))
        words = around.told.mark(around.label, key) or keys.words(str(mark), str(code))
        choice = choice_of(kind, words) if words else None
        if choice is None:
            questions.append(_about_colour(lines, found, around, kind, str(mark), str(code)))
        lines = _applied(lines, found["line"], kind, colour_words(str(mark), str(code)), choice)
    return lines, questions


def subject_of(mark: str, code: str) -> str:
    """Return what questions and answers call a colour: ``colour ffff00``, ``ink ff0000``."""
    return f"{'ink' if mark == 'ink' else 'colour'} {code}"


def colour_words(mark: str, code: str) -> str:
    """Return how a remark tells a colour: "coloured yellow", "in red ink"."""
    return f"in {colour_name(code)} ink" if mark == "ink" else f"coloured {colour_name(code)}"


def _coloured_lines(lines: pl.DataFrame, signs: pl.DataFrame) -> pl.DataFrame:
    """Return the lines that carry a colour as a code: ``line`` (its place), ``mark``, ``value``."""
    colours = signs.filter(pl.col("mark").is_in(["fill", "ink"]) & pl.col("row").is_not_null())
    placed = lines.select("row", "column").with_row_index("line")
    shape = ["line", "row", "mark", "value"]
    rows = colours.filter(pl.col("column").is_null()).drop("column").join(placed, on="row")
    cells = colours.filter(pl.col("column").is_not_null())
    across = placed["column"].drop_nulls().unique()
    own = cells.filter(pl.col("column").is_in(across.implode()))
    shared = cells.filter(~pl.col("column").is_in(across.implode()))
    own = own.join(placed, on=["row", "column"])
    shared = shared.rename({"column": "at"}).join(placed, on="row")
    everywhere = pl.col("row").n_unique().over("at", "mark", "value") > _MINORITY * (
        placed["row"].n_unique()
    )
    shared = shared.filter(~everywhere)
    found = pl.concat([frame.select(shape) for frame in (rows, own, shared)]).unique(
        ["line", "mark", "value"], maintain_order=True
    )
    few = found.filter(pl.len().over("mark", "value") <= _MINORITY * lines.height)
    order = lines["row"].unique(maintain_order=True).to_list()
    banded = [
        pair for pair, group in few.partition_by("mark", "value", as_dict=True).items()
        if _alternates(set(group["row"].to_list()), order)
    ]  # fmt: skip
    for mark, code in banded:
        few = few.filter((pl.col("mark") != mark) | (pl.col("value") != code))
    return few.sort("mark", "value", "line")


def _alternates(coloured: set[int], order: list[int]) -> bool:
    """Tell whether every other row is coloured."""
    if len(coloured) < 2 or len(order) < _LEAST_BANDED:  # noqa: PLR2004 - one row is no band
        return False
    flags = [row in coloured for row in order]
    changes = sum(one != other for one, other in pairwise(flags))
    return changes >= _ALTERNATING * (len(flags) - 1)


def _applied(
    lines: pl.DataFrame, places: pl.Series, kind: str, colour: str, choice: str | None
) -> pl.DataFrame:
    """Return lines with what a colour says of those at some places."""
    if choice == NOTHING:
        return lines
    here = pl.int_range(pl.len()).is_in(places.implode())
    note = pl.lit(f"{colour}: {choice}" if choice else colour)
    changes = {"remark": pl.concat_str(["remark", note], separator="; ", ignore_nulls=True)}
    if choice in _WITHDRAWING:
        changes["struck"] = pl.lit(value=True)
    elif kind == "survey" and choice is not None:
        seen = pl.lit("fitted, unserviceable" if choice == "unserviceable" else choice)
        if choice == "unserviceable":
            seen = pl.coalesce(pl.col("presence") + pl.lit(", unserviceable"), seen)
            changes["presence"] = seen
        else:
            changes["presence"] = pl.coalesce("presence", seen)
    elif choice is not None:
        name = "condition" if choice == "unserviceable" else _FIELDS[choice]
        if name not in lines.columns:
            lines = lines.with_columns(pl.lit(None, pl.String).alias(name))
        changes[name] = pl.coalesce(name, pl.lit(choice))
    return lines.with_columns(
        pl.when(here).then(value).otherwise(pl.col(name)).alias(name)
        for name, value in changes.items()
    )


def _about_colour(
    lines: pl.DataFrame, found: pl.DataFrame, around: Around, kind: str, mark: str, code: str
) -> Question:
    """Return the question what a colour means."""
    place = f"sheet '{around.label}'" if around.label else "this sheet"
    name = f"{colour_name(code)}{' ink' if mark == 'ink' else ''}"
    rows = found["row"].unique().len()
    shown = [lines["words"][at] for at in found["line"].head(_EXAMPLES)]
    return Question(
        "marks", f"{around.label}|{subject_of(mark, code)}",
        f"What does {name} mean on {place}? {rows} row{'s' if rows > 1 else ''}, for example: "
        f"{'; '.join(shown)}", ";".join(CHOICES[kind]), rows,
    )  # fmt: skip
