"""What people should settle, most valuable first: questions, those put together that are alike.

An answer is worth the lines that it settles, and once more for each of them that wants a part or
says that one is missing.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from partmuster.model import PartmusterError
from partmuster.store.decisions import NONE
from partmuster.store.frames import fetch

from .alike import Described, groups_of
from .answering import Question
from .disagreements import TOPIC as DISAGREEMENT

if TYPE_CHECKING:
    from collections.abc import Sequence

    from duckdb import DuckDBPyConnection

#: Words that name nothing in the vocabulary: a question about a part without candidates.
UNKNOWN = "unknown"
#: Topics whose question takes the answer that it is none of these.
_TAKE_NONE = frozenset({"part", "vehicle"})
_NAMED_PLACES = 3

#: Every open question; of one about words, those and where they were said. What is asked of some
#: lines alone has their words.
_ASKED = """
    WITH asked AS (
        SELECT *, CASE WHEN topic <> 'part' THEN NULL
            WHEN starts_with(subject, 'source:') THEN split_part(subject, '|', 2)
            WHEN starts_with(subject, 'line:') THEN NULL ELSE subject END AS item_key
        FROM open_question
    ), of_lines AS (
        SELECT a.question_id, any_value(l.item_key) AS item_key
        FROM asked a JOIN line_subject l ON a.subject = 'line:' || l.line_id
        WHERE a.topic = 'part' GROUP BY ALL
    ), needed AS (
        SELECT line_id, source_id, item_key, vehicle_key, holder_key FROM want WHERE NOT closed
        UNION ALL
        SELECT line_id, source_id, item_key, vehicle_key, NULL FROM survey
        WHERE presence = 'missing'
    ), settled_alone AS (
        SELECT DISTINCT substr(key, 6) AS line_id FROM identification_now
        WHERE role = 'part' AND starts_with(key, 'line:')
    ), wanted AS (
        SELECT a.question_id, count(DISTINCT n.line_id) AS wants
        FROM asked a JOIN needed n ON n.item_key = a.subject
        WHERE a.topic = 'part' AND n.line_id NOT IN (FROM settled_alone) GROUP BY ALL
        UNION ALL
        SELECT a.question_id, count(DISTINCT n.line_id)
        FROM asked a JOIN needed n ON a.subject IN ('line:' || n.line_id,
            'source:' || n.source_id || '|' || n.item_key)
        WHERE a.topic = 'part' AND contains(a.subject, ':') GROUP BY ALL
        UNION ALL
        SELECT a.question_id, count(DISTINCT n.line_id)
        FROM asked a JOIN needed n ON a.subject = n.vehicle_key
        WHERE a.topic = 'vehicle' GROUP BY ALL
        UNION ALL
        SELECT a.question_id, count(DISTINCT n.line_id)
        FROM asked a JOIN needed n ON a.subject = n.holder_key
        WHERE a.topic = 'holder' GROUP BY ALL
    )
    SELECT a.question_id, a.topic, a.subject, a.source_id, a.source, a.question, a.choices,
        coalesce(a.lines, 0) AS lines, coalesce(w.wants, 0) AS wants,
        coalesce(k.description, k.part_number_normal) AS words, k.assembly, k.supply_class
    FROM asked a LEFT JOIN wanted w USING (question_id)
    LEFT JOIN of_lines o USING (question_id)
    LEFT JOIN item_key k ON k.item_key = coalesce(a.item_key, o.item_key)
    ORDER BY a.question_id
"""

#: Where words stand that are asked about: the first lines of each question.
_PLACES = """
    WITH asked AS (
        SELECT question_id, topic, subject FROM question
        WHERE recorded_to IS NULL AND list_contains($1, question_id)
    ), said AS (
        SELECT a.question_id, l.line_id FROM asked a JOIN line_subject l
            ON a.topic = 'part' AND a.subject = l.item_key
        UNION ALL
        SELECT a.question_id, l.line_id FROM asked a JOIN line_subject l
            ON a.topic = 'part' AND a.subject IN ('line:' || l.line_id,
                'source:' || l.source_id || '|' || l.item_key)
        WHERE contains(a.subject, ':')
        UNION ALL
        SELECT a.question_id, n.line_id FROM asked a JOIN said_name n
            ON n.role = a.topic AND n.key = a.subject
    ), first AS (
        SELECT * FROM said
        QUALIFY row_number() OVER (PARTITION BY question_id ORDER BY line_id) <= $2
    )
    SELECT DISTINCT f.question_id, concat_ws(' ', p.file, p.sheet, 'row ' || p.row) || ': '
        || p.words AS place
    FROM first f JOIN line_address p USING (line_id) ORDER BY ALL
"""


@dataclass(frozen=True, slots=True)
class Doubt:
    """Something that one answer settles: a question, with those that are alike behind it."""

    topic: str
    words: str
    question: str
    choices: tuple[str, ...]
    lines: int
    wants: int
    questions: tuple[Question, ...]
    also: tuple[str, ...] = ()
    source: str | None = None

    @property
    def value(self) -> int:
        """What an answer is worth."""
        return self.lines + self.wants

    @property
    def question_id(self) -> str:
        """The id of the question that stands for all."""
        return self.questions[0].question_id

    @property
    def takes_none(self) -> bool:
        """Whether "none of these" is an answer."""
        return self.questions[0].topic in _TAKE_NONE or NONE in self.choices

    @property
    def offered(self) -> tuple[str, ...]:
        """The candidates, without the answer that it is none of them."""
        return tuple(choice for choice in self.choices if choice != NONE)


def doubts(con: DuckDBPyConnection, topic: str | None = None) -> list[Doubt]:
    """Return what is open, most valuable first; of one topic alone.

    Raises:
        PartmusterError: nothing is ever asked on that topic.
    """
    rows = fetch(con, _ASKED).to_dicts()
    found = [_doubt([row]) for row in rows if row["words"] is None]
    by_id = {row["question_id"]: row for row in rows}
    described = [
        Described(row["words"], row["lines"], _context(row), row["question_id"])
        for row in rows
        if row["words"] is not None
    ]
    found += [_doubt([by_id[one.question_id] for one in group]) for group in groups_of(described)]
    if topic is not None:
        found = [doubt for doubt in found if doubt.topic == topic]
    return sorted(found, key=lambda one: (-one.value, one.topic, one.words, one.question_id))


def check_topic(con: DuckDBPyConnection, topic: str | None, known: Sequence[str]) -> None:
    """Refuse a topic on which nothing is ever asked.

    Raises:
        PartmusterError: it names those that there are.
    """
    ever = {one for (one,) in con.execute("SELECT DISTINCT topic FROM question").fetchall()}
    there = sorted({*known, *ever, UNKNOWN, DISAGREEMENT})
    if topic is not None and topic not in there:
        raise PartmusterError(f"there is no topic '{topic}': there are {', '.join(there)}")


def places(con: DuckDBPyConnection, shown: Sequence[Doubt]) -> dict[str, str]:
    """Return where some of the lines behind questions stand, by question, and what they say."""
    ids = [question.question_id for doubt in shown for question in doubt.questions]
    found: dict[str, list[str]] = {}
    for question_id, place in con.execute(_PLACES, [ids, _NAMED_PLACES]).fetchall():
        found.setdefault(question_id, []).append(place)
    return {
        doubt.question_id: "\n".join(
            [place for one in doubt.questions for place in found.get(one.question_id, ())]
            [:_NAMED_PLACES]
        ) or (doubt.source or "")
        for doubt in shown
    }  # fmt: skip


def _context(row: dict[str, Any]) -> tuple[str, ...]:
    """Return what must be the same of questions that one answer settles.

    What is asked of some lines alone is asked by itself.
    """
    alone = row["question_id"] if ":" in row["subject"] else ""
    parts = (row["assembly"], row["supply_class"], row["choices"], alone)
    return tuple(part or "" for part in parts)


def _doubt(rows: Sequence[dict[str, Any]]) -> Doubt:
    first = rows[0]
    words = first["words"] or first["question"]
    return Doubt(
        topic=UNKNOWN if first["topic"] == "part" and not first["choices"] else first["topic"],
        words=words,
        question=first["question"],
        choices=tuple(filter(None, (first["choices"] or "").split(";"))),
        lines=sum(row["lines"] for row in rows),
        wants=sum(row["wants"] for row in rows),
        questions=tuple(
            Question(row["topic"], row["subject"], row["source_id"], row["choices"],
                     row["question_id"])
            for row in rows
        ),
        also=tuple(sorted({row["words"] for row in rows[1:]} - {words})),
        source=first["source"],
    )  # fmt: skip
