"""Finding parts in a sentence, with the side, position, count and build said with each."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import TYPE_CHECKING

from partmuster_trade.words import load_words

from .lexicon import WEAK, lexicon, singular
from .roles import words_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from .sentences import Word

NUMBERS = {
    "one": "1", "two": "2", "three": "3", "four": "4", "five": "5", "six": "6", "seven": "7",
    "eight": "8", "nine": "9", "ten": "10", "eleven": "11", "twelve": "12", "dozen": "12",
}  # fmt: skip
#: How many, in words that open a phrase; the count as the lines have it.
MANY: dict[tuple[str, ...], str] = {
    ("a", "couple", "of"): "2", ("couple", "of"): "2", ("a", "pair", "of"): "2",
    ("pair", "of"): "2", ("the", "pair", "of"): "2", ("a", "few"): "2+", ("several",): "2+",
    ("a", "number", "of"): "2+", ("some",): "", ("a", "dozen"): "12", ("half", "a", "dozen"): "6",
    ("lots", "of"): "3+", ("plenty", "of"): "3+", ("loads", "of"): "3+", ("a", "lot", "of"): "3+",
    ("a", "set", "of"): "", ("set", "of"): "", ("the", "set", "of"): "", ("both",): "2",
    ("all",): "", ("a", "box", "of"): "2+", ("box", "of"): "2+", ("a", "handful", "of"): "2+",
    ("most", "of"): "", ("most",): "", ("half",): "", ("half", "of"): "",
    ("either",): "", ("neither",): "", ("every",): "", ("each",): "", ("another",): "1",
    ("two", "pairs", "of"): "4",
}  # fmt: skip
_DETERMINERS = words_of("determiner")
_ADJECTIVES = words_of("adjective")
_ITS = frozenset({"its", "his", "her", "their", "my", "our", "your"})


@dataclass(frozen=True, slots=True)
class PartMention:
    """A part named in a sentence: the words from ``start`` to ``end`` (counted in words).

    ``name``: its words without side, position and count, as written. ``every``: "all", "both".
    ``build``: "late" or "Mk 1 early" said before it. ``which``: the word that points to it.
    """

    start: int
    end: int
    name: str
    side: str = ""
    position: str = ""
    count: str = ""
    of: str = ""
    build: str = ""
    every: bool = False
    which: str = ""
    pronoun: bool = False

    @property
    def plural(self) -> bool:
        """Whether the words speak of more than one."""
        last = self.name.rsplit(" ", 1)[-1].lower()
        return last != singular(last)


@lru_cache(maxsize=1)
def _places() -> dict[tuple[str, ...], tuple[str, str]]:
    """Return the words of side and position: what each sequence of words says of the two."""
    found: dict[tuple[str, ...], tuple[str, str]] = {}
    for row in load_words("position"):
        if row.meanings["position"]:
            found[_words(row.words)] = ("", row.meanings["position"])
    for row in load_words("side"):
        side, position = row.meanings["side"], row.meanings["position"]
        if side and not row.meanings["reads"]:
            found[_words(row.words)] = (side, position)
    found[("ns",)], found[("os",)] = ("near", ""), ("off", "")
    found[("left", "hand", "side")], found[("right", "hand", "side")] = ("left", ""), ("right", "")
    found[("driver", "'s", "side")], found[("passenger", "'s", "side")] = ("off", ""), ("near", "")
    return found


def _words(text: str) -> tuple[str, ...]:
    return tuple(re.findall(r"[a-z]/[a-z](?:/[a-z])?\b|[a-z]+/[a-z]+|'s|[a-z]+", text.lower()))


@lru_cache(maxsize=1)
def _by_first() -> dict[str, list[tuple[str, ...]]]:
    groups: dict[str, list[tuple[str, ...]]] = {}
    for words in sorted(_places(), key=len, reverse=True):
        groups.setdefault(words[0], []).append(words)
    return groups


def place_at(low: Sequence[str], at: int) -> tuple[int, str, str] | None:
    """Return length, side and position of the words of place at ``at``, or None."""
    for words in _by_first().get(low[at], ()) if at < len(low) else ():
        if tuple(low[at : at + len(words)]) == words:
            side, position = _places()[words]
            return len(words), side, position
    return None


def find_parts(words: Sequence[Word]) -> list[PartMention]:
    """Return the parts named in a sentence, left to right, without overlap."""
    low = tuple(word.low for word in words)
    plain = tuple(_plain(word, at) for at, word in enumerate(words))
    found: list[PartMention] = []
    at = 0
    while at < len(low):
        place = place_at(low, at)
        if place and not lexicon().name_at(plain, at):
            at += place[0]
            continue
        end = _name_from(plain, at)
        if not end:
            at += 1
            continue
        mention = _with_its_words(words, low, at, end, found[-1].end if found else 0)
        found.append(mention)
        at = max(mention.end, end)
    return found


def _plain(word: Word, at: int) -> str:
    """Return a word as the lexicon has it; a capital within a sentence is no slip of the pen."""
    plain = singular(word.low)
    if at and word.capital and not word.text.isupper() and plain not in lexicon().tokens:
        return f"^{plain}"
    return plain


def _name_from(plain: tuple[str, ...], at: int) -> int:
    """Return where the part's name that begins at ``at`` ends, or 0 if none does."""
    lex = lexicon()
    if (
        not plain[at][:1].isalpha()
        or (plain[at] == "can" and not lex.name_at(plain, at) > 1)
        or (plain[at] not in lex.tokens and lex.known(plain[at]) is None)
    ):
        return 0
    end = at
    best = 0
    strong = False
    run: list[str] = []
    while end < len(plain):
        word = plain[end] if plain[end] in lex.tokens else lex.known(plain[end])
        if word is None and plain[end] == "'s" and run and end + 1 < len(plain):
            word = "'s"
        if word is None or (word == "'s" and not lex.name_at(plain, at)):
            break
        run.append(word)
        end += 1
        if word in lex.heads:
            strong = strong or word not in WEAK
            whole = tuple(run) in lex.names.get(run[0], ())
            if (strong and word not in WEAK) or (len(run) > 1 and (whole or strong)) or (
                whole and run[-1] not in WEAK
            ):  # fmt: skip
                best = end
    size = lex.name_at(plain, at)
    if size and (size > 1 or plain[at] not in WEAK):
        best = max(best, at + size)
    return best


def _with_its_words(
    words: Sequence[Word], low: tuple[str, ...], start: int, end: int, after: int
) -> PartMention:
    """Return the mention of a name with the words around it that belong to it."""
    name_start = start
    mention = PartMention(start, end, "")
    side = position = ""
    # backwards: adjectives, sides, positions, counts, determiner
    at = start
    while at > after:
        place = _place_before(low, at, after)
        if place:
            length, its_side, its_position = place
            side, position = its_side or side, _joined(its_position, position)
            at -= length
            continue
        build = _build_before(low, at, after)
        if build and not mention.build:
            mention = replace(mention, build=" ".join(w.text for w in words[at - build : at]))
            at -= build
            continue
        if low[at - 1] in _ADJECTIVES or (low[at - 1] == "hand" and at - 1 > after):
            at -= 1
            name_start = (
                at
                if low[at]
                not in {
                    "other",
                    "remaining",
                    "usual",
                    "same",
                    "whole",
                    "nice",
                    "lovely",
                    "second",
                    "hand",
                }
                else name_start
            )
            continue
        break
    mention, at = _counted(mention, low, at, after)
    stop, behind = _place_behind(low, end, many=bool(mention.of) or _is_plural(low[end - 1]))
    for its_side, its_position in behind:
        side, position = side or its_side, _joined(position, its_position)
    name = " ".join(word.text for word in words[name_start:end]).replace(" 's", "'s")
    return replace(mention, start=at, end=stop, name=name, side=side, position=position)


def _is_plural(word: str) -> bool:
    return word != singular(word)


def _place_behind(
    low: tuple[str, ...], end: int, *, many: bool
) -> tuple[int, list[tuple[str, str]]]:
    """Return where the words of place behind a part end, and what they say: "guard, LH (front)".

    A place that a further part follows is that part's; "three of eight left" tells no side.
    """
    at = end
    bracket = at < len(low) and low[at] == "("
    if bracket or (at < len(low) and low[at] in {",", "-"}):
        at += 1
    elif low[at : at + 2] in {("on", "the"), ("at", "the")}:
        at += 2
    behind: list[tuple[str, str]] = []
    while at < len(low) and (place := place_at(low, at)):
        if many and at == end and low[at] in {"left", "right"}:
            return end, []
        behind.append((place[1], place[2]))
        at += place[0]
        while at < len(low) and low[at] == "side":
            at += 1
    if not behind:
        return end, []
    if bracket:
        return (at + 1, behind) if low[at : at + 1] == (")",) else (end, [])
    plain = tuple(singular(word) for word in low)
    if at < len(low) and (_name_from(plain, at) or low[at] in {"one", "ones"}):
        return end, []
    if low[end] in {"on", "at"} and not any(side for side, _ in behind):
        return end, []
    return at, behind


def _place_before(low: tuple[str, ...], at: int, after: int) -> tuple[int, str, str] | None:
    for length in (3, 2, 1):
        if at - length >= after:
            place = place_at(low, at - length)
            if place and place[0] == length:
                return place
    return None


_MARK = re.compile(r"(?:\d{1,2}[a-h]?|[ivx]{1,4})\*?")


def _build_before(low: tuple[str, ...], at: int, after: int) -> int:
    """Return how many words before ``at`` name a build: "Mk 1 early", "late", "mark two"."""
    length = 0
    if at - 1 >= after and low[at - 1] in {"early", "late", "mid", "later", "earlier"}:
        length = 1
    before = at - length
    if (
        before - 2 >= after
        and low[before - 2] in {"mk", "mark"}
        and _MARK.fullmatch(low[before - 1])
    ):
        length += 2
        if before - 3 >= after and low[before - 3] in {"early", "late", "mid"}:
            length += 1
    elif before - 1 >= after and re.fullmatch(r"(?:mk|mark)\d[a-h]?", low[before - 1]):
        length += 1
    return length


def _counted(
    mention: PartMention, low: tuple[str, ...], at: int, after: int
) -> tuple[PartMention, int]:
    """Take the count and the determiner before a part's words."""
    count = of = which = ""
    every = False
    if at - 1 >= after and low[at - 1] in _DETERMINERS:
        which, at = low[at - 1], at - 1
    if at - 1 >= after and low[at - 1] == "x" and at - 2 >= after and low[at - 2].isdigit():
        return replace(mention, count=low[at - 2], which=which), at - 2
    for length in (3, 2, 1):
        phrase = tuple(low[at - length : at]) if at - length >= after else ()
        if phrase in MANY:
            every = phrase[0] in {"all", "both", "every", "each"}
            count, at = MANY[phrase], at - length
            break
    number = _number(low[at - 1]) if at - 1 >= after else ""
    if number:
        count, at = number, at - 1
        if at - 1 >= after and low[at - 1] == "all":
            every, at = True, at - 1
        if at - 1 >= after and low[at - 1] == "the":
            at -= 1
        if at - 2 >= after and low[at - 1] in {"of", "/"} and _number(low[at - 2]):
            of, count, at = count, _number(low[at - 2]), at - 2
    elif at - 2 >= after and low[at - 1] == "of" and _number(low[at - 2]):
        count, at = _number(low[at - 2]), at - 2
    if at - 1 >= after and low[at - 1] in _DETERMINERS:
        which, at = which or low[at - 1], at - 1
    return replace(mention, count=count, of=of, every=every, which=which), at


def _number(word: str) -> str:
    if word.isdigit() and len(word) < 4:
        return word
    return NUMBERS.get(word, "")


def _joined(first: str, second: str) -> str:
    return " ".join(dict.fromkeys(w for w in (first, second) if w))


def pronoun_at(words: Sequence[Word], at: int) -> PartMention | None:
    """Return "it", "they", "the left one", "an early one", "the other side" as a mention.

    What it stands for was named before; its side, position, build and count are its own.
    """
    low = tuple(word.low for word in words)
    if low[at] in {"it", "they", "them"}:
        return PartMention(at, at + 1, "", pronoun=True, count="", which=low[at])
    start = at
    which = ""
    if low[at] in _DETERMINERS | {"another", "no", "either", "each"} - _ITS:
        which, at = low[at], at + 1
    side = position = build = ""
    count = ""
    if at < len(low) and (number := _number(low[at])) and low[at] != "one":
        count, at = number, at + 1
    while at < len(low):
        place = place_at(low, at)
        if place and low[at : at + 1] != ("back",):
            side, position = side or place[1], _joined(position, place[2])
            at += place[0]
        elif low[at] in {"early", "late", "later", "earlier", "other", "spare"}:
            build, at = low[at], at + 1
        elif low[at] in {"mk", "mark"} and at + 1 < len(low) and _MARK.fullmatch(low[at + 1]):
            build, at = f"{words[at].text} {words[at + 1].text} {build}".strip(), at + 2
        else:
            break
    said = side or position or build
    if at < len(low) and low[at] in {"one", "ones", "pair"} and (which or said or count):
        at += 1
    elif not (which == "the" and (side or build == "other") and _ends_there(low, at)):
        return None
    count = count or ("1" if which in {"another", "a", "an"} else "")
    return PartMention(start, at, "", side, position, count, build=build, which=which,
                       pronoun=True)  # fmt: skip


def _ends_there(low: tuple[str, ...], at: int) -> bool:
    return at == len(low) or low[at] in {
        "is", "are", "was", "has", "looks", ",", ".", "and", "but", "-", ":", ";", "!",
    }  # fmt: skip
