"""What the note itself tells of the names in a sentence, and whom "he", "she" and "you" are.

A name in the title is a vehicle's also where it is a given name; who is greeted, or speaks, is a
person. "She" is the last woman named, or else the vehicle.
"""

from __future__ import annotations

import re
from dataclasses import replace
from typing import TYPE_CHECKING

from .expressions import expression
from .names import NameMention, given_names, may_be_given
from .roles import words_of

if TYPE_CHECKING:
    from .context import Context
    from .names import Sort
    from .view import Mention, View

_LETTER = {"vehicle": "v", "person": "h", "either": "n"}
#: "The Ferret at Oxtarn has": where it stands is no matter of what it has.
_AT_PLACE = expression(
    r" the <[nv]\d+>(?P<place> (?:at|in|from|over at|up at|down at) (?:the )?<n\d+>) (?=(?:still "
    r"|now )?"
    r"(?:has|had|is|was|'s|lacks|needs|wants|looks) )"
)
#: "You" has or wants something; elsewhere sayings have the word itself.
_YOU = expression(r" you (?=(?:still )?(?:have|had|has|need|want|wanted) )")
#: Names that are remembered for "he" and "she".
_REMEMBERED = 6


def settle(view: View, context: Context) -> View:
    """Return the view with its names told apart as far as the note tells."""
    mentions = list(view.mentions)
    text = view.text
    changed = False
    before_text = text
    for number, mention in enumerate(view.mentions):
        if not isinstance(mention, NameMention) or mention.sort not in _LETTER:
            continue
        words = view.sentence.words
        before = words[mention.start - 1].low if mention.start else ""
        told = _pronoun(mention, context) if mention.pronoun else _told(mention, context, before)
        if _is_no_vehicle(told, context):
            mark = f"<{_LETTER[mention.sort]}{number}>"
            text = text.replace(mark, told.text.replace(" ", "-"))
            continue
        if told.sort == "vehicle":
            _number(told.text, context)
        if told != mention:
            changed = True
            mentions[number] = told
            mark = f"<{_LETTER[mention.sort]}{number}>"
            text = text.replace(mark, f"<{_LETTER[told.sort]}{number}>")
        if not told.pronoun and (told.sort == "person" or _may_be_he(told)):
            remember(told.text, context)
    view = (
        replace(view, text=text, mentions=tuple(mentions))
        if (changed or text != before_text)
        else view
    )
    place = _AT_PLACE.search(view.text)
    if place:
        view = view.without(place.start("place"), place.end("place"))
    text = view.text
    text, more = _you(text, len(mentions), context)
    return replace(view, text=text, mentions=(*view.mentions, *more)) if more else view


def _may_be_he(name: NameMention) -> bool:
    """Tell whether a name that may be either is likely what "he" stands for."""
    return name.sort == "either" and may_be_given(name.text.split()[0]) and not _is_she(name.text)


def _is_no_vehicle(name: NameMention, context: Context) -> bool:
    """Tell whether small letters and a number are no vehicle: this note's names have capitals."""
    if name.sort != "vehicle" or name.pronoun or not name.text[:1].islower():
        return False
    if name.text.startswith(("no.", "no ", "number ", "nr")):
        return False
    return not (context.small or name.text.split()[0] in context.proper)


def _number(name: str, context: Context) -> None:
    """Keep a numbered vehicle by its number, unless two have the same."""
    number = re.search(r"\d+$", name)
    if number:
        other = context.numbered.setdefault(number[0], name)
        if other.casefold() != name.casefold():
            context.numbered[number[0]] = ""


def remember(name: str, context: Context) -> None:
    """Keep a person's name for "he" or "she"."""
    if name != context.writer:
        others = [one for one in context.named if one != name]
        context.named = (name, *others)[:_REMEMBERED]


def key_of(name: str) -> str:
    """Return a name as it is compared within a note."""
    return re.sub(r"^the ", "", name.casefold()).strip(" .,:'")


def _told(mention: NameMention, context: Context, before: str) -> NameMention:
    owner = _owner(before, context)
    if owner and mention.sort == "either":
        return replace(mention, text=f"{owner}'s {mention.text}", sort="vehicle")
    sort: Sort | None = context.settled.get(key_of(mention.text))
    return replace(mention, sort=sort) if sort and sort != mention.sort else mention


def _owner(word: str, context: Context) -> str:
    """Return whose "my", "your", "his" and "her" tells that a vehicle is."""
    if word in {"his", "her"}:
        she = word == "her"
        return next((one for one in context.named if _is_she(one) == she), "")
    return {"my": context.writer, "our": context.writer, "your": context.recipient}.get(word, "")


def _pronoun(mention: NameMention, context: Context) -> NameMention:
    she = mention.text.casefold() == "she"
    for name in context.named:
        if is_woman(name) == she or (not she and not _is_she(name)):
            return replace(mention, text=name, pronoun=False)
        if she and is_woman(name) is None and name.casefold() not in given_names():
            continue
    if she and len(context.vehicles) == 1:
        return replace(mention, text=context.vehicles[0], sort="vehicle", pronoun=False)
    return replace(mention, sort="vehicle") if she else mention


def _is_she(name: str) -> bool:
    return is_woman(name) is True


def is_woman(name: str) -> bool | None:
    """Tell by given name or title whether a person is a woman; None where nothing tells."""
    words = re.findall(r"[^\W\d_]+", name.casefold())
    if any(word in words_of("woman") for word in words):
        return True
    if words and (words[0] in given_names() or words[0] in {"mr", "uncle", "farmer", "old"}):
        return False
    return None


def _you(text: str, number: int, context: Context) -> tuple[str, list[Mention]]:
    if not context.recipient or not _YOU.search(text):
        return text, []
    told = NameMention(0, 0, context.recipient, "person")
    return _YOU.sub(f" <h{number}> ", text), [told]
