"""What people should settle: listed, asked one by one, or written into a form to be mailed."""

from __future__ import annotations

import datetime as dt
import sys
from typing import TYPE_CHECKING

import click
import polars as pl

from partmuster.forms.kinds import FormRow, Stamp
from partmuster.forms.review import ANSWER, REVIEW, row_id
from partmuster.forms.writing import write_new_form
from partmuster.model import PartmusterError
from partmuster.output import say_wrapped, show
from partmuster.running.disagreements import TOPIC, Disagreement, disagreements
from partmuster.running.new_parts import HOW
from partmuster.running.review import UNKNOWN, Doubt, check_topic, doubts, places
from partmuster.running.settling import (
    DO_NOT_KNOW,
    NONE_OF_THESE,
    Settling,
    as_answer,
    says_not_known,
)
from partmuster.store.club import Club
from partmuster.store.decisions import NONE
from partmuster.store.mended import give_club_id
from partmuster.store.settings import read_settings
from partmuster.terminal_safe import visible

from .club import say, vocabulary_of
from .deciding import apply, tell_contradiction

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from partmuster.host import Host
    from partmuster.running.answering import Question
    from partmuster_trade import Vocabulary

_COLUMNS = {
    "value": pl.Int64, "lines": pl.Int64, "wants": pl.Int64, "topic": pl.String,
    "words": pl.String, "also": pl.String, "choices": pl.String, "question": pl.String,
    "question_id": pl.String, "source": pl.String,
}  # fmt: skip
_SHOWN = ("value", "lines", "wants", "question", "also", "choices", "question_id")
_QUIT = frozenset({"q", "quit", "exit"})
_SKIP = frozenset({"", "s", "skip"})
#: So many are listed at a terminal unless asked otherwise, and so many are one form.
_LISTED, _IN_A_FORM = 20, 500


def review(
    folder: Path, host: Host, form: str, *, topic: str | None, limit: int | None,
    by: str | None, workbook: Path | None, topics: Sequence[str],
) -> int:  # fmt: skip
    """List what is open, ask it one by one, or write a form; return the exit code."""
    club = Club.open(folder, tell=say)
    with club.reading() as con:
        check_topic(con, topic, topics)
        found = doubts(con, topic)
        unlike = disagreements(con) if topic in (None, TOPIC) else []
    if workbook is not None:
        write_workbook(club, workbook, found[: limit or _IN_A_FORM])
        return 0
    if by is None and form == "table" and found and _at_a_terminal():
        _list(club, form, found, unlike, limit or _LISTED)
        by = click.prompt("Your name, to answer them one by one (Enter: not now)", default="",
                          show_default=False)  # fmt: skip
        if not by:
            return 0
    if by is None:
        everything = len(found) + len(unlike)
        _list(club, form, found, unlike, limit or (_LISTED if form == "table" else everything))
        return 0
    return _ask(club, host, found[: limit or len(found)], by)


def _at_a_terminal() -> bool:
    return sys.stdin.isatty() and sys.stdout.isatty()


def _list(
    club: Club, form: str, found: Sequence[Doubt], unlike: Sequence[Disagreement], limit: int
) -> None:
    """Show what is open, and what sources say otherwise than others: as rows, or in a table."""
    names = _names(vocabulary_of(club)) if form == "table" else {}
    rows = [
        {
            "value": one.value, "lines": one.lines, "wants": one.wants, "topic": one.topic,
            "words": one.words, "also": "; ".join(one.also) or None,
            "choices": (", " if names else ";").join(names.get(id_, id_) for id_ in one.choices)
            or None,
            "question": one.question, "question_id": one.question_id, "source": one.source,
        }
        for one in found[:limit]
    ]  # fmt: skip
    between = ", " if form == "table" else ";"
    apart: list[dict[str, int | str | None]] = [
        {
            "value": len(one.line_ids), "lines": len(one.line_ids), "wants": 0, "topic": TOPIC,
            "words": one.words, "choices": between.join(one.said),
            "question": f"Which is right of {one.words}?", "question_id": " ".join(one.line_ids),
        }
        for one in unlike[: limit if form == "table" else max(0, limit - len(rows))]
    ]  # fmt: skip
    if form != "table":
        rows += apart
    show(pl.DataFrame(rows, schema=_COLUMNS), form, columns=_SHOWN, spare=("lines", "wants"),
         nothing="nothing is left to settle")  # fmt: skip
    if form != "table":
        return
    if apart:
        frame = pl.DataFrame(apart, schema=_COLUMNS).rename(
            {"choices": "said", "question_id": "trace"}
        )
        show(frame, form, title="Sources that disagree", columns=("words", "said", "trace"))
        say_wrapped("Correct the sheet that is wrong and import it again.")
    if not found:
        return
    if len(found) > limit:
        click.echo(f"and {len(found) - limit} more: partmuster review --limit {len(found)}")
    say_wrapped(
        "Answer them one by one: partmuster review --by YOUR-NAME. Have others answer: "
        "partmuster review --workbook FILE.xlsx"
    )


def _ask(club: Club, host: Host, found: Sequence[Doubt], by: str) -> int:
    """Ask one by one, until all are asked or somebody quits; what was settled then follows."""
    settling = Settling(club, vocabulary_of(club))
    names = _names(settling.vocabulary)
    with club.reading() as con:
        where = places(con, found)
    done: list[Question] = []
    settled = 0
    try:
        for number, doubt in enumerate(found, 1):
            click.echo(f"\n{number} of {len(found)}. {visible(_in_words(doubt, where))}")
            for at, choice in enumerate(doubt.offered, 1):
                click.echo(f"  {at}  {names.get(choice, choice)}")
            click.echo(f"  {_ways(doubt)}")
            answer = _answer(settling, doubt, by)
            if answer is None:
                break
            if answer:
                settling.keep(doubt.questions, answer, by, None, dt.datetime.now())  # noqa: DTZ005 - a club keeps its own local time
                done += doubt.questions
                settled += 1
                for question in doubt.questions:
                    tell_contradiction(club, question.topic, question.subject)
    finally:
        code = apply(club, host, settling, done) if done else 0
        click.echo(f"{settled} settled, {len(found) - settled} left")
    return code


def _answer(settling: Settling, doubt: Doubt, by: str) -> str | None:
    """Return the answer that somebody types, empty to skip, None to quit."""
    while True:
        typed = _typed()
        if typed is None or typed.casefold() in _QUIT:
            return None
        if typed.casefold() in _SKIP or says_not_known(typed):
            return ""
        if typed.isdigit() and doubt.offered:
            if not 1 <= int(typed) <= len(doubt.offered):
                click.echo(f"there is no number {typed}")
                continue
            typed = doubt.offered[int(typed) - 1]
        if as_answer(typed) == NONE and not doubt.takes_none:
            click.echo(f"it is one of these: {', '.join(doubt.offered)}")
            continue
        try:
            return settling.checked(doubt.questions[0], typed, by, (doubt.words, *doubt.also))
        except PartmusterError as error:
            click.echo(visible(str(error)))


def _typed() -> str | None:
    """Return a line that is typed, or comes through a pipe; None at its end."""
    click.echo("> ", nl=False)
    line: str = sys.stdin.readline()
    return line.strip() if line else None


def _in_words(doubt: Doubt, where: dict[str, str]) -> str:
    wants = f", {doubt.wants} of them wanted or missing" if doubt.wants else ""
    lines = "1 line" if doubt.lines == 1 else f"{doubt.lines} lines"
    also = f"\n  also: {'; '.join(doubt.also)}" if doubt.also else ""
    stands = "".join(f"\n  {place}" for place in where[doubt.question_id].splitlines())
    return f"{doubt.question} ({lines}{wants}){also}{stands}"


def _ways(doubt: Doubt) -> str:
    ways = ["a number"] if doubt.offered else []
    if doubt.questions[0].topic == "part":
        ways += ["a part", HOW]
    elif not doubt.offered:
        ways.append("an answer in words")
    if doubt.takes_none:
        ways.append("none")
    return ", ".join([*ways, "skip", "quit"])


def _names(vocabulary: Vocabulary) -> dict[str, str]:
    return {part.part_id: part.name for part in vocabulary.parts}


def write_workbook(club: Club, file: Path, found: Sequence[Doubt]) -> None:
    """Write a form with a row for each thing to settle.

    Raises:
        PartmusterError: there is such a file already, or it cannot be written.
    """
    if not found:
        click.echo("nothing is left to settle")
        return
    names = _names(vocabulary_of(club))
    with club.reading() as con:
        where = places(con, found)
    with club.writing() as con:
        stamp = Stamp(REVIEW.name, REVIEW.version, give_club_id(con),
                      read_settings(con).get("club-name") or "")  # fmt: skip
    rows = [_form_row(doubt, where[doubt.question_id], names) for doubt in found]
    write_new_form(file, REVIEW, rows, stamp)
    click.echo(f"{file}: {len(rows)} to answer, as many as you can. Then: partmuster import {file}")


def _form_row(doubt: Doubt, where: str, names: dict[str, str]) -> FormRow:
    offered = [names.get(choice, choice) for choice in doubt.offered]
    none = [NONE_OF_THESE] if doubt.takes_none else []
    return FormRow(
        row_id([one.question_id for one in doubt.questions]),
        {
            "value": doubt.value,
            "about": "names nothing known" if doubt.topic == UNKNOWN else doubt.topic,
            "question": doubt.question,
            "words": doubt.words,
            "also": "; ".join(doubt.also) or None,
            "where": where or None,
            "candidates": "; ".join(offered) or None,
        },
        {ANSWER: (*offered, *none, DO_NOT_KNOW)},
    )
