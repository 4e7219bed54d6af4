"""What people decided about item keys; contradictory decisions apply to nothing."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import polars as pl

if TYPE_CHECKING:
    from collections.abc import Mapping

#: The answer that says: this is no part we know.
NO_PART = "none"


@dataclass(frozen=True, slots=True)
class Decided:
    """The standing decisions on one item key, by answer: who said so."""

    answers: Mapping[str, tuple[str, ...]]

    @property
    def contradictory(self) -> bool:
        """Whether two people (or one, twice) decided differently."""
        return len(self.answers) > 1

    def words(self) -> str:
        """Return who decided what."""
        return " and ".join(
            f"{answer} by {', '.join(people)}" for answer, people in sorted(self.answers.items())
        )


def standing(decisions: pl.DataFrame) -> dict[str, Decided]:
    """Return the decisions on parts that stand, by item key.

    ``decisions``: columns of ``records.Decision``. A decision is undone by a later one that names
    it in ``undoes``, unless that one was itself undone.
    """
    if decisions.is_empty():
        return {}
    rows = (
        decisions.filter(pl.col("topic") == "part")
        .sort("decided_at", "decision_id", descending=True)
        .select("decision_id", "subject", "answer", "decided_by", "undoes")
    )
    undone: set[str] = set()
    found: dict[str, dict[str, list[str]]] = {}
    for decision_id, subject, answer, who, undoes in rows.iter_rows():
        if decision_id in undone:
            continue
        if undoes:
            undone.add(undoes)
        if answer:
            found.setdefault(subject, {}).setdefault(answer, []).append(who)
    return {
        subject: Decided({answer: tuple(dict.fromkeys(who)) for answer, who in answers.items()})
        for subject, answers in found.items()
    }
