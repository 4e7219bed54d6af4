"""What the words at the head of a list say of it: wanted, to be had, to be swapped, or kept.

The words are data (``words_note_head.csv``): of several phrases in a head the first row counts, so
that "not part with" comes before "part with", and "wanted in exchange" before both.
"""

from __future__ import annotations

import functools
import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from partmuster_trade.sayings import Saying
from partmuster_trade.words import load_words

from .deals import phrases_of
from .expressions import expression
from .patterns import Found

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from .sentences import Word
    from .view import View

_LONGEST = 16
_FILLERS = frozenset({"very", "really", "still", "also", "quite", '"', "*", "_"})
_SIGNS = frozenset(",;:()-.!/")
_PERSON = expression(r"<[hni]\d+>")
#: What ends no list's head: it supposes, asks, or tells of a rule.
_NO_HEAD = frozenset({"if", "whether", "unless", "rule", "question", "why", "how", "nobody",
                      "talked", "discussed", "about", "?", "said", "joke", "moral"})  # fmt: skip
_ITEMS = expression(
    r"(?:(?:an?|the|one|some|any|also|and|or|another|good|decent|[a-z]+ of|spare|x|<[vnb]\d+>|"
    r"<[hn]\d+> 's|\d+) )*<p\d+> "
)


@dataclass(frozen=True, slots=True)
class Said:
    """What a head says: the kind of its lines, whether they are to be had, where it says so."""

    kind: str
    availability: str
    start: int
    end: int


@functools.cache
def _phrases() -> Mapping[str, Sequence[tuple[int, tuple[frozenset[str] | str, ...], Said, bool]]]:
    """Return the phrases by their first words: rank, words, what they say, whether they begin."""
    found: dict[str, list[tuple[int, tuple[frozenset[str] | str, ...], Said, bool]]] = {}
    for rank, row in enumerate(load_words("note_head")):
        means = row.meanings
        said = Said(means["kind"], means["availability"], 0, 0)
        for phrase in phrases_of(row.words.lower()):
            for first in phrase[0]:
                found.setdefault(first, []).append((rank, phrase, said, means["where"] == "start"))
    return found


def said_by_head(words: Sequence[Word]) -> Said | None:
    """Return what the words before a list say of it; None: nothing of dealing."""
    kept = [at for at, word in enumerate(words) if word.low not in _FILLERS]
    low = [words[at].low for at in kept]
    if len(low) > _LONGEST:
        return None
    best: tuple[int, Said] | None = None
    for at, word in enumerate(low):
        for rank, phrase, said, begins in _phrases().get(word, ()):
            if (begins and at) or (best and best[0] <= rank):
                continue
            end = _end(low, at, phrase)
            if end and not _NO_HEAD & set(low[:end]):
                best = rank, Said(said.kind, said.availability, kept[at], kept[end - 1] + 1)
    return best[1] if best else None


def _end(low: Sequence[str], at: int, phrase: Sequence[frozenset[str] | str]) -> int:
    """Return where a phrase that begins at ``at`` ends, or 0."""
    for wanted in phrase:
        if wanted == "$":
            return at if at == len(low) or low[at] in _SIGNS else 0
        if at >= len(low) or low[at] not in wanted:
            return 0
        at += 1
    return at


def listed_behind_head(view: View, read: Sequence[Found]) -> Iterator[Found]:
    """Yield the list behind a colon of which the words before it tell, as a saying found."""
    text = view.text
    colon = text.find(" : ")
    if colon < 0 or "<p" in text[:colon]:
        return
    start = colon + 3
    if not _ITEMS.match(text, start) or any(one.end > start for one in read):
        return
    count = len(text[:colon].split())
    if count >= len(view.places):
        return
    head = view.sentence.words[: view.places[count][0]]
    said = said_by_head(head)
    if said is None:
        return
    goods = "".join(_items(text[start:]))
    slots = {"goods": goods}
    starts = {"goods": start}
    person = _who(view, count, said.end)
    if person:
        slots["person"], starts["person"] = f"{person} ", text.find(person)
    means = {"availability": said.availability} if said.availability else {}
    rule = f"head of a list: {said.kind} {said.availability}".strip()
    yield Found(Saying(rule, "head : list", said.kind, means, "common practice, no source"),
                1, start + len(goods), slots, starts)  # fmt: skip


def _items(text: str) -> Iterator[str]:
    """Yield the items of a list that begin with a part; words in place of the others."""
    for piece in re.findall(r".*?(?:[,;] (?:and |or )?|$)", text):
        yield piece if _ITEMS.match(piece.removeprefix("and ")) else re.sub(r"<p\d+>", "-", piece)


def _who(view: View, count: int, end: int) -> str:
    """Return the mark of who is named last before the telling words of a head end."""
    marks = [
        word
        for word, (start, _) in zip(view.text.split()[:count], view.places, strict=False)
        if _PERSON.fullmatch(word) and start < end
    ]
    return marks[-1] if marks else ""
