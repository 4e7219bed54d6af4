"""Abbreviations of parts lists and notebooks, settled by their neighbours or left open."""

from __future__ import annotations

import functools
import re
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from partmuster_trade.spellings import uk_spelling
from partmuster_trade.tables import bundled_rows, split_list

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable

OTHERWISE: Final = "*"
NUMBER: Final = "#number"
SIZE: Final = "#size"
MEASURES: Final = frozenset({NUMBER, SIZE})

_NUMBER: Final = re.compile(r"\d[\d.,/]*")
# .020, 0.5, 3/8, 10mm, 20thou, 1/2": never a bare whole number, which is a quantity as often
_SIZE: Final = re.compile(
    r"""[+-]?(?:\d*[.,]\d+|\d+/\d+)(?:in|ins|"|mm)?|[+-]?\d+(?:mm|thou|in|")""", re.VERBOSE
)
_MEASURING_WORDS: Final = frozenset({"thou", "thousandths"})


@dataclass(frozen=True, slots=True)
class Abbreviation:
    """One row: what a short form stands for, and which neighbours point to which reading."""

    abbr: str
    expansions: tuple[str, ...]
    other_readings: tuple[str, ...]
    region: str
    ambiguous: bool
    context: tuple[tuple[str, frozenset[str]], ...]
    note: str
    source: str


@dataclass(frozen=True, slots=True)
class Expansion:
    """What a token may stand for, likeliest first; `settled` if one reading alone is left."""

    readings: tuple[str, ...]
    settled: bool
    reason: str


def _context(cell: str) -> tuple[tuple[str, frozenset[str]], ...]:
    rules = (rule.partition("<") for rule in split_list(cell))
    return tuple((reading, frozenset(words.split("|"))) for reading, _, words in rules)


@functools.cache
def all_abbreviations() -> tuple[Abbreviation, ...]:
    """Return all rows. A short form may have a row for each region."""
    return tuple(
        Abbreviation(
            row["abbr"],
            split_list(row["expansions"]),
            split_list(row["other_readings"]),
            row["region"],
            row["ambiguous"] == "yes",
            _context(row["context"]),
            row["note"],
            row["source"],
        )
        for row in bundled_rows("abbreviations.csv")
    )


def _forms(token: str) -> tuple[str, ...]:
    """Return the spellings under which a token is looked up: L.H. as LH, R/H as R/H then RH."""
    plain = token.strip().upper().replace(".", "").strip(",;:()[]")
    bare = plain.replace("/", "").replace("\\", "").replace("'", "")
    return (plain, bare) if bare != plain else (plain,)


@functools.cache
def _by_form() -> dict[str, tuple[Abbreviation, ...]]:
    found: dict[str, list[Abbreviation]] = {}
    for row in all_abbreviations():
        found.setdefault(row.abbr, []).append(row)
    return {abbr: tuple(rows) for abbr, rows in found.items()}


@functools.lru_cache(maxsize=50_000)
def _rows(token: str, region: str | None) -> tuple[Abbreviation, ...]:
    for form in _forms(token):
        rows = _by_form().get(form, ())
        if rows:
            own = tuple(r for r in rows if region is None or r.region in {"any", region})
            return own or rows
    return ()


def _neighbour_words(neighbours: Iterable[str]) -> set[str]:
    """Return the words near a token: as written, singular, and what short forms stand for."""
    return {word for neighbour in neighbours for word in _words_of(neighbour)}


@functools.lru_cache(maxsize=50_000)
def _words_of(neighbour: str) -> frozenset[str]:
    word = uk_spelling(neighbour).strip(",;:()[]").rstrip(".")
    single = word.removesuffix("s")
    words = {word, single}
    rows = _rows(word, None) or _rows(single, None)
    stood_for = [expansion for row in rows for expansion in row.expansions]
    words.update(stood_for, (reading.removesuffix("s") for reading in stood_for))
    if _NUMBER.fullmatch(word):
        words.add(NUMBER)
    if word in _MEASURING_WORDS or _SIZE.fullmatch(word):
        words.add(SIZE)
    return frozenset(words)


def _spelt(readings: Iterable[str], region: str | None) -> tuple[str, ...]:
    """Return the readings with those that differ in spelling alone made one, as the region does.

    Where no region is given, or none but the UK's spelling is known, the UK's is kept.
    """
    kept: dict[str, str] = {}
    for reading in readings:
        key = uk_spelling(reading)
        american = key != reading.casefold()
        if key not in kept or american == (region == "US"):
            kept[key] = reading
    return tuple(kept.values())


def expand(token: str, neighbours: Collection[str] = (), region: str | None = None) -> Expansion:
    """Return what a token stands for, given the other words of its line.

    Parameters: `neighbours`, the other tokens of the line as written; `region`, UK, US or AU
    where the source's is known. A token that is no known abbreviation gives itself, settled.

    A row's context rules name the words that point to a reading; a size or number beside the
    token (`#size`, `#number`) outweighs words, and `*` stands for "otherwise". Where the
    neighbours point two ways, or nowhere and no "otherwise" is given, it stays open with all
    its readings. The rules are common practice, no source.
    """
    rows = _rows(token, region)
    if not rows:
        return Expansion((token,), settled=True, reason="not an abbreviation known here")
    readings = _spelt((r for row in rows for r in (*row.expansions, *row.other_readings)), region)
    if len(readings) == 1:
        return Expansion(readings, settled=True, reason="has one reading")

    words = _neighbour_words(neighbours)
    rules = [rule for row in rows for rule in row.context]
    measured = {reading for reading, marks in rules if marks & MEASURES & words}
    pointed = measured or {reading for reading, marks in rules if marks & words}
    if len(pointed) == 1:
        reading = pointed.pop()
        seen = sorted(words & next(marks for named, marks in rules if named == reading))
        return Expansion((reading,), settled=True, reason=f"beside {', '.join(seen)}")
    if pointed:
        rest = (r for r in readings if r in pointed)
        return Expansion(tuple(rest), settled=False, reason="its neighbours point several ways")
    otherwise = next((reading for reading, marks in rules if OTHERWISE in marks), None)
    if otherwise is not None:
        return Expansion((otherwise,), settled=True, reason="nothing beside it says otherwise")
    return Expansion(readings, settled=False, reason="nothing beside it tells which")
