"""Heads of e-mails: their own, and those of older and forwarded ones within their text."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from email.errors import HeaderParseError
from email.header import decode_header
from email.utils import getaddresses, parsedate_to_datetime
from typing import TYPE_CHECKING

from .decoding import decode_word
from .documents import Header
from .expressions import expression

if TYPE_CHECKING:
    from collections.abc import Sequence
    from email.message import Message

    from .lines import Line

#: Words before the colon in the heads that mail programs put above an older mail, by language.
_WORDS = {
    "from": ("from", "von", "de", "van", "da", "från", "fra", "od"),
    "date": ("date", "sent", "datum", "gesendet", "envoyé", "verzonden", "fecha", "enviado", "data",
             "inviato", "skickat", "dato", "sendt"),
    "to": ("to", "an", "à", "aan", "para", "a", "till", "til"),
    "cc": ("cc", "copy", "kopie", "copie", "bcc", "reply-to", "antwort an"),
    "subject": ("subject", "betreff", "objet", "onderwerp", "asunto", "oggetto", "ämne", "emne",
                "assunto"),
}  # fmt: skip
_KEYS = {word: key for key, words in _WORDS.items() for word in words}
_HEAD = expression(r"\W{0,3}([^\W\d][\w-]{0,9}(?: an)?)\W{0,2}\s?:[*_]{0,2}(?:\s+(.*)|$)")
_FEWEST = 3
_LONGEST_HEAD = 12
#: A line within an e-mail's own head is no longer than this, with its continuation.
_LONGEST = 20_000
_FIRST_YEAR, _LAST_YEAR = 1970, 2100
_DAY_FIRST = expression(
    r"\b(\d{1,2})(?:st|nd|rd|th|\.|º)?\s+(?:de\s+)?([^\W\d]{3,12})\.?,?\s+(?:de\s+)?(\d{4})\b"
)
_MONTH_FIRST = expression(r"\b([^\W\d]{3,12})\.?\s+(\d{1,2})(?:st|nd|rd|th)?,?\s+(\d{4})\b")
_ISO = expression(r"\b(\d{4})-(\d\d)-(\d\d)\b")
_DOTTED = expression(r"\b(\d{1,2})\.(\d{1,2})\.(\d{4})\b")
_SLASHED = expression(r"\b(\d{1,2})/(\d{1,2})/(\d{4})\b")
_MONTHS = (
    ("jan", "ene", "gen"), ("feb", "fév", "fev"), ("mar", "mär", "maa", "mrt"),
    ("apr", "avr", "abr"), ("may", "mai", "mei", "mag", "maj"), ("jun", "juin", "giu"),
    ("jul", "juil", "lug"), ("aug", "aoû", "ago"), ("sep", "set"), ("oct", "okt", "out", "ott"),
    ("nov",), ("dec", "dez", "déc", "dic"),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class InnerHead:
    """The head of a mail within another's text; ``length``: how many lines it takes."""

    header: Header
    length: int


def header_of(message: Message) -> Header:
    """Return the head of a mail; what is not there is empty."""
    raw: dict[str, str] = {}
    for name, value in message.raw_items():
        raw.setdefault(name.lower(), str(value)[:_LONGEST])
    senders = people(raw.get("from") or raw.get("sender") or "")
    return Header(
        " ".join(decoded_words(raw.get("subject", "")).split()),
        senders[0] if senders else "",
        stated_date(raw.get("date", "")),
        people(raw.get("to", "")) + people(raw.get("cc", "")),
    )


def inner_head(lines: Sequence[Line]) -> InnerHead | None:
    """Return the head that some lines begin with, or None: it tells who, and two things more."""
    told: dict[str, str] = {}
    key = ""
    at = last = 0
    for at, line in enumerate(lines[:_LONGEST_HEAD]):
        text = line.text.strip()
        found = _HEAD.match(text[:_LONGEST])
        known = _KEYS.get(found[1].lower()) if found else None
        if known is not None and found is not None:
            if known in told and known != "cc":
                break
            key, last = known, at
            told[key] = (found[2] or "").strip(" *_")
        elif not text:
            if "from" in told and len(told) >= _FEWEST and not _goes_on(lines[at + 1 :]):
                break
        elif key in {"to", "cc", "from"} and ("@" in text or ";" in text):
            told[key] += f" {text}"  # a long list of people wraps
            last = at
        else:
            break
    if "from" not in told or len(told) < _FEWEST:
        return None
    senders = people(told["from"])
    return InnerHead(
        Header(
            told.get("subject", ""), senders[0] if senders else told["from"],
            stated_date(told.get("date", "")), people(told.get("to", "")),
        ),
        last + 1,
    )  # fmt: skip


def _goes_on(lines: Sequence[Line]) -> bool:
    """Return whether a head goes on after an empty line."""
    found = _HEAD.match(lines[0].text.strip()[:_LONGEST]) if lines else None
    return bool(found) and _KEYS.get(found[1].lower()) is not None  # type: ignore[index]


def people(raw: str) -> tuple[str, ...]:
    """Return the people of a head's line, by name, or by address where it has none."""
    if "@" not in raw:  # names alone, as some programs write them; "Vane, Hester" is one
        pairs = [(one.strip(), "") for one in raw.split(";")]
        return _named(pairs)
    try:
        pairs = getaddresses([raw.replace(";", ",")])
    except (ValueError, IndexError, TypeError):
        return ()
    return _named(pairs)


def _named(pairs: Sequence[tuple[str, str]]) -> tuple[str, ...]:
    names = (" ".join(decoded_words(name or address).split()) for name, address in pairs)
    return tuple(name.strip("'\"* ") for name in names if name.strip("'\"* "))


def decoded_words(raw: str) -> str:
    """Return a head's text, its encoded words (RFC 2047) decoded whatever they claim to be."""
    try:
        parts = decode_header(raw)
    except (HeaderParseError, ValueError):  # damaged base64
        return decode_word(_bytes(raw), None)
    return "".join(
        decode_word(part if isinstance(part, bytes) else _bytes(part), charset)
        for part, charset in parts
    )


def _bytes(text: str) -> bytes:
    return text.encode("utf-8", "surrogateescape")


def stated_date(text: str) -> dt.date | None:
    """Return the day that a head states, as its sender's clock had it; None where it is unsure."""
    try:
        return _sane(parsedate_to_datetime(text).date())
    except (ValueError, TypeError, IndexError, OverflowError):
        pass
    if (found := _DAY_FIRST.search(text)) and (month := _month(found[2])):
        return _date(found[3], month, found[1])
    if (found := _MONTH_FIRST.search(text)) and (month := _month(found[1])):
        return _date(found[3], month, found[2])
    return _in_figures(text)


def _in_figures(text: str) -> dt.date | None:
    if found := _ISO.search(text):
        return _date(found[1], found[2], found[3])
    if found := _DOTTED.search(text):
        return _date(found[3], found[2], found[1])
    if found := _SLASHED.search(text):
        day_first = _date(found[3], found[2], found[1])
        month_first = _date(found[3], found[1], found[2])
        if day_first is None or month_first is None or day_first == month_first:
            return day_first or month_first
    return None  # which is the day, and which the month?


def _month(word: str) -> int | None:
    small = word.lower()
    return next(
        (at for at, starts in enumerate(_MONTHS, start=1) if small.startswith(starts)), None
    )


def _date(year: str, month: str | int, day: str) -> dt.date | None:
    try:
        return _sane(dt.date(int(year), int(month), int(day)))
    except ValueError:
        return None


def _sane(day: dt.date) -> dt.date | None:
    return day if _FIRST_YEAR <= day.year <= _LAST_YEAR else None
