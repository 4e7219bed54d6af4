"""Words that must name a part because a terse line says what state they are in."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .amounts import number_of
from .lexicon import lexicon, singular
from .parts import PartMention
from .places import joined, place_at
from .roles import words_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from .sentences import Word
    from .states import StateMention

_LONGEST = 4
_SEPARATORS = frozenset({"-", ":", "--", ","})
_VERBS = frozenset({"is", "are", "was", "were"})
_ANSWERS = frozenset({"yes", "no", "none", "nil", "ditto"})
_NO_PART = words_of("no-part") | words_of("no-name") | words_of("everyday") | words_of("determiner")


def supposed_part(
    words: Sequence[Word], states: Sequence[StateMention], taken: Sequence[bool]
) -> list[PartMention]:
    """Return the unknown words at the start of a line that a state follows, as a part, if any.

    Wholly unknown words need a dash or colon between ("flibber valve - gone"); where one of them is
    of the trade none is needed ("step ok").
    """
    end = 0
    while end < len(words) and not taken[end] and _may_name(words[end]) and not place_at(
        tuple(word.low for word in words), end
    ):  # fmt: skip
        end += 1
    if not 0 < end <= _LONGEST or end >= len(words):
        return []
    low = tuple(word.low for word in words)
    side = position = ""
    after = end
    while after < len(low) and not taken[after] and (place := place_at(low, after)):
        side, position = side or place[1], joined(position, place[2])
        after += place[0]
    begins = {state.start for state in states}
    apart = after < len(low) and low[after] in _SEPARATORS
    behind = after + 1 if apart else after
    if behind < len(low) and low[behind] in _VERBS:
        behind += 1
    ours = any(singular(word.low) in lexicon().tokens for word in words[:end])
    answer = low[behind] if behind < len(low) else ""
    if not (
        behind in begins
        or (answer in _ANSWERS and behind + 1 == len(low))
        or (ours and number_of(answer) and low[behind + 1 : behind + 2] in {(), ("of",), ("out",)})
    ):
        return []
    if not ours and (not apart or low[after] == ","):
        return []
    state = next((one for one in states if one.start == behind), None)
    if state and low[state.end : state.end + 1] in {("for",), ("as",)}:
        return []  # "jam tin doing duty for the bowl"
    name = " ".join(word.text for word in words[:end])
    return [PartMention(0, after, name, side, position)]


def _may_name(word: Word) -> bool:
    return word.low.replace("/", "").isalpha() and len(word.low) > 1 and word.low not in _NO_PART
