"""Reading whether a thing has gone: sold, scrapped, used up; all of it, or how many."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

from partmuster_trade.words import load_words

from .amounts import NUMBER_WORDS
from .availability import read_availability
from .text import tidy


@dataclass(frozen=True, slots=True)
class GoneReading:
    """What words say of a thing's going.

    ``gone``: all of it has gone; ``some``: so many have, ``left``: so many have not. ``when``: the
    day, in the words there. ``unclear``: something of it has gone, or may have; nobody can tell.
    """

    gone: bool = False
    some: int | None = None
    left: int | None = None
    when: str | None = None
    unclear: bool = False


_NOTHING = GoneReading()
_MONTH = r"(?:jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)[a-z]*\.?"
_DAY = (
    rf"(?:\d{{4}}-\d\d?(?:-\d\d?)?|\d{{1,2}}[./-]\d{{1,2}}[./-]\d{{2,4}}|\d{{1,2}}[./]\d{{2,4}}|"
    rf"(?:\d{{1,2}}(?:st|nd|rd|th)? )?{_MONTH},? ?(?:\d{{1,2}}(?:st|nd|rd|th)?,? )?'?\d{{2,4}}|"
    rf"\d{{1,2}}(?:st|nd|rd|th)? {_MONTH}|{_MONTH}|(?:19|20)\d\d)(?![\w/])"
)
_WHEN = rf"(?:(?:on|in|back in|dated) )?(?P<when>{_DAY})"
_ON_A_DAY = re.compile(_WHEN + r"(?=$|\W)", re.IGNORECASE)
_NUMBER = "|".join(
    [r"\d{1,4}", *sorted((w for w in NUMBER_WORDS if " " not in w), key=len, reverse=True)]
)
_SOME = rf"(?P<some>{_NUMBER})(?: of (?:them|these|those))?"
_EVERY = re.compile(rf"all (?:of )?(?:{_NUMBER}) (?:(?:are|were|have|been|now) )*", re.IGNORECASE)
_HAS = (
    r"(?:(?:now|since|already|all|both|it|they|these|this|was|were|is|are|has|have|been|i|we|just|"
    r"finally|the lot|the whole lot) )*"
)
#: What may follow: to whom, for how much, where; each up to what comes next.
_AGO = (
    r"(?:last|this) \w+|yesterday|today|recently|earlier(?: this \w+)?|(?:a|\w+) (?:few )?"
    r"(?:years?|months?|weeks?|days?) ago|ages ago|(?:some )?time ago"
)
_LATELY = re.compile(rf"(?:{_AGO})(?=$|\W)", re.IGNORECASE)
_STOP = rf"(?=$|,|\s+(?:for [£$€\d]|{_AGO}|(?:on |in )?{_DAY}|at\b|via\b|through\b|with [£$€\d]))"
_TO_WHOM = re.compile(
    r"(?P<how>to|with|by) (?!(?:me|us|be|my|our|order|him|see|go|clear)\b)"
    rf"(?P<who>[^,;]{{1,40}}?){_STOP}",
    re.IGNORECASE,
)
_PRICE = re.compile(
    r"(?:for |at )?(?:[£$€] ?\d[\d.,]*|\d[\d.,]* ?(?:quid|pounds?|dollars?|bucks?|euros?))"
    r"|for (?:\d[\d.,]*|nothing|scrap(?: value)?|free)(?=$|\s)", re.IGNORECASE,
)  # fmt: skip
_EVENT = re.compile(rf"(?:at|via|through) (?!cost\b)(?P<at>[^,;]{{2,40}}?){_STOP}", re.IGNORECASE)
#: "Sold by" and "given by" tell who had it before.
_HOW: dict[str, str | tuple[str, ...]] = {
    "to": "",
    "with": ("swapped", "traded", "exchanged", "part exchanged"),
    "by": ("collected", "picked up", "taken", "bought", "been collected"),
}
#: Whom a thing "goes to" when it leaves: names, or these; "gone to be blasted" comes back.
_TAKERS = re.compile(
    r"(?:(?:a|an|the|his|her|their|its) )?(?:new |good |original |previous |rightful )?(?:home|"
    r"owners?|scrap(?: ?man| ?yard| ?heap| bin)?|tip|skip|dump|museum|auction|breakers?|dealer|"
    r"club|(?:another |fellow )?member|friend|mate|chap|bloke|guy|some(?:body|one)(?: else)?)"
    r"(?: \w+)?$", re.IGNORECASE,
)  # fmt: skip
_NAMED = re.compile(r"(?:[A-Z][\w.'’-]*)(?: (?:and |& )?[A-Z0-9][\w.'’-]*){0,3}$")
_A_PLACE = re.compile(
    r"(?i)\b(?:shed|barn|garage|loft|store|stores|yard|container|workshop|lock-?up|shelf|rack|bay|box|"
    r"unit|barn|home|here|cellar|attic|blast\w*|repair\w*|plat\w*|machin\w*|weld\w*|paint\w*)\b"
)
_ON_VEHICLE = re.compile(
    r"(?P<sure>(?:now|since|already|been) )*(?P<verb>used|fitted|went|gone|put|installed|now) "
    r"(?:it |them |this )?(?:on|to|in|into|onto) (?:my |our |the )?"
    r"(?P<what>[A-Z][\w'-]+(?: [A-Z][\w'-]+)? (?:no\.? ?)?\d{1,4}[A-Za-z]?)"
    rf"(?:,? (?i:{_WHEN}))?$"
)
_SOMEBODY_HAS = re.compile(
    r"(?P<who>[A-Z][\w.'-]*(?: [A-Z][\w.'-]*)?) (?:has |have )?(?P<how>has|had|got|took|taken|"
    r"bought|collected|picked up) (?:it|them|this|these|the lot|all of (?:it|them))\b"
    rf"(?: (?:now|away|off me))*(?:,? (?i:{_WHEN}))?$"
)
_USED_SO_MANY = re.compile(
    rf"(?:i |we )?(?:have |has )?used (?P<some>{_NUMBER})(?: of (?:them|these))?(?=$|\s)",
    re.IGNORECASE,
)
#: What was gone and is here again, or nobody can say, is asked about.
_BACK = re.compile(
    r"\b(?:came back|come back|back again|brought back|bought back|got (?:it|them) back|is back|"
    r"returned to (?:me|us)|now back|"
    r"(?:not sure|unsure|no idea|don't know|can't remember|cannot remember) (?:if|whether)\b.{0,30}"
    r"\b(?:sold|gone|scrapped|got it|have it))\b", re.IGNORECASE,
)  # fmt: skip
_A_MARK = re.compile(r"(?i)\b(?:mk|mark|type|series|hull|nos?)\b")
_LEFT = re.compile(
    rf"(?:(?:only|just|now|with|still|leaving|leaves|so) )*(?P<left>{_NUMBER}|none)"
    r"(?: (?:of (?:them|these)|now|is|are|still))* (?:left|remains?|remaining|still here|kept|"
    rf"here)$|(?:leaves|leaving|now) (?P<leaves>{_NUMBER})$", re.IGNORECASE,
)  # fmt: skip
_PIECES = re.compile(
    r"\s*(?:[;\n()\[\]]|(?<![\d])(?<!\b[A-Z])[.](?=\s|$)|,(?!\d)|\s-+\s|\bbut\b|\s\+\s)\s*"
)
_LABEL = re.compile(r"^(?:status|state|update|now)\s*:\s*", re.IGNORECASE)
_LABELLED = re.compile(r"^(?:comment|struck through):\s")
#: A column that no field was found for stands in the remark under its heading.
_ANY_LABEL = re.compile(r"^[A-Za-z][\w /?'.-]{0,30}:\s+")
_DOUBT = re.compile(
    r"\?|\b(?:if|unless|until|when|once|will|may (?!\d)|might|could|would|should|probably|maybe|"
    r"perhaps|think|thought|hope|hoping|possibly|apparently|rest|other|others|another|some|most|"
    r"part of|half|nearly|almost|unsure)\b", re.IGNORECASE,
)  # fmt: skip
_IT = re.compile(r"^(?:it|them|this|these)(?: (?:one|lot))?(?=$|\W)\s*", re.IGNORECASE)
#: Words that may say that it has gone, whatever stands beside them.
_STEM = re.compile(
    r"\b(?:sold|scrapped|binned|given away|disposed of|flogged|stolen|used up)\b|^swapped\b|"
    r"^(?:gone|went) to\b|^all (?:gone|used)\b|\b(?:\d+|one|two|three|both) gone\b", re.IGNORECASE,
)  # fmt: skip
_NOT_GONE = re.compile(
    r"\b(?:not|never|isn't|hasn't|wasn't|aren't|haven't|yet to be|to be|can be|can't be|cannot be|"
    r"could be|may be|might be|will be|won't be|would be|must be|should be|being|getting|get|"
    r"until|unless|if|before)(?: \w+){0,2} (?:sold|scrapped|binned|given away|disposed|flogged)\b"
    r"|\bsold (?:as|in|by the|complete|separately|only|new|originally|subject|stc|without|untested|"
    r"per|me|us|to me|to us|to my|to order|with|singly|individually|together)\b"
    r"|\b(?:from|off|ex|a|an|the|my|his|her|later|another) (?:\w+ )?scrapped\b"
    r"|\bwas (?:sold|swapped) (?:it|this|these|to (?:me|us))\b"
    r"|\b(?:he|she|they|who|[A-Z][a-z]+) sold (?:me|us|it to (?:me|us))\b|\bunsold\b"
    r"|\bwho sold (?:it|them|this|these)\b|\bsold[- ]off\b"
    r"|\bgone to be\b|^(?:gone|went) to (?:[a-z])", re.IGNORECASE,
)  # fmt: skip
#: What is sold and still here has a buyer who has not come for it.
_STILL_HERE = re.compile(
    r"\b(?:not|never|un) ?(?:yet )?(?:been )?collected\b|\bstill here\b|\bawaiting\b|"
    r"\buncollected\b|\bto (?:be )?collect(?:ed)?\b|\bsubject to\b|\bstc\b", re.IGNORECASE,
)  # fmt: skip
#: A column "To whom" of a list that says nothing else of what was sold.
_SOMEBODY = re.compile(r"(?i)(?:^|; )(?:to whom?|who to)\?*: (?!nobody|none|no one|[-?]|n/a)\w")
_TAKEN_AWAY = re.compile(
    r"(?i)^(?:now |been |has been |was )*(?:collected|picked up|taken|handed)\b"
)


@lru_cache(maxsize=1)
def _verbs() -> tuple[re.Pattern[str], frozenset[str]]:
    rows = load_words("gone")
    words = sorted((row.words for row in rows), key=len, reverse=True)
    alone = frozenset(row.words for row in rows if row.meanings["gone"] == "yes")
    any_of_them = "|".join(map(re.escape, words))
    return re.compile(rf"(?P<verb>{any_of_them})(?=$|[^\w])", re.IGNORECASE), alone


@lru_cache(maxsize=1)
def stems() -> str:
    """Return a pattern, for polars too, of texts that are worth reading for what has gone."""
    words = {row.words.split()[0] for row in load_words("gone")} - {"all", "in", "not", "no"}
    more = [
        "no longer",
        "not here",
        "in the bin",
        "no more",
        "not mine",
        "fitted",
        "installed",
        "put",
    ]
    more += [
        "used",
        "now on",
        "ha[sd] (?:it|them)",
        "came back",
        "took",
        "not sure",
        "to whom?:",
        "who to:",
    ]
    return rf"(?i)\b(?:{'|'.join(sorted([*words, *more], key=len, reverse=True))})"


def _tail(text: str, verb: str) -> tuple[bool, str | None, bool]:
    """Return whether all that follows a verb says to whom, when, where and for how much.

    Also the words of the day, and whether it says who has it now.
    """
    when, taker = None, False
    while text := text.strip(" ,"):
        found = _ON_A_DAY.match(text)
        if found:
            when = when or found["when"]
        elif found := _PRICE.match(text) or _LATELY.match(text):
            pass
        elif found := _TO_WHOM.match(text):
            who = found["who"].strip(" .")
            if not verb.startswith(_HOW[found["how"].lower()]):
                return False, None, False
            moved = verb in {"gone", "went", "gone now", "returned", "moved on", "taken"}
            known = _NAMED.match(who) or _TAKERS.match(who)
            if (moved and not known) or (moved and _A_PLACE.search(who)):
                return False, None, False
            taker = True
        elif verb.startswith(("sold", "auctioned", "swapped", "traded", "given")) and (
            found := _EVENT.match(text)
        ):
            pass
        else:
            return False, None, False
        text = text[found.end() :]
    return True, when, taker


def _piece(text: str) -> GoneReading:
    """Read one piece of a text, which says it whole or not at all."""
    pattern, alone = _verbs()
    if found := _LEFT.match(text):
        count = found["left"] or found["leaves"]
        return GoneReading(left=0 if count.lower() == "none" else _count(count))
    if (found := _ON_VEHICLE.match(text)) and not (
        _A_MARK.search(found["what"]) or _A_PLACE.search(found["what"])
    ):
        sure = found["sure"] or found["when"] or found["verb"] in {"used", "now", "gone", "went"}
        return GoneReading(gone=bool(sure), when=found["when"], unclear=not sure)
    if found := _SOMEBODY_HAS.match(text):
        had = found["how"] in {"has", "had", "got"}
        return GoneReading(gone=not had, when=found["when"], unclear=had)
    if found := _USED_SO_MANY.match(text):
        return GoneReading(some=_count(found["some"]))
    bare = re.sub(rf"^{_HAS}", "", text, flags=re.IGNORECASE)
    every = _EVERY.match(text)
    counted = re.match(rf"{_SOME} (?:(?:now|was|were|has|have|been) )*", bare, re.IGNORECASE)
    for rest, some in (
        (text, None), (bare, None), (text[every.end() :] if every else "", None),
        (bare[counted.end() :] if counted else "", counted["some"] if counted else None),
    ):  # fmt: skip
        found = pattern.match(rest)
        if found is None:
            continue
        verb, after = found["verb"].lower(), _IT.sub("", rest[found.end() :].strip())
        number = re.match(rf"{_SOME}(?=$|\s+(?:to|for|on|in|at)\b)", after, re.IGNORECASE)
        many = some
        if some is None and number and not re.match(_DAY, after, re.IGNORECASE):
            many, after = number["some"], after[number.end() :]
        whole, when, taker = _tail(after, verb)
        if whole and (verb in alone or taker):
            return GoneReading(gone=many is None, some=_count(many) if many else None, when=when)
    return _NOTHING


def _count(words: str) -> int:
    return int(words) if words.isdigit() else NUMBER_WORDS[words.lower()]


@lru_cache(maxsize=100_000)
def read_gone(text: str) -> GoneReading:  # noqa: PLR0911 - one return an outcome
    """Read what a remark, condition or availability says of a thing's going.

    Only plain words count, in a piece of the text that says nothing else: "rusty; sold to Bert".
    """
    plain = _LABEL.sub("", tidy(text))
    if not plain or not re.search(stems(), plain):
        return _NOTHING
    if _BACK.search(plain):
        return GoneReading(unclear=True)
    pieces = [_LABEL.sub("", piece).strip(" .!*") for piece in _PIECES.split(plain)]
    pieces = [piece for piece in pieces if not _LABELLED.match(piece)]
    pieces = [bare for piece in pieces if (bare := _ANY_LABEL.sub("", piece))]
    read = [_piece(piece) for piece in pieces]
    when = next((one.when for one in read if one.when), None)
    some = next((one.some for one in read if one.some is not None), None)
    left = next((one.left for one in read if one.left is not None), None)
    gone = any(one.gone for one in read) or (left == 0 and some is not None)
    away = any(
        one.gone and _TAKEN_AWAY.match(piece) for one, piece in zip(read, pieces, strict=True)
    )
    held = read_availability(plain, in_passing=True).availability == "promised"
    if (held or _STILL_HERE.search(plain)) and not away:
        return _NOTHING
    others = [p for p, one in zip(pieces, read, strict=True) if one == _NOTHING]
    stray = any(_STEM.search(piece) and not _NOT_GONE.search(piece) for piece in others)
    stray = stray or _SOMEBODY.search(plain) is not None
    doubtful = bool(_DOUBT.search(plain)) and (gone or some is not None or stray)
    if doubtful or stray or any(one.unclear for one in read):
        return GoneReading(unclear=doubtful or stray or not gone, some=some, left=left)
    if some is not None and gone and left != 0:
        return GoneReading(some=some, left=left, when=when, unclear=True)
    if some is None and not gone:
        return _NOTHING
    return GoneReading(gone=gone, some=None if gone else some, left=left, when=when)


_YES = frozenset(
    {"y", "yes", "true", "x", "✓", "✔", "☑", "√", "sold", "gone", "yep", "yeah", "done"}
)
_NO = frozenset(
    {"n", "no", "nope", "false", "-", "--", "0", "nil", "none", "not yet", "unsold", "still here",
     "for sale", "available", "not sold", "no takers", "still have", "still got", "kept", "here",
     "n/a", "na", "nobody", "nobody yet", "no one", "no-one", "nothing", "in stock", "have",
     "not for sale", "keeping", "✗", "✘", "❌", "no buyer", "no interest", "never"}
)  # fmt: skip


@lru_cache(maxsize=100_000)
def read_gone_answer(text: str) -> GoneReading:  # noqa: PLR0911 - one return an answer
    """Read a cell that was asked whether a thing has gone, to whom or when: "yes", "Bert 3/26"."""
    plain = tidy(text).strip(" .!")
    bare = plain.lower()
    if title_says_gone(plain):
        return GoneReading(gone=True)
    if not plain or bare in _NO or title_says_gone(plain) is False:
        return _NOTHING
    if bare in _YES:
        return GoneReading(gone=True)
    if "?" in plain or _DOUBT.search(plain):
        return GoneReading(unclear=True)
    said = read_gone(plain)
    if said != _NOTHING:
        return said
    held = read_availability(plain).availability
    if held != "unknown" or _NOT_GONE.search(plain) or _STILL_HERE.search(plain):
        return _NOTHING
    if re.fullmatch(rf"{_NUMBER}", bare):
        return GoneReading(some=_count(bare))
    whole, when, _ = _tail(plain, "sold")
    if whole:
        return GoneReading(gone=True, when=when)
    whole, when, _ = _tail(f"to {plain}", "gone")
    return GoneReading(gone=whole, when=when, unclear=not whole)


_TITLE_GONE = frozenset(
    {"gone", "sold", "disposed", "scrapped", "disposals", "departed", "binned", "swapped", "used",
     "donated", "given", "stolen"}
)  # fmt: skip
_TITLE_SURE = _TITLE_GONE - {"used", "given", "disposals", "stolen"}
_TITLE_REST = frozenset(
    {"of", "items", "item", "parts", "part", "spares", "bits", "stuff", "things", "list", "on",
     "in", "away", "up", "already", "to", "date", "since", "now", "or", "and", "all", "these",
     "have", "been", "no", "longer", "here", "the", "what", "has", "went", "log", "record",
     "this",      "year", "last", "other", "otherwise", "are", "is", "out", "ones"}
)  # fmt: skip
_TITLE_HERE = frozenset(
    {"still here", "still have", "still got", "not sold", "unsold", "not sold yet", "left",
     "remaining", "in stock", "what is left", "whats left", "what's left", "still to go",
     "not gone", "kept", "current", "current stock", "still held", "on hand"}
)  # fmt: skip


@lru_cache(maxsize=4096)
def title_says_gone(title: str) -> bool | None:
    """Tell whether a title or section says that all below it has gone, or is still here.

    None where it says neither: "Sold 2025", "Items disposed of", "Still here".
    """
    words = re.sub(r"[^\w']+|_", " ", title.lower()).split()
    words = [word for word in words if not re.fullmatch(rf"\d+|{_MONTH}", word)]
    if " ".join(words) in _TITLE_HERE:
        return False
    plain = set(words)
    if plain and plain <= _TITLE_GONE | _TITLE_REST and plain & _TITLE_SURE:
        return True
    return (
        " ".join(words)
        in {"no longer here", "no longer held", "no longer have", "used up", "given away"}
        or None
    )


def says_gone(text: str) -> bool:
    """Tell whether a text says plainly that a thing has gone."""
    return read_gone(text).gone
