"""Stock-takes: forms of what a holder's lists say, and what comes of one that was filled in.

What was counted is imported as a list of its own, in the words of the lists it is about, and each
of its lines is one item with the line that the form asked about. So history, sources and rule 1
hold as for any sheet, and nothing counts twice.
"""

from __future__ import annotations

import csv
import io
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from partmuster.forms.kinds import FormRow
from partmuster.forms.known import KNOWN_FORMS
from partmuster.forms.reading import read_form
from partmuster.forms.stock_take import STOCK_TAKE, Counted, understand_counts
from partmuster.model import PartmusterError
from partmuster.reading.text import fold
from partmuster.store.decided_pairs import SAME, SAME_ITEM, subject_of
from partmuster.store.decisions import Said, record_decisions, standing_decisions
from partmuster.store.mended import club_id
from partmuster.store.twice import settle_twice

from .report import FormReport
from .taken_forms import TakenForm, check_club, no_name

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Mapping, Sequence

    from duckdb import DuckDBPyConnection

    from partmuster.forms.kinds import FilledForm
    from partmuster.store.club import Club
    from partmuster_trade.vocabulary import Vocabulary

#: Folder under whose name counted lists stand among the sources.
FOLDER: Final = "stock-takes"
_HEADINGS: Final = ("Part", "Part number", "Side", "Position", "Quantity", "Condition", "Available",
                    "Fits", "Place", "Holder", "Date", "Remark")  # fmt: skip
#: Offers in words that the reader of lists takes for the same.
_AVAILABLE: Final = {"offered": "offered", "swap": "swap", "kept": "keeping",
                     "promised": "promised", "unknown": ""}  # fmt: skip
_NOT_THERE: Final = (
    "this line no longer stands in the club's lists as it did when the form was made"
)
_ANEW: Final = "make a new form: partmuster stock-take HOLDER --workbook FILE.xlsx"
_HELD: Final = """
    SELECT h.*, i.target AS part_id
    FROM holding h
    LEFT JOIN identification_now i
      ON i.role = 'part' AND i.key = h.item_key AND i.accepted
    WHERE NOT h.gone AND h.at_most IS DISTINCT FROM 0
    QUALIFY row_number() OVER (PARTITION BY h.line_id ORDER BY i.target) = 1
"""


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
    rows = _dicts(con, f"{_HELD} ORDER BY h.place, h.description, h.line_id")
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


@dataclass(slots=True)
class StockTake:
    """One filled form under way: its report, the list made of it, the lines in its order."""

    report: FormReport
    name: str = ""
    who: str = ""
    counts: list[Counted] = field(default_factory=list)
    text: str = ""


def take_stock_takes(
    club: Club, forms: Sequence[tuple[Path, str]], by: str | None, now: dt.datetime
) -> tuple[list[StockTake], list[tuple[Path, str]]]:
    """Return the stock-takes among some forms, each made into a list; and the other forms."""
    takes: list[StockTake] = []
    others: list[tuple[Path, str]] = []
    with club.reading() as con:
        own = club_id(con)
        for path, name in forms:
            try:
                filled = read_form(path, name, KNOWN_FORMS)
            except PartmusterError:
                others.append((path, name))  # whoever takes the others says what is wrong
                continue
            if filled.stamp.form != STOCK_TAKE.name:
                others.append((path, name))
                continue
            take = StockTake(FormReport(name, kind=STOCK_TAKE.name))
            takes.append(take)
            try:
                check_club(name, filled, own)
                _make_list(con, take, filled, by, now)
            except PartmusterError as error:
                take.report.message = str(error).removeprefix(f"{name}: ")
                take.report.refused = True
    return takes, others


def _make_list(
    con: DuckDBPyConnection, take: StockTake, filled: FilledForm, by: str | None, now: dt.datetime
) -> None:
    report = take.report
    who = filled.filled_by or by
    if who is None:
        raise PartmusterError(
            f"{no_name(filled)}. Write it there, or say who counted: partmuster import FILE "
            "--by NAME"
        )
    take.who = who
    take.name = f"{FOLDER}/{Path(report.name).stem}.csv"
    counts, report.problems = understand_counts(report.name, filled)
    known = {row["line_id"]: row for row in _dicts(con, _HELD)}
    told = TakenForm(report, filled.sheet)
    for one in counts:
        if one.line_id in known:
            take.counts.append(one)
        else:
            told.tell(_Row(one.row), "not-there", _NOT_THERE, _ANEW)
    report.not_understood = len(report.problems)
    take.text = _as_csv(take.counts, known, now.date())


@dataclass(frozen=True, slots=True)
class _Row:
    """A row of the form, as a problem names it."""

    row: int
    cell: str = ""
    put: str | None = None


def _as_csv(
    counts: Sequence[Counted], known: Mapping[str, Mapping[str, Any]], today: dt.date
) -> str:
    """Return what was counted as a list, a row a line, in the words of the lists it is about."""
    out = io.StringIO()
    rows = csv.writer(out, lineterminator="\n")
    rows.writerow(_HEADINGS)
    for one in counts:
        line = known[one.line_id]
        fits = " ".join(filter(None, (line["family"], line["effectivity_text"] or line["mark"])))
        rows.writerow([
            line["description"] or "", line["part_number"] or "", line["side"] or "",
            line["position"] or "",
            line["quantity_text"] or "" if one.number is None else f"{one.number:g}",
            one.condition or line["condition_text"] or line["grade"].replace("-", " "),
            _AVAILABLE[line["availability"]], fits, one.place or line["place"] or "",
            line["holder"] or "", (one.seen or today).isoformat(), one.remark or "",
        ])  # fmt: skip
    return out.getvalue()


def join_counts(club: Club, takes: Sequence[StockTake], now: dt.datetime) -> None:
    """Record that each counted line is one with the line it was asked about; write the reports."""
    with club.reading() as con:
        standing = standing_decisions(con, SAME_ITEM)
        said: list[Said] = []
        for take in takes:
            if take.report.refused:
                continue
            found = _lines_by_row(con, take.name)
            pairs = [(one.line_id, found.get(number)) for number, one in enumerate(take.counts, 2)]
            for line_id, counted in pairs:
                if counted is None or counted == line_id:
                    continue
                subject = subject_of(line_id, counted)
                if subject in standing:
                    take.report.as_before += 1
                    continue
                take.report.settled += 1
                said.append(Said(SAME_ITEM, subject, SAME, take.who, take.report.name))
            take.report.message = _in_words(take, len(pairs))
    if said:
        with club.writing() as con:
            record_decisions(con, said, now)
            settle_twice(con, now)


def _in_words(take: StockTake, counted: int) -> str:
    report = take.report
    return (
        f"{counted} counted by {take.who}, kept as {take.name}"
        + (f"; {report.as_before} as before" if report.as_before else "")
        + (f"; {report.not_understood} not understood" if report.not_understood else "")
    )


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


def _dicts(con: DuckDBPyConnection, sql: str) -> list[dict[str, Any]]:
    found = con.execute(sql)
    names = [one[0] for one in found.description or ()]
    return [dict(zip(names, row, strict=True)) for row in found.fetchall()]
