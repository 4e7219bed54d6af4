"""A sentence on what fits what, as things and the words between them.

A thing is a part with the builds it is said of, a build or a family alone ("an Otter"), or a word
that stands for the part before. What lies between is plain words, which ``fit_words`` knows.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from .expressions import expression
from .fit_builds import PHASES, builds_in
from .fit_words import DETERMINERS, EVERY, FOLLOWS_VERB, NO_THINGS, STANDS_FOR, VERBS
from .parts import PartMention, find_parts
from .told_words import words_told

if TYPE_CHECKING:
    from collections.abc import Sequence

    from .sentences import Word

_OPENED = {
    "wont": ("will", "not"),
    "cant": ("can", "not"),
    "dont": ("do", "not"),
    "doesnt": ("does", "not"),
    "cannot": ("can", "not"),
    "couldnt": ("could", "not"),
    "wouldnt": ("would", "not"),
    "isnt": ("is", "not"),
    "arent": ("are", "not"),
    "w/": ("with",),
    "wo": ("without",),
    "theyll": ("they", "will"),
    "itll": ("it", "will"),
    "youll": ("you", "will"),
    "t'other": ("the", "other"),
    "tother": ("the", "other"),
    "n't": ("not",),
}
_NUMBER = expression(
    r"(?=.*\d.*\d)(?:[a-z]{1,4}[-/]?)?\d[\d./-]*[a-z]?(?:[-/]\w+)?|[a-z]{1,3}-\d+\w*"
)
_SIZE = expression(r"\d+(?:[./]\d+)*(?:mm|in|inch|inches|v|thou|lb)?")
_STYLES = frozenset(words_told("fit style"))
_OF = frozenset({"off", "of", "from"})
_SKIP = frozenset(words_told("fit filler")) | {'"', "*", "_", "~", "!"}
_SIGNS = {
    "(": ",",
    ")": ",",
    "--": "-",
    "...": ",",
    "+": "and",
    "&": "and",
    ">": "->",
    "=>": "->",
    ".": ";",
    "!": ";",
}
#: Behind "one" these make it no thing: "the one size", "one hand", "one way".
_ONE_SIZE = (["size"], ["hand"], ["way"], ["piece"], ["pattern"], ["and"], ["of"], ["or"])
_LONGEST_UNKNOWN = 2


@dataclass(frozen=True, slots=True)
class Thing:
    """One thing between ``start`` and ``end`` (counted in words of the sentence).

    ``part``: as named; ``stands``: the word that stands for a part named before. ``builds``: the
    builds and families said of it, as written. ``every``: "any", "every", "all" before them.
    """

    start: int
    end: int
    part: PartMention | None = None
    builds: str = ""
    every: str = ""
    stands: str = ""
    number: str = ""

    @property
    def build(self) -> str:
        """The builds, with "any" or "every" before them."""
        return f"{self.every} {self.builds}".strip() if self.builds else ""


@dataclass(frozen=True, slots=True)
class Piece:
    """A thing, or the plain words up to the next one."""

    thing: Thing | None = None
    text: str = ""
    start: int = 0
    end: int = 0

    @property
    def sign(self) -> str:
        """The words, or ``<t>`` for a thing with a name or a build."""
        thing = self.thing
        named = thing is not None and (thing.part or thing.builds or thing.number)
        return "<t>" if named else self.text


def signs(pieces: Sequence[Piece]) -> str:
    """Return pieces as words, with ``<t>`` for each thing named."""
    return " ".join(filter(None, (piece.sign for piece in pieces)))


def pieces_of(words: Sequence[Word]) -> list[Piece]:
    """Return the things of a sentence and the plain words between them, in order."""
    low = [word.low for word in words]
    taken = [_blocked(low, at) for at in range(len(low))]
    builds = builds_in(words, low, taken)
    for start, (end, _) in builds.items():
        taken[start:end] = [True] * (end - start)
    parts = {part.start: _trimmed(part, low) for part in find_parts(words, taken)}
    found: list[Piece] = []
    plain: list[str] = []
    since = at = 0
    while at < len(low):
        thing = _thing_at(words, low, at, builds, parts)
        if thing is None:
            if low[at] not in _SKIP:
                plain += _OPENED.get(low[at], (_SIGNS.get(low[at], low[at]),))
            at += 1
            continue
        found.append(Piece(text=" ".join(plain), start=since, end=at))
        found.append(Piece(thing, _words(low, thing.start, thing.end), thing.start, thing.end))
        plain = []
        since = at = thing.end
    found.append(Piece(text=" ".join(plain), start=since, end=len(low)))
    return found


def _trimmed(part: PartMention, low: Sequence[str]) -> PartMention:
    """Return a part without signs at its end."""
    end = part.end
    while end - 1 > part.start and low[end - 1] in {",", ":", "-", ";", "."}:
        end -= 1
    return replace(part, end=end)


def _words(low: Sequence[str], start: int, end: int) -> str:
    plain: list[str] = []
    for word in low[start:end]:
        plain += _OPENED.get(word, (_SIGNS.get(word, word),))
    return " ".join(plain)


def _blocked(low: Sequence[str], at: int) -> bool:
    """Tell whether a word is a verb of fitting or of work here, though it may name a part too."""
    word = low[at]
    before = low[at - 1] if at else ","
    after = low[at + 1] if at + 1 < len(low) else ","
    if word in _NEVER_PARTS:
        return True
    if word in VERBS and (
        after in FOLLOWS_VERB or before in {"will", "can", "not", "would", "to", "you", "could"}
    ):
        return not (before in DETERMINERS and after not in FOLLOWS_VERB)
    if word in {"fit", "fits", "fitting", "fouls", "strips"}:
        return before not in DETERMINERS
    return word in _WORKED and (
        before in {"you", "to", "and", ",", ":", ";", "-", "if", "then", ".", "must", "first"}
        and (after in DETERMINERS or after[:1].isdigit() or after in _COUNTS)
    )


_WORKED = frozenset(words_told("fit work verb"))
_NEVER_PARTS = frozenset(
    "can will may might must same swap swaps swapped hung used fitted put got had mixed "  # noqa: SIM905
    "mounted replaced superseded bolted going".split()
)
_COUNTS = frozenset({"one", "two", "three", "four", "out", "up", "down", "off"})


def _thing_at(  # noqa: C901, PLR0912 - one branch a form of a thing
    words: Sequence[Word],
    low: Sequence[str],
    at: int,
    builds: dict[int, tuple[int, str]],
    parts: dict[int, PartMention],
) -> Thing | None:
    """Return the thing that begins at ``at``, if one does."""
    start = at
    every = ""
    if low[at] in {"that", "those"} and low[at + 1 : at + 2] == ["of"]:
        then = _after_det(low, at + 2)
        if then in builds:
            behind, end = _with_builds(low, Thing(start, then, stands="one"), then, builds)
            return replace(behind, end=end)
    if low[at] in DETERMINERS and at not in parts:
        every = words[at].text if low[at] in EVERY else ""
        at += 1
        while every and low[at : at + 1] and low[at] in {"of", "the", "same", "single"}:
            at += 1
    thing = Thing(start, at, every=every)
    if at < len(low) and at in builds:
        thing, at = _with_builds(low, thing, at, builds)
    if at < len(low) and at in parts:
        part = parts[at]
        thing = replace(
            thing, part=part, every=thing.every or (part.which if part.which in EVERY else "")
        )
        at = part.end
        if thing.builds and (size := _unknown(low, at)) and low[at + size : at + size + 1]:
            name = " ".join(word.text for word in words[at : at + size])  # "rev counter drive"
            part = replace(part, name=f"{part.name} {name}", end=at + size)
            thing, at = replace(thing, part=part), at + size
        if at < len(low) and _NUMBER.fullmatch(low[at]) and not _SIZE.fullmatch(low[at]):
            thing, at = replace(thing, number=words[at].text), at + 1
    elif (
        at < len(low)
        and low[at] in STANDS_FOR
        and low[at + 1 : at + 2] not in _ONE_SIZE
        and (thing.builds or at == start or low[at] in {"one", "ones", "other", "either"})
    ):
        if low[at] in {"one", "ones"} and not thing.builds and at == start:
            return None
        thing, at = replace(thing, stands=low[at]), at + 1
    elif thing.builds and (size := _unknown(low, at)):
        name = " ".join(word.text for word in words[at : at + size])
        thing, at = replace(thing, part=PartMention(at, at + size, name)), at + size
    elif (
        not thing.builds
        and _NUMBER.fullmatch(low[at] if at < len(low) else "")
        and not _SIZE.fullmatch(low[at])
    ):
        thing, at = replace(thing, number=words[at].text), at + 1
        if at in parts:
            thing, at = replace(thing, part=parts[at]), parts[at].end
        elif size := _unknown(low, at):
            name = " ".join(word.text for word in words[at : at + size])
            thing, at = replace(thing, part=PartMention(at, at + size, name)), at + size
    elif not thing.builds:
        size = _unknown(low, at) if at > start else 0
        after = _after_det(low, at + size)
        if not (
            size and low[at + size : at + size + 1] and low[at + size] in _OF and after in builds
        ):
            return None
        name = " ".join(word.text for word in words[at : at + size])
        thing, at = replace(thing, part=PartMention(at, at + size, name)), at + size
    if low[at : at + 1] == ["'s"] and thing.part is None:
        at += 1
    thing, at = _said_behind(words, low, thing, at, builds, parts)
    return replace(thing, end=at)


def _with_builds(
    low: Sequence[str], thing: Thing, at: int, builds: dict[int, tuple[int, str]]
) -> tuple[Thing, int]:
    """Return the thing with the builds at ``at``: "Mk 1", "Mk 1 or Mk 2", "the late pattern"."""
    at, text = builds[at]
    while low[at : at + 1] and low[at] in {"or", "and", "/", ",", "&"}:
        then = _after_det(low, at + 1)
        if then not in builds or (low[at] in {"and", ","} and not _ends_list(low, builds[then][0])):
            break
        joined = {"/": " or ", "&": " and ", ",": ", "}.get(low[at], f" {low[at]} ")
        text, at = f"{text}{joined}{builds[then][1]}", builds[then][0]
    while low[at : at + 1] and low[at] in _STYLES:
        at += 1
    return replace(thing, builds=text), at


def _ends_list(low: Sequence[str], at: int) -> bool:
    """Tell whether a list of builds ends here, and no verdict on the last of them follows."""
    return at >= len(low) or low[at] in {
        ",",
        ";",
        ".",
        "-",
        ":",
        "all",
        "and",
        "or",
        "alike",
        "are",
        ")",
    }


def _after_det(low: Sequence[str], at: int) -> int:
    while at < len(low) and low[at] in DETERMINERS:
        at += 1
    return at


def _said_behind(  # noqa: C901, PLR0911 - one line a form
    words: Sequence[Word],
    low: Sequence[str],
    thing: Thing,
    at: int,
    builds: dict[int, tuple[int, str]],
    parts: dict[int, PartMention],
) -> tuple[Thing, int]:
    """Return a thing with what stands behind it: "off a Mk 2", "of the late pattern"."""
    if thing.builds or (thing.part is None and not thing.stands):
        return thing, at
    if low[at : at + 1] == ["("] and at + 1 in builds and low[builds[at + 1][0] :][:1] == [")"]:
        end, text = builds[at + 1]
        return replace(thing, builds=text), end + 1
    then = at
    while low[then : then + 1] == [","] or low[then : then + 1] == ["("]:
        then += 1
    if then > at and then not in builds and not (low[then : then + 1] and low[then] in _OF):
        return thing, at
    if then > at and then in builds:  # "Vision blocks, Otter Mk 2 ones"
        end, text = builds[then]
        if low[end : end + 1] and low[end] in {"one", "ones"}:
            return replace(thing, builds=text), end + 1
        return thing, at
    if not (low[then : then + 1] and low[then] in _OF):
        return thing, at
    det = then + 1
    then = _after_det(low, det)
    if then not in builds:
        return thing, at
    every = next((words[i].text for i in range(det, then) if low[i] in EVERY), "")
    behind, end = _with_builds(low, replace(thing, every=every), then, builds)
    if end in parts and low[at] != "of":  # "a gate from the later box"
        end = parts[end].end
    elif size := _unknown(low, end):
        end += size
    return behind, end


def _unknown(low: Sequence[str], at: int) -> int:
    """Return how many words from ``at`` may name a part that the trade's list does not have."""
    size = 0
    while (
        at + size < len(low)
        and size < _LONGEST_UNKNOWN
        and low[at + size].isalpha()
        and len(low[at + size]) > 2  # noqa: PLR2004 - "is", "on"
        and low[at + size] not in NO_THINGS
        and low[at + size] not in VERBS
        and low[at + size] not in DETERMINERS | PHASES
        and low[at + size] not in STANDS_FOR
    ):
        size += 1
    return size
