"""Sayings made into patterns over a view's text, and those found in it, left to right."""

from __future__ import annotations

import functools
import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from partmuster_trade.sayings import TABLES, Saying, SayingsError, club_sayings, load_sayings

from .amounts import NUMBERS
from .dealing_slots import GAP, GOODS, PRICE, WHERE, WHO, things
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
    "things": things(_VERB),
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
#: Slots that a mark of their own letter must fill.
_LETTERED = {
    "avail": ("<a", "<r"), "bound": ("<r",), "offer": ("<o",), "stage": ("<g",), "seek": ("<w",),
    "sought": ("<x",), "states": ("<s",), "state": ("<s",), "parts": ("<p", "<k"),
    "part": ("<p", "<k"), "things": ("<p", "<k"), "goods": ("<p",), "named": ("<p",),
    "list": ("<p",), "vehicle": ("<v", "<n", "<k"), "person": ("<h", "<n", "<i"),
}  # fmt: skip
_PART = r"(?:spare )?<[pk]\d+> "
_SUBJECTS = rf"(?:{_PART}(?:{_MORE}{_PART})*)"
_OBJECTS = rf"(?:{_PART}(?:{_MORE}{_PART}(?!{_VERB} ))*)"
#: Roles of words that are slots too.
ROLES = frozenset({"donor", "makeshift", "stuff", "trade", "store"})
_TOKEN = re.compile(r"\{[\w:]+\}|[()\[\]|]|[^\s()\[\]|{}]+")


@dataclass(frozen=True, slots=True)
class Pattern:
    """A saying with its expression.

    ``triggers``: words of which one must stand in the text; ``needs``: one of each of these, too.
    """

    saying: Saying
    expression: re.Pattern[str]
    triggers: frozenset[str]
    order: int
    needs: tuple[frozenset[str], ...] = ()


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
    triggers: list[frozenset[str]] = []
    expression, at = _sequence(tokens, 0, saying, used, triggers, first=True)
    if at != len(tokens):
        raise SayingsError(f"saying '{saying.pattern}': a bracket is not opened")
    best = min(triggers, key=_commonness, default=frozenset())
    needs = tuple(one for one in triggers if one is not best)
    alone = _NO_OBJECT if saying.kind == "survey" and saying.pattern.startswith(_SUBJECT) else ""
    return Pattern(saying, re.compile(rf"(?<= ){alone}{expression}"), best, order, needs)


def _commonness(words: frozenset[str]) -> tuple[bool, int]:
    """Return how common a saying's words are in sentences, the rarest first."""
    return any(word[0] == "<" for word in words), len(words)


def _sequence(
    tokens: list[str], at: int, saying: Saying, used: dict[str, int],
    triggers: list[frozenset[str]], *, first: bool = False,
) -> tuple[str, int]:  # fmt: skip
    pieces: list[str] = []
    while at < len(tokens) and tokens[at] not in {")", "]", "|"}:
        sign = tokens[at]
        if sign in {"(", "["}:
            inner, words, at = _choice(tokens, at + 1, ")" if sign == "(" else "]", saying, used)
            pieces.append(inner + ("?" if sign == "[" else ""))
            if sign == "(" and words:
                triggers.append(words)
        elif sign.startswith("{"):
            pieces.append(_slot(sign[1:-1], saying, used, subject=first and not pieces))
            letters = _LETTERED.get(sign[1:-1].rpartition(":")[2])
            if letters:
                triggers.append(frozenset(letters))
            at += 1
        else:
            pieces.append(re.escape(sign) + " ")
            triggers.append(frozenset({sign}))
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
        self._always: list[Pattern] = []
        self._by_word: dict[str, list[Pattern]] = {}
        for order, saying in enumerate(sayings):
            pattern = compile_saying(saying, order)
            for word in pattern.triggers:
                self._by_word.setdefault(word, []).append(pattern)
            if not pattern.triggers:
                self._always.append(pattern)

    def find(self, text: str, take: Callable[[Found], bool] | None = None) -> list[Found]:
        """Return the sayings in a text, left to right, without overlap.

        Of those that begin first, the longest is taken; of those, the one that is tried first.
        One that ``take`` refuses is none, and the next may be it.
        """
        candidates = {pattern.order: pattern for pattern in self._always}
        words = set(text.split())
        words |= {word[:2] for word in words if word[0] == "<"}
        for word in words & self._by_word.keys():
            for pattern in self._by_word[word]:
                if all(words & need for need in pattern.needs):
                    candidates[pattern.order] = pattern
        found: list[Found] = []
        hits = {
            order: match
            for order, pattern in candidates.items()
            if (match := pattern.expression.search(text))
        }
        while hits:
            order = min(hits, key=lambda one: (hits[one].start(), -hits[one].end(), one))
            match = hits[order]
            slots = {key: value for key, value in match.groupdict().items() if value}
            starts = {key: match.start(key) for key in slots}
            one = Found(candidates[order].saying, match.start(), match.end(), slots, starts)
            taken = take is None or take(one)
            if taken:
                found.append(one)
            at = max(match.end(), match.start() + 1) if taken else match.start() + 1
            for other in [order] if not taken else list(hits):
                if hits[other].start() >= at:
                    continue
                again = candidates[other].expression.search(text, at)
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
