"""A sentence as the sayings see it: its words, with a mark for each thing named in it.

"No seats, but Wilf's frames are there" becomes ``no <p0> , but <h1> 's <p2> are there``. A mark's
letter tells what it stands for: ``p`` part, ``v`` vehicle, ``h`` person, ``n`` a name that may be
either, ``i`` the writer, ``b`` a build, ``s`` words of state, ``k`` "it", "they", "the left one", ``a``,
``o`` and ``g`` words of dealing (``deals``). Before a part that is said to be spare stands ``spare``.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from .deals import DealMention, find_deals
from .names import NameMention, find_names, numbered_vehicles
from .parts import PartMention, find_parts, spread
from .pronouns import pronoun_at
from .roles import words_of
from .states import StateMention, find_states, is_short
from .supposed import supposed_part

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from .sentences import Sentence, Word

_LETTER = {"vehicle": "v", "person": "h", "either": "n", "writer": "i", "build": "b"}
#: Words that change nothing in what is said (common practice, no source).
FILLERS = words_of("filler")
#: "Chassis no." is a number.
_NUMBERED = words_of("numbered-otherwise")
_SIGNS = {"(": ",", ")": ",", "--": "-", "...": ",", "=": "-", "+": "and", "&": "and", "/": "/",
          "->": "-", ">": "-"}  # fmt: skip
Mention = PartMention | NameMention | StateMention | DealMention


@dataclass(frozen=True, slots=True)
class View:
    """A sentence, the text of words and marks, and what the marks stand for.

    ``text`` has one blank between words and at each end. ``places``: of each word of ``text``, the
    words of the sentence it stands for, as (start, end).
    """

    sentence: Sentence
    text: str
    mentions: tuple[Mention, ...]
    places: tuple[tuple[int, int], ...] = field(default=())

    def mention(self, mark: str) -> Mention:
        """Return what a mark stands for."""
        return self.mentions[int(re.sub(r"\D", "", mark))]

    def parts(self, text: str) -> list[PartMention]:
        """Return the parts whose marks stand in a piece of the text, in order."""
        found = (self.mentions[int(number)] for number in re.findall(r"<[pk](\d+)>", text))
        return [
            one for mention in found if isinstance(mention, PartMention) for one in spread(mention)
        ]

    def without(self, start: int, end: int, instead: str = "") -> View:
        """Return the view with the words between two places of the text left out or replaced."""
        first = self.text[: start + 1].count(" ") - 1
        count = len(self.text[start:end].split())
        words = self.text.split()
        put = [instead] if instead else []
        places = list(self.places)
        there = places[first : first + 1] if instead else []
        words[first : first + count] = put
        places[first : first + count] = there
        text = f" {' '.join(words)} " if words else " "
        return replace(self, text=text, places=tuple(places))

    def words_of(self, start: int, end: int) -> str:
        """Return the sentence's own words for a stretch of the text (characters of ``text``)."""
        first = self.text[:start].count(" ") - 1 if start else 0
        count = len(self.text[start:end].split())
        places = self.places[max(first, 0) : max(first, 0) + count]
        if not places:
            return ""
        words = self.sentence.words
        return _spaced(" ".join(word.text for word in words[places[0][0] : places[-1][1]]))


def _spaced(text: str) -> str:
    text = re.sub(r" ([,.;:!?)])", r"\1", text)
    return re.sub(r"\( ", "(", text).replace(" 's", "'s")


def view_of(sentence: Sentence) -> View:
    """Return the view of a sentence."""
    words = sentence.words
    deals = _dealt(words)
    taken = [False] * len(words)
    _take(taken, deals)
    vehicles = numbered_vehicles(words, taken)
    for start, end in vehicles:
        taken[start:end] = [True] * (end - start)
    states = find_states(words, taken)
    _take(taken, states)
    parts = find_parts(words, taken)
    _take(taken, parts)
    pronouns = _pronouns(sentence, taken, frozenset(state.start for state in states))
    _take(taken, pronouns)
    for start, end in vehicles:
        taken[start:end] = [False] * (end - start)
    names = find_names(words, taken)
    _take(taken, names)
    supposed = supposed_part(words, states, taken)
    mentions: list[Mention] = [
        *parts, *supposed, *(deal for deal in deals if deal.letter), *pronouns, *names, *states,
    ]  # fmt: skip
    mentions.sort(key=lambda one: one.start)
    mentions = _owned(mentions, words)
    at_start = {mention.start: number for number, mention in enumerate(mentions)}
    behind_states = {one.end for one in states if words[one.end + 1 : one.end + 2]
                     and words[one.end + 1].low[:1].isalnum()}  # fmt: skip
    pieces: list[str] = []
    places: list[tuple[int, int]] = []
    at = 0
    while at < len(words):
        number = at_start.get(at)
        if number is not None:
            mention = mentions[number]
            if isinstance(mention, PartMention) and mention.spare:
                pieces.append("spare")
                places.append((mention.start, mention.start))
            pieces.append(f"<{_letter(mention)}{number}>")
            places.append((mention.start, mention.end))
            at = mention.end
            continue
        low = words[at].low
        if low in {".", "!"} and 0 < at < len(words) - 1 and not _cut_short(words, at, parts) and (
            at in behind_states or _begins_anew(words, at) or not is_short(words[at - 1])
        ):  # fmt: skip
            if words[at + 1].low[:1].isalnum() and pieces:
                pieces.append(";")
                places.append((at, at + 1))
            at += 1
            continue
        if low in {".", "!", '"', "*", "_"} or low in FILLERS:
            at += 1
            continue
        if _SIGNS.get(low, low) == "," and pieces[-1:] == [","]:
            at += 1
            continue
        pieces.append(_SIGNS.get(low, low))
        places.append((at, at + 1))
        at += 1
    return View(sentence, f" {' '.join(pieces)} ", tuple(mentions), tuple(places))


def _cut_short(words: Sequence[Word], at: int, parts: Sequence[PartMention]) -> bool:
    """Tell whether a point only shortens the word of a part before it: "amm. no"."""
    return any(part.end == at for part in parts) and not words[at + 1].capital


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


def _begins_anew(words: Sequence[Word], at: int) -> bool:
    """Tell whether a new sentence begins behind a point that was taken for a short word's."""
    numbered = at > 1 and words[at - 2].low in _NUMBERED
    return words[at - 1].low == "no" and not numbered and words[at + 1].low[:1].isalpha()


def _letter(mention: Mention) -> str:
    if isinstance(mention, PartMention):
        return "k" if mention.pronoun else "p"
    if isinstance(mention, StateMention):
        return "s"
    if isinstance(mention, DealMention):
        return mention.letter
    return _LETTER[mention.sort]


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
