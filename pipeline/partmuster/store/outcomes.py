"""What became of each raw line, as far as identifications decide it."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import datetime as dt

    from duckdb import DuckDBPyConnection

PART_OPEN = "the part is not identified"
VEHICLE_OPEN = "the vehicle is not identified"

#: Raw lines whose outcome follows from identifications alone, each with what is open about it.
_JUDGED = f"""
    CREATE OR REPLACE TEMP TABLE judged AS
    WITH settled AS (SELECT role, key FROM settled_name),
    parts AS (SELECT DISTINCT key FROM settled WHERE role IN ('part', 'to-part')),
    vehicles AS (SELECT key FROM settled WHERE role = 'vehicle'),
    subject AS (
        SELECT s.line_id,
            (s.item_key IS NOT NULL AND s.item_key NOT IN (FROM parts)
                AND 'line:' || s.line_id NOT IN (FROM parts))
            OR (s.to_item_key IS NOT NULL AND s.to_item_key NOT IN (FROM parts)) AS part_open,
            s.vehicle_key IS NOT NULL AND s.vehicle_key NOT IN (FROM vehicles) AS vehicle_open
        FROM line_subject s
    ), judgement AS (
        SELECT o.source_id, o.source_version, o.raw_number,
            bool_or(part_open) AS part_open, bool_or(vehicle_open) AS vehicle_open
        FROM line_origin o
        JOIN newest_version v ON v.source_id = o.source_id AND v.version = o.source_version
        JOIN subject USING (line_id)
        GROUP BY ALL
    )
    SELECT r.source_id, r.source_version, r.raw_number,
        CASE WHEN j.part_open OR j.vehicle_open THEN 'decision' ELSE 'loaded' END AS outcome,
        CASE WHEN j.part_open THEN '{PART_OPEN}' WHEN j.vehicle_open THEN '{VEHICLE_OPEN}' END
            AS reason
    FROM raw_line r JOIN judgement j USING (source_id, source_version, raw_number)
    WHERE (r.outcome = 'loaded' OR r.reason IN ('{PART_OPEN}', '{VEHICLE_OPEN}'))
        AND (j.part_open OR j.vehicle_open) <> (r.outcome = 'decision')
"""  # noqa: S608  (no outside text)


def recount(con: DuckDBPyConnection) -> None:
    """Bring the outcomes of the newest version of every source up to date with what is concluded.

    Which raw lines wait for a decision thus never hangs on the order of imports. Lines that are
    in doubt for another reason stay so. The sums in ``source_version`` follow.
    """
    con.execute(_JUDGED)
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


def refresh_questions(con: DuckDBPyConnection, now: dt.datetime) -> None:
    """Ask about each item key and name that is not settled; close the questions that are."""
    con.execute(
        """
        CREATE OR REPLACE TEMP TABLE asked AS
        WITH settled AS (SELECT role, key FROM settled_name),
        parts AS (SELECT DISTINCT key FROM settled WHERE role IN ('part', 'to-part')),
        said AS (
            SELECT 'part' AS topic, item_key AS subject, line_id FROM line_subject
            WHERE 'line:' || line_id NOT IN (FROM parts)
            UNION ALL SELECT 'part', to_item_key, line_id FROM line_subject
            UNION ALL SELECT role, key, line_id FROM said_name
        ), open AS (
            SELECT topic, subject, count(DISTINCT line_id) AS lines FROM said
            WHERE subject IS NOT NULL AND subject <> ''
                AND (topic <> 'part' OR subject NOT IN (FROM parts))
                AND (topic = 'part' OR (topic, subject) NOT IN (SELECT (role, key) FROM settled))
            GROUP BY ALL
        ), choice AS (
            SELECT CASE role WHEN 'to-part' THEN 'part' ELSE role END AS topic, key AS subject,
                string_agg(DISTINCT target, ';' ORDER BY target) AS choices
            FROM identification_now WHERE target IS NOT NULL GROUP BY ALL
        )
        SELECT substr(md5(o.topic || chr(31) || o.subject), 1, 10) AS question_id, o.*, c.choices,
            CASE o.topic
                WHEN 'part' THEN 'Which part is "'
                    || coalesce(k.description, k.part_number_normal, o.subject) || '"?'
                WHEN 'vehicle' THEN 'Which vehicle is "' || o.subject || '"?'
                WHEN 'holder' THEN 'Who is "' || o.subject || '"?'
                ELSE 'Which place is "' || o.subject || '"?'
            END AS question
        FROM open o LEFT JOIN choice c USING (topic, subject)
        LEFT JOIN item_key k ON o.topic = 'part' AND k.item_key = o.subject
        """
    )
    con.execute(
        "UPDATE question SET recorded_to = ? WHERE recorded_to IS NULL "
        "AND topic IN ('part', 'vehicle', 'holder', 'place') AND source_id IS NULL "
        "AND question_id NOT IN (SELECT question_id FROM asked)",
        [now],
    )
    _ask(con, now)


def set_source_questions(con: DuckDBPyConnection, source_id: str, now: dt.datetime) -> None:
    """Ask what a source gives reason to ask, and close what it no longer does.

    The questions are in the temporary table ``raised`` (topic, subject, question, choices,
    lines).
    """
    con.execute(
        "CREATE OR REPLACE TEMP TABLE asked AS "
        "SELECT substr(md5(topic || chr(31) || subject), 1, 10) AS question_id, topic, subject, "
        "any_value(question) AS question, any_value(choices) AS choices, "
        "CAST(coalesce(sum(lines), 0) AS BIGINT) AS lines, CAST(? AS VARCHAR) AS source_id "
        "FROM raised GROUP BY topic, subject",
        [source_id],
    )
    con.execute(
        "UPDATE question SET recorded_to = ? WHERE recorded_to IS NULL AND source_id = ? "
        "AND question_id NOT IN (SELECT question_id FROM asked)",
        [now, source_id],
    )
    _ask(con, now)


def _ask(con: DuckDBPyConnection, now: dt.datetime) -> None:
    """Record the questions in ``asked`` that are not open yet; bring the open ones up to date."""
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
