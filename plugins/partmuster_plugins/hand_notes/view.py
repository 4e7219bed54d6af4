"""A sentence as the sayings see it: its words, with a mark for each thing named in it.

"No seats, but Wilf's frames are there" becomes ``no <p0> , but <h1> 's <p2> are there``. A mark's
letter tells what it stands for: ``p`` part, ``v`` vehicle, ``h`` person, ``n`` a name that may be
either, ``i`` the writer, ``b`` a build, ``s`` words of state, ``k`` "it", "they", "the left one",
other letters words of dealing (``deals``). Before a part that is said to be spare stands ``spare``.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from .deals import DealMention
from .mentions import Mention, mentions_in
from .names import NameMention
from .parts import PartMention, spread
from .roles import words_of
from .states import StateMention, is_short

if TYPE_CHECKING:
    from collections.abc import Sequence

    from .sentences import Sentence, Word

_LETTER = {"vehicle": "v", "person": "h", "either": "n", "writer": "i", "build": "b"}
#: Words that change nothing in what is said (common practice, no source).
FILLERS = words_of("filler")
#: "Chassis no." is a number.
_NUMBERED = words_of("numbered-otherwise")
_SIGNS = {"(": ",", ")": ",", "--": "-", "...": ",", "=": "-", "+": "and", "&": "and", "/": "/",
          "->": "-", ">": "-"}  # fmt: skip
_POINTS = frozenset({".", "!"})
_LEFT_OUT = _POINTS | frozenset('"*_')
__all__ = ["Mention", "View", "view_of"]


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

    def build_at(self, number: int) -> str:
        """Return a build as it is said: a family's name with the mark that stands beside it."""
        name = self.mentions[number]
        beside = [*self.mentions[max(number - 1, 0) : number], *self.mentions[number + 1 :][:1]]
        said = [name] + [
            one
            for one in beside
            if isinstance(one, NameMention)
            and isinstance(name, NameMention)
            and {one.sort, name.sort} == {"build", "either"}
            and (one.end == name.start or name.end == one.start)
        ]
        names = [one for one in said if isinstance(one, NameMention) and len(one.text) > 1]
        return " ".join(one.text for one in sorted(names, key=lambda one: one.sort == "build"))

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
    mentions = mentions_in(sentence)
    at_start = {mention.start: number for number, mention in enumerate(mentions)}
    stops = _stops(words, mentions)
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
        piece = ";" if at in stops and pieces else _piece(words[at].low, pieces)
        if piece:
            pieces.append(piece)
            places.append((at, at + 1))
        at += 1
    return View(sentence, f" {' '.join(pieces)} ", tuple(mentions), tuple(places))


def _piece(low: str, pieces: Sequence[str]) -> str:
    """Return what a word or sign is in a view's text, or nothing."""
    if low in _LEFT_OUT or low in FILLERS:
        return ""
    piece = _SIGNS.get(low, low)
    return "" if piece == "," and pieces[-1:] == [","] else piece


def _stops(words: Sequence[Word], mentions: Sequence[Mention]) -> set[int]:
    """Return the points within a sentence behind which a clause begins."""
    behind_states = {one.end for one in mentions if isinstance(one, StateMention)}
    parts = [one for one in mentions if isinstance(one, PartMention)]
    return {
        at
        for at in range(1, len(words) - 1)
        if words[at].low in _POINTS
        and words[at + 1].low[:1].isalnum()
        and not _cut_short(words, at, parts)
        and (at in behind_states or _begins_anew(words, at) or not is_short(words[at - 1]))
    }


def _cut_short(words: Sequence[Word], at: int, parts: Sequence[PartMention]) -> bool:
    """Tell whether a point only shortens the word of a part before it: "amm. no"."""
    return any(part.end == at for part in parts) and not words[at + 1].capital


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
