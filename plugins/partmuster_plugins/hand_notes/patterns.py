"""Sayings made into patterns over a view's text, and those found in it, left to right."""

from __future__ import annotations

import functools
import operator
import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from partmuster_trade.sayings import TABLES, Saying, SayingsError, club_sayings, load_sayings

from .amounts import NUMBERS
from .dealing_slots import FREE, GAP, GOODS, PLACES, PRICE, THINGS, WHERE, WHO
from .expressions import expression
from .roles import words_of

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable
    from pathlib import Path

BE = (
    "is|are|was|were|be|been|being|'s|am|looks|look|looked|seems|seem|seemed|appears|appear|"
    "remains|remain|stays|sits|stands|feels|got|gets|comes|turned out|will be|has been|have been|"
    "had been|was found to be|were found to be|found to be|proved to be|turned out to be|being"
)
HAVE = "has|have|had|having|has got|have got|had got|got|has still got|have still got|'s got"
_VERB = rf"(?:{BE}|{HAVE}|needs?|wants?|went|goes|go|fits?|came|comes|<s\d+>|does|do|did|can|will)"
_MORE = (
    r"(?:(?:,|and|or|nor|/|plus|&|, and|, or|, nor|, plus|as well as) "
    r"(?:(?:no|any|not|with|for) )?)"
)
#: Words of state in a row that all tell of one thing: "there, but seized".
_STATES = (
    r"(?:<s\d+> (?:(?:(?:,|;|/|-|and|but|though|yet|, and|, but"
    r"|and (?:looks?|seems?|feels?|sounds?)|- but|although|even if|, otherwise|otherwise"
    r"|,(?: (?!not |no )[a-z'-]+){1,5} ,|(?:(?!not |no )(?:<[ikh]\d+>|[a-z'-]+) ){1,8}and"
    r")(?: (?:also|now|still))?"
    r"(?: (?:is|are|was|has|have|will|been))? )?<s\d+> (?!<[pk]\d+> <s|<p\d+> ))*)"
)
_ENDS = sorted(words_of("clause-end") | {";"})
_SLOTS = {
    "part": r"(?:spare )?<[pk]\d+> ",
    "named": r"<p\d+> ",
    "stop": r"$",
    "times": r"x ?\d{1,2} ",
    "plain": (
        r"(?:<[ih]\d+> |(?!(?:if|when|will|would|not|no|which|who|that|for|want|wants|need|needs) )"
        r"[a-z'-]+ ){1,6}"
    ),
    "anew": r"(?:[,;:-]|and|but) ",
    "close": r"(?=$|[,;] )",
    "begin": r"(?<=^ )",
    "position": r"(?:front|rear|back|top|bottom|middle|centre) ",
    "k": r"<k\d+> ",
    "vehicle": r"(?:the )?<[vnk]\d+> ",
    "name": r"<[vnhi]\d+> ",
    "person": r"<[hni]\d+> ",
    "build": r"<b\d+> ",
    "state": r"<s\d+> ",
    "states": _STATES,
    "adv": (
        r"(?:(?!(?:not|no|never|none|nor|without|if|when|to|who|which|hardly) )"
        r"[^\s,;:<?-]+ ){0,2}?"
    ),
    "list": (
        r"(?:(?:an?|the|her|its|any|all|both|some|\d+) )*<p\d+> "
        r"(?:(?!(?:<s\d+>|is|are|was|were|has|have|had) )[^\s;:]+ )*"
    ),
    "end": rf"(?=$|(?:{'|'.join(map(re.escape, _ENDS))}) )",
    "date": r"<d\d+> ",
    "be": rf"(?:{BE.replace('|', ' |')} )",
    "have": rf"(?:{HAVE.replace('|', ' |')} )",
    "words": r"(?:[^\s,;:]+ )+?",
    "rest": r"(?:[^\s;]+ )+",
    "few": r"(?:[^\s,;:<]+ ){0,3}?",
    "number": rf"(?:\d{{1,3}}|{'|'.join(NUMBERS)}) ",
    "fraction": r"\d{1,2}/\d{1,2} ",
    "dash": r"(?:[-:,|] )",
    "avail": r"<[ar]\d+> ",
    "bound": r"<r\d+> ",
    "offer": r"<o\d+> ",
    "stage": r"<g\d+> ",
    "seek": r"<w\d+> ",
    "sought": r"<x\d+> ",
    "taker": r"(?:<[hnik]\d+>|you|him|her|them|us|me) ",
    "gap": GAP,
    "start": r"(?<=^ )",
    "who": WHO,
    "things": THINGS,
    "price": PRICE,
    "goods": GOODS,
    "where": WHERE,
    "upto": r"(?:(?!<[pkaogrw]\d)[^\s:;]+ ){0,8}",
    "some": r"(?:(?!<[paogrw]\d)[^\s:;]+ ){0,7}?",
    "aside": r", (?:(?!<[paogrw]\d)[^\s,;:]+ ){1,8}, ",
}
#: Slots of which nobody asks what stands in them, unless they are given a name.
_UNNAMED = frozenset({
    "be", "have", "dash", "few", "gap", "adv", "end", "k", "stop", "begin", "close", "anew",
})  # fmt: skip
_DASHES = frozenset("-:,|")


def _firsts(alternatives: str) -> frozenset[str]:
    return frozenset(one.split()[0] for one in alternatives.split("|"))


#: Of what a slot needs one in the text: words, marks by letter, kinds of words (``_kinds_of``).
_NEEDED = {
    "avail": ("<a", "<r"), "bound": ("<r",), "offer": ("<o",), "stage": ("<g",), "seek": ("<w",),
    "sought": ("<x",), "states": ("<s",), "state": ("<s",), "parts": ("<p", "<k"),
    "part": ("<p", "<k"), "things": ("<p", "<k"), "goods": ("<p",), "named": ("<p",),
    "list": ("<p",), "vehicle": ("<v", "<n", "<k"), "person": ("<h", "<n", "<i"),
    "name": ("<v", "<n", "<h", "<i"), "build": ("<b",), "k": ("<k",), "date": ("<d",),
    "be": _firsts(BE), "have": _firsts(HAVE), "dash": _DASHES, "aside": (",",),
    "anew": _firsts(",|;|:|-|and|but"), "where": _firsts(PLACES),
    "number": ("#n",), "times": ("#x",), "fraction": ("#f",), "price": ("#p",),
    "position": _firsts("front|rear|back|top|bottom|middle|centre"),
    "taker": ("<h", "<n", "<i", "<k", "you", "him", "her", "them", "us", "me"),
}  # fmt: skip
_MONEY = re.compile(r"[£$€]|pounds?$|quid$|bucks$|dollars$|euros$|pence$|p$|fiver$|tenner$")
_EACH = frozenset({"each", "ea", "apiece", "ono", "o/n/o"})
_PART = r"(?:spare )?<[pk]\d+> "
_SUBJECTS = rf"(?:{_PART}(?:{_MORE}{_PART})*)"
_OBJECTS = rf"(?:{_PART}(?:{_MORE}(?:spare )?<[pk]\d+{FREE} )*)"
#: A part with a verb behind it: it begins a clause of its own, and its mark is written ``<p0]``.
_BEGINS = expression(rf"(<[pk]\d+)>(?= {_VERB} )")
#: Roles of words that are slots too.
ROLES = frozenset({"donor", "makeshift", "stuff", "trade", "store"})
_LONGEST_NUMBER = 3
_TOKEN = expression(r"\{[\w:]+\}|[()\[\]|]|[^\s()\[\]|{}]+")


@dataclass(frozen=True, slots=True)
class Pattern:
    """A saying with its expression.

    ``needs``: of each of these one must stand in the text: a word, a mark's letter, or a kind.
    """

    saying: Saying
    expression: re.Pattern[str]
    order: int
    needs: tuple[frozenset[str], ...]


@dataclass(frozen=True, slots=True)
class Found:
    """A saying found in a view's text, with the text of each slot."""

    saying: Saying
    start: int
    end: int
    slots: dict[str, str]
    slot_starts: dict[str, int]


#: What a preposition governs is not what a state behind it tells of ("on the flange, painted").
_NO_OBJECT = "".join(
    rf"(?<! {word} )"
    for word in ("of", "on", "in", "at", "by", "into", "onto", "under", "behind", "beside", "from",
                 "through", "over", "to", "for", "about", "against", "near", "with", "inside",
                 "above", "below")
)  # fmt: skip
_SUBJECT = "{parts} "


def compile_saying(saying: Saying, order: int) -> Pattern:
    """Return the pattern of a saying; raises SayingsError where its brackets or slots are wrong."""
    tokens = _TOKEN.findall(saying.pattern)
    used: dict[str, int] = {}
    needs: list[frozenset[str]] = []
    worded, at = _sequence(tokens, 0, saying, used, needs, first=True)
    if at != len(tokens):
        raise SayingsError(f"saying '{saying.pattern}': a bracket is not opened")
    alone = _NO_OBJECT if saying.kind == "survey" and saying.pattern.startswith(_SUBJECT) else ""
    worded = worded.replace(r"\d+>", r"\d+\S")  # with a verb behind it or not
    return Pattern(saying, expression(rf"(?<= ){alone}{worded}"), order, tuple(needs))


def _commonness(words: frozenset[str]) -> tuple[bool, int]:
    """Return how common a saying's words are in sentences, the rarest first."""
    return any(word[0] == "<" for word in words), len(words)


def _kinds_of(word: str) -> list[str]:
    """Return a word as the needs of sayings have it, and what kind it is of."""
    kinds = [word]
    if word[0] == "<":
        kinds.append(word[:2])
    if word in NUMBERS or (word.isdigit() and len(word) <= _LONGEST_NUMBER):
        kinds.append("#n")
    if word[0] == "x" and not word[1:].strip("0123456789"):
        kinds.append("#x")
    if "/" in word:
        kinds.append("#f")
    if _MONEY.match(word) or word in _EACH or "." in word:
        kinds.append("#p")
    return kinds


def _sequence(
    tokens: list[str], at: int, saying: Saying, used: dict[str, int],
    needs: list[frozenset[str]], *, first: bool = False,
) -> tuple[str, int]:  # fmt: skip
    pieces: list[str] = []
    while at < len(tokens) and tokens[at] not in {")", "]", "|"}:
        sign = tokens[at]
        if sign in {"(", "["}:
            inner, words, at = _choice(tokens, at + 1, ")" if sign == "(" else "]", saying, used)
            pieces.append(inner + ("?" if sign == "[" else ""))
            if sign == "(" and words:
                needs.append(words)
        elif sign.startswith("{"):
            pieces.append(_slot(sign[1:-1], saying, used, subject=first and not pieces))
            letters = _NEEDED.get(sign[1:-1].rpartition(":")[2])
            if letters:
                needs.append(frozenset(letters))
            at += 1
        else:
            pieces.append(re.escape(sign) + " ")
            needs.append(frozenset({sign}))
            at += 1
    return "".join(pieces), at


def _choice(
    tokens: list[str], at: int, closing: str, saying: Saying, used: dict[str, int]
) -> tuple[str, frozenset[str], int]:
    """Return the expression of a bracket, a word of each of its choices, and where it ends."""
    choices: list[str] = []
    words: set[str] = set()
    every = True
    while True:
        own: list[frozenset[str]] = []
        piece, at = _sequence(tokens, at, saying, used, own)
        choices.append(piece)
        single = [one for one in own if len(one) == 1]
        if single:
            words |= max(single, key=lambda one: len(next(iter(one))))
        elif own:
            words |= own[0]
        else:
            every = False
        if at >= len(tokens):
            raise SayingsError(f"saying '{saying.pattern}': a bracket is not closed")
        if tokens[at] == closing:
            break
        at += 1
    return f"(?:{'|'.join(choices)})", frozenset(words) if every else frozenset(), at + 1


def _slot(text: str, saying: Saying, used: dict[str, int], *, subject: bool) -> str:
    name, _, sort = text.rpartition(":")
    name = name or sort
    if sort == "parts":
        inner = _SUBJECTS if subject else _OBJECTS
    elif sort in _SLOTS:
        inner = _SLOTS[sort]
    elif sort in ROLES:
        inner = f"(?:{'|'.join(map(re.escape, sorted(words_of(sort))))}) "
    else:
        raise SayingsError(f"saying '{saying.pattern}': there is no slot '{{{sort}}}'")
    if sort in _UNNAMED and name == sort:
        return inner
    used[name] = used.get(name, 0) + 1
    group = name if used[name] == 1 else f"{name}_{used[name]}"
    return f"(?P<{group}>{inner})"


class Patterns:
    """Compiled sayings, to be looked for in views."""

    def __init__(self, sayings: Iterable[Saying]) -> None:
        patterns = [compile_saying(saying, order) for order, saying in enumerate(sayings)]
        bits = {
            need: 1 << at
            for at, need in enumerate({one: None for p in patterns for one in p.needs})
        }
        #: Patterns by the rarest of their needs, each with all that it needs.
        self._by_need: dict[int, list[tuple[int, Pattern]]] = {}
        for pattern in patterns:
            every = functools.reduce(operator.or_, map(bits.__getitem__, pattern.needs), 0)
            rarest = min(pattern.needs, key=_commonness, default=None)
            group = self._by_need.setdefault(bits[rarest] if rarest is not None else 0, [])
            group.append((every, pattern))
        #: Of each word, the needs it meets.
        self._met: dict[str, int] = {}
        for need, bit in bits.items():
            for word in need:
                self._met[word] = self._met.get(word, 0) | bit
        self._of_word = functools.lru_cache(maxsize=20_000)(self._meets)

    def _meets(self, word: str) -> int:
        """Return the needs that a word or mark of a text meets."""
        return functools.reduce(operator.or_, (self._met.get(one, 0) for one in _kinds_of(word)), 0)

    def _may_be_in(self, words: Iterable[str]) -> dict[int, Pattern]:
        """Return the patterns of which a text has all that they need, by order."""
        met = 0
        for word in words:
            met |= self._of_word(word)
        return {
            one.order: one
            for bit, group in self._by_need.items()
            if bit & met or not bit
            for needs, one in group
            if needs & met == needs
        }

    def find(self, text: str, take: Callable[[Found], bool] | None = None) -> list[Found]:
        """Return the sayings in a text, left to right, without overlap.

        Of those that begin first, the longest is taken; of those, the one that is tried first.
        One that ``take`` refuses is none, and the next may be it.
        """
        candidates = self._may_be_in(set(text.split()))
        found: list[Found] = []
        shown = _BEGINS.sub(r"\1]", text) if "<p" in text or "<k" in text else text
        hits = {
            order: match
            for order, pattern in candidates.items()
            if (match := pattern.expression.search(shown))
        }
        while hits:
            order = min(hits, key=lambda one: (hits[one].start(), -hits[one].end(), one))
            match = hits[order]
            starts = {key: match.start(key) for key, value in match.groupdict().items() if value}
            slots = {key: text[start : match.end(key)] for key, start in starts.items()}
            one = Found(candidates[order].saying, match.start(), match.end(), slots, starts)
            taken = take is None or take(one)
            if taken:
                found.append(one)
            at = max(match.end(), match.start() + 1) if taken else match.start() + 1
            for other in [order] if not taken else list(hits):
                if hits[other].start() >= at:
                    continue
                again = candidates[other].expression.search(shown, at)
                if again:
                    hits[other] = again
                else:
                    del hits[other]
        return found


@functools.lru_cache(maxsize=4)
def patterns(club_words: Path | None = None) -> Patterns:
    """Return the package's sayings, a club's own before them."""
    own: tuple[Saying, ...] = ()
    if club_words is not None and (club_words / "sayings.csv").is_file():
        own = club_sayings(club_words / "sayings.csv")
    return Patterns([*own, *(saying for table in TABLES for saying in load_sayings(table))])
