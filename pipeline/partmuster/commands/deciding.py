"""Questions only a person can settle, and what people decided."""

from __future__ import annotations

import datetime as dt
import secrets
from typing import TYPE_CHECKING

import click
import polars as pl

from partmuster.model import PartmusterError
from partmuster.output import show
from partmuster.runner import follow_decisions
from partmuster.running.answering import Question, checked
from partmuster.store.club import Club
from partmuster.store.decisions import record_decision, standing_decisions
from partmuster.store.frames import fetch
from partmuster.store.mended import MENDED_QUESTIONS

from .club import say, vocabulary_of
from .importing import print_report, tell_failed_plugins

if TYPE_CHECKING:
    from collections.abc import Iterable
    from pathlib import Path

    from duckdb import DuckDBPyConnection

    from partmuster.host import Host
    from partmuster.store.sources import KnownVersion


def show_questions(folder: Path, form: str, topic: str | None) -> None:
    """Show the open questions, those first that settle most lines."""
    with Club.open(folder, tell=say).reading() as con:
        frame = fetch(
            con,
            "SELECT question_id, topic, question, choices, lines FROM open_question "
            "WHERE $1 IS NULL OR topic = $1 ORDER BY lines DESC, topic, question_id",
            [topic],
        )
    if form == "table":
        frame = frame.with_columns(pl.col("choices").str.replace_all(";", ", "))
    show(frame, form, nothing="no question is open")
    if form == "table" and frame.height:
        click.echo("Answer one with: partmuster answer QUESTION ANSWER --by YOUR-NAME")


def show_decisions(folder: Path, form: str) -> None:
    """Show all decisions with what was asked, the newest first."""
    with Club.open(folder, tell=say).reading() as con:
        frame = fetch(
            con,
            "SELECT d.*, q.question FROM decision d LEFT JOIN ("  # noqa: S608 - own words
            "SELECT topic, subject, arg_max(question, recorded_from) AS question FROM question "
            f"GROUP BY ALL UNION ALL {MENDED_QUESTIONS}) q USING (topic, subject) "
            "ORDER BY decided_at DESC, decision_id",
        )
    columns = ["decision_id", "topic", "question", "answer", "decided_by", "decided_at", "note",
               "undoes"]  # fmt: skip
    if frame.get_column("question").null_count():
        columns.insert(2, "subject")
    show(frame, form, columns=columns, spare=("note", "undoes"), nothing="nothing was decided yet")


def settle(
    folder: Path, host: Host, question: str, answer: str, by: str, note: str | None, *,
    now: dt.datetime | None = None,
) -> int:  # fmt: skip
    """Record the answer to a question and apply it; return the exit code.

    A question that was settled may be answered again: two answers that differ contradict each
    other, and then it is open once more.

    Raises:
        PartmusterError: no such question, or an answer that it does not take.
    """
    club = Club.open(folder, tell=say)
    with club.reading() as con:
        found = _asked(con, "open_question", question) or _asked(con, "question", question)
    if not question or len(found) != 1:
        raise PartmusterError(
            f"{'several questions begin' if found else 'no question begins'} with "
            f"'{question}': 'partmuster questions' lists them"
        )
    asked = found[0]
    vocabulary = vocabulary_of(club)
    with club.reading() as con:
        answer = checked(con, vocabulary, asked, answer)
    decision_id = secrets.token_hex(6)
    with club.writing() as con:
        record_decision(
            con, topic=asked.topic, subject=asked.subject, answer=answer, decided_by=by,
            decided_at=now or dt.datetime.now(), decision_id=decision_id, note=note,  # noqa: DTZ005 - a club keeps its own local time
        )  # fmt: skip
        tell_contradiction(con, asked.topic, asked.subject)
    click.echo(f"decision {decision_id} is kept; take it back with: partmuster undo {decision_id}")
    return _apply(club, host, [(asked.topic, asked.subject, asked.source_id)], now)


def _asked(con: DuckDBPyConnection, table: str, beginning: str) -> list[Question]:
    """Return the questions whose id begins so."""
    rows = con.execute(
        f"SELECT topic, subject, source_id, arg_max(choices, recorded_from) FROM {table} "  # noqa: S608 - own names
        "WHERE starts_with(question_id, ?) GROUP BY topic, subject, source_id",
        [beginning],
    ).fetchall()
    return [Question(*row) for row in rows]


def undo_decision(
    folder: Path, host: Host, decision: str, by: str, *, now: dt.datetime | None = None
) -> int:
    """Take a decision back and apply what follows; return the exit code.

    Raises:
        PartmusterError: there is no such decision.
    """
    club = Club.open(folder, tell=say)
    with club.reading() as con:
        found = con.execute(
            "SELECT decision_id, topic, subject FROM decision "
            "WHERE starts_with(decision_id, ?) AND undoes IS NULL", [decision],
        ).fetchall()  # fmt: skip
        undone_before = {
            one for (one,) in con.execute("SELECT undoes FROM decision WHERE undoes IS NOT NULL")
            .fetchall()
        }  # fmt: skip
    if not decision or len(found) != 1:
        raise PartmusterError(f"there is no one decision '{decision}': see 'partmuster decisions'")
    undone, topic, subject = found[0]
    if undone in undone_before:
        raise PartmusterError(f"decision {undone} was taken back already")
    with club.writing() as con:
        record_decision(
            con, topic=topic, subject=subject, answer=None, decided_by=by, undoes=undone,
            decided_at=now or dt.datetime.now(), decision_id=secrets.token_hex(6),  # noqa: DTZ005 - as above
        )  # fmt: skip
    click.echo(f"decision {undone} was taken back")
    return _apply(club, host, [(topic, subject, subject.split("|", 1)[0])], now)


def _apply(
    club: Club, host: Host, decided: Iterable[tuple[str, str, str | None]],
    now: dt.datetime | None = None,
) -> int:  # fmt: skip
    """Let what follows from decisions follow, and tell of it; return the exit code."""
    report = follow_decisions(club, host, vocabulary_of(club), decided, tell=say, now=now)
    if report.files:
        print_report(report)
    return tell_failed_plugins(host) or int(report.failed)


def read_again(club: Club, host: Host, known: KnownVersion, now: dt.datetime | None = None) -> int:
    """Read a source again whose layout was told; return the exit code."""
    return _apply(club, host, [("layout", known.source_id, known.source_id)], now)


def tell_contradiction(con: DuckDBPyConnection, topic: str, subject: str) -> None:
    """Say so where decisions on a subject contradict each other, and so none counts."""
    standing = standing_decisions(con, topic).get(subject)
    if standing is not None and standing.answer is None:
        say(
            f"Different things are decided about this: {', '.join(standing.answers)}. None of them "
            "counts until the others are taken back: partmuster decisions, partmuster undo"
        )
