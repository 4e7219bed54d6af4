"""What comes of forms among the files of an import: decisions, and which sources to read again."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from partmuster.forms.known import KNOWN_FORMS
from partmuster.forms.mending import MendingAnswer, answers_in_words, understand
from partmuster.forms.reading import read_form
from partmuster.forms.review import REVIEW
from partmuster.model import PartmusterError
from partmuster.store.decisions import Said, Standing, record_decisions, standing_decisions
from partmuster.store.mended import (
    LEAVE_OUT,
    NOTHING,
    TOPIC,
    Fault,
    club_id,
    faults,
    mending_subject,
)

from .filled_review import count_review, take_review
from .mended import TAKE_BACK, named_answers
from .report import FormReport
from .settling import Settling
from .taken_forms import TakenForm, check_club, no_name

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Sequence
    from pathlib import Path

    from partmuster.forms.kinds import FilledForm
    from partmuster.store.club import Club
    from partmuster_trade import Vocabulary


@dataclass(frozen=True, slots=True)
class _Said:
    """One answer of a form: about which fault, if it stands yet, and whether it is new."""

    answer: MendingAnswer
    fault: Fault | None
    text: str
    is_new: bool


@dataclass(slots=True)
class TakenForms:
    """All forms of an import, the sources that must be read again for what they say.

    ``decided``: topic, subject and source of what was answered; ``settling`` has the words then.
    """

    forms: list[TakenForm]
    settling: Settling
    sources: set[str] = field(default_factory=set)
    decided: list[tuple[str, str, str | None]] = field(default_factory=list)


def take_forms(
    club: Club, vocabulary: Vocabulary, files: Sequence[tuple[Path, str]], by: str | None,
    now: dt.datetime,
) -> TakenForms:  # fmt: skip
    """Read filled forms and record what they say; a bad row stops no other.

    ``by`` is who decides where a form carries no name.
    """
    taken = TakenForms([], Settling(club, vocabulary))
    mendings: list[tuple[TakenForm, FilledForm]] = []
    with club.reading() as con:
        own = club_id(con)
    for path, name in files:
        form = TakenForm(FormReport(name))
        taken.forms.append(form)
        try:
            filled = read_form(path, name, KNOWN_FORMS)
            check_club(name, filled, own)
            form.report.kind, form.sheet = filled.stamp.form, filled.sheet
            if filled.stamp.form == REVIEW.name:
                new = take_review(form, filled, taken.settling, by, now)
                taken.decided += [(one.topic, one.subject, one.source_id) for one in new]
            else:
                _who(name, filled, by)
                mendings.append((form, filled))
        except PartmusterError as error:
            form.report.message = str(error).removeprefix(f"{name}: ")
            form.report.refused = True
    if mendings:
        _take_mendings(club, taken, mendings, by, now)
    return taken


def _take_mendings(
    club: Club, taken: TakenForms, forms: Sequence[tuple[TakenForm, FilledForm]], by: str | None,
    now: dt.datetime,
) -> None:  # fmt: skip
    """Record what forms put in place of what cannot be read, all at once."""
    with club.reading() as con:
        known = {fault.subject: fault for fault in faults(con)}
        standing = standing_decisions(con, TOPIC)
    answers = {subject: set(one.answers) for subject, one in standing.items()}
    decisions: list[Said] = []
    for form, filled in forms:
        name = form.report.name
        who = _who(name, filled, by)
        given, form.report.problems = understand(name, filled)
        for answer in given:
            said = _weighed(form, answer, known, answers)
            if said is None:
                continue
            form.said.append(said)
            if said.is_new:
                answers.setdefault(answer.subject, set()).add(said.text)
                decisions.append(Said(TOPIC, answer.subject, said.text, who, name))
            if said.is_new or (said.fault and said.fault.problem):
                taken.sources.add(answer.subject.split("|", 1)[0])
    if decisions:
        with club.writing() as con:
            record_decisions(con, decisions, now)


def _who(name: str, form: FilledForm, by: str | None) -> str:
    """Return who filled a form in.

    Raises:
        PartmusterError: nobody says who.
    """
    who = form.filled_by or by
    if who is None and form.rows:
        raise PartmusterError(
            f"{name}: {no_name(form)}. Write it there, or say who decides: "
            "partmuster import FILE --by NAME"
        )
    return who or ""


def _weighed(
    form: TakenForm,
    answer: MendingAnswer,
    known: dict[str, Fault],
    answers: dict[str, set[str]],
) -> _Said | None:
    """Return what an answer comes to, or None where it fits nothing; then that is reported."""
    fault = known.get(answer.subject)
    text = LEAVE_OUT if answer.put is None else answer.put
    if text.casefold() == NOTHING or text.casefold() == LEAVE_OUT:
        text = text.casefold()
    before = answers.get(answer.subject, set())
    if fault is None and not before:
        form.tell(answer, "not-there",
             "this line no longer stands in the club's sheets as it did when the form was made",
             "look at a new form: partmuster mending --workbook FILE.xlsx")  # fmt: skip
        return None
    if fault is not None and answer.put is not None and answer.put == fault.stood:
        form.tell(answer, "same", "this is what stands there already", fault.what_to_do or "")
        return None
    return _Said(answer, fault, text, text not in before)


def count_forms(club: Club, taken: TakenForms) -> list[FormReport]:
    """Return the reports of forms, now that the sources they are about were read again.

    What still cannot be read, and what contradicts somebody, is named with its cell.
    """
    with club.reading() as con:
        wrong = {fault.subject: fault for fault in faults(con) if fault.problem}
        standing = standing_decisions(con, TOPIC)
        for form in taken.forms:
            if form.report.kind == REVIEW.name and not form.report.refused:
                count_review(form, con)
    for form in taken.forms:
        report = form.report
        if report.kind == REVIEW.name:
            continue
        for said in form.said:
            _count(form, said, wrong, standing.get(said.answer.subject))
        report.not_understood = len(report.problems) - report.contradicted
        if not report.refused:
            report.message = answers_in_words([
                (report.mended, "mended"), (report.left_out, "left out"),
                (report.as_before, "as before"), (report.contradicted, "contradicted"),
                (report.not_understood, "not understood"),
            ])  # fmt: skip
    return [form.report for form in taken.forms]


def _count(
    form: TakenForm, said: _Said, wrong: dict[str, Fault], standing: Standing | None
) -> None:
    report, answer, fault = form.report, said.answer, said.fault
    if standing is not None and standing.answer is None:
        report.contradicted += 1
        form.tell(answer, "contradicts",
             f"different things were put in, and none counts: {named_answers(standing)}",
             TAKE_BACK)  # fmt: skip
        return
    put = None if said.text in (LEAVE_OUT, NOTHING) else said.text
    if fault is not None and said.text != LEAVE_OUT:
        left = wrong.get(mending_subject(fault.source_id, fault.field, fault.words, put))
        if left is not None and left.problem:
            form.tell(answer, "not-read", left.problem, left.what_to_do or "")
            return
    if not said.is_new:
        report.as_before += 1
    elif said.text == LEAVE_OUT:
        report.left_out += 1
    else:
        report.mended += 1
