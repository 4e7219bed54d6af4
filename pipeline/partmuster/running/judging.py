"""What is said of a file once it is read: its faults, and what to ask about it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import polars as pl

from partmuster.model import Problem
from partmuster.store.known_names import NAME_TOPIC

if TYPE_CHECKING:
    from collections.abc import Mapping

    from partmuster.store.put_aside import LinesOfKind


#: A question names so many sheets of a file.
_SHEETS_NAMED = 3


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


def with_no_data(raw: pl.DataFrame, why: Mapping[int, str]) -> pl.DataFrame:
    """Mark raw lines that are none, as people decided; ``why``: the reason, by raw number."""
    reason = pl.col("raw_number").replace_strict(why, default=None, return_dtype=pl.String)
    return raw.with_columns(
        pl.when(reason.is_not_null()).then(pl.lit("not-data")).otherwise("outcome")
        .alias("outcome"),
        pl.coalesce(reason, "reason").alias("reason"),
    )  # fmt: skip


def asked_of_lists(
    like: pl.DataFrame, lines: Mapping[str, LinesOfKind], raw: pl.DataFrame, name: str
) -> pl.DataFrame:
    """Return what a person can say once for a whole list: whose it is, which family it is for.

    Asked where holdings name nobody, wants neither a person nor a vehicle, and requirements no
    family.
    """
    nobody = _without(lines, "holding", "holder_key")
    nobody += _without(lines, "want", "holder_key", "vehicle_key")
    listed = _list_named(name, raw, lines)
    asked = [
        (nobody, "|holder", f"Whose list is {listed}? {{}} of its lines name nobody"),
        (_without(lines, "requirement", "family"), "|family",
         "Which family of vehicles is this parts list for? {} of its lines name none"),
        (_without(lines, "build", "family"), "|family",
         "Which family of vehicles does this list tell builds of? {} of its lines name none"),
    ]  # fmt: skip
    rows = [
        {"topic": "layout", "subject": subject, "lines": number,
         "question": question.format(number)}
        for number, subject, question in asked if number
    ]  # fmt: skip
    return pl.DataFrame(rows, schema=like.schema)


def _list_named(name: str, raw: pl.DataFrame, lines: Mapping[str, LinesOfKind]) -> str:
    """Return a file's name, and its sheets with lines that name nobody, for a question."""
    nameless = [
        lines[kind].select("raw_number", "holder_key").filter(pl.col("holder_key").is_null())
        for kind in ("holding", "want") if kind in lines
    ]  # fmt: skip
    if not nameless:
        return f"'{name}'"
    numbers = pl.concat(nameless).select(pl.col("raw_number").cast(pl.Int64))
    placed = raw.select(pl.col("raw_number").cast(pl.Int64), "sheet")
    placed = placed.filter(pl.col("sheet").is_not_null())
    in_them = placed.join(numbers, on="raw_number", how="semi")
    sheets = [f"'{sheet}'" for sheet in in_them.get_column("sheet").unique(maintain_order=True)]
    if not sheets:
        return f"'{name}'"
    more = len(sheets) - _SHEETS_NAMED
    shown = ", ".join(sheets[:_SHEETS_NAMED]) + (f" and {more} more" if more > 0 else "")
    return f"'{name}', sheet{'s' if len(sheets) > 1 else ''} {shown}"


def _without(lines: Mapping[str, LinesOfKind], kind: str, *columns: str) -> int:
    """Return how many lines of a kind have none of some columns filled."""
    if kind not in lines:
        return 0
    empty = pl.all_horizontal(pl.col(name).is_null() for name in columns)
    return lines[kind].select(empty).to_series().arg_true().len()


def with_source(questions: pl.DataFrame, source_id: str) -> pl.DataFrame:
    """Give the questions of a layout the source they are about; it opens their subject.

    What a name is holds for every source.
    """
    own = pl.format("{}|{}", pl.lit(source_id), pl.col("subject"))
    of_all = pl.col("topic") == NAME_TOPIC
    return questions.with_columns(pl.when(of_all).then("subject").otherwise(own).alias("subject"))


def explained(name: str, raw: pl.DataFrame, faults: pl.DataFrame) -> list[Problem]:
    """Return each fault with its file, sheet and row, for the person who imports."""
    placed = faults.join(
        raw.select("raw_number", "sheet", "page", "row"), on="raw_number", how="left",
        maintain_order="left",
    )  # fmt: skip
    return [
        Problem(
            code=row["code"], problem=row["problem"], what_to_do=row["what_to_do"], file=name,
            sheet=row["sheet"], row=row["row"], column=row["field"], value=row["value"],
            page=row["page"],
        )
        for row in placed.iter_rows(named=True)
    ]  # fmt: skip
