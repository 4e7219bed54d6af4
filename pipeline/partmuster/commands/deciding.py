"""Questions only a person can settle, and what people decided."""

from __future__ import annotations

import datetime as dt
import secrets
from typing import TYPE_CHECKING

import click
import polars as pl

from partmuster.model import PartmusterError
from partmuster.output import show
from partmuster.runner import choose_again, import_archived, rematch
from partmuster.running.told import read_otherwise
from partmuster.store.club import Club
from partmuster.store.decisions import NONE, record_decision, standing_decisions
from partmuster.store.feature_names import feature_meant
from partmuster.store.frames import fetch, first_row
from partmuster.store.known_names import NAME_TOPIC, SORTS, known_names
from partmuster.store.mended import MENDED_QUESTIONS
from partmuster.store.sources import current_version

from .club import say, vocabulary_of
from .importing import print_report, tell_failed_plugins

if TYPE_CHECKING:
    from pathlib import Path

    from duckdb import DuckDBPyConnection

    from partmuster.host import Host
    from partmuster.store.sources import KnownVersion

#: Topics whose answer changes how a source is read; the others change what its words mean.
_LAYOUT_TOPICS = ("layout", "marks", "mending", "reading")
#: What an assembly of a vehicle is set to be; the subject is "vehicle|assembly".
BUILD = "build"
#: What an assembly of a vehicle is set to be; the subject is "vehicle|assembly".
BUILD = "build"


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
    topic, subject, source_id, choices = found[0]
    answer = _checked(club, topic, subject, choices, answer.strip())
    decision_id = secrets.token_hex(6)
    with club.writing() as con:
        record_decision(
            con, topic=topic, subject=subject, answer=answer, decided_by=by,
            decided_at=now or dt.datetime.now(), decision_id=decision_id, note=note,  # noqa: DTZ005 - a club keeps its own local time
        )  # fmt: skip
        tell_contradiction(con, topic, subject)
    click.echo(f"decision {decision_id} is kept; take it back with: partmuster undo {decision_id}")
    return _apply(club, host, topic, subject, source_id, now)


def _asked(
    con: DuckDBPyConnection, table: str, beginning: str
) -> list[tuple[str, str, str | None, str | None]]:
    """Return topic, subject, source and choices of the questions whose id begins so."""
    return con.execute(
        f"SELECT topic, subject, source_id, arg_max(choices, recorded_from) FROM {table} "  # noqa: S608 - own names
        "WHERE starts_with(question_id, ?) GROUP BY topic, subject, source_id",
        [beginning],
    ).fetchall()


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
    return _apply(club, host, topic, subject, subject.split("|", 1)[0], now)


def _apply(
    club: Club, host: Host, topic: str, subject: str, source_id: str | None,
    now: dt.datetime | None,
) -> int:  # fmt: skip
    """Read a source again where its layout was told; else conclude again from its words."""
    if topic == BUILD:  # answers read it as it stands
        return 0
    if topic == BUILD:  # answers read it as it stands
        return 0
    vocabulary = vocabulary_of(club)
    if topic not in _LAYOUT_TOPICS:
        rematch(club, host, vocabulary, [subject] if topic == "part" else [], now)
        report = choose_again(club, host, vocabulary, tell=say, now=now)
        if report.files:
            print_report(report)
        return tell_failed_plugins(host) or int(report.failed)
    with club.reading() as con:
        known = current_version(con, source_id or "")
    if known is None:
        return 0
    return read_again(club, host, known, now)


def read_again(club: Club, host: Host, known: KnownVersion, now: dt.datetime | None = None) -> int:
    """Read a source again whose layout was told, and the sheets of the same headings it tells of.

    Returns the exit code. Such sheets are looked for before, too: with what is taken back the
    headings by which they are known may go.
    """
    vocabulary = vocabulary_of(club)
    with club.reading() as con:
        others = {other.source_id: other for other in read_otherwise(con, known.source_id)}
    report = import_archived(club, host, [known], vocabulary, tell=say, now=now)
    print_report(report)
    with club.reading() as con:
        others |= {other.source_id: other for other in read_otherwise(con, known.source_id)}
    if not others:
        return int(report.failed)
    again = import_archived(club, host, list(others.values()), vocabulary, tell=say, now=now)
    print_report(again)
    return int(report.failed or again.failed)


def _checked(  # noqa: PLR0911 - one return a topic
    club: Club, topic: str, subject: str, choices: str | None, answer: str
) -> str:
    """Return the answer as it is kept: a part by its id, a vehicle by the one it names.

    Raises:
        PartmusterError: the question does not take this answer.
    """
    if not answer:
        raise PartmusterError("an answer is needed")
    if topic == "marks":
        return meaning_of_mark(answer, choices)
    if topic in {"layout", "reading"} and choices:
        taken = {choice.casefold(): choice for choice in choices.split(";")}
        if answer.casefold() not in taken:
            raise PartmusterError(f"'{answer}' is no answer to this: {', '.join(taken.values())}")
        return taken[answer.casefold()]
    if topic == NAME_TOPIC:
        return _name(club, choices, answer)
    if topic == "feature":
        return _feature(club, subject, choices, answer)
    if topic == "part":
        return _part(club, answer)
    if topic == "vehicle":
        with club.reading() as con:
            return _vehicle(con, answer)
    return answer


def meaning_of_mark(answer: str, choices: str | None = None) -> str:
    """Return what a mark in a survey, or a colour, is said to mean, if it can be read so.

    Raises:
        PartmusterError: it cannot.
    """
    from partmuster.tables.colour_keys import NOTHING, choice_of_these  # noqa: PLC0415 - one use

    if choices and NOTHING in choices.split(";"):
        chosen = choice_of_these(choices, answer)
        if chosen is None:
            raise PartmusterError(
                f"'{answer}' is no answer to this: {', '.join(choices.split(';'))}"
            )
        return chosen
    from partmuster.reading.presence import read_presence  # noqa: PLC0415 - one use
    from partmuster.tables.marks import CHOICES  # noqa: PLC0415 - one use

    reading = read_presence(answer)
    if reading.ambiguous or (reading.presence is None and reading.service == "unknown"):
        raise PartmusterError(
            f"'{answer}' says nothing of what was seen: {', '.join(CHOICES)}, or such words as "
            "'fitted, unserviceable'"
        )
    return answer


def tell_contradiction(con: DuckDBPyConnection, topic: str, subject: str) -> None:
    """Say so where decisions on a subject contradict each other, and so none counts."""
    standing = standing_decisions(con, topic).get(subject)
    if standing is not None and standing.answer is None:
        say(
            f"Different things are decided about this: {', '.join(standing.answers)}. None of them "
            "counts until the others are taken back: partmuster decisions, partmuster undo"
        )


def _name(club: Club, choices: str | None, answer: str) -> str:
    """Return what a name is said to be: one of the choices, or a vehicle's or member's id.

    Raises:
        PartmusterError: it is none of them.
    """
    offered = {choice.casefold(): choice for choice in (choices or "").split(";")}
    if answer.casefold() in offered:
        return offered[answer.casefold()]
    from partmuster.stages.normalising.identity import name_key  # noqa: PLC0415 - one use

    with club.reading() as con:
        known = known_names(con)
    for role in SORTS if NONE in offered else ():
        meant = known.meaning(role, name_key(answer)) or known.meaning(role, answer)
        if meant is not None:
            return meant
    raise PartmusterError(
        f"'{answer}' is no answer to this: {', '.join(offered.values())}, or the name of a vehicle "
        "in the register or of a member"
    )


def _feature(club: Club, subject: str, choices: str | None, answer: str) -> str:
    """Return the feature that an answer means, as it is compared, or that it is none.

    Raises:
        PartmusterError: it names no feature of that family and assembly.
    """
    with club.reading() as con:
        meant = feature_meant(con, subject, answer)
    if meant is None:
        offered = ", ".join((choices or NONE).split(";"))
        raise PartmusterError(f"'{answer}' is no feature that the lists name there: {offered}")
    return meant


def _part(club: Club, answer: str) -> str:
    if answer.lower() == NONE:
        return NONE
    vocabulary = vocabulary_of(club)
    known = {part.part_id for part in vocabulary.parts}
    by_name = {entry.name.casefold(): entry.part_id for entry in vocabulary.names()}
    found = answer if answer in known else by_name.get(answer.casefold())
    if found is None:
        raise PartmusterError(
            f"'{answer}' is no part of the vocabulary: give a part id or its name, or "
            "'none' where the words name nothing; 'partmuster match WORDS' finds parts"
        )
    return found


def _vehicle(con: DuckDBPyConnection, answer: str) -> str:
    if answer.lower() == NONE:
        return NONE
    from partmuster.stages.normalising.identity import name_key  # noqa: PLC0415 - one use

    row = first_row(
        con,
        "SELECT target FROM identification_now WHERE role = 'vehicle' AND accepted "
        "AND (target = $1 OR key = $2) LIMIT 1",
        [answer, name_key(answer)],
    )
    if row is None:
        raise PartmusterError(f"there is no vehicle '{answer}' in the register")
    return str(row[0])
