"""A sentence as the sayings see it: its words, with a mark for each thing named in it.

"No seats, but Wilf's frames are there" becomes ``no <p0> , but <h1> 's <p2> are there``. A mark's
letter tells what it stands for: ``p`` part, ``v`` vehicle, ``h`` person, ``n`` a name that may be
either, ``i`` the writer, ``b`` a build, ``s`` words of state, ``k`` "it", "they", "the left one".
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from .names import NameMention, find_names
from .parts import PartMention, find_parts, pronoun_at
from .roles import words_of
from .states import StateMention, find_states

if TYPE_CHECKING:
    from .sentences import Sentence

_LETTER = {"vehicle": "v", "person": "h", "either": "n", "writer": "i", "build": "b"}
#: Words that change nothing in what is said (common practice, no source).
FILLERS = words_of("filler")
_SIGNS = {"(": ",", ")": ",", "--": "-", "...": ",", "=": "-", "+": "and", "&": "and", "/": "/",
          "->": "-", ">": "-"}  # fmt: skip
Mention = PartMention | NameMention | StateMention


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
        return [mention for mention in found if isinstance(mention, PartMention)]

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
    parts = find_parts(words)
    taken = [False] * len(words)
    for part in parts:
        taken[part.start : part.end] = [True] * (part.end - part.start)
    pronouns = _pronouns(sentence, taken)
    for pronoun in pronouns:
        taken[pronoun.start : pronoun.end] = [True] * (pronoun.end - pronoun.start)
    names = find_names(words, taken)
    for name in names:
        taken[name.start : name.end] = [True] * (name.end - name.start)
    mentions: list[Mention] = [*parts, *pronouns, *names, *find_states(words, taken)]
    mentions.sort(key=lambda one: one.start)
    at_start = {mention.start: number for number, mention in enumerate(mentions)}
    pieces: list[str] = []
    places: list[tuple[int, int]] = []
    at = 0
    while at < len(words):
        number = at_start.get(at)
        if number is not None:
            mention = mentions[number]
            pieces.append(f"<{_letter(mention)}{number}>")
            places.append((mention.start, mention.end))
            at = mention.end
            continue
        low = words[at].low
        if low in {".", "!", '"', "*", "_"} or low in FILLERS:
            at += 1
            continue
        pieces.append(_SIGNS.get(low, low))
        places.append((at, at + 1))
        at += 1
    return View(sentence, f" {' '.join(pieces)} ", tuple(mentions), tuple(places))


def _letter(mention: Mention) -> str:
    if isinstance(mention, PartMention):
        return "k" if mention.pronoun else "p"
    if isinstance(mention, StateMention):
        return "s"
    return _LETTER[mention.sort]


def _pronouns(sentence: Sentence, taken: list[bool]) -> list[PartMention]:
    """Return "it", "they", "the left one", "the early one", "the other" as mentions."""
    found: list[PartMention] = []
    at = 0
    while at < len(sentence.words):
        mention = None if taken[at] else pronoun_at(sentence.words, at)
        if mention is None or any(taken[mention.start : mention.end]):
            at += 1
            continue
        found.append(mention)
        at = mention.end
    return found
