"""On which day what a note states was seen or said: the note's, an entry's, or its own."""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import replace
from typing import TYPE_CHECKING

from .dates import Day, days_in, entry_day, order_told
from .expressions import expression

if TYPE_CHECKING:
    from collections.abc import Sequence

    from .context import Context
    from .documents import Note
    from .statement import Statement

_HEAD = 4
_YEAR = expression(r"(?<![\w./:-])((?:19[5-9]|20[0-4])\d)(?![\w/:-])")
_LONGEST_HEAD = 300
#: Somebody looked at something on a day, of which more is told.
_LOOKED = expression(
    r"\b(?:look(?:ed)?|saw|dropped in|called (?:in|round|by)|went (?:over|round|through|to "
    r"(?:see|look))|"
    r"visit(?:ed)?|inspected|checked|crawl(?:ed)?|been (?:to|round|over)|was (?:at|over|round|"
    r"there)|"
    r"had a (?:look|poke|go)|walked round|counted|surveyed|stripped|found|measured|took the \w+ "
    r"off)\b",
    re.IGNORECASE,
)
_WAS = expression(r"\b(?:was|were|had|wasn't|weren't|hadn't|still had)\b", re.IGNORECASE)
_HAPPENED = expression(
    r"\b(?:delivered|issued|built|made|bought|sold|came|arrived|left|served|belonged|burn(?:ed|"
    r"t)|rebuilt|"
    r"repaint\w*|dated|stamped)\b",
    re.IGNORECASE,
)
#: Kinds whose day is not the day that their words tell of.
_OF_LATER = frozenset({"history", "lead", "fit", "holding", "want"})


class NoteDays:
    """The days of one note as it goes on."""

    def __init__(self, note: Note, file_name: str, texts: Sequence[str]) -> None:
        self.day_first = order_told([*texts, file_name])
        self._note = _day_of(note, file_name, texts, self.day_first)
        year = None if self._note else _year_of([*texts[:_HEAD], file_name])
        #: The day before which no entry is; None where nothing tells a year.
        self.last = (self._note.date if self._note else None) or (
            dt.date(year, 1, 1) if year else None
        )
        self._diary = bool(year)
        self._entry: Day | None = None
        self._now = self._note

    def start(self, context: Context) -> None:
        """Begin with the note's own day."""
        self._set(self._note, context)

    def entry(self, text: str, context: Context) -> tuple[bool, str]:
        """Take the day with which an entry begins; return whether there is one, and the rest."""
        found = entry_day(text, self.last, day_first=self.day_first)
        if found is None or (found[0].alone and not self._diary):
            return False, text
        day, rest = found
        if self._note and day.date and self._note.date == day.date and self._entry is None:
            self._set(day, context)
            return False, rest or text
        in_full = bool(re.search(r"\d{4}|[-/.]\d\d$", day.words))
        if not in_full and not self._diary and len(rest) and not rest[0].isupper():
            return False, text
        self._diary = True
        self.last = day.date or self.last
        self._entry = day
        self._set(day, context)
        return True, rest

    def paragraph(self, context: Context, *, item: bool) -> None:
        """Go back to the entry's or the note's day, but for items of a list."""
        if not item:
            self._set(self._entry or self._note, context)

    def sentence(self, text: str, context: Context) -> None:
        """Take the day on which the rest of a paragraph was seen."""
        near = self._near()
        if near is None or not _LOOKED.search(text) or _HAPPENED.search(text):
            return
        days = [day for day in days_in(text, near, day_first=self.day_first) if self._can_be(day)]
        if len(days) == 1:
            self._set(days[0], context)

    def dated(self, statement: Statement, text: str) -> Statement:
        """Return a statement with the day it was seen or said on."""
        day = self._own(statement, text) or self._now
        if day is None:
            return statement
        if day.date is None or day.month:
            return replace(statement, said_on=None, fields={**statement.fields, "date": day.text})
        if day is self._now:
            return replace(statement, said_on=day.date)
        return replace(statement, said_on=day.date, fields={**statement.fields, "date": day.text})

    def _own(self, statement: Statement, text: str) -> Day | None:
        """Return the one day that a sentence gives its statement, if it does."""
        near = self._near()
        if near is None or statement.kind in _OF_LATER:
            return None
        days = [day for day in days_in(text, near, day_first=self.day_first) if self._can_be(day)]
        if len(days) != 1:
            return None
        if statement.kind == "promise":
            return None if days[0].month else days[0]
        then = _WAS.search(text) and not _HAPPENED.search(text)
        return days[0] if then else None

    def _near(self) -> dt.date | None:
        day = self._entry or self._note
        return day.date if day and not day.month else None

    def _can_be(self, day: Day) -> bool:
        """Whether something can have been seen or said on a day: none that has not come yet."""
        near = self._near()
        return bool(day.date and near and near - dt.timedelta(days=800) < day.date <= near)

    def _set(self, day: Day | None, context: Context) -> None:
        self._now = day
        context.day = day.date if day and not day.month else None


def _day_of(note: Note, file_name: str, texts: Sequence[str], order: bool | None) -> Day | None:
    """Return the note's own day: of its mail, title, first lines, file name or end."""
    if note.stated_on:
        return Day(0, 0, note.stated_on.isoformat(), note.stated_on)
    if note.header and note.header.sent_on:
        return Day(0, 0, note.header.sent_on.isoformat(), note.header.sent_on)
    first = [one.text for one in note.paragraphs[:_HEAD]]  # marked as quoted, too: of a board
    head = [text[:_LONGEST_HEAD] for text in [*first, *texts[:_HEAD]]]
    found = [day for text in head for day in days_in(text, day_first=order)]
    if found:
        return next((day for day in found if not day.month), found[0])
    named = days_in(file_name.rsplit("/", 1)[-1].rsplit(".", 1)[0], day_first=order)
    if named:
        return named[0]
    for text in head[:2]:  # "25 October. Notes for the autumn number, 2026"
        year = _year_of([text])
        days = days_in(text, dt.date(year, 12, 31), day_first=order) if year else []
        if told := [day for day in days if not day.alone]:
            return told[0]
    return next((day for text in texts[-2:] if len(text) < 80  # noqa: PLR2004 - under a letter
                 for day in days_in(text, day_first=order)), None)  # fmt: skip


def _year_of(texts: Sequence[str]) -> int | None:
    years = {int(found[1]) for text in texts for found in _YEAR.finditer(text[:_LONGEST_HEAD])}
    return years.pop() if len(years) == 1 else None
