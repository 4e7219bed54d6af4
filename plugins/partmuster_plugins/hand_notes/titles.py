"""Which vehicle a note's title, heading or file name can be about."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from .dates import days_in
from .expressions import expression
from .lexicon import lexicon, singular
from .names import NameMention, find_names, may_be_given, numbered_vehicles
from .parts import find_parts
from .roles import words_of, words_of_any
from .sentences import sentences_of
from .settling import key_of

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from .context import Context
    from .sentences import Word

#: Words before a vehicle that is only named: what came from it, goes to it, or is like it.
BESIDE = expression(
    r" (?:off|from|ex|for|to|onto|into|like|than|unlike|as|which|where|with|out of|instead of|"
    r"same as|compare|compared to|versus|vs|cf|against|both|between|either|any|every|other|"
    r"another|a|an|some|all) "
    r"(?:the |of |on |both |his |her |my |our |your |their )?$"
)
#: Words before it by which it is what is being looked at.
LOOKED_AT = expression(
    r" (?:now|next|then|over to|on to|onto|back to|back at|turning to|as to|as for|about|re|"
    r"regarding|concerning|"
    r"in front of|walking round|round|around|walk round|look at|looked at|looking at|look round|"
    r"went over|crawl over|crawled over|climbed over|went round|inspected|checked|check of|"
    r"survey of|"
    r"visit to|visited|to see|saw|under|inside|inspection of|had|did|doing|they call|called|"
    r"reported on|report on|reports on|attention to|account of|spoke of|with regard to|"
    r"in respect of|as regards) "
    r"(?:to )?"
    r"(?:the |poor |old |dear )*$"
)
#: What is a vehicle's own and is not it.
KIN = expression(
    r"'s (?:sister|brother|twin|mate|neighbour|neighbor|owner|keeper|driver|owners|family|shed|"
    r"barn|yard|place)\b"
)
_LED_TO = expression(
    r"(?:(?:a|my|our|the|another|quick|second|last|first) )*(?:(?:look|walk|visit|trip|run|check|"
    r"survey|inspection|"
    r"tour|report|notes?|news|state|going|once|work|working|in|day|about|on|re|of|with|to|at|"
    r"round|over|"
    r"and|the|poor|old|dear) ?)*"
)
#: "The Reading Room, Oxtarn": what follows a place is where that is.
_BEHIND_PLACE = expression(
    r" (?:room|hall|mill|barn|yard|farm|house|garage|works|shed|inn|arms|road|lane|street|rise|"
    r"cottage|school|"
    r"church|chapel|pub|lamb|lion) ,? $"
)
_ENDS = (
    ",", ";", ":", "(", ".", "-", "'s ", "and ", "&", "+", "/", "again", "today", "revisited", "!",
    "|",
)  # fmt: skip
_PLATE = expression(r"\s*\(\s*([A-Z]{2,3} ?\d{2,4}[A-Z]?)\s*\)")
_YEAR = expression(r"(?<![\w./:-])(?:19[5-9]|20[0-4])\d(?![\w/:-])")
_BARE_PLATE = expression(r"^[A-Z]{2,3} \d{2,4}[A-Z]?$")


def named_vehicles(texts: Sequence[str]) -> frozenset[str]:
    """Return the numbered vehicles that texts speak of, and not only name beside another."""
    found = re.findall(
        r"(?<!for )(?<!from )(?<!off )(?<!to )(?<!like )\b([A-Z][a-z]{2,} (?:[Nn]o\.? "
        r"?)?\d{1,2})(?![\w/.:-]|%)",
        " ".join(texts),
    )
    return frozenset(
        one for one in found
        if one.split()[0].casefold() not in words_of_any("everyday", "numbered-otherwise")
        and singular(one.split()[0].casefold()) not in lexicon().tokens
    )  # fmt: skip


def vehicles_in(text: str, context: Context, *, given: bool = True) -> tuple[str, ...]:
    """Return the names in a title or heading that may be its vehicle's, likeliest first.

    One that has a number or a registration is taken alone; others only where they stand by
    themselves ("Duchess, Compound"). ``given``: given names may be, too.
    """
    numbered: list[str] = []
    owned: list[str] = []
    others: list[str] = []
    people: list[str] = []
    for name, before, after in _names(_without_days(text)):
        if _is_settled_person(name.text, context) or _BEHIND_PLACE.search(before):
            continue
        if name.sort == "vehicle":
            if not BESIDE.search(before) or before.strip() in {"for", "to", "a", "the"}:
                (owned if "'s " in name.text else numbered).append(_with_plate(name.text, text))
        elif _by_itself(before, after) and not is_place(name.text, before):
            if name.sort == "either" and _may_be_vehicle(name.text, after, several=True):
                others.append(_with_plate(name.text, text))
            elif name.sort == "person" and given and _may_be_vehicle(name.text, after):
                people.append(name.text)
    plates = [one for one in numbered if _BARE_PLATE.match(one)]
    if plates and any(f"({plate})" in other for plate in plates for other in others):
        numbered = [other for other in others if any(f"({one})" in other for one in plates)]
    if len(people) > 1 or re.search(r"\([A-Z]\w+ (?:\+|and|&) [A-Z]", text):
        people = []  # "(Nell + Gwen)"
    return tuple(dict.fromkeys(numbered or owned or others or people))


def _is_settled_person(name: str, context: Context) -> bool:
    words = set(re.findall(r"\w+", name.casefold()))
    return context.settled.get(key_of(name)) == "person" or bool(
        words & set(re.findall(r"\w{3,}", context.writer.casefold()))
    )


def _by_itself(before: str, after: str) -> bool:
    """Tell whether a name is all that stands between signs, but for what leads to it."""
    last = re.split(r" [,;:(.)-] ", f" {before.strip()} ")[-1].strip()
    led = not last or bool(_LED_TO.fullmatch(last))
    return led and (not after.strip() or after.lstrip().startswith(_ENDS))


def _may_be_vehicle(name: str, after: str, *, several: bool = False) -> bool:
    """Tell whether a name can be a vehicle's: it owns no house, and a given name is alone."""
    owns = re.match(r"\s*'s (\w+)", after)
    house = owns and owns[1].casefold() in words_of_any("place-name", "store", "home")
    return (
        (several or " " not in name)
        and not house
        and not re.fullmatch(
            r"(?:[A-Z]\.)+[A-Z]?|"
            r"[A-Z]{1,2}",
            name,
        )
    )


def _names(text: str) -> Iterator[tuple[NameMention, str, str]]:
    """Yield the names of a text, each with the words before and behind it."""
    for sentence in sentences_of(text):
        words = sentence.words
        taken = [False] * len(words)
        for start, end in numbered_vehicles(words, taken):
            taken[start:end] = [True] * (end - start)
        parts = find_parts(words, taken)
        taken = [False] * len(words)
        for part in parts:
            if not _begins_name(words, part.start, part.end):
                taken[part.start : part.end] = [True] * (part.end - part.start)
        for mention in find_names(words, taken):
            if not mention.pronoun:
                before = " ".join(word.low for word in words[: mention.start])
                after = " ".join(word.low for word in words[mention.end :])
                yield mention, f" {before} ", f" {after} "


def _begins_name(words: Sequence[Word], start: int, end: int) -> bool:
    """Tell whether a word of the trade only begins a name: "Tin Lizard"."""
    follows = words[end] if end < len(words) else None
    return (
        follows is not None and end == start + 1 and words[start].capital and follows.capital
        and singular(follows.low) not in lexicon().tokens
        and follows.low not in words_of_any("everyday", "place-name", "store", "section")
    )  # fmt: skip


def _without_days(text: str) -> str:
    for day in reversed(days_in(text)):
        text = f"{text[: day.start]} , {text[day.end :]}"
    return _YEAR.sub(" , ", text)


def _with_plate(name: str, text: str) -> str:
    """Return a name with the registration that stands behind it in brackets."""
    found = re.search(re.escape(name) + _PLATE.pattern, text)
    return f"{name} ({found[1]})" if found and not _BARE_PLATE.match(name) else name


def is_place(name: str, before: str) -> bool:
    """Tell whether a name is a place's or a paper's: "Quill Barn", "at Skellmoor", "Loft"."""
    low = name.casefold().split()
    places = words_of_any("place-name", "store")
    papers = words_of_any("file-word", "section")
    return (
        low[-1] in places
        or any(one in papers for one in low if one != "old")
        or before.endswith((" at ", " near ", " in "))
    )


def proper_words(texts: Sequence[str]) -> frozenset[str]:
    """Return words that have a capital within a sentence, folded: they are names."""
    found = re.findall(r"(?<=[a-z,;] )[A-Z][a-z]{2,}", " ".join(texts))
    return frozenset(word.casefold() for word in found)


def vehicle_of_file(name: str, text: str) -> tuple[str, ...]:
    """Return the vehicle that a file's name tells: "otter 6", or all that is left of it.

    Two words must stand in the note's ``text``, too.
    """
    stem = name.rsplit("/", 1)[-1].rsplit(".", 1)[0]
    file_words = words_of("file-word")
    stem = _without_days(stem.replace("_", " ").replace("-", " ").replace("  ", " "))
    for found in re.finditer(r"(?<![A-Za-z])([A-Za-z]{3,})\s?(\d{1,2})(?!\d)", stem):
        word = found[1].casefold()
        if word not in file_words and singular(word) not in lexicon().tokens and word not in {
            "lot", "vol", "part", "no", "page", "item", "number",
        } and not may_be_given(word):  # fmt: skip
            return (f"{found[1]} {found[2]}",)
    words = [word for word in re.findall(r"[A-Za-z]+", stem) if word.casefold() not in file_words]
    phrase = " ".join(words).casefold()
    folded = text.casefold()
    if len(words) == 1 and (_is_place_in(phrase, folded) or (phrase not in folded and phrase != (
        stem.strip().casefold()
    ))):  # fmt: skip
        return ()
    said = len(words) == 2 and phrase in " ".join(text.casefold().split())  # noqa: PLR2004
    no_name = any(_is_no_name(word.casefold()) for word in words)
    return (" ".join(words),) if (len(words) == 1 or said) and not no_name else ()


def _is_place_in(word: str, text: str) -> bool:
    """Tell whether a text speaks of a place of that name."""
    follows = re.findall(rf"\b{word} (\w+)", text)
    return bool(re.search(rf"\b(?:at|in|near|of|to|from|for) {word}\b", text)) or any(
        one in words_of("place-name") for one in follows
    )


def _is_no_name(word: str) -> bool:
    known = words_of_any("place-name", "store", "home", "everyday")
    return (
        word in known or singular(word) in lexicon().tokens or may_be_given(word) or len(word) < 4  # noqa: PLR2004
    )
