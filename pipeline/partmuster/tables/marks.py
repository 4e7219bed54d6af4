"""Survey marks: which are clear, what a legend or a person says of the others, what to ask."""

from __future__ import annotations

import re
from collections import Counter
from functools import lru_cache
from typing import TYPE_CHECKING

import polars as pl

from partmuster.reading.presence import TICKED_TWICE, read_presence
from partmuster.reading.states import is_state
from partmuster_schemas.words import PRESENCES

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping, Sequence

    from .told import Told

_KEYED = re.compile(
    r"^(?:key|legend|marks?|codes?|symbols?|letters?|abbreviations?)(?: used| (?:to|for) \w+)?"
    r"\s*(?:[:=]|[-–]\s)\s*", re.IGNORECASE,
)  # fmt: skip
_MARK = r"[('\"“‘\[]?(?P<mark>[^\s=:()'\"“”‘’\[\]]{1,3}?)[)'\"”’\]]?"
_PARTS = re.compile(r"\s*[;,|\n]\s*|\s+/\s+|\s{2,}|\s+(?=['\"“‘(]?[^\s=]{1,3}['\"”’)]?\s*=)")
#: In a key without signs between, a capital letter or sign alone begins what the next one means.
_NEXT_MARK = re.compile(r"\s+(?=[A-Z?*✓✔✗✘]\s+[a-z])")
_MEANS = re.compile(
    rf"^{_MARK}\s*(?:=|:|[-–]\s|\bmeans\b|\bis\b|\bstands for\b|\bfor\b)\s*(?P<words>\S.*)$"
)
_KEYED_MEANS = re.compile(rf"^{_MARK}\s+(?P<words>\S.*)$")
_LONE_CAPITAL = re.compile(r"(?<!\S)[A-Z](?!\S)")
_MARK_AND_MORE = re.compile(r"^(?P<mark>\S{1,2}?)(?P<more>(?:\s*\?|\s*[(,;:–-]|\s)(?!\s*\d+$).*)$")
_MARK_LETTERS = 2
_LONGEST_ASKED = 40
#: Two and more can only be counts; words keep 1 and 0 from being read as marks again.
_COUNTS = re.compile(r"^(?:[2-9]|[1-9]\d{1,3})$")
_AS_COUNTS = {"1": "one", "0": "none"}
#: What a mark may be said to mean: the presence words, and one for "there, but does not work".
CHOICES = (*PRESENCES, "unserviceable")


@lru_cache(maxsize=100_000)
def is_presence(text: str) -> bool:
    """Tell whether a cell can be read as what a survey saw, or is a mark whose meaning is open."""
    reading = read_presence(text)
    if reading.presence is not None or reading.mark is not None or reading.service != "unknown":
        return True
    return is_state(text) or reading.problem == "contradictory-words"


def is_letter(text: str) -> bool:
    """Tell whether a cell is one or two letters: a code, if a key explains it."""
    return len(text) <= _MARK_LETTERS and text.isalpha()


def read_legend(text: str) -> dict[str, str]:
    """Return meaning by mark from a legend: "N = not there" or "Key: x missing, Y fitted".

    Only meanings that can be read as presence count; none of them: an empty dict.
    """
    rest = _KEYED.sub("", text.strip())
    keyed = rest != text.strip()
    parts = [part for part in _PARTS.split(rest) if part]
    found: dict[str, str] = {}
    for part in parts:
        match = _MEANS.match(part)
        if match is not None and _meaning(match["words"]):
            found[match["mark"]] = _meaning(match["words"])
        elif keyed:
            found |= _without_signs(_NEXT_MARK.split(part))
    if found or keyed:
        return found
    listed = _without_signs(parts)
    return listed if len(listed) == len(parts) > 1 and _all_said(listed) else {}


def _without_signs(parts: Sequence[str]) -> dict[str, str]:
    """Return meaning by mark where nothing but a space stands between: "F fitted"."""
    matches = (_KEYED_MEANS.match(part) for part in parts)
    pairs = ((match["mark"], _meaning(match["words"])) for match in matches if match)
    return {mark: meaning for mark, meaning in pairs if meaning}


def _all_said(meanings: Mapping[str, str]) -> bool:
    """Tell whether marks are single signs or capitals, and every word of their meaning is known."""
    return all(
        len(mark) == 1 and not mark.islower() and not read_presence(meaning).rest
        for mark, meaning in meanings.items()
    )


def _meaning(words: str) -> str:
    """Return what a mark means if it can be read as presence, else nothing."""
    words = words.strip(" .'\"")
    if _LONE_CAPITAL.search(words):  # another mark's meaning may have run into it
        return ""
    reading = read_presence(words)
    read = not reading.ambiguous and (reading.presence or reading.service != "unknown")
    return words if read else ""


def settle_marks(
    lines: pl.DataFrame, sheet: str, legend: Mapping[str, str], told: Told,
    under: Mapping[str, str],
) -> tuple[pl.DataFrame, dict[str, int]]:  # fmt: skip
    """Return survey lines with marks replaced by their meaning, and the marks to ask about.

    A person's answer rules, then the sheet's legend, then the heading (``under``: from
    :func:`.under_headings.meanings_under`); where other cells count, 1 and 0 are counts too.
    Marks nobody explained stay as they are and are returned with the number of lines each stands
    in.
    """
    counts = dict(lines["presence"].drop_nulls().value_counts().iter_rows())
    if any(_COUNTS.match(text) for text in counts):
        under = {**_AS_COUNTS, **under}
    bare = {mark for text in counts if (mark := _mark_in(text)) is not None} | set(legend)
    # Words that cannot be read are asked about like marks: nothing else would settle them.
    bare |= {text for text in counts if len(text) <= _LONGEST_ASKED and _says_nothing(text)
             and not text.startswith(TICKED_TWICE)}  # fmt: skip
    meanings: dict[str, str] = {}
    open_marks: Counter[str] = Counter()
    for text, count in counts.items():
        mark, more = (text, "") if text in bare else _split_mark(text, bare)
        meaning = told.mark(sheet, mark) or legend.get(mark) or under.get(mark.casefold())
        if meaning is not None:
            meanings[text] = f"{meaning}{more}"
        elif mark in bare:
            # What stands beside an open mark must not be read without it.
            meanings[text] = mark
            open_marks[mark] += count
    return lines.with_columns(pl.col("presence").replace(meanings)), dict(open_marks)


def _says_nothing(text: str) -> bool:
    """Tell whether a cell leaves open what was seen."""
    reading = read_presence(text)
    read = reading.presence is not None or reading.service != "unknown"
    return not read and reading.mark is None and not is_state(text)


def _split_mark(text: str, bare: Collection[str]) -> tuple[str, str]:
    """Return the mark that a cell begins with, if the sheet uses it alone too, and the rest."""
    match = _MARK_AND_MORE.match(text)
    if match is not None and match["mark"] in bare:
        return match["mark"], match["more"]
    return text, ""


def _mark_in(text: str) -> str | None:
    """Return the mark a cell consists of, where its meaning is not clear."""
    reading = read_presence(text)
    if reading.mark is not None:
        return reading.mark if len(reading.mark) <= _MARK_LETTERS else None
    unread = reading.presence is None and reading.service == "unknown"
    return text if unread and len(text) <= _MARK_LETTERS else None
