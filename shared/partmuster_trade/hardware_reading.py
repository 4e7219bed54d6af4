"""Reads words for standard hardware, step by step: phrases, then what each number is."""

from __future__ import annotations

import functools
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from partmuster_trade.hardware_phrases import Phrase, hardware_kinds, phrase_at
from partmuster_trade.hardware_tokens import Token, tokens_of

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from partmuster_trade.hardware_phrases import HardwareKind

#: What follows these words is where it goes, or what comes with it: of that only the duty is read.
_JOINED: Final = frozenset(
    {"for", "suit", "suits", "off", "from", "ex", "with", "c/w", "less", "without", "fits"}
)
_PIPES: Final = frozenset({"pipe", "pipes", "tube", "tubes", "tubing"})
_FLATS: Final = (("a/f",), ("af",), ("across", "flats"))
_CLASS_WORDS: Final = frozenset({"grade", "gr", "class", "property"})
_BEARING_ONLY: Final = ("closure", "clearance")


@dataclass(slots=True)
class Item:
    """A stretch of the words: a number, a connector, a phrase of the tables, or an unknown word.

    ``use`` is what it was taken for; without one it is unread.
    """

    tokens: Sequence[Token]
    phrase: Phrase | None = None
    use: str = ""

    @property
    def text(self) -> str:
        """Return its words."""
        return " ".join(token.text for token in self.tokens)

    @property
    def number(self) -> Token | None:
        """Return the number that it is, where nothing has used it yet."""
        first = self.tokens[0]
        return first if first.kind == "number" and not self.phrase and not self.use else None

    def says(self, column: str) -> str:
        """Return what its phrase says of a column."""
        return self.phrase.says.get(column, "") if self.phrase and not self.use else ""


def items_of(words: str) -> list[Item]:
    """Return the words as items; what comes behind "for" or "with" says no more than its duty."""
    tokens = tokens_of(words)
    metric = any(token.unit == "M" for token in tokens)
    items: list[Item] = []
    place, beside = 0, False
    while place < len(tokens):
        item = _item_at(tokens, place, metric=metric, after=items[-1] if items else None)
        first = item.tokens[0]
        if not item.phrase and not item.use and first.text in _JOINED:
            beside = True
        if beside and not item.says("duty") and item.use != "tube":
            item = Item(item.tokens)
            item.use = "beside"
        items.append(item)
        place += len(item.tokens)
    return items


def _item_at(tokens: Sequence[Token], place: int, *, metric: bool, after: Item | None) -> Item:
    first = tokens[place]
    behind = [token.text for token in tokens[place + 1 : place + 4]]
    if first.kind == "number":
        for flats in _FLATS:
            if tuple(behind[: len(flats)]) == flats:
                return Item(tokens[place : place + 1 + len(flats)], use="across flats")
        skipped = 1 if behind[:1] in (["od"], ["o/d"]) else 0
        if behind[skipped : skipped + 1] and behind[skipped] in _PIPES:
            named = phrase_at(tokens, place + 1 + skipped)
            if named is None or named.length == 1:
                return Item(tokens[place : place + 2 + skipped], use="tube")
    phrase = phrase_at(tokens, place)
    if phrase is not None and first.kind == "number" and phrase.length == 1:
        # 8.8 alone is a class beside a metric thread only, and no length
        linked = after is not None and after.tokens[0].kind in {"x", "-"}
        if not metric or linked:
            phrase = None
    if phrase is None or phrase.shield:
        length = phrase.length if phrase else 1
        return Item(tokens[place : place + length], use="shield" if phrase else "")
    return Item(tokens[place : place + phrase.length], phrase)


def said(items: Sequence[Item], column: str) -> list[str]:
    """Return the different things that the phrases say of a column, in the order of the words."""
    return list(dict.fromkeys(item.says(column) for item in items if item.says(column)))


def all_said(items: Sequence[Item]) -> dict[str, list[str]]:
    """Return what :func:`said` gives, for every column of which anything is said."""
    found: dict[str, list[str]] = {}
    for item in items:
        if item.phrase and not item.use:
            for column, value in item.phrase.says.items():
                if value not in found.setdefault(column, []):
                    found[column].append(value)
    return found


def kind_of(items: Sequence[Item]) -> HardwareKind | None:
    """Return the one kind that is named."""
    kinds = said(items, "kind")
    return hardware_kinds()[kinds[0]] if len(kinds) == 1 else None


def read_styles(items: Sequence[Item], kind: HardwareKind | None) -> None:
    """Read a style that stands apart from its kind: "washers, 3/8, spring" are spring washers."""
    if kind is None:
        return
    named = _last_word(kind.kind)
    for item in items:
        token = item.tokens[0]
        if item.phrase or item.use or token.kind != "word":
            continue
        for pair in ((token, named), (named, token)):
            phrase = phrase_at(pair, 0)
            if phrase and phrase.length > 1 and phrase.says.get("kind") == kind.kind:
                item.phrase = phrase


@functools.cache
def _last_word(kind: str) -> Token:
    return tokens_of(kind)[-1]


def bearing_by_suffix(items: Sequence[Item]) -> bool:
    """Whether words without a kind are a ball bearing's number with its suffixes: ``6205-C3``."""
    first = items[0].number if items else None
    if first is None or not first.text.isdigit() or len(items) == 1:
        return False
    suffixes = [item for item in items[1:] if item.tokens[0].kind != "-"]
    known = first.text[0] == "6" and len(first.text) in {3, 4}
    return known and all(any(i.says(column) for column in _BEARING_ONLY) for i in suffixes)


def drop_bearing_words(items: Sequence[Item]) -> None:
    """Let words that say something of bearings only be unread where no bearing is meant."""
    for item in items:
        if any(item.says(column) for column in _BEARING_ONLY):
            item.phrase = None


def numbers_with_places(items: Sequence[Item]) -> Iterator[tuple[int, Token]]:
    """Yield the numbers that nothing has used yet, with their places."""
    for place, item in enumerate(items):
        if item.number is not None:
            yield place, item.number


def unread(items: Sequence[Item]) -> tuple[str, ...]:
    """Return the words that were not understood; connectors and fillers are none."""
    kept = []
    for item in items:
        connector = item.tokens[0].kind in {"x", "-"}
        if item.use in {"beside", "shield"} or not (connector or item.phrase or item.use):
            kept.append(item.text)
    while kept and kept[-1] in _JOINED:
        kept.pop()
    return tuple(kept)
