"""What a parts list says of numbers in place of others: superseded by, replaces, used with.

"Replaces X" names an older number, "superseded by X" a newer one; neither is ever turned round. The
words are a person's to keep; here only the number is taken from them.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

from .numbers import read_part_number
from .text import tidy

_NUMBER = r"(?:[A-Z]{1,4}[ .](?=\d))?[A-Z0-9./-]*\d[A-Z0-9./-]*(?: \d[A-Z0-9./-]*)*"
_NUMBERS = rf"{_NUMBER}(?: ?(?:&|/|,|\band\b|\bor\b|\bplus\b) ?{_NUMBER})*"
_CALLED = r"(?:(?:by|to|as|with|new|p/?n\.?|part|pt\.?|no\.?|number|item no\.?)[ :]+)*"
_ENDS = (
    r"(?=\s*(?:$|[;,.()\[\]]"
    r"|\b(?:instead|when|after|from|for|on|as|only|until|if|see|in|at)\b))"
)
# Abbreviations from the reference list of conventions (FROM-MEMORY); the rest common practice.
_NEWER = re.compile(
    r"(?<!not )(?<!never )\b(?:(?:superseded|superceded|supersed|supsd|supd|supers?|super'd"
    r"|supers'd|sup'd|s/s|replaced|repld|repl'd"
    r"|renumbered|renumd|changed|superseded part|now superseded)\.?"
    r" (?:by|to|as|with)[ :]+|now(?: use| known as| listed as)? "
    r"|(?:then |instead )?use (?:instead )?"
    r"|(?:use )?(?:until )?(?:(?:old|existing|present|remaining) )?(?:stocks? )?"
    r"(?:exhausted|used up),? then (?:use )?"
    r"|(?:use )?(?:up )?(?:the )?(?:old|existing|present|remaining) (?:stocks?|ones?) ?(?:first|up)"
    r"[,;]? ?(?:and )?then (?:use )?)"
    rf"{_CALLED}(?P<number>{_NUMBERS}){_ENDS}",
    re.IGNORECASE,
)
_OLDER = re.compile(
    r"\b(?:supersedes|supercedes|superseding|supsds|supds|sups|replaces|replacing|repls|repl"
    r"|replacement for|was|were|ex|formerly|previously|prev|old no|old number|in place of"
    rf"|in lieu of|alt|alternative|alternate|altn|or alt)\b\.?(?: (?:to|for))?[ :]+{_CALLED}"
    rf"(?P<number>{_NUMBERS}){_ENDS}",
    re.IGNORECASE,
)
_TOGETHER = re.compile(
    r"(?:\bwith (?=item)"
    r"|\b(?:(?:to be |must be |only )?(?:used?|fit|fitted|ordered)(?: only| together)?"
    r"|in conjunction|together) with )(?P<what>(?:items?|ref\.?|key|fig\.?(?:ure)? \d+ item)"
    rf" ?(?:nos?\.? ?)?\d+[A-Z]?(?: ?(?:&|,|and) ?\d+[A-Z]?)*|{_CALLED}{_NUMBERS}){_ENDS}",
    re.IGNORECASE,
)
_SIZE = re.compile(r"\d+(?:[./]\d+)*(?:mm|cm|in|ft|v|w|a|lb|hp|off|nos?)?|mk\.? ?\w+|m\d+\w*",
                   re.IGNORECASE)  # fmt: skip
_YEAR = re.compile(r"(?:19|20)\d\d")
_LEAST = 4  # letters and digits; shorter ones are counts and sizes (common practice, no source)
#: Without one of these no cell says anything of the kind; asked of whole columns first.
LIKELY = (
    r"(?i)\bsup(?:er|s|d|')|\bs/s\b|\brepl|\brenum|\bchanged to\b|\bnow\b|\buse\b|\bused with\b"
    r"|\bwas\b|\bwere\b|\bex\b|\bformerly\b|\bprev|\bold n|\bin (?:place|lieu|conj)|\balt"
    r"|\bwith\b|\bthen\b"
)


#: The number replaced is good until no more are left (common practice, no source).
_UNTIL_USED_UP = re.compile(
    r"\b(?:exhaust(?:ed|ion)?|used? up|using up|run(?:s|ning)? out|runs? down)\b"
    r"|\b(?:use|using|issue)\b.{0,20}\b(?:old|existing|present|remaining) (?:stocks?|ones?)\b"
    r"|\b(?:old|existing|present|remaining) (?:stocks?|ones?)\b.{0,20}\bfirst\b"
    r"|\b(?:until|till|while|when|after) (?:the )?(?:old |existing |present |remaining )?stocks? "
    r"(?:is |are )?(?:gone|finished|lasts?|out|cleared)\b",
    re.IGNORECASE,
)
UNTIL_USED_UP = "use until exhausted"
_READ_AS_IT_STANDS = re.compile(r"(?i)\b(?:exhaust|exhausted|used up|use up)\b")
_NUMBER_FIRST = re.compile(
    rf"^{_CALLED}(?P<number>{_NUMBERS})(?P<rest>\s*(?:[;,(\[].*|\s(?:when|after|once|use|used|until|till|"
    rf"from|as|and use|but)\b.*))$",
    re.IGNORECASE,
)


@dataclass(frozen=True, slots=True)
class Supersession:
    """Numbers that words name: ``newer`` takes the place, ``older`` is replaced, ``companions``.

    ``start`` and ``end``: where in the tidied words the first of these phrases begins and the last
    one ends.
    """

    newer: str | None = None
    older: str | None = None
    companions: str | None = None
    start: int = 0
    end: int = 0


def _is_number(text: str) -> bool:
    reading = read_part_number(text)
    normal = reading.normal or ""
    plain = normal.isdigit() and len(normal) >= _LEAST and not _YEAR.fullmatch(text)
    mixed = not _SIZE.fullmatch(text) and not normal.isdigit() and len(normal) >= _LEAST - 1
    return len(re.findall(r"\d", normal)) > 1 and (plain or mixed)


def _numbers(text: str) -> str | None:
    """Return words as they stand if each of the numbers in them is one, without a full stop."""
    written = text.strip(" .,-/")
    several = re.split(r" ?(?:&|,|\band\b|\bor\b|\bplus\b) ?", written, flags=re.IGNORECASE)
    return written if all(_is_number(one) for one in several if one.strip()) else None


@lru_cache(maxsize=50_000)
def read_supersession(text: str) -> Supersession | None:
    """Read what words say of other numbers; None where they name none."""
    words = tidy(text)
    found: dict[str, str] = {}
    places: list[tuple[int, int]] = []
    left = words
    for name, pattern, group in (
        ("companions", _TOGETHER, "what"), ("newer", _NEWER, "number"), ("older", _OLDER, "number"),
    ):  # fmt: skip
        for match in pattern.finditer(left):
            said = match[group]
            plain = re.match(r"(?:items?|ref|key|fig)\b", said, re.IGNORECASE)
            number = said.strip(" .,") if plain else _numbers(said)
            if number is None:
                continue
            found.setdefault(name, number)
            places.append(match.span())
            left = left[: match.start()] + "\0" * len(match[0]) + left[match.end() :]
    if not places:
        return None
    return Supersession(
        found.get("newer"), found.get("older"), found.get("companions"),
        min(start for start, _ in places), max(end for _, end in places),
    )  # fmt: skip


def until_used_up(text: str) -> str | None:
    """Return words that say the same of old stock where they are read, if others say it."""
    if not _UNTIL_USED_UP.search(text) or _READ_AS_IT_STANDS.search(text):
        return None
    return UNTIL_USED_UP


def number_and_words(text: str) -> tuple[str, str | None]:
    """Part a number that took another's place from what is said of it: "OT 9 (use until ...)"."""
    match = _NUMBER_FIRST.match(tidy(text))
    number = _numbers(match["number"]) if match else None
    if match is None or number is None:
        return text, None
    return number, match["rest"].strip(" ,;()[]") or None


def without_supersession(text: str) -> tuple[str, str]:
    """Return a name without such words, and those words: "Fan (was OT 9018)"."""
    words = tidy(text)
    read = read_supersession(words)
    if read is None:
        return text, ""
    before, after = words[: read.start], words[read.end :]
    said = words[read.start : read.end]
    name = f"{before.rstrip(' ,;:-([')} {after.lstrip(' ,;:-)].')}".strip()
    return name, said
