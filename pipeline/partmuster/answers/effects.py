"""What came of decisions: which lines they are about, and what those meant before and mean now."""

from __future__ import annotations

from typing import TYPE_CHECKING

import polars as pl

from partmuster.store.decisions import all_standing
from partmuster.store.frames import fetch
from partmuster_schemas.words import KINDS

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

_LINE_ID = rf"\b(?:{'|'.join(KINDS)})-[0-9a-f]+(?:\.[0-9]+)?"

#: The lines that each decision is about. What was put in place of a value, or how a source is
#: read, changed the lines that its next version began or ended.
_LINES = f"""
    WITH made AS (
        SELECT decision_id, topic, subject, decided_at FROM decision
        WHERE answer IS NOT NULL AND ($1 IS NULL OR decision_id = $1)
    ), read_next AS (
        SELECT m.decision_id, v.source_id, min(v.version) AS version
        FROM made m JOIN source_version v
            ON v.source_id = split_part(m.subject, '|', 1) AND v.recorded_from >= m.decided_at
        WHERE m.topic IN ('layout', 'marks', 'reading') GROUP BY ALL
    )
    SELECT m.decision_id, h.line_id FROM made m JOIN line_history h ON m.subject = h.item_key
        WHERE m.topic = 'part'
    UNION
    SELECT m.decision_id, f.line_id FROM made m JOIN said_fit f ON m.subject = f.to_item_key
        WHERE m.topic = 'part'
    UNION
    SELECT m.decision_id, h.line_id FROM made m JOIN line_history h
        ON m.subject = 'source:' || h.source_id || '|' || h.item_key
        WHERE m.topic = 'part' AND starts_with(m.subject, 'source:')
    UNION
    SELECT m.decision_id, h.line_id FROM made m JOIN line_history h ON m.subject = h.vehicle_key
        WHERE m.topic IN ('vehicle', 'name')
    UNION
    SELECT m.decision_id, h.line_id FROM made m JOIN line_history h ON m.subject = h.holder_key
        WHERE m.topic IN ('holder', 'name')
    UNION
    SELECT m.decision_id, n.line_id FROM made m
        JOIN said_name n ON m.topic = n.role AND m.subject = n.key
    UNION
    SELECT m.decision_id, o.line_id FROM made m JOIN mended p ON m.subject = p.subject
        JOIN line_origin o ON o.source_id = p.source_id AND o.source_version = p.source_version
            AND o.raw_number = p.raw_number
        WHERE m.topic = 'mending'
    UNION
    SELECT r.decision_id, h.line_id FROM read_next r
        JOIN source_version v ON v.source_id = r.source_id AND v.version = r.version
        JOIN line_history h ON h.source_id = r.source_id
            AND (h.source_version = r.version OR h.recorded_to = v.recorded_from)
    UNION
    SELECT decision_id, unnest(regexp_extract_all(subject, '{_LINE_ID}')) FROM made
    UNION
    SELECT m.decision_id, h.line_id FROM made m
        JOIN accepted_names('vehicle', NULL, false) n ON n.target = split_part(m.subject, '|', 1)
        JOIN line_history h ON h.vehicle_key = n.key
        WHERE m.topic = 'build'
"""  # noqa: S608 - own words

#: What the words meant that a decision is about, before it and now; empty where they meant nothing.
_MEANT = """
    WITH keyed AS (
        SELECT d.decision_id, d.decided_at, d.topic,
            CASE WHEN starts_with(d.subject, 'source:') THEN 'line:' || min(l.line_id)
                ELSE d.subject END AS key, min(h.item_key) AS words
        FROM decision d LEFT JOIN about l USING (decision_id)
        LEFT JOIN line_history h USING (line_id)
        WHERE d.answer IS NOT NULL AND d.topic IN ('part', 'vehicle', 'holder', 'place')
        GROUP BY d.decision_id, d.decided_at, d.topic, d.subject
    )
    SELECT k.decision_id,
        any_value(i.target) FILTER (i.recorded_from < k.decided_at AND i.method <> 'decision'
            AND (i.recorded_to IS NULL OR i.recorded_to >= k.decided_at)) AS before,
        any_value(i.target) FILTER (i.recorded_to IS NULL AND i.key = k.key) AS now
    FROM keyed k LEFT JOIN identification i
        ON i.role = k.topic AND i.key IN (k.key, k.words) AND i.accepted
    GROUP BY ALL
"""


def lines_of_decision(con: DuckDBPyConnection, decision_id: str) -> list[str]:
    """Return the ids of the lines that a decision is about, in order."""
    found = con.execute(f"SELECT DISTINCT line_id FROM ({_LINES}) ORDER BY 1", [decision_id])  # noqa: S608 - own words
    return [line_id for (line_id,) in found.fetchall()]


def effects(con: DuckDBPyConnection) -> pl.DataFrame:
    """Return a row a decision: decision_id, standing, lines, before, now.

    ``standing``: counts, contradicted or taken back. ``before`` and ``now``: what the words are
    accepted to mean.
    """
    con.execute(f"CREATE OR REPLACE TEMP TABLE about AS {_LINES}", [None])
    counts = {
        (topic, subject): "counts" if standing.answer is not None else "contradicted"
        for topic, subjects in all_standing(con).items()
        for subject, standing in subjects.items()
    }
    frame = fetch(
        con,
        "SELECT d.decision_id, d.topic, d.subject, d.answer, d.undoes, "  # noqa: S608 - own words
        "d.decision_id IN (SELECT undoes FROM decision WHERE undoes IS NOT NULL) AS undone, "
        "coalesce(l.lines, 0) AS lines, m.before, m.now FROM decision d "
        "LEFT JOIN (SELECT decision_id, count(DISTINCT line_id) AS lines FROM about "
        "GROUP BY ALL) l "
        f"USING (decision_id) LEFT JOIN ({_MEANT}) m USING (decision_id)",
    )
    standing = [
        None if row["answer"] is None else "taken back" if row["undone"]
        else counts.get((row["topic"], row["subject"]), "taken back")
        for row in frame.iter_rows(named=True)
    ]  # fmt: skip
    return frame.select(
        "decision_id", pl.Series("standing", standing, dtype=pl.String), "lines", "before", "now"
    )
