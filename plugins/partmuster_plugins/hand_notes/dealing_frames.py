"""Verbs and phrases of dealing in a clause, and who and what stands before and behind them.

The table (``words_note_dealing.csv``) has ``<p>`` for a part or "it", ``<h>`` for somebody, ``<v>``
for a vehicle or a name, ``<s>``, ``<o>``, ``<w>`` ... for the marks of a view. Its columns:

- ``kind``: holding, want, promise, lead. ``value``: availability or stage; ``wish``: a want that
  hedging words are part of; ``tells``: who is named only tells of it.
- ``before``: who stands before it: ``person``, ``giver``; ``somebody`` by no name; ``start``:
  nothing but the clause's beginning; ``part``: the part; ``known``: it speaks of a part of which
  the note told a promise, wherever in the clause that stands.
- ``behind``: ``part``, ``list`` (behind a colon), ``part to`` (and whom to).
"""

from __future__ import annotations

import functools
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from partmuster_trade.words import load_words

from .deals import phrases_of

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

#: What a mark of the table stands for, by the first two signs of a view's marks.
_STANDS_FOR: Final[Mapping[str, frozenset[str]]] = {
    "<p>": frozenset({"<p", "<k"}), "<h>": frozenset({"<h", "<n", "<i"}),
    "<v>": frozenset({"<v", "<n"}),
}  # fmt: skip
_Phrase = tuple[frozenset[str] | str, ...]
#: Signs that end no phrase and begin none.
_MARK = 2


@dataclass(frozen=True, slots=True)
class Frame:
    """A phrase of the table from word ``first`` to ``last`` of a view's text, and what it says."""

    first: int
    last: int
    kind: str
    value: str
    before: str
    behind: str


class _Node:
    """What may go on a phrase, and what it says if it ends here.

    Words are put behind each other only where a note asks for them: few of the phrases are.
    """

    __slots__ = ("_next", "_waiting", "says")

    def __init__(self) -> None:
        self._next: dict[str, _Node] = {}
        self._waiting: list[tuple[_Phrase, Mapping[str, str]]] = []
        self.says: Mapping[str, str] | None = None

    def put(self, phrase: _Phrase, means: Mapping[str, str]) -> None:
        """Put a phrase behind this; the first of two alike stays."""
        if phrase:
            self._waiting.append((phrase, means))
        else:
            self.says = self.says or means

    def behind(self, word: str) -> _Node | None:
        """Return what goes on behind a word."""
        for phrase, means in self._waiting:
            for meant in phrase[0]:
                short = meant[:_MARK] if meant[0] == "<" else meant
                for one in _STANDS_FOR.get(meant, (short,)):
                    if one not in self._next:
                        self._next[one] = _Node()
                    self._next[one].put(phrase[1:], means)
        self._waiting = []
        return self._next.get(word)


@functools.cache
def _trees() -> tuple[_Node, _Node]:
    """Return the phrases as trees of words: of known promises, and all others."""
    known, others = _Node(), _Node()
    for row in load_words("note_dealing"):
        root = known if row.meanings["before"] == "known" else others
        for phrase in phrases_of(row.words.lower()):
            root.put(phrase, row.meanings)
    return known, others


def frames_in(words: Sequence[str]) -> Iterator[Frame]:
    """Yield the phrases of dealing in a view's words, the longest first, without overlap."""
    yield from _frames(words, _trees()[1])


def known_frames_in(words: Sequence[str]) -> Iterator[Frame]:
    """Yield the phrases that tell how far a promise is of which the note told before."""
    yield from _frames(words, _trees()[0])


def _frames(words: Sequence[str], tree: _Node) -> Iterator[Frame]:
    folded = [word[:_MARK] if word[0] == "<" else word for word in words]
    at = 0
    while at < len(folded):
        end, says = _longest(folded, at, tree)
        if says is None:
            at += 1
            continue
        yield Frame(at, end, says["kind"], says["value"], says["before"], says["behind"])
        at = end


def _longest(folded: Sequence[str], at: int, tree: _Node) -> tuple[int, Mapping[str, str] | None]:
    node, here = tree, at
    best: tuple[int, Mapping[str, str] | None] = (at, None)
    while here < len(folded) and (then := node.behind(folded[here])):
        node, here = then, here + 1
        if node.says is not None:
            best = here, node.says
    return best
