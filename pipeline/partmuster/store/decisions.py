"""What people decided, as far as it stands: not undone, and not contradicted."""

from __future__ import annotations

import secrets
from dataclasses import dataclass
from typing import TYPE_CHECKING

import polars as pl

from .frames import stage

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Sequence

    from duckdb import DuckDBPyConnection

#: The answer that a description or name means nothing the club keeps track of.
NONE = "none"


@dataclass(frozen=True, slots=True)
class Standing:
    """All that stands on one subject. Two different answers contradict: then none applies."""

    answers: tuple[str, ...]
    decided_by: str
    said: tuple[tuple[str, str, str | None], ...] = ()  # each answer, who gave it, and the note

    @property
    def answer(self) -> str | None:
        """The answer that applies, or None where people contradict each other."""
        return self.answers[0] if len(self.answers) == 1 else None


def standing_decisions(con: DuckDBPyConnection, topic: str) -> dict[str, Standing]:
    """Return what stands on each subject of a topic; see :func:`all_standing`."""
    return all_standing(con).get(topic, {})


def all_standing(con: DuckDBPyConnection) -> dict[str, dict[str, Standing]]:
    """Return what stands on each subject, by topic.

    A decision that a standing later one undoes counts no more; undoing that one brings it back.
    """
    rows = con.execute(
        "SELECT decision_id, undoes, topic, subject, answer, decided_by, note FROM decision "
        "ORDER BY decided_at DESC, decision_id DESC"
    ).fetchall()
    undone: set[str] = set()
    found: dict[str, dict[str, list[tuple[str, str, str | None]]]] = {}
    for decision_id, undoes, its_topic, subject, answer, decided_by, note in rows:
        if decision_id in undone:
            continue
        if undoes is not None:
            undone.add(undoes)
        if answer is not None:
            of_topic = found.setdefault(its_topic, {})
            of_topic.setdefault(subject, []).append((answer, decided_by, note))
    return {
        topic: {
            subject: Standing(
                tuple(sorted({answer for answer, _, _ in said})),
                ", ".join(sorted({who for _, who, _ in said})),
                tuple(said),
            )
            for subject, said in subjects.items()
        }
        for topic, subjects in found.items()
    }


@dataclass(frozen=True, slots=True)
class Said:
    """What somebody decides of a subject; ``undoes`` takes an earlier decision back."""

    topic: str
    subject: str
    answer: str | None
    decided_by: str
    note: str | None = None
    undoes: str | None = None


def record_decisions(
    con: DuckDBPyConnection, said: Sequence[Said], decided_at: dt.datetime
) -> list[str]:
    """Append decisions, all at once; return their ids. Decisions are never changed."""
    rows = [
        (secrets.token_hex(6), one.topic, one.subject, one.answer, one.decided_by, one.undoes,
         one.note)
        for one in said
    ]  # fmt: skip
    names = ("decision_id", "topic", "subject", "answer", "decided_by", "undoes", "note")
    stage(con, "said", pl.DataFrame(rows, schema=dict.fromkeys(names, pl.String), orient="row"))
    con.execute(
        "INSERT INTO decision BY NAME SELECT *, CAST(? AS TIMESTAMP) AS decided_at FROM said",
        [decided_at],
    )
    return [row[0] for row in rows]


def record_decision(
    con: DuckDBPyConnection,
    *,
    decision_id: str,
    topic: str,
    subject: str,
    answer: str | None,
    decided_by: str,
    decided_at: dt.datetime,
    undoes: str | None = None,
    note: str | None = None,
) -> None:
    """Append a decision. Decisions are never changed; ``undoes`` takes an earlier one back."""
    con.execute(
        "INSERT INTO decision BY NAME SELECT ? AS decision_id, ? AS topic, ? AS subject, "
        "? AS answer, ? AS decided_by, CAST(? AS TIMESTAMP) AS decided_at, ? AS undoes, ? AS note",
        [decision_id, topic, subject, answer, decided_by, decided_at, undoes, note],
    )
