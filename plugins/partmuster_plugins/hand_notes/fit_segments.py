"""A sentence as the stretches in which one thing is said of what fits what."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

    from .acts import Act
    from .sentences import Word


def segments(words: Sequence[Word]) -> list[Sequence[Word]]:
    """Return the stretches of a sentence between points and semicolons."""
    found: list[Sequence[Word]] = []
    start = 0
    for at, word in enumerate(words):
        if word.low in {";", "!"} or (
            word.low == "." and words[at - 1].low not in {"mk", "mark", "no", "nos"}
        ):
            found.append(words[start : at + 1])
            start = at + 1
    found.append(words[start:])
    return [piece for piece in found if len(piece) > 1 or (piece and piece[0].low[:1].isalpha())]


def without_asides(act: Act) -> Sequence[Word]:
    """Return the sentence's words without what stands in brackets, but for a build."""
    kept = []
    depth = 0
    words = act.view.sentence.words
    for at, word in enumerate(words):
        if word.low == "(" and not _is_build(words, at + 1):
            depth += 1
        if not depth:
            kept.append(word)
        if word.low == ")" and depth:
            depth -= 1
    return kept if depth == 0 and kept else act.view.sentence.words


def _is_build(words: Sequence[Word], at: int) -> bool:
    """Tell whether a build stands in brackets, said of the part before it: "a lever (Mk 2)"."""
    inside = " ".join(word.low for word in words[at : at + 4])
    return (
        bool(
            re.match(
                r"(?:early|late|mid)? ?(?:(?:mk|mark) ?[.]? ?\d\w?)? ?(?:early|late|mid)? ?\)",
                inside,
            )
        )
        and inside[:1] != ")"
    )
