"""What comes of forms among the files of an import: decisions, and which sources to read again."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from partmuster.forms.known import KNOWN_FORMS
from partmuster.forms.mending import MendingAnswer, answers_in_words, understand
from partmuster.forms.reading import read_form
from partmuster.model import PartmusterError, Problem
from partmuster.store.decisions import Standing, standing_decisions
from partmuster.store.mended import (
    LEAVE_OUT,
    NOTHING,
    TOPIC,
    Fault,
    club_id,
    faults,
    mending_subject,
    record_mendings,
)

from .mended import TAKE_BACK, named_answers
from .report import FormReport

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Sequence
    from pathlib import Path

    from partmuster.forms.kinds import FilledForm
    from partmuster.store.club import Club


@dataclass(frozen=True, slots=True)
class _Said:
    """One answer of a form: about which fault, if it stands yet, and whether it is new."""

    answer: MendingAnswer
    fault: Fault | None
    text: str
    is_new: bool


@dataclass(slots=True)
class TakenForm:
    """A form under way: what it says, and the report of it."""

    report: FormReport
    sheet: str = ""
    said: list[_Said] = field(default_factory=list)


@dataclass(slots=True)
class TakenForms:
    """All forms of an import, and the sources that must be read again for what they say."""

    forms: list[TakenForm]
    sources: set[str] = field(default_factory=set)


def take_forms(
    club: Club, files: Sequence[tuple[Path, str]], by: str | None, now: dt.datetime
) -> TakenForms:
    """Read filled forms and record what they say, all at once; a bad row stops no other.

    ``by`` is who decides where a form carries no name.
    """
    taken = TakenForms([])
    with club.reading() as con:
        own = club_id(con)
        known = {fault.subject: fault for fault in faults(con)}
        standing = standing_decisions(con, TOPIC)
    answers = {subject: set(one.answers) for subject, one in standing.items()}
    decisions: list[tuple[str, str, str, str]] = []
    for path, name in files:
        report = FormReport(name)
        form = TakenForm(report)
        taken.forms.append(form)
        try:
            filled = read_form(path, name, KNOWN_FORMS)
            who = _who(name, filled, own, by)
        except PartmusterError as error:
            report.message = str(error).removeprefix(f"{name}: ")
            report.refused = True
            continue
        report.kind, form.sheet = filled.stamp.form, filled.sheet
        given, report.problems = understand(name, filled)
        for answer in given:
            said = _weighed(form, answer, known, answers)
            if said is None:
                continue
            form.said.append(said)
            if said.is_new:
                answers.setdefault(answer.subject, set()).add(said.text)
                decisions.append((answer.subject, said.text, who, name))
            if said.is_new or (said.fault and said.fault.problem):
                taken.sources.add(answer.subject.split("|", 1)[0])
    if decisions:
        with club.writing() as con:
            record_mendings(con, decisions, now)
    return taken


def _who(name: str, form: FilledForm, own: str | None, by: str | None) -> str:
    """Return who filled a form in.

    Raises:
        PartmusterError: it is another club's, or nobody says who.
    """
    if form.stamp.club != own:
        named = f" ({form.stamp.club_name})" if form.stamp.club_name else ""
        raise PartmusterError(
            f"{name}: this form was made for another club{named}. Nothing of it was taken: make "
            "one here with partmuster mending --workbook FILE.xlsx"
        )
    who = form.filled_by or by
    if who is None and form.rows:
        raise PartmusterError(
            f"{name}: nobody's name stands in {form.name_cell} of the sheet '{form.sheet}'. Write "
            "it there, or say who decides: partmuster import FILE --by NAME"
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
        _add(form, answer, "not-there",
             "this line no longer stands in the club's sheets as it did when the form was made",
             "look at a new form: partmuster mending --workbook FILE.xlsx")  # fmt: skip
        return None
    if fault is not None and answer.put is not None and answer.put == fault.stood:
        _add(form, answer, "same", "this is what stands there already", fault.what_to_do or "")
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
        report = form.report
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
        _add(form, answer, "contradicts",
             f"different things were put in, and none counts: {named_answers(standing)}",
             TAKE_BACK)  # fmt: skip
        return
    put = None if said.text in (LEAVE_OUT, NOTHING) else said.text
    if fault is not None and said.text != LEAVE_OUT:
        left = wrong.get(mending_subject(fault.source_id, fault.field, fault.words, put))
        if left is not None and left.problem:
            _add(form, answer, "not-read", left.problem, left.what_to_do or "")
            return
    if not said.is_new:
        report.as_before += 1
    elif said.text == LEAVE_OUT:
        report.left_out += 1
    else:
        report.mended += 1


def _add(form: TakenForm, answer: MendingAnswer, code: str, problem: str, what_to_do: str) -> None:
    form.report.problems.append(
        Problem(code, problem, what_to_do, form.report.name, form.sheet, answer.row, answer.cell,
                answer.put)
    )  # fmt: skip
