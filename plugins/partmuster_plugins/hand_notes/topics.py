"""Which vehicle a sentence is about, or turns to.

A vehicle from which something came, for which it is meant, or that another is like, is named and
not spoken of.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from .expressions import expression
from .lexicon import lexicon, singular
from .names import NameMention, given_names, may_be_given
from .parts import PartMention
from .roles import words_of_any
from .settling import key_of
from .titles import BESIDE, KIN, LOOKED_AT, is_place

if TYPE_CHECKING:
    from collections.abc import Sequence

    from .context import Context
    from .sentences import Sentence
    from .trail import Near
    from .view import View

_ALONE = expression(
    r"^ (?:(?:now|next|then|so|right|ok|and|but|well|over to|on to|back to|as to|as for|about|re|"
    r"also|"
    r"turning to|on) )*(?:the )?<[vnh](\d+)> (?:next |now |first |again |then )?(?P<sign>[:,-] |$)"
)
#: What a given name behind it is then a vehicle's, too.
_REGARDING = expression(r" (?:with regard to|regarding|concerning|in respect of|as regards) $")
_NUMBER_HAS = expression(
    r"^ (?:and |but |now |on )?(\w{1,6}) (?:has|had|is|was|'s|lacks|needs|still|now|:|-) "
)
_SPELT = {
    word: str(at)
    for at, word in enumerate(
        ("one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"), start=1
    )
}
_LEAD = expression(r"^ (?:now|next|then|over to|on to|turning to|as to|as for|about|back to) ")
_OWNER = expression(
    r"^ (?:(?:and|but|so|well|right|also|now|then|ok|,) )*(?:(?:on|in|under|at|inside) )?(?:the )?"
    r"<[vnh](\d+)> 's (?:own )?<p"
)
_INITIALS = expression(r"(?:[A-Z]\.){2}|[A-Z]{1,2}\.?\d{1,2}")
_NEXT_IS = expression(
    r" (?:next(?: one| vehicle)?(?: along| up| in line| door)?|the other(?: one)?|this(?: one)?|"
    r"that one|here|"
    r"last(?: one)?|second|third|behind (?:it|<k\d+>)|beside (?:it|<k\d+>)) (?:is|was|comes|came|"
    r"'s) "
    r"(?:the |poor |old )?<[vnh](\d+)> (?=[:;,.-]|$|which|who|and)"
)
_THE = expression(
    r" the <n(\d+)> (?:(?:at|in|from|of) (?:the )?<[hn]\d+> |over there |here |still |itself )?"
    r"(?:has|had|is|was|'s|needs|lacks|looks|still|came|went|wants) "
)
#: So many words, with a letter or figure before it, say no more than a name.
_FEW_WORDS = 4


@dataclass(frozen=True, slots=True)
class Topic:
    """Vehicles of which one is meant. ``turn``: the words turn to it, so that it holds on.

    ``else_of``: those that are meant if the club knows none of ``vehicles``.
    """

    vehicles: tuple[str, ...]
    turn: bool = False
    else_of: tuple[str, ...] = ()


def topic_of(
    view: View, context: Context, proper: frozenset[str], *, whole: bool = False
) -> Topic | None:
    """Return the vehicle that a sentence is about, if it names one.

    ``proper``: words that stand in the note with a capital where no sentence begins. ``whole``:
    whether the sentence is a whole line or the first of a list's item.
    """
    found = _alone(view, context, proper, whole=whole) or _pointed_at(view, context)
    found = found or _looked_at(view, context, proper) or _subject(view) or (
        _owner(view, context, proper) or _by_number(view, context)
    )  # fmt: skip
    named = any(isinstance(one, (PartMention, NameMention)) for one in view.mentions)
    return found if found or context.vehicles or named else _lone_words(view)


def _alone(view: View, context: Context, proper: frozenset[str], *, whole: bool) -> Topic | None:
    """Read "Nettle.", "Now Nettle", "Otter 3: no dynamo"."""
    text = view.text
    alone = _ALONE.match(text)
    name = _name(view, alone[1]) if alone else None
    if alone is None or name is None or not _can_be(name):
        return None
    led = bool(_LEAD.match(text))
    if alone["sign"] == ", " and name.sort != "vehicle" and not led:
        return None
    return _topic(
        name, context, proper, turn=True, led=led, whole=whole and not alone["sign"].strip()
    )


def _pointed_at(view: View, context: Context) -> Topic | None:
    """Read "the next one is Bertha", "the Ferret at Oxtarn has"."""
    for pattern, turn in ((_NEXT_IS, True), (_THE, False)):
        there = pattern.search(view.text)
        name = _name(view, there[1]) if there else None
        if name and not is_place(name.text, "") and (
            context.settled.get(key_of(name.text)) != "person"
        ):  # fmt: skip
            return Topic((name.text,), turn=turn)
    return None


def _looked_at(view: View, context: Context, proper: frozenset[str]) -> Topic | None:
    for found in re.finditer(r"<([vnh])(\d+)> ", view.text):
        name = _name(view, found[2])
        before = view.text[: found.start()]
        if name is None:
            continue
        if found[1] == "h":
            if _REGARDING.search(before) and _is_open(name, context):
                return _topic(name, context, proper, turn=True, led=True)
        elif LOOKED_AT.search(before) and _can_be(name):
            return _topic(name, context, proper, turn=True, led=True)
    return None


def _by_number(view: View, context: Context) -> Topic | None:
    """Read "6 has no radiator" of the one vehicle named before that has this number."""
    found = _NUMBER_HAS.match(view.text)
    number = _SPELT.get(found[1], found[1]) if found else ""
    name = context.numbered.get(number)
    return Topic((name,)) if name else None


def _subject(view: View) -> Topic | None:
    """Return the first vehicle that is not only named beside what is spoken of."""
    for found in re.finditer(r"<v(\d+)> ", view.text):
        name = _name(view, found[1])
        before, behind = view.text[: found.start()], view.text[found.end() :]
        if name and not (BESIDE.search(before) or KIN.match(behind)):
            return Topic((name.text,))
    return None


def _owner(view: View, context: Context, proper: frozenset[str]) -> Topic | None:
    """Read "Rosalind's idlers", which may be a person's."""
    owner = _OWNER.match(view.text)
    name = _name(view, owner[1]) if owner else None
    if name and (name.sort == "person" or _can_be(name)) and _is_open(name, context):
        return _topic(name, context, proper)
    return None


def _name(view: View, number: str) -> NameMention | None:
    name = view.mentions[int(number)]
    return name if isinstance(name, NameMention) and not name.pronoun else None


def _topic(
    name: NameMention, context: Context, proper: frozenset[str], *, turn: bool = False,
    led: bool = False, whole: bool = False,
) -> Topic:  # fmt: skip
    """Return a topic; what may be no vehicle leaves the last one in its place.

    ``led``: words lead to the name; ``whole``: it is all that a paragraph says.
    """
    word = name.text.casefold()
    told = led or whole or " " in word or word in proper or bool(_INITIALS.fullmatch(name.text))
    last = (
        ()
        if name.sort == "vehicle" or (told and name.sort != "person")
        else tuple(one for one in context.vehicles if one != name.text)
    )
    return Topic((name.text,), turn=turn, else_of=last)


def _is_open(name: NameMention, context: Context) -> bool:
    """Tell whether a given name may be a vehicle's, as far as the note tells."""
    if name.sort != "person":
        return True
    alone = " " not in name.text and name.text.casefold() in given_names()
    return alone and context.settled.get(key_of(name.text)) != "person"


def alone_of(here: Sequence[Near], sentence: Sentence) -> Topic | None:
    """Return whose vehicle a sentence turns to that says no more: "HC's.", "Mine:"."""
    words = [word for word in sentence.words if word.low.isalnum()]
    owned = [one.text for one in here if one.placed and one.text.endswith("'s")]
    few = len(words) <= _FEW_WORDS and not sentence.asks
    return Topic((owned[0],), turn=True) if owned and few else None


def _lone_words(view: View) -> Topic | None:
    """Return a name in small letters that stands alone, in a note that has named no vehicle."""
    words = [word.low for word in view.sentence.words if word.low not in {".", "!"}]
    known = words_of_any("everyday", "filler", "file-word", "home")
    plain = all(word.isalpha() and word not in known and len(word) > 2 for word in words)  # noqa: PLR2004
    strange = any(singular(word) not in lexicon().tokens for word in words)
    if len(words) != 2 or not plain or not strange:  # noqa: PLR2004 - "tin lizard"
        return None
    return Topic((" ".join(words),), turn=True)


def _can_be(name: NameMention) -> bool:
    """Tell whether a name can be a vehicle's that is spoken of."""
    if name.sort == "vehicle":
        return True
    given = name.sort == "person" or may_be_given(name.text.split()[0])
    return not given and not is_place(name.text, "")
