"""The names near a statement by which its vehicle may be told; the core takes the nearest it knows.

What a sentence surely names or looks at is its topic (``topics``). Here are the other ways to name
one, of which the club alone can tell whether they do: small letters ("nettle next"), odd forms
("OTTER3"), an owner's ("HC's", "ivos wreck", "mine"), and all that was named before.
"""

from __future__ import annotations

import functools
import re
from typing import TYPE_CHECKING

from .expressions import expression
from .lexicon import lexicon, singular
from .names import NameMention, given_names
from .roles import words_of, words_of_any
from .settling import is_woman, key_of
from .titles import BESIDE, KIN, LOOKED_AT, is_place
from .trail import MOST, Near

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from .context import Context
    from .sentences import Word
    from .trail import Trail
    from .view import View

#: Of so many people it may be whose a vehicle is.
_MOST_OWNERS = 3
#: So many names back a family may be told to which a number alone belongs.
_FEW = 4
_SHORTEST, _FEWEST_LETTERS = 4, 3
#: What may stand before and behind a name in small letters.
_PLACED = expression(
    r"(?:^| [,;:.!(+&-]| ok| okay| and| but| so| now| then| right| the| old| poor|"
    r" dear| on| in| under| at| of| inside| see| saw| is| was) $"
)
_FOLLOWS = expression(
    r"^ (?:$|[,;:.!)(=+&-]|'s |(?:is|was|has|had|still|now|next|first|again|today|and|at|in|on|"
    r"needs|lacks|looks|looking|this|last|yesterday|over|sat|mon|tue|wed|thu|fri|sun|saturday|sunday|um|"
    r"er|erm) |\w+ [:=])"
)
_NUMBERED = expression(
    r"(?<![\w'-])(?P<word>[A-Za-z]{3,})(?:-|\s?#\s?|\s?[Nn]o\.?\s?|\s)?(?P<number>\d{1,2})"
    r"(?![\w/:%-]|\.\d|\s?(?:x|off|of|mm|in)\b)"
)
_LETTERED = expression(r"(?<![\w./-])[A-Z]{1,2}\.?\d{1,2}(?![\w/-]|\.\d)")
#: So many words are a line that may be a heading.
_SHORT_LINE = 5
_INITIALS = expression(r"(?<![\w.'])(?P<who>(?:[A-Z]\.? ?){2,3})['’]s\b(?P<more>.*)")
_NUMBER_ALONE = expression(r"(?:no|number|nr)\.? ?(\d{1,3})", re.IGNORECASE)
#: What an owner's vehicle is called without a name.
_MACHINES = frozenset({
    "wreck", "hulk", "one", "machine", "vehicle", "tank", "lorry", "truck", "carrier", "tractor",
    "beast", "bus", "wagon", "pile", "heap", "project", "restoration", "own", "monster",
})  # fmt: skip
#: Behind an owner's name alone.
_IS_OWNERS = expression(r"^ (?:$|[,;:.!)(=-]|(?:is|was|has|had|still|now|next|needs|lacks|looks) )")
#: Whose something is: no vehicle is spoken of.
_PREDICATE = expression(r" (?:is|are|was|were|be|'s|thats|its|they|these|those|all) $")
#: What is called so has no other name.
_CALLED = expression(r" (?:calls?|called|known as|named|christened) (?:(?:it|her|him|them) )?the $")
_OWNS = {"mine": "w", "ours": "w", "yours": "r", "my": "w", "our": "w", "your": "r", "his": "he",
         "her": "she"}  # fmt: skip
_HOSTS = expression(r" (?:at|to|from|over at|round at|round|up at|down at) $")


def families_of(names: Iterable[str], trail: Trail, writer: str) -> tuple[tuple[str, ...], ...]:
    """Return the vehicles that a word for a family may mean: of the host, of the writer."""
    words = [
        re.sub(r"^the ", "", one, flags=re.IGNORECASE)
        for one in names
        if len(key_of(one).split()) == 1 and key_of(one).isalpha()
    ]  # fmt: skip
    hosts = tuple(
        f"{host}'s {word}" for host in trail.hosts[:_MOST_OWNERS] for word in words[:_MOST_OWNERS]
    )
    own = tuple(f"{writer}'s {word}" for word in words[:_MOST_OWNERS]) if writer else ()
    return hosts, own


def names_near(view: View, context: Context, trail: Trail) -> list[Near]:
    """Return the names in a sentence that may be its vehicle's, those that are placed first."""
    found: dict[str, Near] = {}
    for one in (*_headed(view), *_whose(view, context, trail), *_mentioned(view, context),
                *_numbered(view), *_lettered(view), *_small(view)):  # fmt: skip
        known = found.get(one.text)
        if known is None or (one.placed, one.sure) > (known.placed, known.sure):
            found[one.text] = one
    return sorted(found.values(), key=lambda one: not one.placed)[:MOST]


#: "Rosalind: ...", "**Tin Lizard** - ...": what a line is about stands at its head.
_HEADED = expression(
    r"^[\W\d_]*(?:[Tt]he )?(?P<who>[A-Z][\w'’]+(?: [A-Z0-9][\w'’]*){0,2})[*_]*\s?(?::|\s[-–—])\s"
)


def _headed(view: View) -> Iterator[Near]:
    """Yield the name at the head of a line; a part's name is none."""
    found = _HEADED.match(view.sentence.text) if view.sentence.first else None
    if found is None:
        return
    known = _plain() | words_of_any("section")
    low = found["who"].casefold()
    if any(word not in known and singular(word) not in lexicon().tokens for word in low.split()):
        yield Near(found["who"], placed=True, turns=True)


def _words(view: View, start: int, end: int) -> tuple[str, str]:
    words = view.sentence.words
    before = " ".join(word.low for word in words[:start])
    behind = " ".join(word.low for word in words[end:])
    return f" {before} " if before else " ", f" {behind} " if behind else " "


def _mentioned(view: View, context: Context) -> Iterator[Near]:
    for name in view.mentions:
        if not isinstance(name, NameMention) or name.pronoun or not name.end:
            continue
        if name.sort not in {"vehicle", "either", "person"}:
            continue
        before, behind = _words(view, name.start, name.end)
        looked = bool(LOOKED_AT.search(before))
        if (BESIDE.search(before) and not looked) or KIN.match(behind.lstrip()):
            continue
        if context.settled.get(key_of(name.text)) == "person" or is_place(name.text, before):
            continue
        if name.sort == "person" and " " in name.text:
            continue
        if name.sort != "vehicle" and len(name.text) < _FEWEST_LETTERS:
            continue  # somebody's initials
        called = bool(_CALLED.search(before)) and name.sort == "either"
        opens = view.sentence.first and before.strip() == "the" and " <p" not in view.text
        yield Near(name.text, called or is_sure(name, context), looked or opens, opens)


def is_sure(name: NameMention, context: Context) -> bool:
    """Tell whether a name shows that it is a vehicle's, whoever knows it."""
    if name.sort != "vehicle" or name.pronoun:
        return False
    return not name.text[:1].islower() or context.small


@functools.lru_cache(maxsize=20_000)
def is_strange(low: str) -> bool:
    """Tell whether a word is neither the trade's nor an everyday one."""
    return (
        low.isalpha() and len(low) >= _SHORTEST and low not in _everyday()
        and not low.endswith(("ed", "ing", "ly")) and singular(low) not in lexicon().tokens
    )  # fmt: skip


def _everyday() -> frozenset[str]:
    return words_of_any(
        "everyday", "filler", "file-word", "home", "month", "place-name", "store", "section",
        "numbered-otherwise", "crew", "building",
    )  # fmt: skip


def _small(view: View) -> Iterator[Near]:
    """Yield one or two words in small letters, or all in capitals, that may be a name."""
    words: Sequence[Word] = view.sentence.words
    if view.sentence.text.isupper():
        words = [word._replace(text=word.low, capital=False) for word in words]
    taken = [False] * len(words)
    for one in view.mentions:
        if isinstance(one, NameMention) and one.end:
            taken[one.start : one.end] = [True] * (one.end - one.start)
    strange = [is_strange(word.low) for word in words]
    for at, word in enumerate(words):
        if True not in strange[at : at + 2]:
            continue
        shouted = view.sentence.words[at].capital
        if (taken[at] and not shouted) or word.capital or not word.low.isalpha():
            continue
        for size in (2, 1):
            if not _may_be_name(words, [] if shouted else taken, at, size):
                continue
            before, behind = _words(view, at, at + size)
            looked = bool(LOOKED_AT.search(before))
            led = _PLACED.search(before.rstrip() + " ") and _FOLLOWS.match(behind)
            if not looked and (not led or BESIDE.search(before)):
                continue
            name = " ".join(one.low for one in words[at : at + size])
            opens = view.sentence.first and not before.replace("the ", "").strip()
            turns = looked or len(words) <= size + 2 or (opens and " <p" not in view.text)
            yield Near(name, placed=True, turns=turns)
            break


def _may_be_name(words: Sequence[Word], taken: Sequence[bool], at: int, size: int) -> bool:
    some = words[at : at + size]
    if len(some) < size or any(taken[at : at + size]) or any(one.capital for one in some):
        return False
    lows = [one.low for one in some]
    if lows[0] in given_names() and size == 1:
        return False
    return is_strange(lows[-1]) and all(low.isalpha() and low not in _plain() for low in lows)


@functools.cache
def _plain() -> frozenset[str]:
    return words_of_any("everyday", "filler", "month") - {"old"}


def _numbered(view: View) -> Iterator[Near]:
    """Yield "OTTER3", "Otter-3", "otter no3", "Bramble #2" as they are known."""
    text = view.sentence.text
    for found in _NUMBERED.finditer(text):
        low = found["word"].casefold()
        if low in words_of_any("everyday", "numbered-otherwise", "month", "file-word") or (
            singular(low) in lexicon().tokens or low in given_names()
        ):  # fmt: skip
            continue
        before = f" {text[: found.start()].casefold()}"
        if BESIDE.search(before) and not LOOKED_AT.search(before):
            continue
        yield Near(f"{found['word']} {found['number']}", placed=True)


def _lettered(view: View) -> Iterator[Near]:
    """Yield "B4" where it begins a sentence or ends a short line."""
    text = view.sentence.text
    short = len(view.sentence.words) <= _SHORT_LINE
    for found in _LETTERED.finditer(text):
        alone = short and not text[found.end() :].strip(" .:,;)-")
        if alone or not text[: found.start()].strip(" -"):
            yield Near(found[0], placed=True, turns=alone)


def _whose(view: View, context: Context, trail: Trail) -> Iterator[Near]:
    """Yield what is told by whose it is: "Hester's", "gwens bramble", "mine", "my otter"."""
    words = view.sentence.words
    for at, word in enumerate(words):
        low = word.low
        if low in _OWNS:
            yield from _own(view, at, context)
        elif low == "'s" and at and words[at - 1].low.isalpha():
            yield from _possessed(view, at, trail)
        elif low.endswith("s") and low[:-1] in given_names() and low not in given_names():
            before, behind = _words(view, at, at + 1)
            if not (BESIDE.search(before) or _HOSTS.search(before)):
                yield from _owned(word.text[:-1], words[at + 1 :])
                if _IS_OWNERS.match(behind):
                    yield Near(f"{word.text[:-1]}'s", placed=True)
    found = _INITIALS.search(view.sentence.text)
    if found and _IS_OWNERS.match(f" {re.sub(r'[*_]', '', found['more']).strip()} "):
        letters = re.sub(r"[^A-Z]", "", found["who"])
        yield Near(f"{'.'.join(letters)}.'s", placed=True)


def _own(view: View, at: int, context: Context) -> Iterator[Near]:
    """Yield the vehicle that "mine", "my otter", "his" or "her own" at ``at`` tells."""
    words = view.sentence.words
    before, _ = _words(view, at, at + 1)
    low = words[at].low
    owner = {"w": context.writer, "r": context.recipient}.get(_OWNS[low], "")
    if _OWNS[low] in {"he", "she"}:
        women = _OWNS[low] == "she"
        owner = next((one for one in context.named if is_woman(one) is women), "")
    if (
        not owner
        or before.endswith(" of ")
        or (BESIDE.search(before) and not LOOKED_AT.search(before))
    ):
        return
    if low in {"mine", "ours", "yours"}:
        if not _PREDICATE.search(before):
            yield Near(f"{owner}'s", placed=True)
    else:
        yield from _owned(owner, words[at + 1 :])


def _possessed(view: View, at: int, trail: Trail) -> Iterator[Near]:
    """Yield the vehicle of somebody whose name stands before the "'s" at ``at``."""
    words = view.sentence.words
    first = at - 1
    if first and words[first - 1].capital and words[first].capital:
        first -= 1
    if not (words[at - 1].capital or words[at - 1].low in given_names()):
        return
    name = " ".join(word.text for word in words[first:at])
    before, _ = _words(view, first, at)
    behind = _words(view, at, at + 1)[1]
    if _HOSTS.search(before):
        if name not in trail.hosts:
            trail.hosts.insert(0, name)
        return
    if BESIDE.search(before) and not LOOKED_AT.search(before):
        return
    yield from _owned(name, words[at + 1 :])
    if _IS_OWNERS.match(behind):
        yield Near(f"{name}'s", placed=True)


def _owned(owner: str, words: Sequence[Word]) -> Iterator[Near]:
    """Yield the vehicle that the words behind an owner name: "bramble", "old wreck"."""
    rest = list(words)
    own = bool(rest) and rest[0].low == "own"
    while rest and rest[0].low in {"old", "own", "poor", "big", "little", "dear"}:
        rest.pop(0)
    if own and (not rest or _IS_OWNERS.match(f" {rest[0].low} ")):
        yield Near(f"{owner}'s", placed=True)
    if not rest:
        return
    low = rest[0].low
    if low in _MACHINES:
        yield Near(f"{owner}'s", placed=True)
    elif low in {"mk", "mark"}:
        build = " ".join(word.text for word in rest[:3] if word.low.isalnum())
        yield Near(f"{owner}'s {build}", placed=True)
    elif is_strange(low) and low not in words_of("woman"):
        yield Near(f"{owner}'s {rest[0].text}", placed=True)


def with_family(number: str, trail: Trail) -> list[Near]:
    """Return "Bramble 4" for "no. 4" behind "the big Bramble"."""
    found = _NUMBER_ALONE.fullmatch(number)
    if not found:
        return []
    last = [*trail.spoken, *trail.earlier][:_FEW]
    return [
        Near(f"{one.text} {found[1]}", placed=True) for one in last
        if not one.sure and one.text.isalpha()
    ]  # fmt: skip
