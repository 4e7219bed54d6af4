"""Who wrote a note: its head, its end, its file's name."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from .dates import days_in
from .expressions import expression
from .lexicon import lexicon, singular
from .names import EVERYDAY, given_names, may_be_given

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from .documents import Note, Paragraph

#: Initials and a surname, initials alone, one to three names.
_INITIALS = r"(?:[A-Z]\.[ ]?){1,3}"
_NAME = r"[A-Z][a-z]+(?:[-'’][A-Z]?[a-z]+)?"
_FULL = (
    r"(?:(?:Mr|Mrs|Miss|Ms|Dr|Captain|Capt)\.? )?"
    rf"(?:{_INITIALS}{_NAME}|{_NAME}(?: [A-Z]\b\.?)?(?: {_NAME})?|{_INITIALS}(?=\W|$))"
)
_SPEAKS = r"(?:speaking|talking|writing|here|dictating|reporting)"
#: Where a head says who wrote it, the plainest first.
_SAID = (
    expression(rf"^(?:by|from|author|name|reported by|surveyed by|seen by|recorded "
               rf"by)\s*:\s*({_FULL})",
               re.IGNORECASE),
    expression(rf"\bme,? \(?({_FULL})\)?"),
    expression(rf"\bI,? \(?({_NAME})\b\)?,"),
    expression(rf"\b({_FULL}) {_SPEAKS}\b"),
    expression(r"\b(?:it'?s|this is|i am|i'm) ([a-z]+) (?:it'?s|here|and|on|speaking)\b",
               re.IGNORECASE),
    expression(rf"\b(?:[Ww]ritten up|[Ww]riting|[Ww]ritten|[Cc]opied|[Cc]ollected|[Tt]aken down|"
               rf"[Nn]oted|"
               rf"[Rr]eckoning|[Pp]ut out|[Dd]ictated|[Pp]osted|[Cc]hecked|[Ss]igned in|[Kk]ept|"
               rf"[Tt]yped)"
               rf"[^.;\n]{{0,60}}?\b(?:by|[Pp]osted by:?) ({_FULL})"),
    expression(rf"^[Pp]osted by:? (?:\w+[_.])?({_FULL})"),
    expression(rf"\bbook of ({_FULL})"),
    expression(rf"\bbeing the \w+ of ({_FULL})"),
    expression(rf"\b({_NAME})['’]s (?:\w+ )?(?:diary|notebook|note ?book|pocket ?book|notes|log|"
               rf"log ?book|jottings)\b",
               re.IGNORECASE),
)  # fmt: skip
#: Said less plainly: looked for in the title alone, where the end of the note does not tell.
_FROM = expression(
    rf"(?<!told )(?<!come )(?<!came )(?<!heard )(?<!had )\b(?:[Ff]rom|[Bb]y) "
    rf"({_FULL})(?=[,.;:)(]| on\b| at\b| -|$)"
)
_PLAIN = expression(rf"^\(?({_INITIALS}{_NAME}|{_INITIALS})(?=[\s.,;:)-]|$)")
_WITHIN = expression(rf"(?:^|[-–—,;(.]\s*)({_INITIALS}{_NAME}|{_INITIALS}(?=\s*(?:[,;)(]|$)))")
_NAME_DATE = expression(rf"^({_NAME})(?: {_NAME})?\s*[-–—,:]")
_CLOSING = expression(
    r"^(?:yours?(?: \w+)?|all the best|best(?: wishes| regards)?|kind(?:est)? regards|regards|"
    r"cheers|"
    r"love(?: \w+){0,4}|warmly|sincerely|thanks|ta|stay dry|in haste|bye|cordially|"
    r"ever)\b[\s,.!-]*",
    re.IGNORECASE,
)
_SIGNED = expression(
    rf"^(?:[-–—~]+\s*|x+\s+|signed:?\s*|\(signed\)\s*)?(?:\((?:Mrs|Miss|Mr|Ms|"
    rf"Dr)\.?\)\s*)?({_INITIALS}{_NAME}|{_INITIALS}|"
    rf"{_NAME}(?: [A-Z]\b)?"
    rf"(?: {_NAME})?)(?P<more>\s*\(\w+\))?(?:\s*[,;|(].{{0,60}}|\s+x+|\.)?$",
    re.IGNORECASE,
)
#: Paragraphs at the head that may say who writes.
_HEAD = 5
_LONGEST_SIGNATURE = 90
_LONGEST_TITLE = 160


def writer_of(note: Note, file_name: str) -> str:
    """Return who wrote a note, in its own words, or nothing."""
    if note.header and note.header.sender:
        return note.header.sender
    texts = [one.text for one in note.paragraphs if not one.quoted and one.table_row is None]
    return (
        _said_at(texts[:_HEAD])
        or _signed(texts)
        or _from_at(texts[:2])
        or _initials_at(texts[:2])
        or _of_file(file_name)
    )


def _said_at(head: Sequence[str]) -> str:
    for pattern in _SAID:
        for text in head:
            found = pattern.search(text[:300])
            if found and (name := _person(found[1])):
                return name
    return ""


def _from_at(head: Sequence[str]) -> str:
    for text in head:
        if len(text) <= _LONGEST_TITLE and (found := _FROM.search(text)):
            return _person(found[1])
        if found := re.search(rf"[.!] ({_NAME})\.?\)$", text):
            return _person(found[1], alone=True)
    return ""


def _signed(texts: Sequence[str]) -> str:
    """Return the name with which the last paragraphs end."""
    said = texts[1:][-4:]
    for at in reversed(range(len(said))):
        text = said[at]
        lines = [text]
        closing = _CLOSING.match(text)
        signed_off = closing or (at and _CLOSING.match(said[at - 1]) and len(said[at - 1]) < 60)  # noqa: PLR2004
        if closing:
            lines.insert(0, text[closing.end() :])
        for line in lines:
            found = _SIGNED.match(line.strip()) if len(line) <= _LONGEST_SIGNATURE else None
            if found and (name := _person(found[1], alone=not signed_off)):
                return name
    last = texts[-1] if texts else ""
    end = re.search(rf"(?:sincerely|faithfully|truly|regards|wishes|ever),? ({_FULL})\.?$", last)
    if end and (name := _person(end[1])):
        return name
    found = re.search(
        rf"(?:\bXX+|[-–—]|\b[Ll]ove,?|[Yy]ours,?|[Cc]heers,?) ({_NAME}|[A-Z])\.?$", last
    )
    return _person(found[1]) if found else ""


def _initials_at(head: Sequence[str]) -> str:
    for text in head:
        found = _PLAIN.match(text) or _WITHIN.search(text[:120])
        if found and not days_in(found[1]):
            return found[1].strip()
    for text in head[:1]:
        found = _NAME_DATE.match(text)
        if found and found[1].casefold() in given_names() and days_in(text):
            return found[1]
    return ""


def _person(text: str, *, alone: bool = False) -> str:
    """Return a name if it can be a person's; one alone must be a given name or initials."""
    name = text.strip(" ,;")
    words = re.findall(r"[^\W\d_]+", name)
    if not words:
        return ""
    if alone and len(words) == 1 and len(words[0]) > 1 and not may_be_given(words[0]):
        return ""
    if any(word.casefold() in EVERYDAY and not may_be_given(word) for word in words):
        return ""
    if alone and len(words) > 1 and "." not in name and not may_be_given(words[0]):
        return ""
    if not name[0].isupper() and not may_be_given(words[0]):
        return ""
    return name if not days_in(name) else ""


_OF_FILE = expression(r"(?:^|[\s_-])(?:by|from)[\s_-]([a-z]+)|(?:^|"
                      r"[\s_-])([a-z]+)[\s_-]to[\s_-][a-z]+",
                      re.IGNORECASE)  # fmt: skip


def _of_file(file_name: str) -> str:
    """Return the writer whom a file's name tells ("hester_to_ivo", "notes by wilf")."""
    stem = file_name.rsplit("/", 1)[-1].rsplit(".", 1)[0]
    found = _OF_FILE.search(stem)
    if found and may_be_given(found[1] or found[2]):
        return found[1] or found[2]
    given = [word for word in re.split(r"[\W_\d]+", stem) if word.casefold() in given_names()]
    return given[0] if len(given) == 1 else ""


#: Who says so much of a note speaks in it.
_TALKS = 3
_SPEAKER = expression(
    r"^(?:\[?[\d/.,:\s-]{4,24}(?:[ap]m)?\]?\s*[-–]?\s*)?"
    r"(?P<who>[A-Z][\w'’.]*(?: [A-Z][\w'’]*\.?)?|[a-z]{3,10}(?= *:))\s?: (?=\S)"
)


#: A line of its own over a message: "Bea 10.02", "Toby, 18:40".
_STAMP = expression(
    r"\[?(?P<who>[A-Z][\w'’.]*(?: [A-Z][\w'’]*\.?)?),? ?[(\[]?\d{1,2}[:.]\d\d ?(?:[ap]m)?[)\]]?:?"
)


def _often(names: Sequence[str]) -> frozenset[str]:
    """Return what stands before a colon so often that it is a speaker: no part, no vehicle."""
    return frozenset(
        one for one in names
        if names.count(one) >= _TALKS and not re.search(r"\d", one) and one[0].isupper()
        and not any(
            word.casefold() in EVERYDAY or singular(word.casefold()) in lexicon().tokens
            for word in re.findall(r"\w+", one)
        )
    )  # fmt: skip


def _stamped(texts: Sequence[str]) -> dict[int, tuple[str, str]]:
    """Return the speakers of messages that stand below their names and hours."""
    found: dict[int, tuple[str, str]] = {}
    who = ""
    stamps = 0
    for at, text in enumerate(texts):
        if stamp := _STAMP.fullmatch(text.strip()):
            who, stamps = stamp["who"], stamps + 1
            found[at] = who, ""
        elif who:
            found[at] = who, text
    return found if stamps > 1 else {}


def speakers_of(texts: Sequence[str]) -> dict[int, tuple[str, str]]:
    """Return, where a note is messages, the speaker and the words of each paragraph by number."""
    found = _stamped(texts)
    if found:
        return found
    often = _often([match["who"] for text in texts if (match := _SPEAKER.match(text))])
    for at, text in enumerate(texts):
        match = _SPEAKER.match(text)
        if match and (may_be_given(match["who"].split()[0]) or match["who"] in often):
            found[at] = match["who"], text[match.end() :]
    counted = len(found) > 1 and len(found) * 2 >= len(texts) - 2
    stamped = [at for at in found if texts[at][:1] in "[0123456789"]
    return found if counted or stamped else {}


def speakers_in(note: Note) -> Iterator[tuple[Paragraph, tuple[str, str]]]:
    """Yield the paragraphs of messages, each with its speaker and words."""
    said = [one for one in note.paragraphs if not one.quoted and one.table_row is None]
    for at, told in speakers_of([one.text for one in said]).items():
        yield said[at], told


def without_speaker(text: str, who: str) -> str:
    """Return a paragraph's text without the speaker at its head."""
    found = re.match(rf"\W*{re.escape(who)}\s*:\s*", text)
    return text[found.end() :] if found else text
