"""Which statements count by themselves, and which a person is asked about first.

Measured on notes by hands that the rules were not made on (``python -m tests.bench notes``): of
survey lines from short sentences about eight in ten are right, of what is told of the past nine; of
other lines, and of long sentences, hardly more than half. What is often wrong is asked about.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from .statement import Statement

#: A survey's sentence of so many words is short.
_SHORT = 10
#: Rules that read the state of a part from plain words beside it.
_PLAIN = frozenset({
    "state behind", "none of it", "list under a state", "not so for this one", "could not see",
})  # fmt: skip
ASKED = "free words are often read wrongly: is this what they say?"


def asked_about(statement: Statement) -> str | None:
    """Return why a person is to be asked whether the words say so; None: they plainly do."""
    if statement.kind == "history":
        return None
    plain = (
        statement.kind == "survey" and statement.rule in _PLAIN and statement.sure
        and statement.first_hand and len(statement.words.split()) <= _SHORT
    )  # fmt: skip
    return None if plain else ASKED
