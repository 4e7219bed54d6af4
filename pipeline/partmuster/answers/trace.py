"""The answer ``trace``: where a figure comes from, down to file, sheet, row and words."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import polars as pl

from partmuster.model import PartmusterError
from partmuster.store.frames import worked_out
from partmuster_schemas.answers import Trace
from partmuster_schemas.columns import polars_schema
from partmuster_schemas.words import KINDS

from .effects import lines_of_decision
from .sql import list_literal

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

_RAW = re.compile(r".+\.\d+\.\d+")
_WHOLE = re.compile(rf"({'|'.join(KINDS)})-[0-9a-f]{{16}}\.\d+")
_LINE = re.compile(rf"({'|'.join(KINDS)})-([0-9a-f]+)(\.\d+)?")

#: So many are named where a beginning fits several ids.
_NAMED = 5


class UnknownIdError(PartmusterError):
    """Nothing in the club has this id, or several things have an id that begins so."""


def trace(con: DuckDBPyConnection, ids: str) -> pl.DataFrame:
    """Return where lines come from: columns of ``answers.Trace``, every revision a row.

    ``ids``: a line id, several joined by ';' or a space as they stand in the column ``trace``, a
    question or decision id, or a raw line "source.version.number". A beginning will do that no
    other has; of a line its occurrence may follow: "survey-952ccd5a.1". A revision has one row
    for each name in it (part, vehicle, holder) and each conclusion about that name. Where nothing
    was loaded from a raw line the row says what became of it.

    Raises:
        UnknownIdError: one of them is no id of this club, or begins several; the text names it.
    """
    asked = list(dict.fromkeys(ids.replace(";", " ").split()))
    if not asked:
        raise UnknownIdError("an id is needed: of a line, a raw line, a question or a decision.")
    whole = [one for one in asked if _WHOLE.fullmatch(one)] if len(asked) > 1 else []
    frames = [_lines(con, whole)] if whole else []  # a figure may rest on thousands
    known = set(frames[0].get_column("id")) if frames else set()
    frames += [_trace_one(con, one) for one in asked if one not in known]
    return pl.concat(frames).unique(maintain_order=True)


def _trace_one(con: DuckDBPyConnection, one: str) -> pl.DataFrame:
    for find in (line_ids, _lines_of_raw, _lines_of_question, _lines_of_decision):
        if ids := find(con, one):
            return _lines(con, ids)
    if _RAW.fullmatch(one):
        raw = worked_out(con, f"SELECT * FROM raw_lines_of({list_literal([one])})")  # noqa: S608  (a literal)
        if raw.height:
            return _shaped(raw)
    raise UnknownIdError(
        f"'{one}' is the id of no line, raw line, question or decision of this club."
    )


def _lines(con: DuckDBPyConnection, ids: list[str]) -> pl.DataFrame:
    return _shaped(worked_out(con, f"SELECT * FROM trace_of({list_literal(ids)})"))  # noqa: S608  (literals)


def line_ids(con: DuckDBPyConnection, one: str) -> list[str]:
    """Return the id of the line that is meant by an id or its beginning; nothing if none is.

    Raises:
        UnknownIdError: several begin so.
    """
    given = _LINE.fullmatch(one)
    if given is None:
        return []
    kind, digits, occurrence = given.groups()
    found = con.execute(
        f"SELECT DISTINCT line_id FROM said_{kind} WHERE starts_with(line_id, ?) "  # noqa: S608  (a known kind)
        "AND ends_with(line_id, ?) ORDER BY 1",
        [f"{kind}-{digits}", occurrence or ""],
    ).fetchall()
    return _only_one(one, [line_id for (line_id,) in found])


def _only_one(beginning: str, ids: list[str]) -> list[str]:
    if beginning in ids or len(ids) < 2:  # noqa: PLR2004 - one is what is wanted
        return [beginning] if beginning in ids else ids
    named = ", ".join(ids[:_NAMED]) + (" ..." if len(ids) > _NAMED else "")
    raise UnknownIdError(f"several ids begin with '{beginning}': {named}. Say which.")


def _lines_of_raw(con: DuckDBPyConnection, one: str) -> list[str]:
    if not _RAW.fullmatch(one):
        return []
    source_id, version, number = one.rsplit(".", 2)
    found = con.execute(
        "SELECT DISTINCT line_id FROM line_origin "
        "WHERE source_id = ? AND source_version = ? AND raw_number = ? ORDER BY 1",
        [source_id, int(version), int(number)],
    ).fetchall()
    return [line_id for (line_id,) in found]


def _lines_of_question(con: DuckDBPyConnection, one: str) -> list[str]:
    asked = con.execute(
        "SELECT DISTINCT question_id FROM question WHERE starts_with(question_id, ?) ORDER BY 1",
        [one],
    ).fetchall()
    wanted = _only_one(one, [question_id for (question_id,) in asked])
    found = con.execute(
        "SELECT DISTINCT h.line_id FROM question q JOIN line_history h ON CASE q.topic "
        "WHEN 'part' THEN q.subject IN (h.item_key, 'line:' || h.line_id, "
        "'source:' || h.source_id || '|' || h.item_key) "
        "WHEN 'vehicle' THEN q.subject = h.vehicle_key "
        "WHEN 'holder' THEN q.subject = h.holder_key "
        "WHEN 'same-item' THEN list_contains(string_split(q.subject, '|'), h.line_id) "
        "ELSE false END "
        "WHERE list_contains(?, q.question_id) ORDER BY 1",
        [wanted],
    ).fetchall()
    return [line_id for (line_id,) in found]


def _lines_of_decision(con: DuckDBPyConnection, one: str) -> list[str]:
    made = con.execute(
        "SELECT decision_id FROM decision WHERE starts_with(decision_id, ?) AND answer IS NOT NULL "
        "ORDER BY 1", [one],
    ).fetchall()  # fmt: skip
    wanted = _only_one(one, [decision_id for (decision_id,) in made])
    return lines_of_decision(con, wanted[0]) if wanted else []


def _shaped(frame: pl.DataFrame) -> pl.DataFrame:
    return frame.select(
        (pl.col(name) if name in frame.columns else pl.lit(None)).cast(dtype).alias(name)
        for name, dtype in polars_schema(Trace).items()
    )
