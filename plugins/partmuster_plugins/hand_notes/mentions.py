"""The things named in a sentence: parts, words of state and of dealing, names, pronouns."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, TypeAlias

from .deals import DealMention, find_deals
from .lexicon import lexicon, singular
from .names import NameMention, find_names, numbered_vehicles
from .parts import PartMention, find_parts
from .pronouns import pronoun_at
from .states import StateMention, find_states
from .supposed import supposed_part
from .surnames import surnames_of_trade

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from .sentences import Sentence, Word

Mention: TypeAlias = PartMention | NameMention | StateMention | DealMention


def mentions_in(sentence: Sentence) -> list[Mention]:
    """Return the things named in a sentence, in order, without overlap."""
    words = sentence.words
    deals = _dealt(words)
    taken = [False] * len(words)
    _take(taken, deals)
    vehicles = numbered_vehicles(words, taken)
    for start, end in vehicles:
        taken[start:end] = [True] * (end - start)
    surnames = [at for at in surnames_of_trade(words) if not taken[at]]
    for at in surnames:
        taken[at] = True
    states = [one for one in find_states(words, taken) if not _is_a_name(words, one)]
    _take(taken, states)
    parts = find_parts(words, taken)
    _take(taken, parts)
    pronouns = _pronouns(sentence, taken, frozenset(state.start for state in states))
    _take(taken, pronouns)
    for start, end in vehicles:
        taken[start:end] = [False] * (end - start)
    for at in surnames:
        taken[at] = False
    names = find_names(words, taken)
    _take(taken, names)
    supposed = supposed_part(words, states, taken)
    mentions: list[Mention] = [
        *parts, *supposed, *(deal for deal in deals if deal.letter), *pronouns, *names, *states,
    ]  # fmt: skip
    mentions.sort(key=lambda one: one.start)
    return _owned(mentions, words)


def _is_a_name(words: Sequence[Word], state: StateMention) -> bool:
    """Tell whether a word of state is a part's plural behind a word of the trade: "water pumps"."""
    low = words[state.start].low
    if state.end - state.start > 1 or not state.start or not low.endswith("s"):
        return False
    before = singular(words[state.start - 1].low)
    lex = lexicon()
    return singular(low) in lex.heads and before in lex.tokens and before != singular(low)


def _dealt(words: Sequence[Word]) -> list[DealMention]:
    """Return the words of dealing; a single word that tells a part's state is none ("dead")."""
    deals = find_deals(words)
    alone = [one for one in deals if one.letter == "g" and one.end - one.start == 1]
    if not alone:
        return deals
    free = [False] * len(words)
    states = [one for one in find_states(words, free) if one.service == "unserviceable"]
    return [
        one for one in deals
        if one not in alone or not any(s.start <= one.start < s.end for s in states)
    ]  # fmt: skip


def _owned(mentions: list[Mention], words: Sequence[Word]) -> list[Mention]:
    """Return mentions in which "the left one's glass" is one part, of that side."""
    found: list[Mention] = []
    for one in mentions:
        last = found[-1] if found else None
        if (
            isinstance(one, PartMention) and isinstance(last, PartMention) and last.pronoun
            and last.side and words[last.end : last.end + 1]
            and words[last.end].low == "'s" and one.start == last.end + 1
        ):  # fmt: skip
            found[-1] = replace(one, start=last.start, side=one.side or last.side)
        else:
            found.append(one)
    return found


def _take(taken: list[bool], mentions: Iterable[Mention]) -> None:
    for one in mentions:
        taken[one.start : one.end] = [True] * (one.end - one.start)


def _pronouns(sentence: Sentence, taken: list[bool], states: frozenset[int]) -> list[PartMention]:
    """Return "it", "they", "the left one", "the early one", "the other" as mentions."""
    found: list[PartMention] = []
    low = tuple(word.low for word in sentence.words)
    at = 0
    while at < len(low):
        mention = None if taken[at] else pronoun_at(sentence.words, low, at, states)
        if mention is None or any(taken[mention.start : mention.end]):
            at += 1
            continue
        found.append(mention)
        at = mention.end
    return found
