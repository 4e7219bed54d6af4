"""A saying at its place in a note: who and what its slots name, in the note's own terms."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from .around import where_of
from .deals import DealMention
from .expressions import expression
from .lexicon import singular
from .makers import part_fields, resolved
from .names import NameMention
from .parts import PartMention
from .roles import words_of
from .statement import Statement

if TYPE_CHECKING:
    from .acts import Act
    from .around import Around
    from .context import Context
    from .patterns import Found

_ITEM = expression(
    r"(?:<k(\d+)> of (?:those |these |the )?)?(?:<([hn]\d+)> 's )?(?:<([nvb])(\d+)> )?"
    r"(?:spare )?<[pk](\d+)> "
)
_BEGINS = expression(r" (?:and |also |then |but )?<(h\d+|n\d+(?=> [:-] ))> (?!, |'s )")
#: "his mate Ron Skinner", "Mr Alder of Cold Elmley": the name alone.
_NAMED = expression(
    r"(?:(?:his|her|my|our|their|the|an?|old) )?(?:[a-z-]+ ){0,3}"
    r"((?:(?:Mr|Mrs|Miss|Ms|Dr|Farmer|Captain|Old)\.? )?[A-Z][a-z]+(?: [A-Z][a-z]+)?)"
    r"(?:$| (?:of|at|in|from) )"
)
#: Behind these stands what a part of a list is for or belongs to.
_OF_ANOTHER = frozenset(
    {"the", "of", "off", "in", "on", "to", "from", "with", "behind", "under", "its"}
)
#: "A pair of", "one of", with a name between them and the part.
_COUNTS = {"a": "2", "the": "2"}
MY = frozenset({"my", "our"})
THEIRS = frozenset({"his", "her", "their"})


@dataclass(frozen=True, slots=True)
class Item:
    """A part of a saying's list: what is said of it, whose it is, and the build it is for.

    ``named``: not only as "it". ``end``: where it ends in the text, if it is of a free list.
    """

    part: PartMention
    owner: str = ""
    build: str = ""
    named: bool = True
    end: int = 0

    @property
    def wanted(self) -> bool:
        """Whether it can be what somebody looks for: "it" is none, "a left one" may be."""
        return self.named or self.part.which in {"a", "an", "another"}


@dataclass(frozen=True, slots=True)
class Telling:
    """A saying found in a sentence, the words around it, and what the note said before."""

    found: Found
    act: Act
    context: Context
    near: Around

    def made(self, kind: str, person: str, part: PartMention, fields: dict[str, str]) -> Statement:
        """Return a statement of a part; somebody's of the note, where no person is given."""
        found, act = self.found, self.act
        first_hand = act.first_hand(found.start)
        said = {**part_fields(part), **{key: value for key, value in fields.items() if value}}
        return Statement(
            kind=kind, rule=found.saying.rule, words=act.view.sentence.text, fields=said,
            people=(person,) if person else self.people(),
            sure=act.sure(found.start, found.end), first_hand=first_hand,
            said_by="" if first_hand else self.said_by(), said_on=self.context.day,
        )  # fmt: skip

    def people(self) -> tuple[str, ...]:
        """Return whose the things are where the saying names nobody.

        Whose sentence it is ("Nell seeks a coil and will swap a lamp"), whose words or list, the
        writer, or who was named last.
        """
        begins = _BEGINS.match(self.act.view.text)
        if begins and begins.end() <= self.found.start + 1:
            name = self.name_text(f"<{begins[1]}>")
            if name.casefold() not in words_of("store"):
                return (name,)
        said_by = self.said_by()
        if said_by:
            return (said_by,)
        context = self.context
        if re.search(r" by (?:the )?same ", self.act.view.text):
            return context.named[:1]
        if context.people or context.writer:
            return context.people[:1] or (context.writer,)
        last = self.last_named(self.found.start)  # nobody's list: the last one named
        return (last,) if last else ()

    def ours(self) -> str:
        """Return the first of those whose the things may be."""
        return next(iter(self.people()), "")

    def items(self, slot: str) -> list[Item]:
        """Return the parts of a slot with owner and build; pronouns replaced."""
        if slot not in self.found.slots and "goods" in self.found.slots:
            return self._listed(self.found.slots["goods"])
        return self._items(self.found.slots.get(slot, ""))

    def _listed(self, text: str) -> list[Item]:
        """Return the parts of a free list; one behind "for the" or "off" is none of it."""
        items: list[Item] = []
        for found in _ITEM.finditer(text):
            before = text[: found.start()].split()[-1:]
            if "<p" in found[0] and (not before or before[0] not in _OF_ANOTHER):
                end = self.found.slot_starts["goods"] + found.end()
                items += [replace(one, end=end) for one in self._items(found[0])]
        return items

    def _items(self, text: str) -> list[Item]:
        items: list[Item] = []
        for some, owner, letter, number, mark in _ITEM.findall(text):
            part = self.act.view.mentions[int(mark)]
            if isinstance(part, PartMention) and part.build == "other" and part.which == "the":
                part = replace(part, count=part.count or "1")
            if not isinstance(part, PartMention) or part.which == "no":
                continue
            said = self.act.view.build_at(int(number)) if letter else ""
            if some and isinstance(many := self.act.view.mentions[int(some)], PartMention):
                part = replace(part, count=part.count or _COUNTS.get(many.which, ""))
            behind = re.search(rf"<[pk]{mark}> x (\d+) ", self.act.view.text)
            if behind and not part.count:
                part = replace(part, count=behind[1])
            whose = self.name_text(f"<{owner}>") if owner else ""
            items += [Item(one, whose, said, named=not part.pronoun)
                      for one in resolved([part], self.act.view, self.context)]  # fmt: skip
        return items

    def owner(self, item: Item) -> str:
        """Return whose a part is said to be: "Ivo's", "my", "his"."""
        if item.owner:
            return item.owner
        before = re.search(r"<([hn]\d+)> 's $", self.act.view.text[: self.found.start])
        if before:
            return self.name_text(f"<{before[1]}>")
        if item.part.which in MY:
            return self.context.writer or self.ours()
        if item.part.which == "your":
            return self.context.recipient
        if item.part.which in THEIRS:
            return self.said_by() or self.last_named(self.found.start)
        return ""

    def deal(self, *slots: str) -> DealMention | None:
        """Return the words of dealing in the first slot that has some."""
        for slot in slots:
            mark = self.found.slots.get(slot)
            mention = self.act.view.mention(mark) if mark else None
            if isinstance(mention, DealMention):
                return mention
        return None

    def words_in(self, slot: str) -> str:
        """Return the note's own words for a slot."""
        text = self.found.slots.get(slot, "")
        start = self.found.slot_starts.get(slot, 0)
        return self.act.view.words_of(start, start + len(text)).strip(" ,.") if text else ""

    def phrase(self, slot: str) -> str:
        """Return somebody in the note's words; a single name as it stands, an article left out."""
        words = self.words_in(slot)
        called = re.search(r"(?:called|named|name of|one|, )\s*((?:[A-Z][\w']+ ?)+)", words)
        if called:
            return called[1].strip()
        named = _NAMED.match(words)
        if named:
            return named[1]
        words = re.sub(r" (?:at|in|of|from|on|by|near|who|which|also|still)$", "", words)
        return re.sub(r"^(?:the|an?|that|how|old) (?=\S)", "", words, flags=re.IGNORECASE)

    def mention(self, slot: str) -> NameMention | None:
        """Return the name in a slot."""
        marks = re.findall(r"<[vnhi]\d+>", self.found.slots.get(slot, ""))
        mention = self.act.view.mention(marks[0]) if marks else None
        return mention if isinstance(mention, NameMention) else None

    def name_text(self, mark: str) -> str:
        """Return the name that the first mark of a text stands for; "I" is the writer."""
        marks = re.findall(r"<[vnhi]\d+>", mark)
        mention = self.act.view.mention(marks[0]) if marks else None
        if not isinstance(mention, NameMention):
            return ""
        if mention.sort == "writer":
            return self.context.writer
        if mention.text.lower() in {"he", "she"}:
            return self.last_named(self.act.view.text.find(marks[0]))
        return mention.text

    def person(self, *slots: str) -> str:
        """Return who is named in the first slot that names somebody."""
        for slot in slots:
            name = self.name_text(self.found.slots.get(slot, ""))
            if name:
                return name
        return ""

    def last_named(self, at: int) -> str:
        """Return who "he" is at a place of the text: the last one named before it."""
        for mark in reversed(re.findall(r"<[hn]\d+>", self.act.view.text[:at])):
            mention = self.act.view.mention(mark)
            if isinstance(mention, NameMention) and not mention.pronoun:
                return mention.text
        said_by = self.said_by()
        if said_by:
            return said_by
        others = (one for one in self.context.people if one != self.context.writer)
        return next(others, "")

    def said_by(self) -> str:
        """Return whose words they are, if they are somebody else's."""
        if self.act.first_hand(self.found.start) or not self.act.said_by:
            return ""
        mention = self.act.view.mention(self.act.said_by)
        if not isinstance(mention, NameMention):
            return ""
        if mention.pronoun:
            others = (one for one in self.context.people if one != self.context.writer)
            return next(others, "")
        return mention.text

    def hearsay(self) -> bool:
        """Whether the words are somebody else's, as words before or behind them tell."""
        return 0 <= self.act.told_from <= max(self.found.start, self.near.end)

    def place(self) -> str:
        """Return where the saying, or else what stands behind it, says it lies."""
        return where_of(self.words_in("where")) or self.near.place

    def word(self) -> int:
        """Return the word of the sentence at which the saying begins."""
        at = self.act.view.text[: self.found.start].count(" ") - 1
        places = self.act.view.places
        return places[max(at, 0)][0] if places else 0

    def behind(self) -> str:
        """Return the text behind the saying."""
        return self.act.view.text[self.found.end :]

    def stranger(self, person: str) -> bool:
        """Whether somebody goes by no mere first name, as members do among themselves."""
        return " " in person and person != self.context.writer


def head_of(part: PartMention) -> str:
    """Return the last word of a part's name, by which dealings of it are told apart."""
    return last_name(part.name)


def last_name(name: str) -> str:
    """Return the last word of a part's name, folded and singular."""
    return singular(name.rsplit(" ", 1)[-1].casefold())
