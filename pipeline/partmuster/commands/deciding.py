"""Questions only a person can settle, and what people decided."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from typing import TYPE_CHECKING

import click
import polars as pl

from partmuster.answers.effects import effects
from partmuster.answers.trace import line_ids
from partmuster.model import PartmusterError
from partmuster.output import show
from partmuster.runner import follow_decisions
from partmuster.running.answering import Question
from partmuster.running.review import doubts
from partmuster.running.settling import Settling
from partmuster.store.club import Club
from partmuster.store.decisions import Said, record_decisions, standing_decisions
from partmuster.store.frames import fetch, first_row
from partmuster.store.mended import MENDED_QUESTIONS
from partmuster.store.narrowed import OF_LINE, OF_SOURCE, of_line, of_source

from .club import say, vocabulary_of
from .importing import print_report, tell_failed_plugins
from .sources import known_source

if TYPE_CHECKING:
    from collections.abc import Iterable
    from pathlib import Path

    from duckdb import DuckDBPyConnection

    from partmuster.host import Host
    from partmuster.store.sources import KnownVersion
    from partmuster_trade import Vocabulary

#: What was asked where an answer holds for one source or line alone.
_NARROWED_QUESTIONS = """
    SELECT DISTINCT d.topic, d.subject, 'Which part is "' || coalesce(k.description, '')
        || '" in ' || coalesce(v.name, 'one line') || '?' AS question
    FROM decision d
    LEFT JOIN (SELECT DISTINCT line_id, item_key FROM line_history) l
        ON d.subject = 'line:' || l.line_id
    LEFT JOIN source_sum v
        ON d.subject LIKE 'source:%' AND v.source_id = split_part(substr(d.subject, 8), '|', 1)
    JOIN item_key k ON k.item_key = coalesce(l.item_key, split_part(d.subject, '|', 2))
    WHERE d.topic = 'part' AND contains(d.subject, ':')
"""


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


def show_decisions(folder: Path, form: str, *, with_effects: bool = False) -> None:
    """Show all decisions with what was asked, the newest first; and what came of each."""
    with Club.open(folder, tell=say).reading() as con:
        frame = fetch(
            con,
            "SELECT d.*, coalesce(q.question, w.question) AS question FROM decision d LEFT JOIN ("  # noqa: S608 - own words
            "SELECT topic, subject, arg_max(question, recorded_from) AS question FROM question "
            f"GROUP BY ALL UNION ALL {MENDED_QUESTIONS}) q USING (topic, subject) "
            f"LEFT JOIN ({_NARROWED_QUESTIONS}) w USING (topic, subject) "
            "ORDER BY decided_at DESC, decision_id",
        )
        if with_effects:
            frame = frame.join(effects(con), on="decision_id", how="left", maintain_order="left")
    columns = ["decision_id", "topic", "question", "answer", "decided_by", "decided_at", "note",
               "undoes"]  # fmt: skip
    if frame.get_column("question").null_count():
        columns.insert(2, "subject")
    if with_effects:
        columns[-2:] = ["standing", "lines", "before", "now"]
    show(frame, form, columns=columns, spare=("note", "undoes", "decided_at", "topic"),
         nothing="nothing was decided yet")  # fmt: skip
    if with_effects and form == "table" and frame.height:
        click.echo("The lines that a decision is about: partmuster trace DECISION")


def settle(
    folder: Path, host: Host, question: str, answer: str, by: str, note: str | None, *,
    source: str | None = None, line: str | None = None, alike: bool = False,
    now: dt.datetime | None = None,
) -> int:  # fmt: skip
    """Record the answer to a question and apply it; return the exit code.

    A question that was settled may be answered again: two answers that differ contradict each
    other, and then it is open once more. ``question`` may be a line, too: then it is about the
    words of that line. ``source`` and ``line``: the answer holds there alone. ``alike``: it
    settles also what is put together with it in a review.

    Raises:
        PartmusterError: no such question, or an answer that it does not take.
    """
    club = Club.open(folder, tell=say)
    with club.reading() as con:
        asked = _question(con, question)
        questions = [_narrowed(con, asked, source, line)]
        if alike:
            if source or line:
                raise PartmusterError("what is alike cannot be settled in one source or line alone")
            questions = _alike(con, asked)
    settling = Settling(club, vocabulary_of(club))
    now = now or dt.datetime.now()  # noqa: DTZ005 - a club keeps its own local time
    kept = settling.checked(asked, answer, by)
    ids = settling.keep(questions, kept, by, note, now)
    for one in questions:
        tell_contradiction(club, one.topic, one.subject)
    for decision_id in ids:
        click.echo(
            f"decision {decision_id} is kept; take it back with: partmuster undo {decision_id}"
        )
    return apply(club, host, settling, questions, now)


def _question(con: DuckDBPyConnection, beginning: str) -> Question:
    """Return the question, open or settled, whose id begins so, or that about a line's words.

    Raises:
        PartmusterError: there is none, or several.
    """
    found: list[Question] = []
    for table in ("open_question", "question"):
        rows = con.execute(
            "SELECT topic, subject, source_id, arg_max(choices, recorded_from), question_id "  # noqa: S608 - own names
            f"FROM {table} WHERE starts_with(question_id, ?) "
            "GROUP BY topic, subject, source_id, question_id",
            [beginning],
        ).fetchall()
        found = found or [Question(*row) for row in rows]
    if beginning and not found and (key := _words_of_line(con, beginning)):
        found = [Question("part", key)]
    if not beginning or len(found) != 1:
        raise PartmusterError(
            f"{'several questions begin' if found else 'no question begins'} with "
            f"'{beginning}': 'partmuster questions' lists them"
        )
    return found[0]


def _words_of_line(con: DuckDBPyConnection, beginning: str) -> str | None:
    """Return the item key of the line whose id begins so; None where there is none."""
    ids = line_ids(con, beginning)
    row = ids and first_row(
        con, "SELECT any_value(item_key) FROM line_history WHERE line_id = ?", ids[:1]
    )
    return row[0] if row else None


def _narrowed(
    con: DuckDBPyConnection, asked: Question, source: str | None, line: str | None
) -> Question:
    """Return a question for the words of one source, or of one line.

    Raises:
        PartmusterError: it is about no words, or there is no such source or line that says them.
    """
    if source is None and line is None:
        return asked
    if asked.topic != "part" or (source and line):
        raise PartmusterError(
            "only what words mean can be said of one source, or of one line: give one of the two"
        )
    key = asked.subject
    if key.startswith(OF_SOURCE):
        key = key.split("|", 1)[1]
    elif key.startswith(OF_LINE):
        key = _words_of_line(con, key.removeprefix(OF_LINE)) or ""
    if source is not None:
        return replace(asked, subject=of_source(known_source(con, source).source_id, key))
    ids = line_ids(con, line or "")
    if not ids or _words_of_line(con, ids[0]) != key:
        raise PartmusterError(f"there is no line '{line}' with these words")
    return replace(asked, subject=of_line(ids[0]))


def _alike(con: DuckDBPyConnection, asked: Question) -> list[Question]:
    """Return all questions that a review puts together with one."""
    for doubt in doubts(con):
        if asked.subject in [one.subject for one in doubt.questions if one.topic == asked.topic]:
            return list(doubt.questions)
    return [asked]


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
    now = now or dt.datetime.now()  # noqa: DTZ005 - as above
    with club.writing() as con:
        record_decisions(con, [Said(topic, subject, None, by, undoes=undone)], now)
    click.echo(f"decision {undone} was taken back")
    told = [(topic, subject, subject.split("|", 1)[0])]
    return _follow(club, host, vocabulary_of(club), told, now)


def apply(
    club: Club, host: Host, settling: Settling, questions: Iterable[Question],
    now: dt.datetime | None = None,
) -> int:  # fmt: skip
    """Let what follows from answers follow, and tell of it; return the exit code."""
    decided = [(one.topic, one.subject, one.source_id) for one in questions]
    return _follow(club, host, settling.vocabulary, decided, now, everything=settling.everything)


def _follow(
    club: Club, host: Host, vocabulary: Vocabulary, decided: Iterable[tuple[str, str, str | None]],
    now: dt.datetime | None, *, everything: bool = False,
) -> int:  # fmt: skip
    report = follow_decisions(
        club, host, vocabulary, decided, everything=everything, tell=say, now=now
    )
    if report.files:
        print_report(report)
    return tell_failed_plugins(host) or int(report.failed)


def read_again(club: Club, host: Host, known: KnownVersion, now: dt.datetime | None = None) -> int:
    """Read a source again whose layout was told; return the exit code."""
    told = [("layout", known.source_id, known.source_id)]
    return _follow(club, host, vocabulary_of(club), told, now)


def tell_contradiction(club: Club, topic: str, subject: str) -> None:
    """Say so where decisions on a subject contradict each other, and so none counts."""
    with club.reading() as con:
        standing = standing_decisions(con, topic).get(subject)
    if standing is not None and standing.answer is None:
        say(
            f"Different things are decided about this: {', '.join(standing.answers)}. None of them "
            "counts until the others are taken back: partmuster decisions, partmuster undo"
        )
