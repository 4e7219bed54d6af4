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


class _Node(dict[str, "_Node"]):
    """Words that may go on a phrase, and what it says if it ends here."""

    __slots__ = ("says",)

    def __init__(self) -> None:
        super().__init__()
        self.says: Mapping[str, str] | None = None


@functools.cache
def _trees() -> tuple[_Node, _Node]:
    """Return the phrases as trees of words: of known promises, and all others."""
    known, others = _Node(), _Node()
    for row in load_words("note_dealing"):
        root = known if row.meanings["before"] == "known" else others
        for phrase in phrases_of(row.words.lower()):
            _insert(root, phrase, row.meanings)
    return known, others


def _insert(node: _Node, phrase: Sequence[frozenset[str] | str], means: Mapping[str, str]) -> None:
    """Put a phrase into a tree; the first of two alike stays."""
    if not phrase:
        node.says = node.says or means
        return
    for word in phrase[0]:
        for one in _STANDS_FOR.get(word, (word[:_MARK] if word[0] == "<" else word,)):
            _insert(node.setdefault(one, _Node()), phrase[1:], means)


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
    while here < len(folded) and folded[here] in node:
        node = node[folded[here]]
        here += 1
        if node.says is not None:
            best = here, node.says
    return best
