"""What people said when asked how a source is laid out."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, TypeAlias

from partmuster_trade.headings import fold_heading

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping


#: The headings of a table, folded, from left to right.
Shape: TypeAlias = tuple[str, ...]
#: Between sheet and heading in the subject of a question about a column.
COLUMN = "|column: "
_NTH = re.compile(r"(\d+)(?:st|nd|rd|th) '(.*)'")
_TEENS = range(11, 14)


@dataclass(frozen=True, slots=True)
class ToldOfShape:
    """What people told of tables with certain headings: the kind, and the field of a heading.

    ``source`` names the source it was told for. Whose a list is, for which vehicles it is, and
    what its marks and colours mean is one sheet's own matter, and never stands here.
    """

    source: str
    kind: str | None
    fields: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Told:
    """Answers people gave for one source; a sheet without a name is ``""``.

    ``kinds``: kind of line by sheet. ``fields``: field by (sheet, folded heading), ``""`` for a
    remark; a column without a heading is ``"column 3"``, and of a heading that stands several times
    the second is ``"2. heading"``. ``marks``: meaning by (sheet, mark), or
    by (``""``, mark) for every sheet. ``given``: by (sheet, name), or by (``""``, name) for every
    sheet: ``holder``, ``family`` and ``vehicle``, which hold where neither the row nor the sheet
    says otherwise, and ``header-row``, a row's number in the file or ``none``. ``day_first``
    settles dates such as 03/04/2026. ``shapes``: what was told of tables with the same headings in
    other sources.
    """

    kinds: dict[str, str] = field(default_factory=dict)
    fields: dict[tuple[str, str], str] = field(default_factory=dict)
    marks: dict[tuple[str, str], str] = field(default_factory=dict)
    given: dict[tuple[str, str], str] = field(default_factory=dict)
    day_first: bool | None = None
    shapes: Mapping[Shape, ToldOfShape] = field(default_factory=dict)

    def about(self, sheet: str, name: str) -> str | None:
        """Return the holder, family, vehicle or header row told for a sheet, or for all sheets."""
        return self.given.get((sheet, name), self.given.get(("", name)))

    def of_sheet(self, sheet: str) -> bool:
        """Tell whether somebody said for this source which kind or columns a sheet has."""
        places = {sheet, ""}
        return bool(places & self.kinds.keys() or places & {place for place, _ in self.fields})

    def mark(self, sheet: str, mark: str) -> str | None:
        """Return the meaning told for a mark, exact case first."""
        for place in (sheet, ""):
            for form in (mark, mark.casefold(), mark.upper()):
                if (place, form) in self.marks:
                    return self.marks[place, form]
        return None


def column_names(headings: Mapping[int, str | None]) -> dict[int, str]:
    """Return what to call each column of a table (``headings``: by number) when asking about it.

    By its heading; where that stands several times, by which of them: "2nd 'No'". So it is the
    same column in a newer version that has others before it.
    """
    folded = {number: fold_heading(text or "") for number, text in headings.items()}
    often, seen = Counter(folded.values()), Counter[str]()
    names = {}
    for number, text in headings.items():
        key = folded[number]
        seen[key] += 1
        if not text or not key:
            names[number] = f"column {number}"
        else:
            names[number] = f"{_ordinal(seen[key])} '{text}'" if often[key] > 1 else text
    return names


def column_key(name: str) -> str:
    """Return the name of a column for comparing."""
    if nth := _NTH.fullmatch(name):
        return f"{nth[1]}. {fold_heading(nth[2])}"
    return fold_heading(name)


def heading_in(key: str) -> str:
    """Return the folded heading in a column's key."""
    return key.partition(". ")[2] or key


def _ordinal(number: int) -> str:
    ending = {1: "st", 2: "nd", 3: "rd"}.get(number % 10, "th")
    return f"{number}{'th' if number % 100 in _TEENS else ending}"


def told_by(answers: Iterable[tuple[str, str, str]]) -> Told:
    """Return answers (topic, subject, answer) to this step's own questions as ``Told``.

    Subjects are those of the questions: ``SHEET|MARK`` under topic ``marks``; under topic
    ``layout`` ``SHEET|kind``, ``|holder``, ``|family``, ``|vehicle``, ``|header-row``,
    ``|day-first``, or ``SHEET|column: HEADING`` for the field of a column. Without a sheet an
    answer is for all of them. Other topics are left alone.
    """
    kinds: dict[str, str] = {}
    fields: dict[tuple[str, str], str] = {}
    marks: dict[tuple[str, str], str] = {}
    given: dict[tuple[str, str], str] = {}
    for topic, subject, answer in answers:
        sheet, column, what = subject.partition(COLUMN)  # a heading may hold a bar
        if not column:
            sheet, _, what = subject.rpartition("|")
        if topic == "marks":
            marks[sheet, what] = answer
        elif topic != "layout":
            continue
        elif what == "kind":
            kinds[sheet] = answer
        elif column:
            fields[sheet, column_key(what)] = "" if answer == "remark" else answer
        else:
            given[sheet, what] = answer
    day_first = next((answer for (_, what), answer in given.items() if what == "day-first"), None)
    return Told(
        kinds=kinds, fields=fields, marks=marks, given=given,
        day_first=None if day_first is None else day_first.casefold() in {"yes", "true", "1"},
    )  # fmt: skip
