"""What a sheet's name and title rows say of all its lines: holder, family, vehicle, date."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from partmuster.reading.dates import find_date
from partmuster.reading.gone import title_says_gone

from .owners import is_first_name, is_part_word, owner_in, typed_by

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Sequence

_HELD_BY = re.compile(
    r"\b(?:held|kept|owned|stored|wanted|collected|offered) by:?\s+(?P<name>[^,;:()\d]+)|"
    r"\b(?:belonging to|property of|in the hands of|holder:|member:|owner:)\s*(?P<of>[^,;:()\d]+)",
    re.IGNORECASE,
)
# "Wants list of Hester Crane": a name is two words with capitals at least.
_LIST_OF = re.compile(
    r"\b(?i:wants?|spares|stock|holdings|list)\s+(?i:of|from)\s+"
    r"(?P<name>[A-Z][a-z'’-]+(?:\s(?:[A-Z]\.?\s)?[A-Z][A-Za-z'’-]+)+)\s*(?:$|[,;:(–-]|\d|\bas at\b)"
)
_INITIALED = re.compile(r"\b((?:[A-Z]\.\s?){1,3}[A-Z][a-z'’-]+)")
_WHOSE_PLACE = re.compile(
    r"\b(?P<who>[A-Z][\w.-]*(?: [A-Z][\w.-]*){0,2})['’]s?\s+"
    r"(?P<what>(?i:(?:[a-z]+ )?(?:shed|garage|barn|loft|stores?|workshop|yard|lock-?up|container|"
    r"spares|parts|stock|bits|pile|wants|gear|stuff|things|collection|hoard|stash|inventory|"
    r"junk)))\b",
)
_KIN = frozenset(["Dad", "Grandad", "Grandpa", "Mum", "Mom", "Pop", "Father", "Uncle", "Nan"])
_BUILDING = re.compile(
    r"shed|garage|barn|loft|store|workshop|yard|lock-?up|container", re.IGNORECASE
)
_FAMILY = re.compile(
    r"\b(?P<before>[A-Za-z]{3,})(?:\s+(?:mk|mark)\.?\s*\w+)?\s+(?:(?:spare|illustrated|provisional|"
    r"complete|master)\s+)?(?:parts\s+(?:list|catalogue|book|schedule)|fit\s+(?:notes|list))|"
    r"\bparts\s+(?:list|catalogue|book|schedule)\s+(?:for|of)\s+(?:the\s+)?"
    r"(?P<after>[A-Za-z]{3,}(?:,?\s+(?:&\s+)?[A-Za-z]{3,}){0,4})|"
    r"^(?P<lead>[A-Za-z]{3,}(?:,?\s+[\w/]+){0,4})\s*[-–:,]\s*(?:spare\s+|illustrated\s+)?"
    r"parts\s+(?:list|catalogue|book|schedule)\b",
    re.IGNORECASE,
)
#: Sorts of vehicle, and words beside them: no family's name (common practice, no source).
_SORTS = frozenset(
    ["carrier", "carriers", "tractor", "truck", "lorry", "car", "tank", "gun", "trailer", "van",
     "transporter", "ambulance", "tender", "scout", "halftrack", "half-track", "half", "track",
     "wagon", "crane", "dozer", "bulldozer", "loader", "mover", "limber", "motorcycle", "cycle",
     "armoured", "armored", "tracked", "wheeled", "amphibious", "personnel", "light", "heavy",
     "medium", "universal", "utility", "recovery", "command", "general", "service", "cargo",
     "field", "artillery", "ton", "tonne", "type", "model", "series", "variant", "variants",
     "mark", "wheel", "drive", "fighting", "reconnaissance", "staff", "signals", "radio",
     "vehicle", "vehicles"]
)  # fmt: skip
_NO_FAMILY = frozenset(
    [
        "spare",
        "spares",
        "illustrated",
        "provisional",
        "complete",
        "master",
        "club",
        "vehicle",
        "vehicles",
        "the",
        "our",
        "his",
        "her",
        "my",
        "your",
        "their",
        "this",
        "old",
        "new",
        "short",
        "full",
        "vintage",
        "engine",
        "hull",
        "chassis",
        "all",
        "each",
        "both",
        "draft",
    ]
)
#: Words of titles that say what was seen of one vehicle, before and after its name.
_SURVEYS = r"survey|inspection|condition report|walk ?round|check ?list|missing parts|history"
_NAMED = (
    r"(?:the\s+)?(?P<vehicle>.+?)"
    r"(?=\s+(?:as at|on|by|in|at|dated|\d{1,2}(?:st|nd|rd|th)?\s+[A-Za-z]{3,9}\.?\s+\d{2,4}|"
    r"\d{1,4}[./-]\d{1,2}[./-]\d{2,4})\b|\s*[,;:(]|\s+[-–]\s|$)"
)
_SURVEY_OF = re.compile(
    rf"\b(?:{_SURVEYS})\s*(?:\bof\b|\bon\b|\bfor\b|[:–-]|\s)\s*{_NAMED}", re.IGNORECASE
)
_SEEN_OF = re.compile(
    r"\b(?:condition|state|audit|inventory|assessment|examination|completeness|check|snag list|"
    r"look(?:ed)?|visit|found|seen|noted|missing|"
    r"what(?: is|'s| was|s)(?: still)?(?: there| left| missing| seen| found)?)\s+"
    rf"(?:of|on|in|over|at|to|from)\s+{_NAMED}",
    re.IGNORECASE,
)
_ITS_SURVEY = re.compile(
    r"^(?P<vehicle>[A-Za-z][\w .'-]*?\d+[A-Za-z]?)\W+(?:survey|inspection|condition|walk ?round|"
    r"(?:\w+ )?check ?list|missing|history|as (?:found|seen)|inventory|audit|assessment|snag list|"
    r"completeness|what (?:is|was) (?:there|missing|left|found|seen)|looked over)\b",
    re.IGNORECASE,
)
_NO_VEHICLE = re.compile(
    r"(?i)^(?:sheet|tab|table) ?\d|^(?:page|list|shed|bay|box|bin|shelf|rack|store|barn|garage|"
    r"container|group|section|part|figure|fig|version|issue|draft|no|copy)\b|(19|20)\d\d$"
)
_MONTHS = (
    "january", "february", "march", "april", "may", "june", "july", "august", "september",
    "october", "november", "december", "jan", "feb", "mar", "apr", "jun", "jul", "aug", "sep",
    "sept", "oct", "nov", "dec", "spring", "summer", "autumn", "winter",
)  # fmt: skip
#: Who is nobody in particular (common practice, no source).
_NOBODY = frozenset(
    ["member", "members", "club", "committee", "all", "anyone", "anybody", "everyone", "everybody",
     "someone", "somebody", "nobody", "various", "several", "others", "other", "people", "persons",
     "us", "we", "them", "me", "you", "owners", "owner", "restorers", "friends", "many", "most",
     "some", "both", "each", "group", "team", "society", "volunteers", "folk", "folks",
     "individual", "individuals", "whoever", "those", "different", "visitors", "buyers",
     "sellers", "private"]
)  # fmt: skip
_MAY_HOLD = frozenset(["club", "committee", "society", "group", "team", "owner", "private"])
_TIMES = ("the", "of", "end", "christmas", "easter", "next", "season", "show", "year", "this")
_FILLING = frozenset(["the", "our", "club", "a", "an", "of", "and", "other", "all", "in", "any"])
_WANTS = re.compile(
    r"\b(?:wants?|wanted|wanting|needs?|needed|to (?:find|get|be found)|looking for|shopping|wish|"
    r"hunt(?:ing)?|required|lacks?|lacking|short of|seeking|after)\b", re.IGNORECASE,
)  # fmt: skip
_NAME_AND_NUMBER = re.compile(
    r"(?P<before>(?:\b[A-Z][a-z]+ ){0,2})\b(?P<word>[A-Za-z][A-Za-z-]+) ?"
    r"(?P<number>\d{1,3}[A-Za-z]?)\b(?![./]\d)(?P<more> ?(?:&|\+|,|/|-|and|to|or) ?\d)?"
)
#: Words of titles that name no vehicle, before a number or a vehicle's name.
_TITLE_WORDS = frozenset(
    ["list", "lists", "no", "number", "page", "mk", "mark", "part", "parts", "sheet", "copy",
     "version", "issue", "want", "wants", "wanted", "spare", "spares", "things", "thing", "bits",
     "items", "still", "to", "find", "get", "for", "what", "the", "of", "all", "rev", "draft",
     "need", "needs", "needed", "shopping", "hunting", "hunt", "wish", "box", "bay", "shelf",
     "tab", "table", "week", "year", "and", "our", "my", "looking", "seeking", "short", "group",
     "section", "missing", "at", "as", "on", "by", "in", "since", "from", "day", "about", "top",
     *_MONTHS]
)  # fmt: skip
_NUMBERED = re.compile(r"^[A-Za-z][A-Za-z .'-]*\d+[A-Za-z]?$")
#: "Wanted - Otter 3" is a list's title, and no vehicle's name.
_LIST_WORDS = re.compile(
    r"(?i)\b(?:want(?:s|ed)?|needs?|needed|list|spares|parts|find|for|what|missing|found|seen|from|"
    r"inventory|audit|state of|condition of|visit|survey|check|looked|stripped|taken|off)\b"
)
_STATES_DATE = re.compile(
    r"\b(as at|as of|dated?|surveyed|checked|updated|issued|counted|compiled|seen|on|taken|"
    r"inspected|correct (?:to|at))\b", re.IGNORECASE,
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Stated:
    """What titles give for every line of a table; None where they say nothing.

    ``by_name``: the holder is told by a name alone ("Shed list, Ada Finch"), so that a column of
    people is of holders all the same.
    """

    holder: str | None = None
    by_name: bool = False
    place: str | None = None
    family: str | None = None
    vehicle: str | None = None
    date: dt.date | None = None
    gone: str | None = None


def stated_in(titles: Sequence[str], day_first: bool | None = None) -> Stated:
    """Return what titles say; the first of them that says something counts.

    Only plain words are taken: "held by B. Hale", "Bert's shed", "Otter parts list", "Survey of
    Otter 3", "as at 3 March 2026". A year alone is a date only after such words as "as at".
    """
    spaced = [re.sub(r"_+", " ", title).strip() for title in titles if title and title.strip()]
    holder = place = family = vehicle = None
    date = None
    for title in spaced:
        if holder is None:
            holder, place = _holder(title)
        family = family or _family(title)
        vehicle = vehicle or _vehicle(title) or wanted_for(title) or vehicle_named(title)
        date = date or date_in(title, day_first)
    by_name = holder is None and (holder := owner_in(titles)) is not None
    if holder is None:
        named = [
            m[1]
            for title in spaced
            if (m := _INITIALED.search(title)) and not typed_by(title[: m.start()])
        ]
        # "Spares - B. Hale": one name alone can only be whose list it is.
        if len(set(named)) == 1 and not vehicle:
            holder = named[0]
    gone = next((title for title in spaced if title_says_gone(title)), None)
    return Stated(holder, by_name, place, family, vehicle, date, gone)


def date_in(title: str, day_first: bool | None = None) -> dt.date | None:
    """Return the day a title states, or None."""
    found = find_date(title, day_first)
    if found is None or found.date is None or found.problem is not None:
        return None
    if found.precision == "year" and not _STATES_DATE.search(title):
        return None
    return found.date


def note_date(text: str, day_first: bool | None = None) -> dt.date | None:
    """Return the day a note under a table states with words such as "surveyed", or None."""
    return date_in(text, day_first) if _STATES_DATE.search(text) else None


def vehicle_named(text: str | None) -> str | None:
    """Return a sheet name or title that is a vehicle's name and number, "Otter 3", or None."""
    if text is None or not _NUMBERED.match(text) or _NO_VEHICLE.search(text):
        return None
    return None if _LIST_WORDS.search(text) else text


def _holder(title: str) -> tuple[str | None, str | None]:
    """Return the holder and place a title names."""
    found = _HELD_BY.search(title)
    if found:
        name = found["name"] or found["of"]
        name = re.split(r"\s+(?:as at|as of|at|on|in|for|and stored)\b|\s[-–]\s", name)[0].strip(
            " .-"
        )
        numbered = title[found.end() :][:1].isdigit()  # "wanted by Otter 3's owner"
        if name and not name.endswith(".") and not numbered and not names_nobody(name):
            return name, None
    listed = _LIST_OF.search(title)
    if listed and any(map(is_part_word, listed["name"].split())):
        listed = None  # "Stock list of Ashmere Shed"
    if listed and not re.search(r"\bparts\s+list\b", title, re.IGNORECASE):
        return listed["name"], None
    possessive = _WHOSE_PLACE.search(title)
    if possessive and not _somebody(possessive["who"], possessive["what"]):
        possessive = None
    if possessive:
        building = _BUILDING.search(possessive["what"])
        return possessive["who"], possessive[0] if building else None
    return None, None


def names_nobody(name: str) -> bool:
    """Tell whether a name is of nobody in particular: "members", "the committee", "various"."""
    words = re.findall(r"[a-z]+", name.casefold())
    if words and set(words) <= {*_MONTHS, *_TIMES}:
        return True  # "wanted by June": when, not who
    return bool(words) and words[-1] in _NOBODY and set(words) <= _NOBODY | _FILLING


def is_no_holder(name: str) -> bool:
    """Tell whether a cell under "Who" is of nobody; a club, and its officers, may hold things."""
    words = re.findall(r"[a-z]+", name.casefold())
    return names_nobody(name) and words[-1] not in _MAY_HOLD and not set(words) & set(_MONTHS)


def wanted_for(title: str) -> str | None:
    """Return the one vehicle that a title says things are wanted for; of several none."""
    if not _WANTS.search(title):
        return None
    found = {}
    for match in _NAME_AND_NUMBER.finditer(title):
        if match["word"].casefold() in _TITLE_WORDS:
            continue
        before = match["before"].split()
        while before and before[0].casefold() in _TITLE_WORDS:
            before = before[1:]
        own = not set(map(str.casefold, before)) & _TITLE_WORDS
        numbered = title[match.start("word") : match.end("number")]
        name = " ".join([*(before if own else []), numbered])
        found[name.casefold()] = None if match["more"] else name
    return next(iter(found.values())) if len(found) == 1 else None


def _somebody(who: str, what: str) -> bool:
    """Tell whether one word before "'s spares" is a person: "Otter's spares", "Driver's parts"."""
    if " " in who or is_first_name(who):
        return True
    return not is_part_word(who) and (_BUILDING.search(what) is not None or who in _KIN)


def _family(title: str) -> str | None:
    """Return the vehicle family whose parts list or fit notes a title announces.

    A sort of vehicle beside it is no family: "Otter Carrier parts list" is the Otter's. Of two
    families none is taken.
    """
    found = _FAMILY.search(title)
    if found is None:
        return None
    if found["before"]:
        near = re.split(r"[-–:;,(]\s", title[: found.end("before")])[-1]
        words = re.findall(r"[\w&+]+", near)[::-1]
    else:
        words = re.findall(r"[\w&+]+", found["after"] or found["lead"])
    named = [(at, word) for at, word in enumerate(words)
             if word.isalpha() and word.casefold() not in _SORTS]  # fmt: skip
    at, word = next(iter(named), (0, ""))
    others = {one.casefold() for one in words[at + 1 : at + 2]}
    if len(word) < 3 or word.casefold() in _NO_FAMILY or others & {"and", "&", "+"}:  # noqa: PLR2004 - initials
        return None
    return word.capitalize() if word.isupper() or word.islower() else word


def _vehicle(title: str) -> str | None:
    """Return the one vehicle a survey's title names; several ("the Otters") are none."""
    for pattern in (_SURVEY_OF, _ITS_SURVEY, _SEEN_OF):
        found = pattern.search(title)
        name = found["vehicle"].strip(" .") if found else ""
        if _NUMBERED.match(name) and not _NO_VEHICLE.search(name):
            return name
    return None


def surveys_one(title: str) -> bool:
    """Tell whether a title is of what was seen of one vehicle: "State of Otter 4"."""
    told = _WANTS.search(title) is not None or "history" in title.casefold()
    return not told and _vehicle(title) is not None
