"""Which vehicle a title, a heading, a paragraph's opening or a sentence is about.

A vehicle from which something came, for which it is meant, or that another is like, is named and
not spoken of.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from .dates import days_in
from .lexicon import lexicon, singular
from .names import NameMention, may_be_given
from .roles import words_of
from .sentences import sentences_of
from .settling import key_of
from .view import view_of

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from .context import Context
    from .view import View

#: Words before a vehicle that is only named: what came from it, goes to it, or is like it.
_BESIDE = re.compile(
    r" (?:off|from|ex|for|to|onto|into|like|than|unlike|as|which|where|with|out of|instead of|"
    r"same as|both|between|either|any|every|other|another|a|an|some|all) (?:the |of |on |both )?$"
)
#: Words before it by which it is what is being looked at.
_AT_IT = re.compile(
    r" (?:now|next|then|over to|on to|onto|back to|back at|turning to|as to|as for|about|re|regarding|concerning|"
    r"in front of|walking round|round|around|walk round|look at|looked at|looking at|look round|"
    r"went over|crawl over|crawled over|climbed over|went round|inspected|checked|check of|survey of|"
    r"visit to|visited|under|inside|inspection of|had|did|doing) (?:to )?(?:the |poor |old |dear )*$"
)
_ALONE = re.compile(
    r"^ (?:(?:now|next|then|so|right|ok|and|but|well|over to|on to|back to|as to|as for|about|re|also|"
    r"turning to|on) )*(?:the )?<[vnh](\d+)> (?:next |now |first |again |then )?(?P<sign>[:,-] |$)"
)
_LEAD = re.compile(r"^ (?:now|next|then|over to|on to|turning to|as to|as for|about|back to) ")
_SUBJECT = re.compile(r"^ (?:and |but |so |well |right |typical |also |now |then |ok |, )*(?:(?:on|in|under|at|inside) )?"
                      r"(?:the )?<([vn])(\d+)> (?!, <)")  # fmt: skip
_PLATE = re.compile(r"\s*\(\s*([A-Z]{2,3} ?\d{2,4}[A-Z]?)\s*\)")
_BARE_PLATE = re.compile(r"^[A-Z]{2,3} \d{2,4}[A-Z]?$")


@dataclass(frozen=True, slots=True)
class Topic:
    """Vehicles of which one is meant. ``turn``: the words turn to it, so that it holds on."""

    vehicles: tuple[str, ...]
    turn: bool = False


def vehicles_in(text: str, context: Context, *, given: bool = True) -> tuple[str, ...]:
    """Return the names in a title or heading that may be its vehicle's, likeliest first.

    One that has a number or a registration is taken alone. ``given``: given names may be, too.
    """
    plain = _without_days(text)
    numbered: list[str] = []
    owned: list[str] = []
    others: list[str] = []
    people: list[str] = []
    for name, before in _names(plain):
        if name.sort == "vehicle":
            if not _BESIDE.search(before) or before.strip() in {"for", "to", "a", "the"}:
                (owned if "'s " in name.text else numbered).append(_with_plate(name.text, text))
        elif name.sort == "either" and not _is_place(name.text, before):
            others.append(_with_plate(name.text, text))
        elif name.sort == "person" and given:
            people.append(name.text)
    plates = [one for one in numbered if _BARE_PLATE.match(one)]
    if plates and any(f"({plate})" in other for plate in plates for other in others):
        numbered = [other for other in others if any(f"({one})" in other for one in plates)]
    found = numbered or owned or others
    if not found:
        found = [one for one in people if key_of(one) != key_of(context.writer)
                 and context.settled.get(key_of(one)) != "person" and " " not in one
                 and not re.fullmatch(r"(?:[A-Z]\.?)+", one)]  # fmt: skip
    found = [one for one in found if context.settled.get(key_of(one)) != "person"]
    return tuple(dict.fromkeys(found))


def _names(text: str) -> Iterator[tuple[NameMention, str]]:
    """Yield the names of a text, each with the words before it."""
    for sentence in sentences_of(text):
        view = view_of(sentence)
        for mention in view.mentions:
            if isinstance(mention, NameMention) and not mention.pronoun:
                words = " ".join(word.low for word in sentence.words[: mention.start])
                yield mention, f" {words} "


def _without_days(text: str) -> str:
    for day in reversed(days_in(text)):
        text = f"{text[: day.start]} , {text[day.end :]}"
    return text


def _with_plate(name: str, text: str) -> str:
    """Return a name with the registration that stands behind it in brackets."""
    found = re.search(re.escape(name) + _PLATE.pattern, text)
    return f"{name} ({found[1]})" if found and not _BARE_PLATE.match(name) else name


def _is_place(name: str, before: str) -> bool:
    """Tell whether a name is a place's: "Quill Barn", "at Skellmoor"."""
    last = name.rsplit(" ", 1)[-1].casefold()
    return (" " in name and last in words_of("place-name")) or before.endswith(
        (" at ", " near ", " in ")
    )


def topic_of(view: View, context: Context, proper: frozenset[str]) -> Topic | None:
    """Return the vehicle that a sentence is about, if it names one.

    ``proper``: words that stand in the note with a capital where no sentence begins.
    """
    text = view.text
    alone = _ALONE.match(text)
    if alone:
        name = view.mentions[int(alone[1])]
        if isinstance(name, NameMention) and _can_be(name, view, context, proper,
                                                     led=bool(_LEAD.match(text))):  # fmt: skip
            sign = alone["sign"].strip()
            if sign != "," or name.sort == "vehicle" or _LEAD.match(text):
                return Topic((name.text,), turn=True)
    for found in re.finditer(r"<[vn](\d+)> ", text):
        name = view.mentions[int(found[1])]
        before = text[: found.start()]
        if isinstance(name, NameMention) and _AT_IT.search(before) and _can_be(
            name, view, context, proper, led=True
        ):  # fmt: skip
            return Topic((name.text,), turn=True)
    for found in re.finditer(r"<v(\d+)> ", text):
        name = view.mentions[int(found[1])]
        before = text[: found.start()]
        if isinstance(name, NameMention) and not name.pronoun and not _BESIDE.search(before):
            return Topic((name.text,))
    subject = _SUBJECT.match(text)
    if subject:
        name = view.mentions[int(subject[2])]
        behind = text[subject.end() :]
        if isinstance(name, NameMention) and not name.pronoun and behind.startswith("'s ") and (
            _can_be(name, view, context, proper, led=False)
        ):  # fmt: skip
            return Topic((name.text,))
    return None


def _can_be(
    name: NameMention, view: View, context: Context, proper: frozenset[str], *, led: bool
) -> bool:
    """Tell whether a name can be a vehicle's that is spoken of."""
    if name.pronoun:
        return False
    if name.sort == "vehicle":
        return True
    if name.sort == "person" or may_be_given(name.text.split()[0]):
        return False
    if led or " " in name.text or name.start:
        return not _is_place(name.text, "")
    return name.text.casefold() in proper or name.text.isupper()


def proper_words(texts: Sequence[str]) -> frozenset[str]:
    """Return words that have a capital within a sentence, folded: they are names."""
    found = re.findall(r"(?<=[a-z,;] )[A-Z][a-z]{2,}", " ".join(texts))
    return frozenset(word.casefold() for word in found)


def vehicle_of_file(name: str) -> tuple[str, ...]:
    """Return the vehicle that a file's name tells: "otter 6", or all that is left of it."""
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
    if 0 < len(words) <= 2 and not any(  # noqa: PLR2004
        singular(word.casefold()) in lexicon().tokens or may_be_given(word) or len(word) < 4  # noqa: PLR2004
        for word in words
    ):
        return (" ".join(words),)
    return ()
