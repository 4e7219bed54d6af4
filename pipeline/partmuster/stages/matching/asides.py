"""What stands in a description beside the name: sizes, marks, counts, fillers, company."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

from partmuster_trade.words import load_words

#: Words that add nothing to a name (common practice, no source). "set" and "kit" are not here:
#: a gasket set is no gasket.
FILLERS: Final = frozenset(
    {
        "assy", "assembly", "assembled", "complete", "spare", "for", "of", "old", "new",
        "original", "orig", "nos", "genuine", "used", "surplus", "pair", "pr", "each", "unused",
    }
)  # fmt: skip

_FRACTION = r"\d+(?:[ -]\d+/\d+|/\d+)?|\.\d+|\d+\.\d+"
_CONTENTS = r"gal(?:lon)?s?|litres?|pints?|cwt|tons?|ft|feet"
_INCH = r"(?:\"|in(?:ch)?\b)?"
_THREADS = r"bsf|bsw|bsp|whit(?:worth)?|unf|unc|ba|af|a/f|npt|tpi"
_SIZES: Final = (
    ("volt", re.compile(r"(?<![\w/.])(\d+(?:\.\d+)?)\s*-?\s*(?:volts?|v)\b")),
    ("amp", re.compile(r"(?<![\w/.])(\d+(?:\.\d+)?)\s*-?\s*(?:amps?|ah?)\b(?!/)")),
    ("watt", re.compile(r"(?<![\w/.])(\d+(?:\.\d+)?)\s*-?\s*(?:watts?|w)\b(?!/)")),
    ("mm", re.compile(r"(?<![\w/.])(\d+(?:\.\d+)?)\s*mm\b")),
    ("thread", re.compile(rf"(?<![\w/.])((?:{_FRACTION})\s*{_INCH}\s*(?:{_THREADS}))\b")),
    ("thread", re.compile(r"(?<![\w/.])(m\d+(?:\s*x\s*\d+(?:\.\d+)?)?)\b")),
    ("inch", re.compile(rf"(?<![\w/.])({_FRACTION})\s*(?:\"|''|in\b\.?|inch(?:es)?\b)")),
    ("tyre", re.compile(r"(?<![\w/.])(\d+(?:\.\d+)?\s*[-x×]\s*\d\d+)\b")),
    ("oversize", re.compile(r"(?<![\w/])(\+?\s?[.]0\d\d)\b")),
    ("content", re.compile(rf"(?<![\w/.])(\d+(?:\.\d+)?\s*(?:{_CONTENTS}))\b")),
    ("fraction", re.compile(r"(?<![\w/.])(\d+/\d+)(?![\w/])")),
)  # fmt: skip
_MARKS = re.compile(
    r"\b(?:mk|mark)s?\.?\s*(?:[ivx]+|\d+)[a-z]?\b(?:\s*(?:[/&,+]|and|or)\s*(?:(?:mk|mark)\.?\s*)?"
    r"(?:[ivx]+|\d+)[a-z]?\b)*"
)
_MARK = re.compile(r"(?:(?<=\W)|(?<=mk)|(?<=mark)|^)([ivx]+|\d+)([a-z]?)\b")
_ROMAN: Final = {"i": "1", "ii": "2", "iii": "3", "iv": "4", "v": "5", "vi": "6", "vii": "7",
                 "viii": "8", "ix": "9", "x": "10", "xi": "11", "xii": "12"}  # fmt: skip
_PHASES = re.compile(r"\b(?:early|late|mid|later|earlier)(?:[ -](?:type|pattern|only))?\b")
_COUNTS = re.compile(
    r"(?:\bx\s*\d+\b|\b\d+ ?(?:off|no\.?|nos|pcs|pieces|ea|x)(?!\w)"
    r"|\b(?:a\s+)?(?:pair|set|box|bag|lot)s?\s+of\s+(?:\d+\s+)?|^\s*\d+\s+(?=[a-z]{3})|\(\s*\d+\s*\))"
)
_WITH = re.compile(
    r"(?<![\w/-])(?:c/w|complete with|with|w/|w/o|w\.?(?= +[a-z]{3})|without|less|inc\.?|incl\.?"
    r"|including|from|ex|off|to suit|fits|minus|no(?= +[a-z]{3}))(?=\W|$)"
)
_REMARK = re.compile(r",| [-–—] ")
#: What words beside a name say of the thing without changing what it is.
_OF_STATE: Final = frozenset({"state", "work", "colour"})
_ORIGINS = frozenset({"from", "ex", "off", "to suit", "fits"})
_BRACKETS = re.compile(r"\(([^()]*)\)|\[([^\[\]]*)\]")


@dataclass(frozen=True, slots=True)
class Cut:
    """A name cut in two: ``head``, and the ``tail`` after the phrase ``joined_by``."""

    head: str
    joined_by: str
    tail: str

    @property
    def origin(self) -> bool:
        """Whether the phrase says what it came off or goes on: a part named there belongs to it."""
        return self.joined_by in _ORIGINS


@dataclass(frozen=True, slots=True)
class Asides:
    """A folded description parted into its name and the rest.

    ``name``: what is left; ``sizes``: (kind, text) pairs; ``notes``: bracketed words; ``cuts``:
    the name cut at "c/w", "less", "off" and the like, the longest first.
    """

    name: str
    sizes: tuple[tuple[str, str], ...]
    notes: tuple[str, ...]
    cuts: tuple[Cut, ...]


@lru_cache(maxsize=1)
def state_words() -> frozenset[str]:
    """Return words that say only what state a thing is in, what was done to it, or its colour."""
    said = {row.words for row in load_words("beside") if row.meanings["beside"] in _OF_STATE}
    said |= {row.words for row in load_words("condition") if row.words.isalpha()}
    return frozenset(said)


def sizes_in(text: str) -> tuple[str, tuple[tuple[str, str], ...]]:
    """Return folded text without its sizes, and the sizes as (kind, text without spaces)."""
    if not any(map(str.isdigit, text)):
        return text, ()
    found: list[tuple[str, str]] = []
    for kind, pattern in _SIZES:

        def take(match: re.Match[str], kind: str = kind) -> str:
            found.append((kind, re.sub(r"\s+", "", match.group(1))))
            return " "

        text = pattern.sub(take, text)
    return text, tuple(found)


def marks_in(text: str) -> frozenset[str]:
    """Return the marks that folded text states, in figures: of "Mk II & III" 2 and 3."""
    if "mk" not in text and "mark" not in text:
        return frozenset()
    return frozenset(
        _ROMAN.get(number, number) + letter
        for found in _MARKS.finditer(text)
        for number, letter in _MARK.findall(found.group())
    )


def set_apart(text: str) -> Asides:
    """Return a folded description with sizes, marks, counts and bracketed notes set apart."""
    notes: tuple[str, ...] = ()
    if "(" in text or "[" in text:
        notes = tuple((a or b).strip() for a, b in _BRACKETS.findall(text) if (a or b).strip())
        text = _BRACKETS.sub(" ", text)
    text, sizes = sizes_in(text)
    if "mk" in text or "mark" in text:
        text = _MARKS.sub(" ", text)
    if "earl" in text or "late" in text or "mid" in text:
        text = _PHASES.sub(" ", text)
    if "of" in text or any(map(str.isdigit, text)):
        text = _COUNTS.sub(" ", text)
    cuts = [
        Cut(head, found.group(), text[found.end() :])
        for found in reversed(list(_WITH.finditer(text)))
        if (head := text[: found.start()].strip(" ,"))
    ]
    if (remark := _remark(text)) is not None:
        cuts.append(remark)
    return Asides(text.strip(), sizes, notes, tuple(sorted(cuts, key=lambda cut: -len(cut.head))))


def _remark(text: str) -> Cut | None:
    """Return a text cut before the first piece that tells a state: "bin, stowage, lid gone".

    One word before it may be the end of a name turned round ("bolt, track guard rusty").
    """
    for found in _REMARK.finditer(text):
        head, rest = text[: found.start()].strip(" ,"), text[found.end() :]
        piece = _REMARK.split(rest, maxsplit=1)[0].split()
        if any(word.strip(".;:") in state_words() for word in piece):
            several = len(head.split()) > 1 or all(w.strip(".;:") in state_words() for w in piece)
            return Cut(head, found.group().strip(), rest) if head and several else None
    return None
