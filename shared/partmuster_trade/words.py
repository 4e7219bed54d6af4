"""Trade words as data: which phrase means what, read from ``data/words_*.csv``.

Every table has the columns ``words`` (phrases, ``;`` between), ``note`` and ``source``; the columns
between are what the phrases mean. A row without any meaning shields its phrase, so that a shorter
one inside it is not read ("new type" is not new).
"""

from __future__ import annotations

import csv
import functools
from dataclasses import dataclass
from importlib import resources
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from collections.abc import Mapping

#: Tables in ``data/words_<name>.csv`` with the meaning columns each must have.
TABLES: Final[Mapping[str, tuple[str, ...]]] = {
    "assembly": ("assembly",),
    "availability": ("availability", "surplus"),
    "beside": ("beside",),
    "change_stays": ("change_stays",),
    "changeable": ("changeable",),
    "condition": ("service", "making", "grade", "presence", "availability"),
    "condition_code": ("scheme", "service", "grade"),
    "driving_side": ("drives_on",),
    "evidence": ("evidence",),
    "family_title": ("what",),
    "fit": ("fit_grade",),
    "given_name": ("also",),
    "gone": ("gone",),
    "hardware": (
        "kind",
        "style",
        "series",
        "strength",
        "material",
        "finish",
        "drilled",
        "closure",
        "clearance",
        "gender",
        "fit_class",
        "hand",
        "duty",
        "caution",
    ),
    "hedge": (),
    "aim": ("aim",),
    "later_change": ("later_change",),
    "likelihood": ("likelihood",),
    "note_before": ("presence", "subject"),
    "note_deal": ("availability", "stage", "takes"),
    "note_dealing": ("kind", "value", "before", "behind"),
    "note_head": ("kind", "availability", "where"),
    "note_heading": ("kind", "presence", "availability"),
    "note_role": ("role",),
    "note_state": ("presence", "service", "making", "denied"),
    "note_told": ("told",),
    "not_telling": (),
    "position": ("position",),
    "other_thing": ("thing",),
    "presence": ("presence", "service", "making", "accepted_stand_in"),
    "quantity": ("at_least", "at_most", "special", "problem"),
    "role": ("role",),
    "seen": ("seen",),
    "side": ("side", "position", "reads"),
    "side_context": ("reading", "settles"),
    "stage": ("stage",),
    "title": ("what",),
    "unit": ("unit", "pieces"),
    "work": ("alters", "can_be_undone"),
}


class WordsError(ValueError):
    """A table of words is not as it must be; the text names file, row and column."""


@dataclass(frozen=True, slots=True)
class WordRow:
    """One phrase and what it means; ``meanings`` has every meaning column, empty where unsaid."""

    words: str
    meanings: Mapping[str, str]
    note: str
    source: str


@functools.cache
def load_words(table: str) -> tuple[WordRow, ...]:
    """Return the rows of a table, one a phrase, in file order.

    Raises:
        WordsError: no such table, a column is missing or unknown, or a row has no words.
    """
    if table not in TABLES:
        raise WordsError(f"no table of words '{table}'; there are: {', '.join(sorted(TABLES))}")
    name = f"words_{table}.csv"
    path = resources.files("partmuster_trade").joinpath("data", name)
    expected = ["words", *TABLES[table], "note", "source"]
    rows: list[WordRow] = []
    with path.open(encoding="utf-8") as handle:
        reader = csv.DictReader(handle)
        if reader.fieldnames != expected:
            raise WordsError(f"{name}, row 1: columns must be {', '.join(expected)}")
        for number, row in enumerate(reader, start=2):
            phrases = [phrase.strip() for phrase in (row["words"] or "").split(";")]
            if None in row or None in row.values() or not all(phrases):
                raise WordsError(f"{name}, row {number}: words missing, or too many or few cells")
            meanings = {column: row[column].strip() for column in TABLES[table]}
            rows += [WordRow(p, meanings, row["note"], row["source"]) for p in phrases]
    return tuple(rows)
