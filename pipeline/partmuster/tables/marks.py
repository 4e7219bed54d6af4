"""Survey marks: which are clear, what a legend or a person says of the others, what to ask."""

from __future__ import annotations

import re
from collections import Counter
from typing import TYPE_CHECKING

import polars as pl

from partmuster.reading.presence import read_presence
from partmuster_schemas.words import PRESENCES

if TYPE_CHECKING:
    from collections.abc import Mapping

    from .told import Told

_KEYED = re.compile(r"^(?:key|legend|marks?|codes?|symbols?)\s*(?:[:=]|[-–]\s)\s*", re.IGNORECASE)
_PARTS = re.compile(r"\s*[;,\n]\s*|\s{2,}|\s+(?=\S{1,2}\s*=)")
_MEANS = re.compile(r"^(?P<mark>\S{1,2})\s*(?:=|:|[-–]\s|\bmeans\b|\bis\b)\s*(?P<words>\S.*)$")
_KEYED_MEANS = re.compile(r"^(?P<mark>\S{1,2})\s+(?P<words>\S.*)$")
_MARK_LETTERS = 2
#: What a mark may be said to mean: the presence words, and one for "there, but does not work".
CHOICES = (*PRESENCES, "unserviceable")


def is_presence(text: str) -> bool:
    """Tell whether a cell can be read as what a survey saw, or is a mark whose meaning is open."""
    reading = read_presence(text)
    return reading.presence is not None or reading.ambiguous or reading.service != "unknown"


def read_legend(text: str) -> dict[str, str]:
    """Return meaning by mark from a legend: "N = not there" or "Key: x missing, Y fitted".

    Only meanings that can be read as presence count; none of them: an empty dict.
    """
    rest = _KEYED.sub("", text.strip())
    keyed = rest != text.strip()
    found: dict[str, str] = {}
    for part in _PARTS.split(rest):
        match = _MEANS.match(part) or (_KEYED_MEANS.match(part) if keyed else None)
        if match is None:
            continue
        reading = read_presence(match["words"].strip(" ."))
        if not reading.ambiguous and (reading.presence or reading.service != "unknown"):
            found[match["mark"]] = match["words"].strip(" .")
    return found


def settle_marks(
    lines: pl.DataFrame, sheet: str, legend: Mapping[str, str], told: Told
) -> tuple[pl.DataFrame, dict[str, int]]:
    """Return survey lines with marks replaced by their meaning, and the marks to ask about.

    A person's answer rules, then the sheet's legend. Marks nobody explained stay as they are and
    are returned with the number of lines each stands in.
    """
    counts = lines["presence"].drop_nulls().value_counts()
    meanings: dict[str, str] = {}
    open_marks: Counter[str] = Counter()
    for text, count in counts.iter_rows():
        mark = _mark_in(text)
        meaning = told.mark(sheet, mark or text) or legend.get(mark or text)
        if meaning is not None:
            more = text[len(mark) :] if mark and text.startswith(mark) else ""
            meanings[text] = meaning + more
        elif mark is not None:
            open_marks[mark] += count
    if meanings:
        lines = lines.with_columns(pl.col("presence").replace(meanings))
    return lines, dict(open_marks)


def _mark_in(text: str) -> str | None:
    """Return the mark a cell consists of or begins with, where its meaning is not clear."""
    reading = read_presence(text)
    if reading.ambiguous:
        return reading.mark or text
    unread = reading.presence is None and reading.service == "unknown"
    return text if unread and len(text) <= _MARK_LETTERS else None
