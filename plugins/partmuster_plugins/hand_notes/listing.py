"""Lists in notes: what a heading says of its items, an item without a verb, "ditto".

A heading is looked up in ``words_note_heading.csv``. It speaks only for what says nothing of its
own: an item that is a sentence is read as one.
"""

from __future__ import annotations

import functools
import re
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from partmuster_trade.words import load_words

from .deals import DealMention, availability_of
from .expressions import expression
from .list_heads import said_by_head
from .makers import part_fields
from .names import NameMention
from .parts import PartMention, find_parts
from .roles import words_of
from .sentences import sentence_of, sentences_of
from .statement import Statement
from .states import StateMention

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from .context import Context
    from .view import View

_LEAD = re.compile(r"^\W*(?:[A-Za-z]|[ivx]{1,4}|\d{1,2})[.)]\s+|^[^\w(]+")
_NAMED = re.compile(r"^(?P<who>[A-Z][\w'’.]*(?: [A-Z][\w'’.]*)?)['’]s? (?P<rest>.+)$")
_REST = re.compile(r"^(?:$|[\s,:;(&/-]|for\b|on\b|of\b|by\b|this\b)")
_LONGEST = 70
#: A heading's phrase within it counts in so short a heading only.
_SHORT_WORDS = 4
_VERB = re.compile(
    r" (?:is|are|was|were|be|been|has|have|had|'s|will|would|can|could|should|may|might|must|do|"
    r"does|did|"
    r"went|goes|go|came|comes|got|gets|took|takes|said|says|told|thinks|fits?|needs?|wants?|"
    r"<s\d+>|<a\d+>|"
    r"<g\d+>|not|if|\?) "
)
#: What may stand between the parts of one item, and what ends them.
_JOIN = re.compile(r"^ (?:, |and |or |/ |plus |also |& |; |with |the |\+ |a |an )*$")
#: What may stand before the first part of an item, and behind the last.
_OPENING = re.compile(
    r" (?:(?:a|an|the|some|any|one|also|and|good|decent|spare|new|old|\d+|x|-|"
    r",|:|<[hnb]\d+>|'s|<[vn]\d+>) )*"
)
_CLOSING = re.compile(
    r"$|[,;:/(-]|(?:for|with|that|which|any|either|in|from|of|or|and|to suit|"
    r"complete|please|x|<[ab]\d+>|\d+)\b|\s*$"
)
#: An item that names its parts first, and then says something of them.
_PARTS_FIRST = expression(
    r" (?:- )?(?:(?:an?|the|some|one|pair of|<b\d+>|<n\d+>|\d+|x) )*(?:spare )?<p\d+> "
    r"(?:x ?\d+ |, \d+ )?(?:[,;:-] |$)"
)
#: What a list says of a part that is not there, or is a vehicle's.
_NOT_HAD = expression(
    r" [,;:/(-] (?:nil|none|nought|gone|out|0|sold|lent|to <[hn]\d+>|<s\d+> of \d|\d+ of \d)"
)
#: Words that may stand in a heading beside the place where things lie.
_OF_PLACES = frozenset({"the", "my", "our", "his", "her", "in", "on", "under", "behind", "at", "by",
                        "top", "middle", "bottom", "lower", "upper", "left", "right", "back",
                        "front", "first", "second", "third", "next", "other", "far", "near", "old",
                        "big", "small", "hay", "tin", "tea", "metal", "wooden", "red", "green",
                        "blue", "no", "number", "and", "of", "up", "pole", "cold",
                        "damp"})  # fmt: skip
_MOST_WORDS = 9
#: Whose an item is: "Maud: a dynamo".
_OWNER = re.compile(r" <[hni](\d+)> (?:, for (?:the )?<[vn]\d+> )?[:-] ")
_FOR = re.compile(r" for (?:the )?<[vn](\d+)> ")
_DITTO = re.compile(
    r"^[^\w\"]*(?:[-–—:=.,]+\s*)?(?:ditto|do\.|do|\"|''|″|same(?: again| here| story)?|likewise|"
    r"idem|as above|"
    r"the same(?: again)?)(?=$|[\s,.;:(!-])",
    re.IGNORECASE,
)
_DITTO_PART = re.compile(r'^\s*(?:["”″]|\'\'|ditto|do\.)\s+(?=\S)', re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Heading:
    """What a heading says: kind and fields of its items, and whose they are."""

    kind: str
    fields: Mapping[str, str]
    person: str = ""
    rest: str = ""


@functools.cache
def _phrases() -> tuple[tuple[str, str, dict[str, str]], ...]:
    found = []
    for row in load_words("note_heading"):
        fields = {name: row.meanings[name] for name in ("presence", "availability")}
        found.append((row.words.casefold(), row.meanings["kind"],
                      {name: text for name, text in fields.items() if text}))  # fmt: skip
    return tuple(sorted(found, key=lambda one: -len(one[0])))


def heading_of(text: str) -> Heading | None:
    """Return what a list's heading says of its items, or None if it is no such heading."""
    plain = _LEAD.sub("", text).strip(" *_#-–—:!")
    if not plain or len(plain) > _LONGEST:
        return None
    person = ""
    named = _NAMED.match(plain)
    if named:
        person, plain = named["who"], named["rest"]
    low = plain.casefold().replace("’", "'")
    for phrase, kind, fields in _phrases():
        if low.startswith(phrase) and _REST.match(low[len(phrase) :]):
            rest = plain[len(phrase) :].strip(" :,-")
            own = _offered_in(rest) if kind == "holding" and not fields else fields
            return Heading(kind, own, person, rest)
    if len(low.split()) <= _SHORT_WORDS:
        for phrase, kind, fields in _phrases():
            if len(phrase) > 3 and low.endswith(f" {phrase}"):  # noqa: PLR2004 - "of" words
                return Heading(kind, fields, person)
    return _heading_in_words(plain, person)


def _offered_in(words: str) -> dict[str, str]:
    """Return what the words behind "what I have" say of all that is listed."""
    deal = availability_of(sentence_of(words).words) if words else ""
    return {"availability": deal} if deal not in {"", "wanted"} else {}


def _heading_in_words(plain: str, person: str) -> Heading | None:
    """Return what a heading in words of its own says ("Bits that must go")."""
    words = sentence_of(plain).words
    said = said_by_head(words)
    if said is None or find_parts(words, [False] * len(words)):
        return None
    deal = said.availability or (availability_of(words) if said.kind == "holding" else "")
    fields = {"availability": deal} if deal and deal != "wanted" else {}
    rest = plain[words[said.end - 1].end :].strip(" :,-") if said.end <= len(words) else ""
    return Heading(said.kind, fields, person, rest)


def caption_of(text: str, vehicles: Sequence[str]) -> Heading | None:
    """Return what the last words of a paragraph say of the list that follows them.

    ``vehicles``: that the note is about, which have shelves and floors of their own.
    """
    heading = heading_of(sentences_of(text)[-1].text) if text.rstrip().endswith(":") else None
    if heading is None and not vehicles:
        heading = place_heading_of(text) or _store_in(text)
    return heading if heading and heading.kind in {"holding", "want"} else None


def _store_in(text: str) -> Heading | None:
    """Return that a list is of what was found in some store: "I looked through his trunk:"."""
    sentences = sentences_of(text)
    words = sentences[-1].words if sentences else ()
    stored = any(word.low in words_of("store") for word in words)
    asks = any(word.low in {"?", "if", "when", "bring", "take", "clear", "tidy"} for word in words)
    plain = text.rstrip().endswith(":") and stored and not asks
    return Heading("holding", {}) if plain and not find_parts(words, [False] * len(words)) else None


def place_heading_of(text: str) -> Heading | None:
    """Return that a list is of loose parts whose heading only names where they lie: "Top shelf"."""
    plain = _LEAD.sub("", text).strip(" *_#-–—:!")
    low = re.findall(r"[^\W_]+(?:-[^\W_]+)?", re.sub(r"\([^)]*\)", "", plain).casefold())
    stored = [word for word in low if word in words_of("store")]
    if not stored or len(low) > _SHORT_WORDS + 1:
        return None
    if not all(word in stored or word in _OF_PLACES or word.isdigit() or len(word) == 1
               for word in low):  # fmt: skip
        return None
    return Heading("holding", {"place": re.sub(r"^(?:in|at|on) (?:the )?", "", plain)})


def items_of(view: View, context: Context, *, item: bool) -> Iterator[Statement]:
    """Yield what a list's heading says of the parts that an item without a verb names.

    ``item``: whether it stands in a list; what does not must be short.
    """
    kind = context.heading.get("kind", "")
    if not item and len(view.sentence.words) > _MOST_WORDS:
        return
    told = kind == "holding" and item and _PARTS_FIRST.match(view.text)
    if told and _NOT_HAD.search(view.text):
        return
    if kind not in {"survey", "want", "holding"} or (not told and _VERB.search(view.text)):
        return
    fields = {key: text for key, text in context.heading.items() if key != "kind"}
    if told and (deal := _availability(view)):
        fields["availability"] = deal
    for_vehicle = _FOR.search(view.text)
    vehicle = view.mentions[int(for_vehicle[1])] if for_vehicle else None
    vehicles = context.vehicles if kind == "survey" else ()
    if isinstance(vehicle, NameMention):
        vehicles = (vehicle.text,)
    people = () if kind == "survey" else context.people or ((context.writer,) if context.writer
                                                            else ())  # fmt: skip
    owner = _OWNER.match(view.text) if kind != "survey" else None
    name = view.mentions[int(owner[1])] if owner else None
    if isinstance(name, NameMention):
        people = (context.writer,) if name.sort == "writer" else (name.text,)
    made: list[Statement] = []
    for part in _parts(view):
        own = {**part_fields(part), **fields}
        one = Statement(
            kind=kind, rule=f"heading: {kind} {' '.join(fields.values())}".strip(),
            words=view.sentence.text, fields=own, vehicles=vehicles, people=people[:1],
            said_on=context.day,
        )  # fmt: skip
        made.append(one)
    if made and kind == "holding":
        context.dealings = tuple(made)
    yield from made


def _availability(view: View) -> str:
    """Return what an item's own words say of whether it is to be had."""
    deals = (one for one in view.mentions if isinstance(one, DealMention))
    return next((one.availability for one in deals if one.availability not in {"", "wanted"}), "")


def _parts(view: View) -> list[PartMention]:
    """Return the parts at the head of an item, as far as they are joined by "and" or commas."""
    found: list[PartMention] = []
    end = 0
    for mark in re.finditer(r"<p(\d+)> ", view.text):
        mention = view.mentions[int(mark[1])]
        between = view.text[end : mark.start()]
        if found and not _JOIN.match(f" {between.strip()} " if between.strip() else " "):
            break
        if not found and not _OPENING.fullmatch(between):
            break
        stored = isinstance(mention, PartMention) and mention.name.lower() in words_of("store")
        if found and stored:  # "bearing cups, tub of"
            break
        if isinstance(mention, PartMention):
            found.append(mention)
            end = mark.end()
    return found if _CLOSING.match(view.text[end:] or " ") else []


def ditto_of(view: View, text: str, context: Context) -> Iterator[Statement]:
    """Yield the last statement's state for the part beside a "ditto"."""
    parts = _parts(view)
    last = next((one for one in reversed(context.said) if one.kind == "survey"), None)
    if last is None or len(parts) != 1:
        return
    part = parts[0]
    words = view.sentence.words
    behind = text[words[part.end - 1].end :] if part.end <= len(words) else ""
    if not _DITTO.match(behind.strip() or "-"):
        return
    if any(isinstance(one, StateMention) and one.start >= part.end for one in view.mentions):
        return
    kept = {
        key: last.fields[key] for key in ("presence", "service", "making") if key in last.fields
    }
    yield replace(
        last, words=view.sentence.text, fields={**part_fields(part), **kept}, said_on=context.day,
        vehicles=context.vehicles or last.vehicles, otherwise=(),
    )  # fmt: skip


def with_part_above(text: str, context: Context) -> str:
    """Return a line that begins with ditto marks with the part's name of the line above."""
    found = _DITTO_PART.match(text)
    if not found or not context.parts:
        return text
    return f"{context.parts[-1].name} {text[found.end() :]}"
