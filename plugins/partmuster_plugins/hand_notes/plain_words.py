"""Which statements count by themselves, and which a person is asked about first.

Measured on notes by hands that the rules were not made on (``python -m tests.bench notes``): of
survey lines from short sentences that name their part about nine in ten are right, of what is told
of the past where a time is named eight; of other lines, and of long sentences, hardly half. What is
often wrong is asked about.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from .expressions import expression
from .roles import words_of

if TYPE_CHECKING:
    from .statement import Statement

#: A survey's sentence of so many words is short.
_SHORT = 10
#: Rules that read the state of a part from plain words beside it.
_PLAIN = frozenset({"state behind", "none of it"})
#: "No dynamo", "There is still no horn": elsewhere "no" denies more than that ("I lent no tools").
_BEGINS_WITH_NO = expression(
    r"^\W*(?:(?:still|and|but|also|[\w ]{1,25}:) ?)*(?:no|not an?|zero|there(?:['’]s| is| are) "
    r"(?:still )?(?:no|not))\b(?!\.? ?\d)",
    re.IGNORECASE,
)
_A_YEAR = expression(r"\b(?:1[89]|20)\d\d(?:s\b|\b)|['’]\d\d(?:s\b|\b)")
ASKED = "free words are often read wrongly: is this what they say?"


def asked_about(statement: Statement) -> str | None:
    """Return why a person is to be asked whether the words say so; None: they plainly do."""
    words = statement.words
    if statement.kind == "history":
        return None if _tells_a_time(words) else ASKED
    plain = (
        statement.kind == "survey" and statement.rule in _PLAIN and statement.sure
        and statement.first_hand and len(words.split()) <= _SHORT and _names_its_part(statement)
        and (statement.rule != "none of it" or bool(_BEGINS_WITH_NO.match(words)))
    )  # fmt: skip
    return None if plain else ASKED


def _tells_a_time(words: str) -> bool:
    """Tell whether words name a year or another time long past, as the past of a vehicle has it."""
    told = re.findall(r"[a-z]+", words.casefold())
    return bool(_A_YEAR.search(words)) or not words_of("past-time").isdisjoint(told)


def _names_its_part(statement: Statement) -> bool:
    """Tell whether the part stands in the sentence itself, and not in the one before it."""
    name = statement.fields.get("description", "").casefold().split()
    return bool(name) and name[-1] in statement.words.casefold()
