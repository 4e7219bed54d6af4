"""What became of each raw line, as far as identifications decide it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .frames import first_row, stage
from .kinds_said import kinds_said, united

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Sequence

    import polars as pl
    from duckdb import DuckDBPyConnection

PART_OPEN = "the part is not identified"
VEHICLE_OPEN = "the vehicle is not identified"

#: What is not settled of the lines that count, in the temporary table ``open_subject``: most of a
#: club's lines are settled. ``{subjects}``: the view ``line_subject``.
_OPEN = """
    CREATE OR REPLACE TEMP TABLE open_subject AS
    WITH settled AS MATERIALIZED (FROM settled_name),
    parts AS (SELECT DISTINCT key FROM settled WHERE role IN ('part', 'to-part')),
    vehicles AS (SELECT key FROM settled WHERE role = 'vehicle'),
    -- lines about which alone people contradict each other
    disputed AS MATERIALIZED (
        SELECT DISTINCT substr(key, 6) AS line_id FROM identification ANTI JOIN parts USING (key)
        WHERE recorded_to IS NULL AND role = 'part' AND starts_with(key, 'line:')
    ),
    of_sources AS (
        SELECT DISTINCT subject FROM decision
        WHERE topic = 'part' AND starts_with(subject, 'source:')
    ),
    subjects AS (
        SELECT line_id, source_id, CAST(item_key AS VARCHAR) AS item_key,
            CAST(to_item_key AS VARCHAR) AS to_item_key,
            CAST(vehicle_key AS VARCHAR) AS vehicle_key
        FROM ({subjects})
    )
    SELECT 'part' AS topic, item_key AS subject, line_id, item_key AS words
    FROM subjects ANTI JOIN parts ON item_key = parts.key
    WHERE item_key IS NOT NULL AND 'line:' || line_id NOT IN (FROM parts)
        AND line_id NOT IN (FROM disputed)
    UNION ALL
    SELECT 'part',
        CASE WHEN EXISTS (FROM decision WHERE topic = 'part' AND subject = 'line:' || line_id)
            THEN 'line:' || line_id ELSE coalesce(o.subject, 'line:' || line_id) END,
        line_id, item_key
    FROM subjects SEMI JOIN disputed USING (line_id)
    LEFT JOIN of_sources o ON o.subject = 'source:' || source_id || '|' || item_key
    UNION ALL
    SELECT 'part', to_item_key, line_id, to_item_key
    FROM subjects ANTI JOIN parts ON to_item_key = parts.key
    WHERE to_item_key IS NOT NULL
    UNION ALL
    SELECT 'vehicle', vehicle_key, line_id, NULL
    FROM subjects ANTI JOIN vehicles ON vehicle_key = vehicles.key
    WHERE vehicle_key IS NOT NULL
"""

#: Raw lines of newest versions whose outcome is no longer what identifications make it.
_JUDGED = f"""
    CREATE OR REPLACE TEMP TABLE judged AS
    WITH open_raw AS (
        SELECT o.source_id, o.source_version, o.raw_number,
            min(CASE topic WHEN 'part' THEN '{PART_OPEN}' ELSE '{VEHICLE_OPEN}' END) AS reason
        FROM open_subject JOIN line_origin o USING (line_id)
        JOIN newest_version v ON v.source_id = o.source_id AND v.version = o.source_version
        GROUP BY ALL
    )
    SELECT source_id, source_version, raw_number, 'decision' AS outcome, p.reason
    FROM open_raw p JOIN raw_line r USING (source_id, source_version, raw_number)
    WHERE r.outcome = 'loaded'
        OR (r.reason IN ('{PART_OPEN}', '{VEHICLE_OPEN}') AND r.reason <> p.reason)
    UNION ALL
    SELECT r.source_id, r.source_version, r.raw_number, 'loaded', NULL
    FROM raw_line r
    JOIN newest_version v ON v.source_id = r.source_id AND v.version = r.source_version
    ANTI JOIN open_raw p ON p.source_id = r.source_id AND p.source_version = r.source_version
        AND p.raw_number = r.raw_number
    WHERE r.outcome = 'decision' AND r.reason IN ('{PART_OPEN}', '{VEHICLE_OPEN}')
"""  # noqa: S608  (no outside text)


def bring_up_to_date(con: DuckDBPyConnection, now: dt.datetime) -> None:
    """Bring outcomes and questions up to date with what is concluded."""
    kinds = kinds_said(con)
    con.execute(_OPEN.format(subjects=united("line_subject", kinds)))
    _recount(con)
    _refresh_questions(con, united("said_name", kinds), now)


def _recount(con: DuckDBPyConnection) -> None:
    """Bring the outcomes of the newest version of every source up to date with what is concluded.

    Which raw lines wait for a decision thus never hangs on the order of imports. Lines that are
    in doubt for another reason stay so. The sums in ``source_version`` follow.
    """
    con.execute(_JUDGED)
    if not first_row(con, "SELECT 1 FROM judged LIMIT 1"):
        return
    con.execute(
        "UPDATE raw_line r SET outcome = j.outcome, reason = j.reason FROM judged j "
        "WHERE r.source_id = j.source_id AND r.source_version = j.source_version "
        "AND r.raw_number = j.raw_number"
    )
    con.execute(
        """
        UPDATE source_version v SET lines_loaded = c.loaded, lines_decision = c.decision
        FROM (
            SELECT source_id, source_version, count(*) FILTER (outcome = 'loaded') AS loaded,
                count(*) FILTER (outcome = 'decision') AS decision
            FROM raw_line SEMI JOIN (SELECT DISTINCT source_id, source_version FROM judged) j
                USING (source_id, source_version)
            GROUP BY ALL
        ) c
        WHERE v.source_id = c.source_id AND v.version = c.source_version
        """
    )


def _refresh_questions(con: DuckDBPyConnection, said: str, now: dt.datetime) -> None:
    """Ask about each item key and name that is not settled; close the questions that are.

    ``said``: SQL that gives what the view ``said_name`` does.
    """
    con.execute(
        f"""
        CREATE OR REPLACE TEMP TABLE asked AS
        WITH unsettled AS (
            SELECT DISTINCT role, key FROM identification_now
            WHERE role IN ('vehicle', 'holder', 'place')
            EXCEPT SELECT role, key FROM settled_name
        ), open AS (
            SELECT topic, subject, count(DISTINCT line_id) AS lines, any_value(words) AS words,
                CASE WHEN starts_with(subject, 'source:') THEN 'line:' || min(line_id)
                    ELSE subject END AS meant
            FROM (
                FROM open_subject WHERE topic = 'part'
                UNION ALL
                SELECT role, key, line_id, NULL FROM ({said}) SEMI JOIN unsettled USING (role, key)
            )
            WHERE subject <> ''
            GROUP BY topic, subject
        ), choice AS (
            SELECT CASE role WHEN 'to-part' THEN 'part' ELSE role END AS topic, key AS meant,
                string_agg(DISTINCT target, ';' ORDER BY target) AS choices
            FROM identification_now WHERE target IS NOT NULL GROUP BY ALL
        )
        SELECT substr(md5(o.topic || chr(31) || o.subject), 1, 10) AS question_id,
            o.topic, o.subject, o.lines, c.choices,
            CASE o.topic
                WHEN 'part' THEN 'Which part is "'
                    || coalesce(k.description, k.part_number_normal, o.subject) || '"?'
                WHEN 'vehicle' THEN 'Which vehicle is "' || o.subject || '"?'
                WHEN 'holder' THEN 'Who is "' || o.subject || '"?'
                ELSE 'Which place is "' || o.subject || '"?'
            END AS question
        FROM open o LEFT JOIN choice c USING (topic, meant)
        LEFT JOIN item_key k ON o.topic = 'part' AND k.item_key = o.words
        """  # noqa: S608  (the views' own text)
    )
    con.execute(
        "UPDATE question SET recorded_to = ? WHERE recorded_to IS NULL "
        "AND topic IN ('part', 'vehicle', 'holder', 'place') AND source_id IS NULL "
        "AND question_id NOT IN (SELECT question_id FROM asked)",
        [now],
    )
    ask_staged(con, now)


def set_source_questions(
    con: DuckDBPyConnection, raised: pl.DataFrame, source_ids: Sequence[str], now: dt.datetime
) -> None:
    """Ask what sources give reason to ask, and close what they no longer do.

    ``raised``: columns source_id, topic, subject, question, choices, lines.
    """
    if not raised.height and not first_row(
        con,
        "SELECT 1 FROM question WHERE recorded_to IS NULL "
        "AND (list_contains(?, source_id) OR topic = 'name') LIMIT 1",
        [list(source_ids)],
    ):
        return
    stage(con, "raised", raised)
    con.execute(
        "CREATE OR REPLACE TEMP TABLE asked AS "
        "SELECT substr(md5(topic || chr(31) || subject), 1, 10) AS question_id, topic, subject, "
        "any_value(question) AS question, any_value(choices) AS choices, "
        "CAST(coalesce(sum(lines), 0) AS BIGINT) AS lines, source_id "
        "FROM raised GROUP BY topic, subject, source_id"
    )
    con.execute(
        "UPDATE question SET recorded_to = ? WHERE recorded_to IS NULL "
        "AND list_contains(?, source_id) AND topic <> 'name' "
        "AND question_id NOT IN (SELECT question_id FROM asked)",
        [now, list(source_ids)],
    )
    # What a name is may be asked by several sources: it is open while one of them does.
    con.execute(
        "UPDATE question SET recorded_to = ? WHERE recorded_to IS NULL AND topic = 'name' "
        "AND subject NOT IN (SELECT key FROM choice_name c JOIN newest_version v "
        "USING (source_id) WHERE c.source_version = v.version AND c.asked)",
        [now],
    )
    ask_staged(con, now)


def ask_staged(con: DuckDBPyConnection, now: dt.datetime) -> None:
    """Record the questions in ``asked`` that are not open yet; bring the open ones up to date."""
    if not first_row(con, "SELECT 1 FROM asked LIMIT 1"):
        return
    con.execute(
        "UPDATE question q SET lines = a.lines, choices = a.choices, question = a.question "
        "FROM asked a WHERE q.recorded_to IS NULL AND q.question_id = a.question_id "
        "AND (q.lines, coalesce(q.choices, ''), q.question) "
        "<> (a.lines, coalesce(a.choices, ''), a.question)"
    )
    con.execute(
        "INSERT INTO question BY NAME SELECT a.*, CAST(? AS TIMESTAMP) AS recorded_from "
        "FROM asked a ANTI JOIN (SELECT question_id FROM question WHERE recorded_to IS NULL) q "
        "USING (question_id)",
        [now],
    )
