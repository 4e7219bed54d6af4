"""Stock-takes: the form of what a holder's lists say, and the list of what was counted."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from partmuster.forms.kinds import FormRow
from partmuster.forms.stock_take import STOCK_TAKE, Counted, understand_counts
from partmuster.model import PartmusterError
from partmuster.reading.text import fold

from .lists_again import (
    ANEW,
    HELD,
    HOLDING_HEADINGS,
    NOT_THERE,
    MadeList,
    RowOfForm,
    dicts,
    held_lines,
    said_again,
    table,
)

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Mapping

    from duckdb import DuckDBPyConnection

    from partmuster.forms.kinds import FilledForm
    from partmuster_trade.vocabulary import Vocabulary

    from .taken_forms import TakenForm

#: Folder under whose name counted lists stand among the sources.
FOLDER: Final = "stock-takes"


def stock_rows(
    con: DuckDBPyConnection, vocabulary: Vocabulary, holder: str
) -> tuple[str, list[FormRow]]:
    """Return a holder's name and the rows of the form for what the lists say that they hold.

    Raises:
        PartmusterError: nobody of that name holds anything; the text names who does.
    """
    people = dict(con.execute("SELECT key, coalesce(person_id, key) FROM people_as_of(NULL, false)")
                  .fetchall())  # fmt: skip
    names = dict(con.execute("SELECT person_id, any_value(name) FROM people_as_of(NULL, false) "
                             "GROUP BY person_id").fetchall())  # fmt: skip
    older = {one for (one,) in con.execute("SELECT line_id FROM older_sightings(NULL, false)")
             .fetchall()}  # fmt: skip
    rows = dicts(con, f"{HELD} ORDER BY h.place, h.description, h.line_id")
    rows = [row for row in rows if row["line_id"] not in older]
    person = people.get(fold(holder).strip(), fold(holder).strip())
    own = [row for row in rows if people.get(row["holder_key"], row["holder_key"]) == person]
    if not own:
        held = sorted({row["holder"] for row in rows if row["holder"]})
        raise PartmusterError(
            f"'{holder}' is not known to hold anything. Who does: {', '.join(held) or 'nobody'}."
        )
    parts = {part.part_id: part.name for part in vocabulary.parts}
    return names.get(person) or own[0]["holder"], [
        FormRow(row["line_id"], {
            "part": parts.get(row["part_id"] or ""),
            "which": " ".join(filter(None, (row["side"], row["position"]))) or None,
            "words": row["description"] or row["words"],
            "known": row["quantity_text"],
            "condition": row["condition_text"] or row["grade"].replace("-", " "),
            "place": row["place"],
            "said_on": row["said_on"].isoformat(),
        })
        for row in own
    ]  # fmt: skip


def stock_list(
    con: DuckDBPyConnection, filled: FilledForm, form: TakenForm, now: dt.datetime
) -> list[MadeList]:
    """Return what a filled stock-take counted as a list; what cannot be taken is told of."""
    name = form.report.name
    counts, form.report.problems = understand_counts(name, filled)
    known = held_lines(con)
    taken = []
    for one in counts:
        if one.line_id in known:
            taken.append(one)
        else:
            form.tell(RowOfForm(one.row), "not-there", NOT_THERE, ANEW.format(STOCK_TAKE.name))
    form.report.message = f"{len(taken)} counted"
    if not taken:
        return []
    joins = [(one.line_id, row) for row, one in enumerate(taken, 2)]
    rows = [_counted(one, known[one.line_id], now.date()) for one in taken]
    return [MadeList(f"{FOLDER}/{Path(name).stem}.csv", table(HOLDING_HEADINGS, rows), joins)]


def _counted(one: Counted, line: Mapping[str, Any], today: dt.date) -> list[str]:
    return said_again(
        line, number=one.number, condition=one.condition, place=one.place,
        day=one.seen or today, remark=one.remark,
    )  # fmt: skip
