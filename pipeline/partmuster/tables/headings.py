"""From a row of headings to fields."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

from rapidfuzz import fuzz, process

from partmuster_trade.headings import HeadingMeaning, fold_heading, heading_meanings

from .content import Content, suits

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping, Sequence

#: A misspelt heading is still taken for a known one from this similarity on. Below it short
#: headings begin to be taken for each other ("Part no." and "Cart no.").
MIN_SIMILARITY = 88.0
_FUZZY_FROM_LETTERS = 6
_HEAD_ROWS = 30
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


@lru_cache(maxsize=4096)
def meanings_of(text: str) -> tuple[tuple[HeadingMeaning, ...], float]:
    """Return what a heading may mean, likeliest first, and how alike it is to a known one."""
    known = heading_meanings()
    folded = fold_heading(text)
    without = fold_heading(re.sub(r"\([^)]*\)", " ", text))
    for form in (folded, without):
        if form in known:
            return known[form], 1.0
    if len(folded) >= _FUZZY_FROM_LETTERS:
        best = process.extractOne(folded, list(known), scorer=fuzz.ratio,
                                  score_cutoff=MIN_SIMILARITY)  # fmt: skip
        if best is not None:
            return known[best[0]], best[1] / 100
    return (), 0.0


def header_row(rows: Sequence[Sequence[str | None]]) -> int | None:
    """Return which of the first rows holds the headings, or None.

    Two cells at least are known headings, and they are two fifths or more of the row; figures and
    unknown cells count against it, and so does each row above.
    """
    best: tuple[float, int] | None = None
    for at, row in enumerate(rows[:_HEAD_ROWS]):
        cells = [cell for cell in row if cell]
        likeness = [meanings_of(cell)[1] if len(cell) <= 40 else 0.0 for cell in cells]  # noqa: PLR2004 - longer cells are sentences
        known = sum(likeness)
        figures = sum(bool(_NUMERIC.match(cell)) for cell in cells)
        alone = len(row) == 1 and at == 0
        if not (known >= 1.7 or (alone and known)) or known < 0.4 * len(cells):  # noqa: PLR2004 - two headings, one misspelt
            continue
        score = known - 0.3 * (len(cells) - known) - figures - 0.1 * at
        if best is None or score > best[0]:
            best = (score, at)
    return best[1] if best else None


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
        if sum(m.field in allowed for m in heading.meanings) > 1:
            reason += ", by kind of table and content"
        taken[heading.column] = Taken(meaning.field, reason, meaning.tells)
    return taken


def _is_state_of_a_country(heading: Heading, headings: Sequence[Heading]) -> bool:
    """Tell whether "State" stands beside a county, and so is no state of repair."""
    return fold_heading(heading.text) == "state" and any(
        fold_heading(other.text) in {"county", "country", "zip", "zip code"} for other in headings
    )
