"""Sayings made into patterns over a view's text, and those found in it, left to right."""

from __future__ import annotations

import functools
import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from partmuster_trade.sayings import TABLES, Saying, SayingsError, club_sayings, load_sayings

if TYPE_CHECKING:
    from collections.abc import Iterable
    from pathlib import Path

BE = (
    "is|are|was|were|be|been|being|'s|am|looks|look|looked|seems|seem|seemed|appears|appear|"
    "remains|remain|stays|sits|stands|feels|got|gets|comes|turned out|will be|has been|have been|"
    "had been"
)
HAVE = "has|have|had|having|has got|have got|had got|got|has still got|have still got|'s got"
_VERB = rf"(?:{BE}|{HAVE}|needs?|wants?|went|goes|go|fits?|came|comes|<s\d+>|does|do|did|can|will)"
_MORE = r"(?:(?:,|and|or|nor|/|plus|&|, and|, or|, nor|, plus|as well as) (?:(?:no|any|not|with|for) )?)"
_SLOTS = {
    "part": r"<[pk]\d+> ",
    "vehicle": r"(?:the )?<[vnk]\d+> ",
    "name": r"<[vnhi]\d+> ",
    "person": r"<[hni]\d+> ",
    "build": r"<b\d+> ",
    "state": r"<s\d+> ",
    "date": r"<d\d+> ",
    "be": rf"(?:{BE.replace('|', ' |')} )",
    "have": rf"(?:{HAVE.replace('|', ' |')} )",
    "words": r"(?:[^\s,;:]+ )+?",
    "rest": r"(?:[^\s;]+ )+",
    "few": r"(?:[^\s,;:<]+ ){0,3}?",
    "number": r"(?:\d+|one|two|three|four|five|six|seven|eight|nine|ten) ",
    "dash": r"(?:[-:,] )",
}
_SUBJECTS = rf"(?:<[pk]\d+> (?:{_MORE}<[pk]\d+> )*)"
_OBJECTS = rf"(?:<[pk]\d+> (?:{_MORE}<[pk]\d+> (?!{_VERB} ))*)"
_TOKEN = re.compile(r"\{[\w:]+\}|[()\[\]|]|[^\s()\[\]|{}]+")


@dataclass(frozen=True, slots=True)
class Pattern:
    """A saying with its expression; ``triggers``: words of which one must stand in the text."""

    saying: Saying
    expression: re.Pattern[str]
    triggers: frozenset[str]
    order: int


@dataclass(frozen=True, slots=True)
class Found:
    """A saying found in a view's text, with the text of each slot."""

    saying: Saying
    start: int
    end: int
    slots: dict[str, str]
    slot_starts: dict[str, int]


def compile_saying(saying: Saying, order: int) -> Pattern:
    """Return the pattern of a saying; raises SayingsError where its brackets or slots are wrong."""
    tokens = _TOKEN.findall(saying.pattern)
    used: dict[str, int] = {}
    triggers: list[frozenset[str]] = []
    expression, at = _sequence(tokens, 0, saying, used, triggers, first=True)
    if at != len(tokens):
        raise SayingsError(f"saying '{saying.pattern}': a bracket is not opened")
    best = min(triggers, key=len, default=frozenset())
    return Pattern(saying, re.compile(rf"(?<= ){expression}"), best, order)


def _sequence(
    tokens: list[str], at: int, saying: Saying, used: dict[str, int],
    triggers: list[frozenset[str]], *, first: bool = False,
) -> tuple[str, int]:  # fmt: skip
    pieces: list[str] = []
    while at < len(tokens) and tokens[at] not in {")", "]", "|"}:
        token = tokens[at]
        if token in {"(", "["}:
            inner, words, at = _choice(tokens, at + 1, ")" if token == "(" else "]", saying, used)
            pieces.append(inner + ("?" if token == "[" else ""))
            if token == "(" and words:
                triggers.append(words)
        elif token.startswith("{"):
            pieces.append(_slot(token[1:-1], saying, used, subject=first and not pieces))
            at += 1
        else:
            pieces.append(re.escape(token) + " ")
            triggers.append(frozenset({token}))
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
    else:
        raise SayingsError(f"saying '{saying.pattern}': there is no slot '{{{sort}}}'")
    if sort in {"be", "have", "dash", "few"} and name == sort:
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

    def find(self, text: str) -> list[Found]:
        """Return the sayings in a text, left to right, without overlap.

        Of those that begin first, the longest is taken; of those, the one that is tried first.
        """
        candidates = {pattern.order: pattern for pattern in self._always}
        for word in set(text.split()):
            for pattern in self._by_word.get(word, ()):
                candidates[pattern.order] = pattern
        found: list[Found] = []
        at = 0
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
            found.append(Found(candidates[order].saying, match.start(), match.end(), slots, starts))
            at = max(match.end(), at + 1)
            for one in list(hits):
                if hits[one].start() < at:
                    again = candidates[one].expression.search(text, at)
                    if again:
                        hits[one] = again
                    else:
                        del hits[one]
        return found


@functools.lru_cache(maxsize=4)
def patterns(club_words: Path | None = None) -> Patterns:
    """Return the package's sayings, a club's own before them."""
    own: tuple[Saying, ...] = ()
    if club_words is not None and (club_words / "sayings.csv").is_file():
        own = club_sayings(club_words / "sayings.csv")
    return Patterns([*own, *(saying for table in TABLES for saying in load_sayings(table))])
