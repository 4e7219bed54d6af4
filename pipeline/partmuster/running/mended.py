"""What people put in place of unreadable values, applied to a source that was laid out."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import polars as pl

from partmuster.store.mended import LEAVE_OUT, NOTHING, mending_subject, mendings_of
from partmuster_schemas.columns import polars_schema
from partmuster_schemas.records import Mended as MendedRecord
from partmuster_schemas.text_lines import FIELDS

if TYPE_CHECKING:
    from collections.abc import Mapping

    from duckdb import DuckDBPyConnection

    from partmuster.stages.layout import LaidOut
    from partmuster.store.decisions import Standing

MENDED_SCHEMA = {
    name: dtype
    for name, dtype in polars_schema(MendedRecord).items()
    if name not in ("source_id", "source_version")
}

TAKE_BACK = "agree on one, and take the others back: partmuster decisions, partmuster undo"

_SERIALS = ("serial", "hull_serial", "engine_serial", "first_serial", "last_serial")
#: The fields of a text line in which the words of a typed column may stand.
_STANDS_IN: dict[str, tuple[str, ...]] = {
    "presence": ("presence", "condition"),
    "service": ("presence", "condition"),
    "making": ("presence", "condition"),
    "effectivity_text": ("effectivity", "build"),
    "_serial": _SERIALS,
    "serial_value": _SERIALS,
    "at_least": ("quantity",),
    "at_most": ("quantity",),
    "of_total": ("quantity",),
    "unserviceable": ("quantity",),
    "vehicle_key": ("vehicle",),
    "holder_key": ("holder", "owner"),
    "place_key": ("place",),
    "part_number_normal": ("part_number",),
    "said_on": ("date",),
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Mended:
    """A source after mending: how it is laid out, what was put in (a row a value), what stands."""

    source_id: str
    laid_out: LaidOut
    put_in: pl.DataFrame
    decided: Mapping[str, Standing]


def mend_source(con: DuckDBPyConnection, source_id: str, laid_out: LaidOut) -> Mended:
    """Put into a source what people decided about it; see :func:`mend`."""
    return mend(source_id, laid_out, mendings_of(con, source_id))


def mend(source_id: str, laid_out: LaidOut, decided: Mapping[str, Standing]) -> Mended:
    """Put in what was decided, as long as something decided stands there; the words stay.

    A line left out is no data, with the reason. Contradictory decisions apply to nothing. What
    was put in may itself be mended: each decision is used once on a line at most.
    """
    by_field: dict[str, dict[str, str]] = {}
    for subject, standing in decided.items():
        field = subject.split("|")[1]
        if standing.answer is not None:
            by_field.setdefault(field, {})[subject] = standing.answer
    if not by_field:
        return Mended(source_id, laid_out, pl.DataFrame(schema=MENDED_SCHEMA), decided)
    words = dict(laid_out.raw.select("raw_number", "words").iter_rows())
    lines, rows = laid_out.lines, list[dict[str, object]]()
    for field, answers in by_field.items():
        texts, more = _field_mended(source_id, field, lines, words, answers)
        if field in FIELDS:
            lines = lines.with_columns(texts.alias(field))
        rows += more
    put_in = pl.DataFrame(rows, schema=MENDED_SCHEMA, orient="row").unique(maintain_order=True)
    out = put_in.filter("left_out")
    if not out.height:
        return Mended(source_id, replace(laid_out, lines=lines), put_in, decided)
    reasons = {
        number: f"left out by {decided[subject].decided_by}"
        for number, subject in out.select("raw_number", "subject").iter_rows()
    }
    gone = pl.col("raw_number").is_in(list(reasons))
    raw = laid_out.raw.with_columns(
        pl.when(gone).then(pl.lit("not-data")).otherwise("outcome").alias("outcome"),
        pl.when(gone)
        .then(pl.col("raw_number").replace_strict(reasons, default=None, return_dtype=pl.String))
        .otherwise("reason")
        .alias("reason"),
    )
    left = replace(laid_out, lines=lines.filter(~gone), raw=raw)
    return Mended(source_id, left, put_in, decided)


def slimmed(mended: Mended, faults: list[pl.DataFrame] | None) -> Mended:
    """Return the same without text that no fault needs: empty columns, and lines without a fault.

    ``faults``: all there are, where they are known already.
    """
    lines = mended.laid_out.lines
    if faults is not None:
        faulty = pl.concat([one.select("raw_number") for one in faults]).unique()
        lines = lines.join(faulty, on="raw_number", how="semi", maintain_order="left")
    held = [name for name in lines.columns if lines[name].null_count() < lines.height]
    return replace(mended, laid_out=replace(mended.laid_out, lines=lines.select(
        "raw_number", *(name for name in held if name != "raw_number")
    )))  # fmt: skip


def _field_mended(
    source_id: str,
    field: str,
    lines: pl.DataFrame,
    words: Mapping[int, str | None],
    answers: Mapping[str, str],
) -> tuple[pl.Series, list[dict[str, object]]]:
    """Return a field's texts with what was put in, and a row for each value put in."""
    texts: list[str | None] = []
    rows: list[dict[str, object]] = []
    held = pl.col(field) if field in FIELDS else pl.lit(None, pl.String)
    for number, text in lines.select("raw_number", held.alias("held")).iter_rows():
        stands, used = text, set[str]()
        while True:
            subject = mending_subject(source_id, field, words.get(number), stands)
            answer = answers.get(subject)
            if answer is None or subject in used:
                break
            used.add(subject)
            left_out = answer == LEAVE_OUT
            put = None if left_out or answer == NOTHING else answer
            rows.append({"raw_number": number, "field": field, "stood": stands, "put": put,
                         "left_out": left_out, "subject": subject})  # fmt: skip
            if left_out:
                break
            stands = put
        texts.append(stands)
    return pl.Series(texts, dtype=pl.String), rows


def faults_in_words(faults: pl.DataFrame, mended: Mended) -> pl.DataFrame:
    """Return the faults with the field and the text as they stand in the source's line.

    What was put in and cannot be read either is named with who put it in and what stood there;
    where people put in different things, all are named.
    """
    if not faults.height:
        return faults
    laid_out, decided = mended.laid_out, mended.decided
    numbers = faults.get_column("raw_number").unique().to_list()
    lines: dict[int, list[dict[str, str | None]]] = {}
    for line in laid_out.lines.filter(pl.col("raw_number").is_in(numbers)).iter_rows(named=True):
        lines.setdefault(line["raw_number"], []).append(line)
    faulty = laid_out.raw.filter(pl.col("raw_number").is_in(numbers))
    words = dict(faulty.select("raw_number", "words").iter_rows())
    before = {
        (number, field, put): (stood, subject)
        for number, field, stood, put, subject in mended.put_in.select(
            "raw_number", "field", "stood", "put", "subject"
        ).iter_rows()
    }
    rows = []
    for fault in faults.iter_rows(named=True):
        number = fault["raw_number"]
        field, value = _where_it_stands(fault["field"], fault["value"], lines.get(number, []))
        fault |= {"field": field, "value": value}
        if (number, field, value) in before:
            stood, subject = before[number, field, value]
            fault["problem"] += (
                f" ({decided[subject].decided_by} put it in; '{stood or ''}' stood there)"
            )
        standing = decided.get(mending_subject(mended.source_id, field, words.get(number), value))
        if standing is not None and standing.answer is None:
            fault["problem"] += f"; different things were put in: {named_answers(standing)}"
            fault["what_to_do"] = TAKE_BACK
        rows.append(fault)
    return pl.DataFrame(rows, schema=faults.schema)


def named_answers(standing: Standing) -> str:
    """Return each answer with who gave it and where, for a person to compare."""
    return ", ".join(
        sorted({f"'{answer}' ({who}{f', {note}' if note else ''})"
                for answer, who, note in standing.said})
    )  # fmt: skip


def _where_it_stands(
    field: str, value: str | None, lines: list[dict[str, str | None]]
) -> tuple[str, str | None]:
    """Return the text line's field in which a fault's words stand, and the words themselves.

    A reader may have folded or completed the words before it found the fault.
    """
    fields = _STANDS_IN.get(field, (field,))
    stands = [
        (name, text) for line in lines for name in fields if (text := line.get(name)) is not None
    ]
    equal = [one for one in stands if one[1] == value]
    alike = [one for one in stands if value and one[1].casefold() == value.casefold()]
    if found := equal or alike or stands:
        return found[0]
    return fields[0], None if fields[0] in FIELDS else value
