"""What comes of a review that was filled in: decisions, and what no longer fits the club."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from partmuster.forms.mending import answers_in_words
from partmuster.forms.review import ReviewAnswer, understand_review
from partmuster.model import PartmusterError
from partmuster.store.decisions import Said, Standing, all_standing, record_decisions

from .answering import Question
from .mended import TAKE_BACK, named_answers
from .settling import Settling, says_not_known
from .taken_forms import no_name

if TYPE_CHECKING:
    import datetime as dt

    from duckdb import DuckDBPyConnection

    from partmuster.forms.kinds import FilledForm

    from .taken_forms import TakenForm

_MAKE_ANEW = "look at a new form: partmuster review --workbook FILE.xlsx"


@dataclass(frozen=True, slots=True)
class _Decided:
    """One answer of a form that was kept: about which questions, and whether it is new."""

    answer: ReviewAnswer
    questions: tuple[Question, ...]
    is_new: bool


def take_review(
    form: TakenForm, filled: FilledForm, settling: Settling, by: str | None, now: dt.datetime
) -> list[Question]:
    """Record what a form says; return the questions about which something new was said."""
    given, form.report.problems = understand_review(form.report.name, filled)
    with settling.club.reading() as con:
        known = _questions(con, {one for answer in given for one in answer.question_ids})
        standing = all_standing(con)
    said: list[Said] = []
    new: list[Question] = []
    for answer in given:
        who = answer.who or filled.filled_by or by
        if says_not_known(answer.put):
            form.report.not_known += 1
            continue
        if who is None:
            form.tell(answer, "no-name", no_name(filled), "write it there, or beside the answer")
            continue
        questions = _still_asked(form, answer, known, standing)
        if not questions:
            continue
        called = tuple(words for one in questions if (words := known[one.question_id][1]))
        try:
            kept = settling.checked(questions[0], answer.put, who, called)
        except PartmusterError as error:
            form.tell(answer, "no-answer", str(error), "choose from the list, or write a part")
            continue
        fresh = [one for one in questions if kept not in _answers(standing, one)]
        said += [
            Said(one.topic, one.subject, kept, who, answer.note or form.report.name)
            for one in fresh
        ]
        new += fresh
        form.said.append(_Decided(answer, questions, bool(fresh)))
    if said:
        with settling.club.writing() as con:
            record_decisions(con, said, now)
    return new


def count_review(form: TakenForm, con: DuckDBPyConnection) -> None:
    """Count what came of a form, now that all are taken; name whom it contradicts."""
    standing = all_standing(con)
    report = form.report
    for said in form.said:
        disputed = [
            one for question in said.questions
            if (one := standing.get(question.topic, {}).get(question.subject)) is not None
            and one.answer is None
        ]  # fmt: skip
        if disputed:
            report.contradicted += 1
            form.tell(said.answer, "contradicts",
                      f"different things are said of this, and none counts: "
                      f"{named_answers(disputed[0])}", TAKE_BACK)  # fmt: skip
        elif said.is_new:
            report.settled += 1
        else:
            report.as_before += 1
    report.not_understood = len(report.problems) - report.contradicted
    report.message = answers_in_words([
        (report.settled, "settled"), (report.as_before, "as before"),
        (report.not_known, "not known"), (report.contradicted, "contradicted"),
        (report.not_understood, "not taken"),
    ])  # fmt: skip


def _answers(standing: dict[str, dict[str, Standing]], question: Question) -> tuple[str, ...]:
    found = standing.get(question.topic, {}).get(question.subject)
    return found.answers if found is not None else ()


def _questions(
    con: DuckDBPyConnection, ids: set[str]
) -> dict[str, tuple[Question, str | None, bool, str | None]]:
    """Return questions as last asked, the words asked about, whether open, and what is settled."""
    rows = con.execute(
        "SELECT q.topic, q.subject, q.source_id, q.choices, q.question_id, k.description, "
        "q.recorded_to IS NULL, i.target FROM question q "
        "LEFT JOIN item_key k ON q.topic = 'part' AND k.item_key = q.subject "
        "LEFT JOIN identification_now i ON i.role = q.topic AND i.key = q.subject AND i.accepted "
        "WHERE list_contains($1, q.question_id) ORDER BY q.recorded_from",
        [sorted(ids)],
    ).fetchall()
    return {row[4]: (Question(*row[:5]), row[5], row[6], row[7]) for row in rows}


def _still_asked(
    form: TakenForm,
    answer: ReviewAnswer,
    known: dict[str, tuple[Question, str | None, bool, str | None]],
    standing: dict[str, dict[str, Standing]],
) -> tuple[Question, ...]:
    """Return the questions of a row that are open, or that somebody answered; tell of the others.

    An answer to what somebody answered meanwhile may contradict it, and must be heard.
    """
    asked: list[Question] = []
    gone: list[str] = []
    for question_id in answer.question_ids:
        found = known.get(question_id)
        if found is None:
            gone.append("the club knows of no such question")
            continue
        question, words, is_open, settled = found
        if is_open or _answers(standing, question):
            asked.append(question)
            continue
        what = f"'{words}'" if words else "this"
        gone.append(
            f"{what} is no longer asked about: "
            + (f"it is settled as {settled}" if settled else "no line says it any more")
        )
    if gone:
        form.tell(answer, "not-asked", "; ".join(gone), _MAKE_ANEW)
    return tuple(asked)
