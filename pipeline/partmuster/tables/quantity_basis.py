"""What the quantities of a parts list count for: vehicle, figure or next higher assembly.

Per figure and per next higher assembly were both seen in published manuals, and differ; where a
list does not say which it is, a person is asked as soon as it makes a difference.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from .asking import Question

if TYPE_CHECKING:
    from collections.abc import Iterable

#: The bases a person may name.
BASES = ("vehicle", "figure", "assembly")
_PER = r"(?:\bper|\beach|\bevery|\bone|\ba|\bin|\bto|\bfor|\bon|/)\s*(?:a |an |one |each |the )?"
_WORDS = {
    "assembly": re.compile(
        r"\bnext[ -]?high(?:er|est)\b|\bn\.?h\.?a\b|\bqpa\b|\bqna\b|\bupa\b|"
        rf"{_PER}(?:sub-? ?)?(?:assembl\w*|assys?|ass'?y|unit|parent|component)\b",
        re.IGNORECASE,
    ),
    "figure": re.compile(rf"{_PER}(?:figure|fig|plate|illustration|page)\b", re.IGNORECASE),
    "vehicle": re.compile(
        rf"{_PER}(?:complete )?(?:vehicle|veh|car|machine|tank|truck|lorry|carrier|chassis|"
        r"tractor)\b",
        re.IGNORECASE,
    ),
}
_ABOUT_QUANTITY = re.compile(
    r"\b(?:quantit\w*|qty|qtys|no\.? off|numbers? off|no\.?s? (?:req\w*|per)|units?|figures)\b",
    re.IGNORECASE,
)


def basis_in(text: str | None) -> str | None:
    """Return the one basis that a heading or a cell names, or None."""
    found = [name for name, words in _WORDS.items() if text and words.search(text)]
    return found[0] if len(found) == 1 else None


def basis_of_titles(texts: Iterable[str]) -> str | None:
    """Return the basis that titles and notes about quantities name; two that differ name none."""
    found = {basis_in(text) for text in texts if text and _ABOUT_QUANTITY.search(text)} - {None}
    return found.pop() if len(found) == 1 else None


def about_basis(sheet: str, count: int) -> Question:
    """Return the question what quantities count for."""
    place = f"sheet '{sheet}'" if sheet else "this parts list"
    return Question(
        "layout", f"{sheet}|basis",
        f"Are the quantities of {place} for the vehicle, for the figure, or for one of the next "
        "higher assembly?", ";".join(BASES), count,
    )  # fmt: skip
