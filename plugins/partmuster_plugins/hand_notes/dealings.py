"""From a saying about who has, wants, promises or may have a part to statements.

Whose it is, for which vehicle, where and for how much: what the saying's slots do not tell is looked
for in the words around it (``around``), then in what the note said before.
"""

from __future__ import annotations

import re
from dataclasses import replace
from typing import TYPE_CHECKING

from .around import PRICE_WITHIN, around, in_store, where_of
from .names import NameMention
from .parts import PartMention
from .telling import MY, THEIRS, Item, Telling, head_of, last_name

if TYPE_CHECKING:
    from collections.abc import Iterator

    from .acts import Act
    from .context import Context
    from .patterns import Found
    from .statement import Statement

KINDS = frozenset({"holding", "want", "promise", "lead"})
_NOT_SO = re.compile(
    r" (?:not|no longer|never|nor|without|if only|as if|used to|nobody|no one) (?:[^\s<,;]+ ){0,1}$"
)
_IF = re.compile(
    r" (?:if|unless|wish|suppose|supposing|imagine|whether) (?!you |anyone |anybody |<a)[^;]*$"
)


def dealings_of(found: Found, act: Act, context: Context) -> list[Statement]:
    """Return what a saying of having, wanting, promising or hearing of a part says."""
    view = act.view
    before = view.text[: found.start]
    if _NOT_SO.search(before) or (found.saying.kind != "want" and _IF.search(before)):
        return []
    behind = (found.slot_starts[slot] for slot in ("where", "state") if slot in found.slots)
    near = around(view, min(behind, default=found.end), context)
    told_of = context.dealt[0] is view.sentence and found.start < context.dealt[1]
    if near.gone and found.saying.kind in {"holding", "want"}:
        return []
    if told_of and "<p" not in found.slots.get("things", "") + found.slots.get("goods", ""):
        return []  # "one of them for sale": said already of what "them" is
    told = _Dealing(found, act, context, near)
    if not {"things", "goods"} & found.slots.keys():
        return list(told.of_the_last())
    makers = {"holding": told.holdings, "want": told.wants, "promise": told.promises,
              "lead": told.leads}  # fmt: skip
    made = list(makers[found.saying.kind]())
    context.dealt = (view.sentence, near.reach)
    kept = tuple(one for one in made if one.kind in {"holding", "promise"})
    context.dealings = kept or context.dealings
    return made


#: Sayings that say too little of "it" alone.
_ONLY_NAMED = frozenset({"is somebody's if he wants", "takes it away", "hands it over"})


class _Dealing(Telling):
    """A saying of somebody who has, wants, promises or may have a part."""

    __slots__ = ()

    def of_the_last(self) -> Iterator[Statement]:
        """Yield what is said of the part named last, or of the last holding or promise of it."""
        kind = self.found.saying.kind
        named = [one for one in self.act.view.mentions if isinstance(one, PartMention)
                 and not one.pronoun and one.start < self._word()]  # fmt: skip
        last = (named or list(self.context.parts))[-1:]
        if kind != "want" and "want" not in self.found.slots and any(isinstance(one, PartMention) and not one.pronoun
                                  for one in self.act.view.mentions):  # fmt: skip
            return
        if kind == "want":
            for part in last:
                yield self.made("want", self.person("person"), replace(part, count=""), {})
            return
        deal = self.deal("stage", "avail")
        wanted = self.items("want")
        if deal and deal.availability == "swap" and wanted:
            person = self.person("person")
            for part in last:
                yield self.made("holding", person, part, {"availability": "swap"})
            for item in wanted:
                yield self.made("want", person, item.part, {"build": item.build})
            return
        for one in self.context.dealings:
            alike = last and head_of(last[0]) == last_name(one.fields["description"])
            if deal is None or one.kind != kind or not alike:
                continue
            if deal.stage and one.fields.get("stage") == deal.stage:
                continue
            said = {"stage": deal.stage} if kind == "promise" else {
                "availability": deal.availability}  # fmt: skip
            if " the other " in self.act.view.text[: self.found.start + 1]:
                said["quantity"] = "1"
            again = replace(one, rule=self.found.saying.rule, words=self.act.view.sentence.text,
                            fields={**one.fields, **said}, said_on=self.context.day)  # fmt: skip
            if kind == "promise":
                self.context.promised[head_of(last[0])] = again
            yield again

    def _word(self) -> int:
        """Return the word of the sentence at which the saying begins."""
        at = self.act.view.text[: self.found.start].count(" ") - 1
        places = self.act.view.places
        return places[max(at, 0)][0] if places else 0

    def holdings(self) -> Iterator[Statement]:
        """Yield holdings, and what is wanted for them; a lead where somebody only heard of it."""
        means = self.found.saying.means
        deal = self.deal("avail", "offer")
        availability = means.get("availability") or (deal.availability if deal else "")
        price = self.words_in("price") or self.near.price or self.price_within()
        if price and not availability:
            availability = "offered"
        own = means.get("own", "")
        near = self.near
        hearsay = self._hearsay()
        place = self.place()
        given = near.taker not in {"", "anyone"}
        stored = bool(
            near.stored or in_store(place) or near.avail or given or price or availability
        )
        for item in self.items("things"):
            if "goods" in self.found.slots and item.end:
                yield from self._at(item).of_a_list(item)
                continue
            if own == "place" and (hearsay or not self.act.sure(self.found.start, self.found.end)):
                yield self._lead(item, "")
                continue
            if own == "place" and not (stored or item.part.spare):
                return
            if own == "spare" and not (
                stored
                or item.owner
                or self.person("person")
                or near.here
                or item.part.which in MY | THEIRS
            ):
                return
            person = self.person("person") or self.owner(item) or near.person
            if self.stranger(person) and not self.act.sure(self.found.start, self.found.end):
                yield self._lead(item, person)
                continue
            if self._is_vehicle_talk(availability, item):
                return
            if item.part.which in MY | {"your"} and person not in {"", self.context.writer}:
                return
            if (given and not availability) or (near.stage in {"agreed", "collected"} and person):
                yield from self._given(item, person)
                continue
            fields = {"availability": availability, "price": price, "place": place,
                      "build": item.build or near.build, **near.state}  # fmt: skip
            yield from self._shares(item, person, fields)
        if availability == "swap" or (near.avail and near.avail[0].availability == "swap"):
            person = self.person("person") or near.person
            wanted = [item.part for item in self.items("want") if item.named or item.part.side]
            wanted = wanted or [part for part in near.wanted if not part.pronoun or part.side]
            for part in wanted:
                yield self.made("want", person, part, {})

    def price_within(self) -> str:
        """Return a price between the parts and what else a saying tells."""
        found = self.found
        start = found.slot_starts.get("things", found.start)
        price = PRICE_WITHIN.search(self.act.view.text, start - 1, found.end)
        return (
            self.act.view.words_of(price.start("price"), price.end()).strip(" ,.") if price else ""
        )

    def _at(self, item: Item) -> _Dealing:
        """Return the saying with the words around one item of its list."""
        return replace(self, near=around(self.act.view, item.end, self.context))

    def of_a_list(self, item: Item) -> Iterator[Statement]:
        """Yield what a free list says of one of its items."""
        near = self.near
        person = self.person("person") or self.owner(item)
        if near.taker not in {"", "anyone"}:
            yield from self._given(item, person)
            return
        fields = {"availability": self.found.saying.means.get("availability", ""),
                  "price": near.price, "place": near.place, "build": item.build or near.build,
                  **near.state}  # fmt: skip
        if near.price and not fields["availability"]:
            fields["availability"] = "offered"
        yield from self._shares(item, person, fields)

    def _given(self, item: Item, person: str) -> Iterator[Statement]:
        """Yield promise and holding of what is said to be had, and given to somebody with it."""
        near = self.near
        vehicles = (near.vehicle,) if near.vehicle else ()
        stage = near.stage or "offered"
        one = replace(self.made("promise", person, item.part, {"stage": stage}),
                      vehicles=vehicles)  # fmt: skip
        self.context.promised[head_of(item.part)] = one
        yield one
        if given_by_offer(self.found.saying.rule) or stage == "collected":
            return
        fields = {"availability": "promised", "place": near.place,
                  "build": item.build or near.build}  # fmt: skip
        yield self.made("holding", person, item.part, fields)

    def _shares(self, item: Item, person: str, fields: dict[str, str]) -> Iterator[Statement]:
        """Yield a holding, or one for each share of it ("one for sale, keeping the other")."""
        shares = self.near.shares
        if fields["availability"] or not shares:
            yield self.made("holding", person, item.part, fields)
            return
        for deal, count in shares:
            part = replace(item.part, count=count or item.part.count)
            yield self.made("holding", person, part, {**fields, "availability": deal})

    def _is_vehicle_talk(self, availability: str, item: Item) -> bool:
        """Whether "she has" or "we have" tells of the vehicle at hand and not of a loose part."""
        near = self.near
        if near.at_work and not near.stored:
            return True
        if availability or item.part.spare or near.stored or near.avail or near.taker:
            return False
        if "<k" in self.found.slots.get("things", ""):
            return True
        mark = self.found.slots.get("person", "")
        name = self.act.view.mention(mark) if mark else None
        if not isinstance(name, NameMention):
            return False
        if name.pronoun and name.sort == "person":
            return bool(self.context.vehicles) and name.text.lower() == "she"
        return name.sort == "writer" and name.text.lower() in {"we", "us"}

    def wants(self) -> Iterator[Statement]:
        """Yield what somebody looks for; of a list, one each."""
        mark = self.found.slots.get("vehicle", "")
        near = self.near
        vehicle = self.name_text(mark) or near.vehicle
        person = self.person("person", "taker")
        name = self.mention("person")
        if (
            name is not None
            and name.pronoun
            and name.text.lower() in {"she", "it"}
            and (self.context.vehicles and not person)
        ):
            return
        for item in self.items("things"):
            if item.owner or item.part.which in MY | THEIRS | {"your"} or not item.wanted:
                continue
            if item.end:
                near = around(self.act.view, item.end, self.context)
                vehicle = near.vehicle or vehicle
            one = self.made("want", person, item.part, {"build": item.build or near.build})
            if vehicle:
                one = replace(one, vehicles=(vehicle,))
                if near.either:
                    of_build = {**one.fields, "build": vehicle}
                    one = replace(one, otherwise=(replace(one, vehicles=(), fields=of_build),))
            yield one

    def promises(self) -> Iterator[Statement]:
        """Yield a promise for each part, and the holding it binds where it is plain he has it."""
        stage = self._stage()
        if not stage or (self.found.saying.means.get("told") and not self._hearsay()):
            return
        for item in self.items("things"):
            giver = self.person("giver") or self.owner(item)
            if self.found.saying.means.get("giver") == "me":
                giver = self.context.writer
            if not giver and stage in {"withdrawn", "broken"}:
                giver = self.person("subject")
            known = self.context.promised.get(head_of(item.part))
            if known is None and not item.named and self.found.saying.rule in _ONLY_NAMED:
                continue
            taker = self.person("taker", "subject")
            if known is not None and not item.named and known.fields.get("stage") == stage:
                continue
            if not giver and known is not None:
                giver = next(iter(known.people), "")
            if not giver and not self._may_be_ours(stage, taker):
                return
            if not giver and not self.act.first_hand(self.found.start):
                giver = self.said_by()
            giver = giver or self.ours()
            vehicle = self.name_text(self.found.slots.get("vehicle", "")) or self.near.vehicle
            vehicles = (vehicle,) if vehicle else known.vehicles if known else ()
            one = replace(self.made("promise", giver, item.part, {"stage": stage}),
                          vehicles=vehicles)  # fmt: skip
            self.context.promised[head_of(item.part)] = one
            yield one
            if stage in {"offered", "agreed"} and self._has_it(item):
                fields = {"availability": "promised", "place": self.near.place,
                          "build": item.build or self.near.build}  # fmt: skip
                yield self.made("holding", giver, item.part, fields)

    def _stage(self) -> str:
        """Return how far the promise is, the later words before the earlier ones."""
        deal = self.deal("stage")
        means = self.found.saying.means
        said = means.get("stage", "")
        if deal and (means.get("by") == "stage" or deal.stage != "collected"):
            said = deal.stage
            if said == "collected" and self._allowed():
                said = "offered"
        near = self.near
        if said not in {"offered", "agreed"}:
            return said
        if near.stage:
            return near.stage
        if "list" in self.found.saying.rule:
            if near.fitted:
                return "fitted"
            if near.gone:
                return "withdrawn" if " off" in self.act.view.sentence.text.lower() else "collected"
        return said

    def _allowed(self) -> bool:
        """Whether it may be collected and is not yet: "I can come for it"."""
        mark = self.found.slots["stage"].strip()
        before = self.act.view.text[: self.act.view.text.find(mark)]
        return bool(re.search(r" (?:can|could|may|might|to|will|would) $", before))

    def _may_be_ours(self, stage: str, taker: str) -> bool:
        """Whether a promise whose giver is not named can be the writer's or the speaker's."""
        if stage in {"offered", "agreed"} or not self.act.first_hand(self.found.start):
            return True
        return bool(taker) and taker != self.context.writer and stage in {"withdrawn", "lapsed"}

    def _has_it(self, item: Item) -> bool:
        deal = self.deal("avail")
        return bool(
            item.part.spare or item.owner or self.near.out_of or item.part.which in MY | THEIRS
            or (deal and deal.availability == "promised") or self.found.saying.means.get("has")
        )  # fmt: skip

    def leads(self) -> Iterator[Statement]:
        """Yield what somebody may have somewhere; nothing where the writer says so of his own."""
        sure = self.act.sure(self.found.start, self.found.end)
        means = self.found.saying.means
        unsure = means.get("sure") == "no"
        if sure and not unsure and means.get("told") != "yes" and not self._hearsay():
            return
        if means.get("told") == "behind" and self.act.told_from not in {
            self.found.start,
            self.found.start - 1,
        }:
            return
        who = self.found.slots.get("who", "")
        if re.match(r"<v|<k", who):
            return
        holder = self.phrase("who") or self.person("person")
        for item in self.items("things") or self._vehicle():
            if item.part.which in MY:
                continue
            yield replace(self._lead(item, holder), sure=sure and not unsure)

    def _hearsay(self) -> bool:
        """Whether the words are somebody else's, as the words before them or behind them tell."""
        told_from = self.act.told_from
        return 0 <= told_from <= max(self.found.start, self.near.end)

    def _vehicle(self) -> list[Item]:
        """Return a whole vehicle that is heard of, as the thing that somebody may have."""
        name = self.mention("name")
        if name is None or self.found.saying.rule != "a vehicle somewhere":
            return []
        return [Item(PartMention(name.start, name.end, name.text))]

    def place(self) -> str:
        """Return where the saying, or else what stands behind it, says it lies."""
        return where_of(self.words_in("where")) or self.near.place

    def _lead(self, item: Item, holder: str) -> Statement:
        view, found = self.act.view, self.found
        told = view.words_of(found.start, self.near.end).strip(" ,.;")
        fields = {"statement": told, "place": self.place(), "build": item.build}
        one = self.made("lead", holder, item.part, fields)
        return replace(one, people=(holder,) if holder else (), first_hand=False,
                       said_by=self.said_by())  # fmt: skip


def given_by_offer(rule: str) -> bool:
    """Whether a saying tells of somebody who parts with a thing, and not that he has it loose."""
    return rule in {"parts with it", "lets it go"}
