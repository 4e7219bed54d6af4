"""From a row of headings to fields."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

from rapidfuzz import process
from rapidfuzz.distance import OSA

from partmuster.reading.sides import read_side
from partmuster_trade.headings import (
    HeadingMeaning,
    fold_heading,
    have_or_want_headings,
    heading_meanings,
)

from .builds_across import names_build
from .content import Content, suits

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping, Sequence

#: A heading of so many letters is still taken for a known one with one slip of the pen, a long
#: one with two. Shorter ones begin to be taken for each other.
_ONE_SLIP_FROM = 6
_TWO_SLIPS_FROM = 12
#: Headings are looked for in so many rows from the top.
HEAD_ROWS = 30
#: How alike a longer heading is to a known one that stands inside it.
KNOWN_INSIDE = 0.6
#: Single words that tell what a longer heading is about (common practice, no source).
_TELLING = frozenset(
    ["description", "quantity", "condition", "date", "holder", "owner", "availability", "price",
     "remarks", "notes", "designation", "nomenclature", "place", "location", "assembly",
     "member"]
)  # fmt: skip
_LEAST_SHARE = 0.4
_LONGEST_HEADING = 40
#: A cell of more letters is not read as a heading: sentences are shorter.
_LONGEST_READ = 1000
_LONGEST_SIDE = 16
_NUMERIC = re.compile(r"^[\d.,/ -]+$")


@dataclass(frozen=True, slots=True)
class Heading:
    """A column's heading with what it may mean; ``similarity`` is 1 for a known spelling."""

    column: str
    text: str
    meanings: tuple[HeadingMeaning, ...]
    similarity: float
    content: Content | None


@dataclass(frozen=True, slots=True)
class Taken:
    """The field a column was taken for, and why."""

    field: str
    reason: str
    tells: str = ""


#: A wide sheet asks of 30 rows of some hundred cells each, several times over.
@lru_cache(maxsize=65_536)
def meanings_of(text: str) -> tuple[tuple[HeadingMeaning, ...], float]:
    """Return what a heading may mean, likeliest first, and how alike it is to a known one.

    ``()`` and 0 where it is not known, as of a text so long that it cannot be a heading.
    """
    if len(text) > _LONGEST_READ:
        return (), 0.0
    known = heading_meanings()
    folded = fold_heading(text)
    without = fold_heading(re.sub(r"\([^)]*\)", " ", text))
    for form in (folded, without):
        if form in known:
            return known[form], 1.0
    if len(folded) >= _ONE_SLIP_FROM:
        slips = 2 if len(folded) >= _TWO_SLIPS_FROM else 1
        best = process.extractOne(folded, list(known), scorer=OSA.distance, score_cutoff=slips)
        if best is not None and len(best[0]) >= _ONE_SLIP_FROM:
            return known[best[0]], 1 - best[1] / len(folded)
    inside = _known_inside(folded)
    return (known[inside], KNOWN_INSIDE) if inside else ((), 0.0)


def _known_inside(folded: str) -> str | None:
    """Return the known heading that a longer one begins with, or names first: "General condition".

    Names with numbers are no longer headings, and short words mean too many things.
    """
    words = folded.split()
    if len(words) < 2 or any(char.isdigit() for char in folded):  # noqa: PLR2004 - one word is no longer heading
        return None
    known = heading_meanings()
    longest = max(name.count(" ") for name in known) + 1
    for start in range(len(words)):
        for end in range(min(len(words), start + longest), start, -1):
            phrase = " ".join(words[start:end])
            if phrase in known and (end - start > 1 or phrase in _TELLING):
                return phrase
    return None


def header_row(
    rows: Sequence[Sequence[str | None]],
    told: Collection[str] = (),
    *,
    kind_told: bool = False,
) -> int | None:
    """Return which of the first rows holds the headings, or None.

    Two cells at least are known headings (one, where a person named the kind of table), and they
    are two fifths or more of the row; figures and unknown cells count against it, and so does
    each row above. ``told``: folded headings that a person explained.
    """
    least = 0.8 if kind_told else 1.7  # a misspelt heading counts a little less than one
    best: tuple[float, int] | None = None
    for at, row in enumerate(rows[:HEAD_ROWS]):
        cells = list(dict.fromkeys(cell for cell in row if cell))
        likeness = [
            1.0 if fold_heading(cell) in told else _likeness(cell)
            for cell in cells if len(cell) <= _LONGEST_HEADING
        ]  # fmt: skip
        likeness += _builds_beside(row)
        known = sum(likeness)
        figures = sum(bool(_NUMERIC.match(cell)) for cell in cells)
        alone = len(row) == 1 and at == 0
        if not (known >= least or (alone and known)) or known < _LEAST_SHARE * len(cells):
            continue
        score = known - 0.3 * (len(cells) - known) - figures - 0.1 * at
        if best is None or score > best[0]:
            best = (score, at)
    return best[1] if best else None


def _builds_beside(row: Sequence[str | None]) -> list[float]:
    """Return 1 for each of several builds behind what names the rows, or behind nothing.

    In a row of data what stands first is no known heading.
    """
    builds = [cell for cell in row if cell and len(cell) <= _LONGEST_HEADING and names_build(cell)]
    if len(builds) < 2:  # noqa: PLR2004 - one build is a column's cell
        return []
    others = [cell for cell in row if cell and cell not in builds]
    headed = bool(others) and meanings_of(others[0])[1] == 1 and row.index(others[0]) == 0
    known = all(meanings_of(cell)[1] == 1 for cell in others)
    cornerless = known and row[0] is None
    return [1.0] * len(builds) if headed or cornerless else []


def _likeness(cell: str) -> float:
    """Return how alike a cell is to a known heading."""
    held_or_wanted = fold_heading(cell.strip(" ?:.!")) in have_or_want_headings()
    if held_or_wanted or names_side(cell):
        return 1.0
    return meanings_of(cell)[1]


@lru_cache(maxsize=4096)
def names_side(text: str) -> bool:
    """Tell whether a heading is a side and nothing else: "LH", "N/S"."""
    if len(text) > _LONGEST_SIDE:
        return False
    reading = read_side(text)
    return reading.side in {"left", "right", "near", "off"} and not reading.rest.strip(" .-")


def joined_headings(above: Sequence[str | None], own: Sequence[str | None]) -> Sequence[str | None]:
    """Return headings, those that stand twice told apart by the row above: "LH Qty", "RH Qty"."""
    folded = [fold_heading(text or "") for text in own]
    twice = {text for text in folded if text and folded.count(text) > 1}
    joined = [
        f"{over} {text}" if over and text and key in twice else text
        for over, text, key in zip(above, own, folded, strict=True)
    ]
    apart = [text for text, key in zip(joined, folded, strict=True) if key in twice]
    return joined if twice and len(set(apart)) == len(apart) else own


def take_fields(
    headings: Sequence[Heading], kind: str, allowed: Mapping[str, float], avoid: Collection[str]
) -> dict[str, Taken]:
    """Return the field of each column if the table holds lines of this kind.

    ``allowed``: the fields such lines have. ``avoid``: fields that the sheet's title already
    gives, taken only where a heading has no other meaning. Each field goes to one column: the
    likelier by heading, then by content, then the fuller; the others are left out (remarks).
    """
    offers: list[tuple[float, int, Heading, HeadingMeaning]] = []
    for at, heading in enumerate(headings):
        meanings = [m for m in heading.meanings
                    if m.field in allowed and (not m.kinds or kind in m.kinds)]  # fmt: skip
        # A county beside it makes "State" a part of the address.
        if any(m.field == "condition" for m in meanings) and _is_state_of_a_country(
            heading, headings
        ):
            continue
        # Beside a condition, "Status" says whether it is for sale, reserved or sold.
        if fold_heading(heading.text) == "status" and _has_condition(headings, kind, allowed):
            meanings = [m for m in meanings if m.field != "condition"]
        for meaning in meanings:
            content = suits(meaning.field, heading.content)
            if content <= -1 and len({m.field for m in heading.meanings}) > 1:
                continue
            score = (
                heading.similarity
                + content
                + (0.4 if meaning.kinds else 0.0)
                - 0.1 * meaning.rank
                - (0.6 if meaning.field in avoid else 0.0)
                + (0.05 * heading.content.filled if heading.content else 0.0)
            )
            offers.append((score, -at, heading, meaning))
    taken: dict[str, Taken] = {}
    gone: set[str] = set()
    for _, _, heading, meaning in sorted(offers, key=lambda offer: offer[:2], reverse=True):
        if heading.column in taken or meaning.field in gone:
            continue
        gone.add(meaning.field)
        reason = "heading" if heading.similarity == 1 else "heading, misspelt"
        if heading.similarity > 1:
            reason = "told"
        if sum(m.field in allowed for m in heading.meanings) > 1:
            reason += ", by kind of table and content"
        taken[heading.column] = Taken(meaning.field, reason, meaning.tells)
    return taken


def _has_condition(headings: Sequence[Heading], kind: str, allowed: Mapping[str, float]) -> bool:
    """Tell whether a heading that means nothing else in such a table asks for the condition."""
    for heading in headings:
        fields = {
            m.field
            for m in heading.meanings
            if m.field in allowed and (not m.kinds or kind in m.kinds)
        }
        if fields and fields <= {"condition", "presence"}:
            return not _is_state_of_a_country(heading, headings)
    return False


def _is_state_of_a_country(heading: Heading, headings: Sequence[Heading]) -> bool:
    """Tell whether "State" stands beside a county, and so is no state of repair."""
    return fold_heading(heading.text) == "state" and any(
        fold_heading(other.text) in {"county", "country", "zip", "zip code"} for other in headings
    )
