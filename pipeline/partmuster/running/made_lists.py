"""Forms that become lists: what holders counted, and what was taken on a trip.

What such a form says is imported as a list of its own, in the words of the lists it is about, and
each of its lines is one item with the line that the form asked about. So history, sources and rule
1 hold as for any sheet, and nothing counts twice.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from partmuster.forms.known import KNOWN_FORMS
from partmuster.forms.reading import read_form
from partmuster.forms.stock_take import STOCK_TAKE
from partmuster.forms.yard_list import YARD_LIST_FORM
from partmuster.model import PartmusterError
from partmuster.store.decided_pairs import SAME, SAME_ITEM, subject_of
from partmuster.store.decisions import Said, record_decisions, standing_decisions
from partmuster.store.mended import club_id
from partmuster.store.twice import settle_twice

from .report import FormReport
from .stock_takes import stock_list
from .taken_forms import TakenForm, check_club, no_name
from .yard_lists import yard_lists

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Sequence
    from pathlib import Path

    from duckdb import DuckDBPyConnection

    from partmuster.forms.kinds import FilledForm
    from partmuster.store.club import Club

    from .lists_again import MadeList


@dataclass(slots=True)
class ListsOfForm:
    """One filled form under way: its report, whose word it is, and the lists made of it."""

    report: FormReport
    who: str = ""
    lists: list[MadeList] = field(default_factory=list)


def take_lists(
    club: Club, forms: Sequence[tuple[Path, str]], by: str | None, now: dt.datetime
) -> tuple[list[ListsOfForm], list[tuple[Path, str]]]:
    """Return the forms that become lists, each with these; and the other forms."""
    taken: list[ListsOfForm] = []
    others: list[tuple[Path, str]] = []
    with club.reading() as con:
        own = club_id(con)
        for path, name in forms:
            try:
                filled = read_form(path, name, KNOWN_FORMS)
            except PartmusterError:
                others.append((path, name))  # whoever takes the others says what is wrong
                continue
            if filled.stamp.form not in (STOCK_TAKE.name, YARD_LIST_FORM.name):
                others.append((path, name))
                continue
            one = ListsOfForm(FormReport(name, kind=filled.stamp.form))
            taken.append(one)
            try:
                check_club(name, filled, own)
                one.who = _who(filled, by)
                one.lists = _lists(con, filled, TakenForm(one.report, filled.sheet), one.who, now)
            except PartmusterError as error:
                one.report.message = str(error).removeprefix(f"{name}: ")
                one.report.refused = True
            one.report.not_understood = len(one.report.problems)
    return taken, others


def _lists(
    con: DuckDBPyConnection, filled: FilledForm, form: TakenForm, who: str, now: dt.datetime
) -> list[MadeList]:
    if filled.stamp.form == STOCK_TAKE.name:
        return stock_list(con, filled, form, now)
    return yard_lists(con, filled, form, who, now)


def _who(filled: FilledForm, by: str | None) -> str:
    who = filled.filled_by or by
    if who is None:
        raise PartmusterError(
            f"{no_name(filled)}. Write it there, or say whose word it is: partmuster import FILE "
            "--by NAME"
        )
    return who


def join_lists(club: Club, taken: Sequence[ListsOfForm], now: dt.datetime) -> None:
    """Record that each line of these lists is one with the line it was asked about."""
    said: list[Said] = []
    with club.reading() as con:
        standing = standing_decisions(con, SAME_ITEM)
        for one in taken:
            for made in one.lists:
                found = _lines_by_row(con, made.name)
                for line_id, row in made.joins:
                    counted = found.get(row)
                    if counted is None or counted == line_id:
                        continue
                    subject = subject_of(line_id, counted)
                    if subject in standing:
                        one.report.as_before += 1
                        continue
                    one.report.settled += 1
                    said.append(Said(SAME_ITEM, subject, SAME, one.who, one.report.name))
    if said:
        with club.writing() as con:
            record_decisions(con, said, now)
            settle_twice(con, now)


def tell_lists(taken: Sequence[ListsOfForm]) -> list[FormReport]:
    """Return the reports, each with a line on what became of its form."""
    for one in taken:
        report = one.report
        if report.refused:
            continue
        report.message = "; ".join(filter(None, (
            f"{report.message} by {one.who}",
            f"kept as {', '.join(made.name for made in one.lists)}" if one.lists else "",
            f"{report.as_before} as before" if report.as_before else "",
            f"{report.not_understood} not understood" if report.not_understood else "",
        )))  # fmt: skip
    return [one.report for one in taken]


def _lines_by_row(con: DuckDBPyConnection, name: str) -> dict[int, str]:
    """Return the holding line of each row of the newest version of a source."""
    rows = con.execute(
        "SELECT r.row, o.line_id FROM source_sum s "
        "JOIN raw_line r ON r.source_id = s.source_id AND r.source_version = s.version "
        "JOIN line_origin o ON o.source_id = r.source_id AND o.source_version = r.source_version "
        "AND o.raw_number = r.raw_number "
        "WHERE s.name = ? AND starts_with(o.line_id, 'holding-')",
        [name],
    ).fetchall()
    return dict(rows)
