"""Sources that contradict each other: no answer settles them, but somebody must put one right."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

TOPIC = "disagreement"

#: What was seen within so many days of each other is taken for the same state. Common practice,
#: no source: later than that, something may have changed.
_DAYS = 31

#: Two surveys that saw another state of one item of a vehicle, and two parts lists that ask for
#: another number of one. Only what is identified and stands for itself: what people decided of
#: single lines, hedged words and what nobody saw are left out.
_FOUND = f"""
    WITH part AS (
        SELECT key, target FROM identification_now WHERE role = 'part' AND accepted
    ), vehicle AS (
        SELECT key, target FROM identification_now WHERE role = 'vehicle' AND accepted
    ), seen AS (
        SELECT v.target AS vehicle_id, p.target AS part_id, s.source_id, s.said_on, s.line_id,
            s.vehicle, s.presence,
            concat_ws('|', coalesce(s.side, ''), coalesce(s.position, ''),
                coalesce(s.location, '')) AS place
        FROM survey s JOIN part p ON p.key = s.item_key
        JOIN vehicle v ON v.key = s.vehicle_key
        WHERE s.sure AND s.presence NOT IN ('not-looked-at', 'could-not-be-seen')
            AND s.later_change IS NOT TRUE
    ), listed AS (
        SELECT r.family, p.target AS part_id, r.source_id, sum(r.at_least) AS needed,
            list(r.line_id ORDER BY r.line_id) AS line_ids,
            concat_ws('|', coalesce(r.assembly, ''), coalesce(r.side, ''),
                coalesce(r.position, ''), coalesce(r.location, ''),
                coalesce(r.effectivity_text, ''), coalesce(r.quantity_basis, '')) AS place
        FROM requirement r JOIN part p ON p.key = r.item_key
        WHERE r.sure AND r.quantity_special IS NULL
        GROUP BY ALL HAVING bool_and(r.at_least = r.at_most)
    ), names AS (SELECT source_id, name FROM source_sum)
    SELECT a.part_id || ' on ' || a.vehicle AS words,
        list_sort([
            a.presence || ' (' || n.name || ', ' || a.said_on || ')',
            b.presence || ' (' || o.name || ', ' || b.said_on || ')'
        ]) AS said, [a.line_id, b.line_id] AS line_ids
    FROM seen a JOIN seen b ON a.vehicle_id = b.vehicle_id AND a.part_id = b.part_id
        AND a.place = b.place AND a.source_id < b.source_id AND a.presence <> b.presence
        AND abs(date_diff('day', a.said_on, b.said_on)) <= {_DAYS}
    JOIN names n ON n.source_id = a.source_id JOIN names o ON o.source_id = b.source_id
    UNION ALL
    SELECT a.part_id || ' of ' || a.family,
        list_sort([
            printf('%g', a.needed) || ' (' || n.name || ')', printf('%g', b.needed)
                || ' (' || o.name || ')'
        ]), a.line_ids || b.line_ids
    FROM listed a JOIN listed b ON a.family = b.family AND a.part_id = b.part_id
        AND a.place = b.place AND a.source_id < b.source_id AND a.needed <> b.needed
    JOIN names n ON n.source_id = a.source_id JOIN names o ON o.source_id = b.source_id
    ORDER BY ALL
"""  # noqa: S608 - own numbers


@dataclass(frozen=True, slots=True)
class Disagreement:
    """What two sources say otherwise of one thing; ``line_ids`` can be traced."""

    words: str
    said: tuple[str, ...]
    line_ids: tuple[str, ...]


def disagreements(con: DuckDBPyConnection) -> list[Disagreement]:
    """Return what sources say otherwise than others, those first that most lines are about."""
    found = [
        Disagreement(words, tuple(said), tuple(line_ids))
        for words, said, line_ids in con.execute(_FOUND).fetchall()
    ]
    return sorted(found, key=lambda one: (-len(one.line_ids), one.words, one.said))
