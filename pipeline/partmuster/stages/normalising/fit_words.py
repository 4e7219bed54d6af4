"""Fit lines of which the club's own words say what goes on what, and how."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import polars as pl

from partmuster.reading.fit_words import FitStatement, names_builds, read_fit
from partmuster.reading.fit_work import read_work

from .columns import read_column

if TYPE_CHECKING:
    from .columns import Findings

_TOLD = ("build", "mark", "phase", "effectivity", "to_description", "to_part_number", "to_build",
         "to_mark", "to_phase", "to_side", "work", "companions")  # fmt: skip
#: Grades in words that are read again as they are.
_GRADES = {"as-is": "as is", "one-way": "one way", "with-work": "with work",
           "only-as-a-set": "only as a set", "never": "never"}  # fmt: skip
#: Fewer words only name a part (common practice, no source).
_A_SENTENCE = 4
_NOT_CLEAR = "what goes on what, and how, is not clear from these words"
_HOW = "how does it go: as is, one way, with work, only as a set?"


def with_numbers(frame: pl.DataFrame) -> pl.DataFrame:
    """Return fits, a number that another superseded put where it is replaced: one way, if no more.

    The later number goes for the earlier one.
    """
    later, earlier = pl.col("superseded_by"), pl.col("supersedes")
    turned = later.is_not_null() & pl.col("to_part_number").is_null() & earlier.is_null()
    told = (turned & pl.col("part_number").is_not_null()) | earlier.is_not_null()
    return frame.with_columns(
        pl.when(turned).then(later).otherwise("part_number").alias("part_number"),
        pl.when(turned).then("part_number").otherwise(pl.coalesce("to_part_number", earlier))
        .alias("to_part_number"),
        pl.when(told).then(pl.coalesce("fit_grade", pl.lit("one way"))).otherwise("fit_grade")
        .alias("fit_grade"),
    )  # fmt: skip


def with_alterations(frame: pl.DataFrame) -> pl.DataFrame:
    """Return fits with what their work alters, and whether it can be undone."""

    def reader(text: str) -> tuple[str | None, bool | None]:
        read = read_work(text)
        return read.alters, read.can_be_undone

    return read_column(frame, "work", reader,
                       {"alters": pl.String, "can_be_undone": pl.Boolean})  # fmt: skip


def read_fit_words(frame: pl.DataFrame, findings: Findings) -> pl.DataFrame:
    """Return lines, those of fits in whole sentences with what these say; some say two things.

    A sentence is in the description, or beside the part where the grade would stand. One that
    cannot be read safely leaves no line and needs a decision.
    """
    fits = frame.get_column("kind") == "fit"
    if not fits.any():
        return frame
    if frame.filter(fits).select(pl.any_horizontal(
        pl.col("superseded_by", "supersedes").is_not_null().any())).item():  # fmt: skip
        others = pl.int_range(frame.height, eager=True)
        placed = frame.with_columns(others.alias("_place"))
        frame = pl.concat([placed.filter(~fits), with_numbers(placed.filter(fits))])
        frame = frame.sort("_place").drop("_place")
        fits = frame.get_column("kind") == "fit"
    marked = frame.with_row_index("_at").filter(fits)
    sentences = {row["_at"]: (row, told) for row in marked.select(
        "_at", "raw_number", "description", "fit_grade", "part_number", "stock_number", "reason",
        "family", "to_family", "side", "sure", *_TOLD,
    ).iter_rows(named=True) if (told := _sentence(row))[0] is not None}  # fmt: skip
    if not sentences:
        return frame
    places = pl.int_range(frame.height, eager=True)
    pieces = [frame.filter(~places.is_in(list(sentences)))]
    for at, (row, (sentence, part)) in sentences.items():
        found = read_fit(sentence or "", part)
        line = frame.slice(at, 1)
        if not found:
            findings.doubt(line, _NOT_CLEAR)
        elif any(one.grade == "unknown" for one in found):
            findings.doubt(line, _HOW)
        pieces += [line.with_columns(
            pl.lit(value, frame.schema[name]).alias(name) for name, value in _said(one, row).items()
        ) for one in found]  # fmt: skip
    return pl.concat(pieces).sort("raw_number", maintain_order=True)


def _sentence(row: dict[str, Any]) -> tuple[str | None, str | None]:
    """Return the words to be read as a sentence, and the part where a column names it."""
    if any(row[name] for name in _TOLD) or not row["description"]:
        return None, None
    grade = row["fit_grade"]
    if grade is None:
        alone = not any(row[name] for name in ("part_number", "stock_number", "reason"))
        told = alone and len(row["description"].split()) >= _A_SENTENCE
        return (row["description"], None) if told else (None, None)
    return (grade, row["description"]) if names_builds(grade) else (None, None)


def _said(one: FitStatement, row: dict[str, Any]) -> dict[str, Any]:
    return {
        "description": one.description, "to_description": one.to_description,
        "family": one.family or row["family"], "to_family": one.to_family or row["to_family"],
        "mark": one.mark, "phase": one.phase, "to_mark": one.to_mark, "to_phase": one.to_phase,
        "part_number": one.part_number or row["part_number"], "to_part_number": one.to_part_number,
        "side": one.side or row["side"], "to_side": one.to_side,
        "fit_grade": _GRADES.get(one.grade), "work": one.work, "companions": one.companions,
        "reason": one.reason or row["reason"], "sure": row["sure"] and one.sure,
    }  # fmt: skip
