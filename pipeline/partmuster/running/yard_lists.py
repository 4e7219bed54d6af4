"""Yard lists: the form of what to take, and the lists that come of one that was filled in."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from partmuster.forms.kinds import FormRow
from partmuster.forms.yard_list import YARD_LIST_FORM, Offered, Taken, understand_taken

from .lists_again import (
    ANEW,
    HOLDING_HEADINGS,
    NOT_THERE,
    SURVEY_HEADINGS,
    MadeList,
    RowOfForm,
    held_lines,
    said_again,
    table,
)

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Mapping

    import polars as pl
    from duckdb import DuckDBPyConnection

    from partmuster.forms.kinds import FilledForm
    from partmuster_trade.vocabulary import Vocabulary

    from .taken_forms import TakenForm

#: Folder under whose name such lists stand among the sources.
FOLDER: Final = "yard-lists"
_ON_VEHICLES: Final = ("hulk being broken", "incomplete hulk, if its owner agrees")


def yard_rows(sections: Mapping[str, pl.DataFrame], vocabulary: Vocabulary) -> list[FormRow]:
    """Return the rows of the form: what to take, to measure, and to refuse, from a yard list.

    ``sections``: ``take``, ``measure`` and ``refuse`` as the registrar sees them, with part ids.
    """
    parts = {part.part_id: part.name for part in vocabulary.parts}
    return [
        _row(what, one, parts)
        for what, offers in sections.items()
        for one in offers.iter_rows(named=True)
    ]


def _row(what: str, one: Mapping[str, Any], parts: Mapping[str, str]) -> FormRow:
    told = (one.get("to_check"), one["reason"], one["work"], one["companions"])
    cells = {
        "do": what,
        "vehicle": one["vehicle"],
        "part": parts.get(one["part"], one["part"]),
        "which": " ".join(filter(None, (one["hand"], one["position"]))) or None,
        "needed": f"{one['lacking']:g}",
        "source": one["source"],
        "standing": one["standing"],
        "fit": (one["fit"] or "").replace("-", " ") or None,
        "condition": (one["condition"] or "").replace("-", " ") or None,
        "check": "; ".join(filter(None, told)) or None,
        "caution": one["caution"],
    }
    return FormRow(_offer(one).row_id, cells)


def _offer(row: Mapping[str, Any]) -> Offered:
    """Return what a candidate is: a part on a vehicle has no line of its own."""
    lines = (row["trace"] or "").split(";")
    on_vehicle = row["from"] in _ON_VEHICLES
    line = next((one for one in lines if one.startswith("holding-")), "")
    return Offered(row["vehicle"], row["part"], row["hand"] or "", row["position"] or "",
                   row["source"], "" if on_vehicle else line)  # fmt: skip


def yard_lists(
    con: DuckDBPyConnection, filled: FilledForm, form: TakenForm, who: str, now: dt.datetime
) -> list[MadeList]:
    """Return what a filled yard list says as lists: of holdings, and of what was seen on vehicles.

    What was taken of a loose part is counted down where its number is known, and held by who took
    it; what was taken off a vehicle is missing there. What was not there is gone, or missing.
    """
    taken, form.report.problems = understand_taken(form.report.name, filled)
    known = held_lines(con)
    holdings: list[list[str]] = []
    seen: list[list[str]] = []
    joins: list[tuple[str, int]] = []
    for one in taken:
        day = one.seen or now.date()
        line = known.get(one.offer.line_id)
        if one.offer.line_id and line is None:
            form.tell(RowOfForm(one.row), "not-there", NOT_THERE,
                      ANEW.format(YARD_LIST_FORM.name))  # fmt: skip
            continue
        if line is not None:
            holdings.append(said_again(line, number=_left(one, line), day=day, remark=one.found))
            joins.append((one.offer.line_id, len(holdings) + 1))
        else:
            state = "missing" if one.not_there or one.number else "fitted"
            seen.append([one.offer.source, _name(one), one.offer.hand, one.offer.position, state,
                         day.isoformat(), one.found or ""])  # fmt: skip
        if one.number:
            holdings.append(_held(one, line, who, day))
    form.report.message = f"{sum(bool(one.number) for one in taken)} taken, {len(taken)} told of"
    stem = Path(form.report.name).stem
    made = [MadeList(f"{FOLDER}/{stem} stock.csv", table(HOLDING_HEADINGS, holdings), joins)] if (
        holdings
    ) else []  # fmt: skip
    if seen:
        made.append(MadeList(f"{FOLDER}/{stem} seen.csv", table(SURVEY_HEADINGS, seen), []))
    return made


def _left(one: Taken, line: Mapping[str, Any]) -> float | None:
    """Return how many are left; None where that is not known."""
    if one.not_there:
        return 0.0
    known = line["at_least"]
    if not one.number or not known or known != line["at_most"]:
        return None
    return max(0.0, float(known) - one.number)


def _name(one: Taken) -> str:
    return one.offer.part_id.replace("-", " ")


def _held(one: Taken, line: Mapping[str, Any] | None, who: str, day: dt.date) -> list[str]:
    """Return what was taken as a row of a list, held by who took it until it is fitted."""
    told = f"taken for {one.offer.vehicle} from {one.offer.source}"
    remark = "; ".join(filter(None, (told, one.found)))
    number = f"{one.number:g}"
    if line is None:
        return [_name(one), "", one.offer.hand, one.offer.position, number, "", "keeping", "", "",
                who, one.offer.source, day.isoformat(), remark]  # fmt: skip
    row = said_again(line, number=one.number, day=day, remark=remark)
    row[6], row[8], row[9] = "keeping", "", who
    return row
