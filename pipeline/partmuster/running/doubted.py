"""Statements that an importer doubts: asked about one by one, and settled by a yes or a no.

An answer holds for the words and what was read from them, in every version of the source.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

import polars as pl

from partmuster.store.decisions import standing_decisions
from partmuster_schemas.text_lines import FIELDS

from .judging import with_no_data

if TYPE_CHECKING:
    from collections.abc import Mapping

    from duckdb import DuckDBPyConnection

    from partmuster.stages.layout import LaidOut
    from partmuster.store.decisions import Standing

TOPIC = "reading"
YES, NO = "yes", "no"
#: What a person is told of a reading, in this order, before all else.
_FIRST = ("side", "position", "quantity", "presence", "condition", "availability", "stage",
          "fit_grade", "to_description", "to_build", "build", "making", "feature", "statement",
          "place")  # fmt: skip
_WHOSE = ("vehicle", "holder")
_NOT_TOLD = frozenset({*_WHOSE, "description", "date", "remark"})
_LONGEST = 200


@dataclass(frozen=True, slots=True)
class Settled:
    """Lines that count or wait, the raw lines that are none, and what is to be asked."""

    lines: pl.DataFrame
    none: Mapping[int, str]
    questions: pl.DataFrame


def settle_doubted(con: DuckDBPyConnection, source_id: str, laid_out: LaidOut,
                   name: str) -> LaidOut:  # fmt: skip
    """Return a source with its doubted statements settled as people decided, or asked about."""
    doubted = _doubted(laid_out.lines)
    if not doubted.height:
        return laid_out
    settled = settle(laid_out, doubted, standing_decisions(con, TOPIC), source_id, name)
    return replace(
        laid_out, lines=settled.lines, raw=with_no_data(laid_out.raw, settled.none),
        questions=pl.concat([laid_out.questions, settled.questions]),
    )  # fmt: skip


def _doubted(lines: pl.DataFrame) -> pl.DataFrame:
    """Return the lines in doubt that a rule made of words; what kind of line they are is known."""
    return lines.filter(
        pl.col("doubt").is_not_null() & pl.col("rule").is_not_null() & pl.col("kind").is_not_null()
    )


def settle(
    laid_out: LaidOut, doubted: pl.DataFrame, standing: Mapping[str, Standing],
    source_id: str, name: str,
) -> Settled:  # fmt: skip
    """Return what people's decisions make of doubted lines."""
    sure: list[int] = []
    waiting: list[int] = []
    none: dict[int, str] = {}
    questions: dict[str, dict[str, Any]] = {}
    for (number,), lines in doubted.group_by("raw_number", maintain_order=True):
        rows = lines.to_dicts()
        subject = _subject(rows)
        said = standing.get(f"{source_id}|{subject}")
        raw_number = int(str(number))
        if said is not None and said.answer == YES:
            sure.append(raw_number)
        elif said is not None and said.answer == NO:
            none[raw_number] = f"the words do not say what was read, {said.decided_by} decided"
        else:
            waiting.append(raw_number)
            asked = questions.setdefault(subject, {
                "topic": TOPIC, "subject": subject, "question": _question(rows, name),
                "choices": f"{YES};{NO}", "lines": 0,
            })  # fmt: skip
            asked["lines"] += 1
    number = pl.col("raw_number")
    # What waits is one line without a kind: nothing of it counts before somebody says so.
    kindless = doubted.filter(number.is_in(waiting)).unique("raw_number", keep="first")
    kindless = kindless.with_columns(
        pl.lit(None, pl.String).alias("kind"), sure=pl.lit(value=True),
        **dict.fromkeys(FIELDS, pl.lit(None, pl.String)),
    )  # fmt: skip
    lines = pl.concat([laid_out.lines.filter(~number.is_in([*none, *waiting])), kindless])
    lines = lines.sort("raw_number", maintain_order=True).with_columns(
        pl.when(number.is_in(sure)).then(None).otherwise("doubt").alias("doubt")
    )
    return Settled(lines, none, pl.DataFrame(list(questions.values()),
                                             schema=laid_out.questions.schema))  # fmt: skip


def _subject(rows: list[dict[str, Any]]) -> str:
    """Return what stands for a statement: its words, and what was read from them."""
    said = [
        (row["words"], row["kind"], *(row[name] for name in FIELDS if name != "date"))
        for row in rows
    ]
    return hashlib.sha256(repr(said).encode()).hexdigest()[:16]


def _question(rows: list[dict[str, Any]], name: str) -> str:
    read = " - and: ".join(dict.fromkeys(_told(row) for row in rows))
    words = str(rows[0]["words"] or "")
    words = words if len(words) <= _LONGEST else words[: _LONGEST - 1] + "…"
    return f'Does "{words}" ({name}) say this: {read}?'


def _told(row: dict[str, Any]) -> str:
    """Return a reading in words: "survey of Otter 2: dynamo, missing"."""
    whose = " for ".join(str(row[one]) for one in reversed(_WHOSE) if row[one])
    rest = [one for one in FIELDS if one not in _FIRST and one not in _NOT_TOLD]
    what = [row["description"], *(row[one] for one in (*_FIRST, *rest))]
    if row["kind"] == "feature" and row["status"] == "no":
        what = ["it has not" if one == "no" else one for one in what]
    told = ", ".join(str(one) for one in what if one and one != "yes")
    hedge = "" if row["sure"] or row["sure"] is None else ", not sure"
    return f"{row['kind']}{' of ' + whose if whose else ''}: {told}{hedge}"
