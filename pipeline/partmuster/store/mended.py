"""What people put in place of what cannot be read: which faults there are, and what was decided.

A mending is a decision on the topic ``mending``. Its subject is the source, the field, and a hash
of the raw line's words and what stands in the field; never a row number, so that it holds for
every version of the source that has the same words.
"""

from __future__ import annotations

import secrets
from dataclasses import dataclass
from hashlib import blake2b
from typing import TYPE_CHECKING

from partmuster_schemas.text_lines import FIELDS

from .decisions import Standing, standing_decisions
from .frames import fetch
from .settings import put_setting, read_settings

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

TOPIC = "mending"
#: The answer that the whole line is to be left out, and the one that the field is to be empty.
LEAVE_OUT = "leave out"
NOTHING = "(nothing)"
CLUB_ID = "club-id"

_DIGEST_BYTES = 8

#: Faults of the newest versions, and what was mended in them, with the heading and cell of the
#: field where one column alone holds it. A table reaches from its headings to the next ones. Rows
#: of pages begin anew on each, so of those a heading is named where all tables have the same.
_FAULTS = """
    WITH newest AS (
        SELECT v.source_id, v.version, v.name FROM source_version v
        JOIN newest_version n ON n.source_id = v.source_id AND n.version = v.version
        WHERE $1 IS NULL OR v.source_id = $1
    ), found AS (
        SELECT source_id, source_version, raw_number, field, value AS stood,
            code, problem, what_to_do
        FROM mending
        UNION ALL
        SELECT source_id, source_version, raw_number, field, stood, NULL, NULL, NULL FROM mended
    ), placed AS (
        SELECT n.name AS file, f.*, r.sheet, r.page, r.row, r.box, r."column" AS cell_column,
            r.words
        FROM found f
        JOIN newest n ON n.source_id = f.source_id AND n.version = f.source_version
        JOIN raw_line r ON r.source_id = f.source_id AND r.source_version = f.source_version
            AND r.raw_number = f.raw_number
    ), above AS (
        SELECT p.source_id, p.raw_number, max(l.header_row) AS header_row
        FROM placed p JOIN layout_taken l
            ON l.source_id = p.source_id AND l.source_version = p.source_version
            AND l.sheet IS NOT DISTINCT FROM p.sheet AND l.header_row < p.row
        WHERE p.page IS NULL
        GROUP BY ALL
    ), one_column AS (
        SELECT p.source_id, p.raw_number, p.field, any_value(l."column") AS "column",
            any_value(l.heading) AS heading
        FROM (SELECT DISTINCT source_id, source_version, raw_number, field, sheet FROM placed
              WHERE page IS NULL) p
        LEFT JOIN above a USING (source_id, raw_number)
        JOIN layout_taken l
            ON l.source_id = p.source_id AND l.source_version = p.source_version
            AND l.sheet IS NOT DISTINCT FROM p.sheet AND l.field = p.field
            AND l.header_row IS NOT DISTINCT FROM a.header_row
        GROUP BY ALL HAVING count(*) = 1
    ), on_pages AS (
        SELECT p.source_id, p.raw_number, p.field, any_value(l.heading) AS heading
        FROM (SELECT DISTINCT source_id, source_version, raw_number, field FROM placed
              WHERE page IS NOT NULL) p
        JOIN layout_taken l
            ON l.source_id = p.source_id AND l.source_version = p.source_version
            AND l.field = p.field
        GROUP BY ALL HAVING count(DISTINCT coalesce(l.heading, '')) = 1
    )
    SELECT p.source_id, p.file, p.sheet, p.page, p.row, p.box,
        CASE WHEN p.page IS NULL THEN coalesce(p.cell_column, o."column") END AS "column",
        coalesce(o.heading, g.heading) AS heading, p.field, p.words, p.stood, p.code, p.problem,
        p.what_to_do
    FROM placed p LEFT JOIN one_column o USING (source_id, raw_number, field)
    LEFT JOIN on_pages g USING (source_id, raw_number, field)
    ORDER BY p.file, p.sheet, p.page, p.row, "column", p.raw_number, p.field
"""


#: What was asked where a value was put in, by topic and subject, as decisions are listed.
MENDED_QUESTIONS = """
    SELECT 'mending' AS topic, m.subject,
        any_value('What should stand for "' || coalesce(m.stood, '') || '"? (' || m.field || ', '
                  || v.name || ')') AS question
    FROM mended m
    JOIN source_version v ON v.source_id = m.source_id AND v.version = m.source_version
    GROUP BY m.subject
"""


@dataclass(frozen=True, slots=True)
class Fault:
    """A value that cannot be read, or could not before it was mended (``problem`` is empty).

    ``column`` is a sheet's: on a page it is no place that a person can find.
    """

    subject: str
    source_id: str
    file: str
    sheet: str | None
    page: int | None
    row: int | None
    box: str | None
    column: int | None
    heading: str | None
    field: str
    words: str
    stood: str | None
    problem: str | None
    what_to_do: str | None


def mending_subject(source_id: str, field: str, words: str | None, stood: str | None) -> str:
    """Return what a decision about one value of one line is about.

    A fault in what is no field of a text line is told by the words alone: there is no text of it.
    """
    if field not in FIELDS:
        stood = None
    text = "\x1f".join((" ".join((words or "").split()), stood or ""))
    return f"{source_id}|{field}|{blake2b(text.encode(), digest_size=_DIGEST_BYTES).hexdigest()}"


def faults(con: DuckDBPyConnection, source_id: str | None = None) -> list[Fault]:
    """Return what stands in need of mending, or was mended, in the newest versions.

    In order of file, sheet or page, row and column; equal values of equal lines once each.
    """
    rows = fetch(con, _FAULTS, [source_id]).iter_rows(named=True)
    return [
        Fault(
            mending_subject(row["source_id"], row["field"], row["words"], row["stood"]),
            row["source_id"], row["file"], row["sheet"], row["page"], row["row"], row["box"],
            row["column"], row["heading"], row["field"], row["words"] or "", row["stood"],
            row["problem"], row["what_to_do"],
        )
        for row in rows
        if row["field"] is not None
    ]  # fmt: skip


def mendings_of(con: DuckDBPyConnection, source_id: str) -> dict[str, Standing]:
    """Return what stands about values of a source, by subject; contradictions too."""
    opening = f"{source_id}|"
    return {
        subject: standing
        for subject, standing in standing_decisions(con, TOPIC).items()
        if subject.startswith(opening)
    }


def club_id(con: DuckDBPyConnection) -> str | None:
    """Return the id that tells this club's forms from another's; None before its first form."""
    return read_settings(con).get(CLUB_ID)


def give_club_id(con: DuckDBPyConnection) -> str:
    """Return the club's id; give it one first if it has none."""
    known = club_id(con)
    if known is None:
        known = secrets.token_hex(8)
        put_setting(con, CLUB_ID, known)
    return known
