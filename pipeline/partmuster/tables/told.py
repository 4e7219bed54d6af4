"""What people said when asked how a source is laid out."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from partmuster_trade.headings import fold_heading

if TYPE_CHECKING:
    from collections.abc import Iterable


@dataclass(frozen=True, slots=True)
class Told:
    """Answers people gave for one source; a sheet without a name is ``""``.

    ``kinds``: kind of line by sheet. ``fields``: field by (sheet, folded heading), ``""`` for a
    remark; a column without a heading is ``"column 3"``. ``marks``: meaning by (sheet, mark), or
    by (``""``, mark) for every sheet. ``holder``, ``family`` and ``vehicle`` hold where neither
    the row nor the sheet says otherwise. ``day_first`` settles dates such as 03/04/2026.
    """

    kinds: dict[str, str] = field(default_factory=dict)
    fields: dict[tuple[str, str], str] = field(default_factory=dict)
    marks: dict[tuple[str, str], str] = field(default_factory=dict)
    holder: str | None = None
    family: str | None = None
    vehicle: str | None = None
    day_first: bool | None = None

    def mark(self, sheet: str, mark: str) -> str | None:
        """Return the meaning told for a mark, exact case first."""
        for place in (sheet, ""):
            for form in (mark, mark.casefold(), mark.upper()):
                if (place, form) in self.marks:
                    return self.marks[place, form]
        return None


def told_by(answers: Iterable[tuple[str, str, str]]) -> Told:
    """Return answers (topic, subject, answer) to this step's own questions as ``Told``.

    Subjects are those of the questions: ``SHEET|MARK`` under topic ``marks``; under topic
    ``layout`` ``SHEET|kind``, ``|holder``, ``|family``, ``|vehicle``, ``|day-first``, or
    ``SHEET|column: HEADING`` for the field of a column. Other topics are left alone.
    """
    kinds: dict[str, str] = {}
    fields: dict[tuple[str, str], str] = {}
    marks: dict[tuple[str, str], str] = {}
    defaults: dict[str, str] = {}
    for topic, subject, answer in answers:
        sheet, _, what = subject.rpartition("|")
        if topic == "marks":
            marks[sheet, what] = answer
        elif topic != "layout":
            continue
        elif what == "kind":
            kinds[sheet] = answer
        elif what.startswith("column: "):
            heading = fold_heading(what.removeprefix("column: "))
            fields[sheet, heading] = "" if answer == "remark" else answer
        else:
            defaults[what] = answer
    day_first = defaults.get("day-first")
    return Told(
        kinds=kinds, fields=fields, marks=marks, holder=defaults.get("holder"),
        family=defaults.get("family"), vehicle=defaults.get("vehicle"),
        day_first=None if day_first is None else day_first.casefold() in {"yes", "true", "1"},
    )  # fmt: skip
