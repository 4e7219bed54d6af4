"""What a sheet itself says its colours mean: "yellow = promised", or a coloured cell beside words.

Nobody is asked about such a colour.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import polars as pl

from partmuster.reading.availability import read_availability
from partmuster.reading.presence import read_presence
from partmuster_schemas.words import PRESENCES
from partmuster_trade.headings import fold_heading

from .colour_names import NAMES, colour_name

if TYPE_CHECKING:
    from collections.abc import Sequence

NOTHING = "nothing"
_OFFERS = ("kept", "offered", "swap", "promised")
_WITHDRAWN = ("withdrawn", NOTHING)
#: What a colour may be said to mean, by kind of line.
CHOICES: dict[str, tuple[str, ...]] = {
    "holding": ("gone", *_OFFERS, "unserviceable", NOTHING),
    "want": ("closed", NOTHING),
    "survey": (*PRESENCES, "unserviceable", NOTHING),
    "requirement": _WITHDRAWN, "fit": _WITHDRAWN, "promise": _WITHDRAWN,
    "vehicle": ("gone", NOTHING), "holder": ("gone", NOTHING), "place": ("gone", NOTHING),
    "build": _WITHDRAWN, "feature": _WITHDRAWN, "history": _WITHDRAWN,
    "lead": _WITHDRAWN,
}  # fmt: skip

_COLOUR = "|".join(NAMES)
_KEYED = re.compile(
    r"^(?:key|legend|colou?rs?|colou?r code|codes?)\s*(?:[:=]|[-–]\s)\s*", re.IGNORECASE
)
_PARTS = re.compile(r"\s*[;,()\n]\s*")
_MEANS = re.compile(
    rf"^(?P<shade>(?:light|dark|pale|bright) )?(?P<colour>{_COLOUR})"
    r"(?P<ink> (?:ink|text|print|letters))?"
    r"(?: (?:cells?|rows?|lines?|ones|items?|background|fill))?"
    r"(?P<sign>\s*(?:=|:|[-–]\s|\bmeans?\b|\bis\b|\bare\b))?\s*(?P<words>\S.*)$",
    re.IGNORECASE,
)
_NAMES_COLOUR = rf"(?i)\b(?:{_COLOUR})\b"
_GONE = frozenset({"gone", "sold", "sold on", "given away", "scrapped", "disposed of", "used"})
_CLOSED = frozenset({"closed", "found", "got", "got it", "bought", "done", "have now", "fitted"})
_WITHDREW = frozenset({"withdrawn", "deleted", "cancelled", "superseded", "no longer", "wrong"})
_NOTHING = frozenset({NOTHING, "no meaning", "no matter"})
_SAID = ((_NOTHING, NOTHING), (_GONE, "gone"), (_CLOSED, "closed"),
         (_WITHDREW | _GONE, "withdrawn"))  # fmt: skip


@dataclass(slots=True)
class Keys:
    """What a sheet says its colours mean.

    ``codes``: words by (``fill`` or ``ink``, ``rrggbb``); ``names``: by (``fill``, ``ink`` or
    ``""`` for both, name). ``rows``: rows that say nothing else.
    """

    codes: dict[tuple[str, str], str] = field(default_factory=dict)
    names: dict[tuple[str, str], str] = field(default_factory=dict)
    rows: list[int] = field(default_factory=list)

    def words(self, mark: str, code: str) -> str | None:
        """Return what a colour is said to mean, in the sheet's words."""
        if (mark, code) in self.codes:
            return self.codes[mark, code]
        name = colour_name(code)
        for form in (name, name.rpartition(" ")[2]):
            for place in (mark, ""):
                if (place, form) in self.names:
                    return self.names[place, form]
        return None


def choice_of(kind: str, words: str) -> str | None:
    """Return which of the things a colour may mean for lines of a kind some words say, or None."""
    choices = CHOICES.get(kind, ())
    folded = fold_heading(words)
    if words.strip().casefold() in choices:
        return words.strip().casefold()
    for said, choice in _SAID:
        if folded in said and choice in choices:
            return choice
    seen = read_presence(words)
    offer = read_availability(words) if kind == "holding" else None
    if "unserviceable" in choices and seen.service == "unserviceable":
        found: str | None = "unserviceable"
    elif offer is not None and offer.problem is None:
        found = offer.availability
    else:
        found = seen.presence if kind == "survey" and not seen.ambiguous else None
    return found if found in choices else None


def choice_of_these(choices: str, words: str) -> str | None:
    """Return which of the choices of a question (``;`` between) some words say, or None."""
    kinds = [kind for kind, several in CHOICES.items() if ";".join(several) == choices]
    return next((found for kind in kinds if (found := choice_of(kind, words))), None)


def find_keys(cells: pl.DataFrame, columns: Sequence[str], signs: pl.DataFrame) -> Keys:
    """Return what the rows of a cleaned grid say of its colours, outside its tables.

    Rows of one or two cells count: those that name a colour anywhere, those with a coloured cell
    above or below all tables.
    """
    keys = Keys()
    few = cells.filter(pl.col("n") <= 2)  # noqa: PLR2004 - a colour and its meaning
    naming = few.filter(
        pl.any_horizontal(pl.col(list(columns)).str.contains(_NAMES_COLOUR).fill_null(value=False))
    )
    for row in naming.select("row", *columns).to_dicts():
        texts = [text for name in columns if (text := row[name])]
        if all(take_words(keys, text) for text in texts) or take_words(keys, " = ".join(texts)):
            keys.rows.append(row["row"])
    coloured = coloured_cells(signs)
    several = cells.filter(pl.col("n") > 2)["row"]  # noqa: PLR2004 - as above
    if coloured and several.len():
        ends = (several[0], several[-1])
        outside = few.filter(~pl.col("row").is_between(*ends) & (pl.col("n") == 1))
        outside = outside.filter(pl.col("row").is_in([row for row, _ in coloured]))
        for row in outside.select("row", *columns).to_dicts():
            at, text = next((int(name), row[name]) for name in columns if row[name])
            if row["row"] not in keys.rows and take_cell(keys, coloured, row["row"], at, text):
                keys.rows.append(row["row"])
    return keys


def take_words(keys: Keys, text: str) -> bool:
    """Take what a text says of colours; tell whether it says nothing else."""
    rest = _KEYED.sub("", text.strip())
    keyed = rest != text.strip()
    taken = []
    for part in filter(None, _PARTS.split(rest)):
        found = _MEANS.match(part)
        if found is None or not (found["sign"] or keyed) or not _means_something(found["words"]):
            taken.append(False)
            continue
        shade = (found["shade"] or "").casefold().replace("pale", "light").replace("bright ", "")
        name = f"{shade}{NAMES[found['colour'].casefold()]}"
        keys.names["ink" if found["ink"] else "", name] = found["words"].strip(" .")
        taken.append(True)
    return bool(taken) and all(taken)


def take_cell(
    keys: Keys, coloured: dict[tuple[int, int], list[tuple[str, str]]], row: int, column: int,
    text: str,
) -> bool:  # fmt: skip
    """Take the meaning that stands in a coloured cell, or beside one; tell whether one does."""
    if not _means_something(text):
        return False
    for at in (column, column - 1, column + 1):
        for mark, code in coloured.get((row, at), ()):
            keys.codes.setdefault((mark, code), text.strip(" ."))
            return True
    return False


def coloured_cells(signs: pl.DataFrame) -> dict[tuple[int, int], list[tuple[str, str]]]:
    """Return mark and colour of each coloured cell, by row and column."""
    found: dict[tuple[int, int], list[tuple[str, str]]] = {}
    cells = signs.filter(
        pl.col("mark").is_in(["fill", "ink"]) & pl.col("row").is_not_null()
        & pl.col("column").is_not_null() & pl.col("value").is_not_null()
    )  # fmt: skip
    for row, column, mark, value in cells.select("row", "column", "mark", "value").iter_rows():
        found.setdefault((row, column), []).append((mark, value))
    return found


def _means_something(words: str) -> bool:
    return any(choice_of(kind, words) for kind in ("holding", "want", "survey", "requirement"))
