"""What is said of a file once it is read: its faults, what to ask about it, and its likeness."""

from __future__ import annotations

from typing import TYPE_CHECKING

import polars as pl

from partmuster.model import Problem

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from partmuster.store.put_aside import LinesOfKind

#: A new name with this share of its lines in another source is probably the same list again.
MOSTLY_ALIKE = 0.8
ALIKE_LINES = 5


def said_words(raw: pl.DataFrame) -> pl.DataFrame:
    """Return the distinct words of a file's lines: one column, ``words``."""
    return raw.filter(pl.col("outcome") != "not-data").select("words").drop_nulls().unique()


def alike(words: pl.DataFrame, others: Iterable[tuple[str, pl.DataFrame]]) -> str | None:
    """Return the name of the one of ``others`` that says most of the words, if one does."""
    for name, other in others:
        equal = words.join(other, on="words", how="semi").height
        if equal >= ALIKE_LINES and equal >= MOSTLY_ALIKE * words.height:
            return name
    return None


def with_faults(raw: pl.DataFrame, faults: pl.DataFrame) -> pl.DataFrame:
    """Mark the raw lines that have a fault as needing mending, with the first fault as reason."""
    first = faults.group_by("raw_number", maintain_order=True).agg(
        pl.col("problem").first().alias("_problem")
    )
    return raw.join(first, on="raw_number", how="left", maintain_order="left").with_columns(
        pl.when(pl.col("_problem").is_not_null())
        .then(pl.lit("mending"))
        .otherwise("outcome")
        .alias("outcome"),
        pl.coalesce("_problem", "reason").alias("reason"),
    ).drop("_problem")  # fmt: skip


def asked_of_lists(like: pl.DataFrame, lines: Mapping[str, LinesOfKind]) -> pl.DataFrame:
    """Return what a person can say once for a whole list: whose it is, which family it is for.

    Asked where holdings name nobody, and where requirements name no family.
    """
    asked = [
        ("holding", "holder_key", "|holder", "Whose list is this? {} of its lines name nobody"),
        ("requirement", "family", "|family",
         "Which family of vehicles is this parts list for? {} of its lines name none"),
    ]  # fmt: skip
    rows = []
    for kind, column, subject, question in asked:
        nameless = lines[kind].get_column(column).null_count() if kind in lines else 0
        if nameless:
            rows.append({"topic": "layout", "subject": subject, "lines": nameless,
                         "question": question.format(nameless)})  # fmt: skip
    return pl.DataFrame(rows, schema=like.schema)


def with_source(questions: pl.DataFrame, source_id: str) -> pl.DataFrame:
    """Give the questions of a layout the source they are about; it opens their subject."""
    return questions.with_columns(
        pl.format("{}|{}", pl.lit(source_id), pl.col("subject")).alias("subject")
    )


def explained(name: str, raw: pl.DataFrame, faults: pl.DataFrame) -> list[Problem]:
    """Return each fault with its file, sheet and row, for the person who imports."""
    placed = faults.join(
        raw.select("raw_number", "sheet", "row"), on="raw_number", how="left",
        maintain_order="left",
    )  # fmt: skip
    return [
        Problem(
            code=row["code"], problem=row["problem"], what_to_do=row["what_to_do"], file=name,
            sheet=row["sheet"], row=row["row"], column=row["field"], value=row["value"],
        )
        for row in placed.iter_rows(named=True)
    ]  # fmt: skip
