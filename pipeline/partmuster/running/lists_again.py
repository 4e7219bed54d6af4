"""Lists that are made of what the club's lists say, so that an import reads them like any other."""

from __future__ import annotations

import csv
import io
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Mapping, Sequence

    from duckdb import DuckDBPyConnection

HOLDING_HEADINGS: Final = (
    "Part", "Part number", "Side", "Position", "Quantity", "Condition", "Available", "Fits",
    "Place", "Holder", "From vehicle", "Date", "Remark",
)  # fmt: skip
SURVEY_HEADINGS: Final = ("Vehicle", "Part", "Side", "Position", "State", "Date", "Remark")
NOT_THERE: Final = "this line no longer stands in the club's lists as it did when the form was made"
ANEW: Final = "make a new form: partmuster {} ... --workbook FILE.xlsx"
#: Offers in words that the reader of lists takes for the same.
_AVAILABLE: Final = {
    "offered": "offered", "swap": "swap", "kept": "keeping", "promised": "promised", "unknown": "",
}  # fmt: skip
HELD: Final = """
    SELECT h.*, i.target AS part_id
    FROM holding h
    LEFT JOIN identification_now i
      ON i.role = 'part' AND i.key = h.item_key AND i.accepted
    WHERE NOT h.gone AND h.at_most IS DISTINCT FROM 0
    QUALIFY row_number() OVER (PARTITION BY h.line_id ORDER BY i.target) = 1
"""


@dataclass(frozen=True, slots=True)
class MadeList:
    """A list made of a form: the name it goes by, its text, and which rows are which lines.

    ``joins``: a line of the club's, and the row of this list (from 1) that tells of the same item.
    """

    name: str
    text: str
    joins: list[tuple[str, int]]


@dataclass(frozen=True, slots=True)
class RowOfForm:
    """A row of a form, as a problem names it."""

    row: int
    cell: str = ""
    put: str | None = None


def held_lines(con: DuckDBPyConnection) -> dict[str, dict[str, Any]]:
    """Return what is held now by line id: columns of the view ``holding``, and ``part_id``."""
    return {row["line_id"]: row for row in dicts(con, HELD)}


def said_again(
    line: Mapping[str, Any],
    *,
    number: float | None,
    day: dt.date,
    condition: str | None = None,
    place: str | None = None,
    remark: str | None = None,
) -> list[str]:
    """Return a holding as a row of a list, in its own words, with what is said of it anew."""
    fits = " ".join(filter(None, (line["family"], line["effectivity_text"] or line["mark"])))
    return [
        line["description"] or "", line["part_number"] or "", line["side"] or "",
        line["position"] or "",
        line["quantity_text"] or "" if number is None else f"{number:g}",
        condition or line["condition_text"] or line["grade"].replace("-", " "),
        _AVAILABLE[line["availability"]], fits, place or line["place"] or "",
        line["holder"] or "", line["from_vehicle"] or "", day.isoformat(), remark or "",
    ]  # fmt: skip


def table(headings: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    """Return rows under headings as CSV."""
    out = io.StringIO()
    csv.writer(out, lineterminator="\n").writerows([headings, *rows])
    return out.getvalue()


def dicts(con: DuckDBPyConnection, sql: str) -> list[dict[str, Any]]:
    """Return the rows of a query by column name."""
    found = con.execute(sql)
    names = [one[0] for one in found.description or ()]
    return [dict(zip(names, row, strict=True)) for row in found.fetchall()]
