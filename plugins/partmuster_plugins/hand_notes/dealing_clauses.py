"""Dealings that no saying reads, by the clause: a verb of dealing, who, and which parts.

Principles, in this order:

1. A verb that is denied, or stands in a question, says nothing.
2. Who: the last one named in the clause before the verb, not behind a preposition; where nobody
   stands there, whose words or list it is. What is no person (a part, a vehicle) has nothing.
3. Somebody by no name ("the blacksmith at Kintarn") has it only by hearsay: a lead; "my brother"
   has it.
4. Which parts: those behind the verb to the clause's end, of a list behind a colon to its end; one
   behind a preposition is none ("a seal for the gearbox").
5. How far a promise is, the words of a later clause tell only of a part that was promised before.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final

from partmuster_trade.sayings import Saying

from .around import around
from .dealing_frames import Frame, frames_in, known_frames_in
from .dealing_words import ClauseWords
from .dealings import KINDS, dealings_of
from .deals import DealMention
from .expressions import expression
from .leads import lead
from .parts import PartMention
from .patterns import Found
from .states import StateMention
from .telling import Telling, last_name

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from .acts import Act
    from .context import Context
    from .statement import Statement

_SOURCE = "common practice, no source"
#: Words that tell what somebody else said, before "that".
_REPORTS = frozenset({"say", "says", "said", "swears", "reckons", "claims", "insists", "told",
                      "maintains", "reported", "reports", "heard", "mentions", "mentioned",
                      "slip", "wrote", "writes", "tells"})  # fmt: skip
_KIN = frozenset({"brother", "sister", "uncle", "aunt", "cousin", "nephew", "niece", "dad",
                  "father", "mum", "mother", "grandad", "gran", "grandfather", "son", "daughter",
                  "wife", "husband", "neighbour", "neighbor", "mate", "friend", "lad", "boss",
                  "landlord", "lodger", "pal", "nan", "grandson", "brother-in-law"})  # fmt: skip
#: With these a sentence does more than name parts.
_SAYS = expression(r" (?:is|are|was|were|has|have|had|did|does|do|will|would|could|can|went|came) ")
_ONTO = ("on", "fitted", "bolted", "in place", "back on", "in")
_FITTED: Final = expression(
    r"<[pk](\d+)> (?:(?:is|are|'s|was|were|has been|have been|has|have|gone|went|goes|now|both|all"
    r"|back) )*<s(\d+)> "
)


#: "The wiper Rupert offered Nell", "the carb that Ivo had promised".
_PROMISED = expression(
    r"<p\d+> (?:, )?(?:which |that )?(?P<giver><[hni]\d+>) (?:has |had )?"
    r"(?:offered|promised|pledged|said <h\d+> could have|let|was letting|was to let) "
)


def dealings_in_clauses(
    act: Act, context: Context, said: Sequence[Statement]
) -> Iterator[Statement]:
    """Yield the dealings that the clauses of a sentence tell, besides those ``said`` already."""
    text = act.view.text
    parts = tuple(one for one in act.view.mentions if isinstance(one, PartMention)
                  and not one.pronoun)  # fmt: skip
    if "<p" in text or "<k" in text:
        reader = _Reader(act, context, said)
        made = [*reader.frames(), *reader.known()]
        yield from made
        said = [*said, *made]
    if parts:
        context.loose = () if said or _SAYS.search(text) else parts


class _Reader(ClauseWords):
    """Reads the clauses of one sentence."""

    def __init__(self, act: Act, context: Context, said: Sequence[Statement]) -> None:
        super().__init__(act.view)
        self._act = act
        self._context = context
        self._done = {
            (last_name(one.fields.get("description", "")), one.kind) for one in said
            if one.kind in {"holding", "want", "promise", "lead"}
        }  # fmt: skip

    def frames(self) -> Iterator[Statement]:
        """Yield what verbs of dealing say of the parts behind them."""
        frames = list(frames_in(self._words))
        for number, frame in enumerate(frames):
            following = frames[number + 1].first if number + 1 < len(frames) else len(self._words)
            if frame.kind == "holding" and frame.before == "somebody":
                following = len(self._words)
            parts = [at for at in self._parts(frame, following) if not self._is_done(at)]
            if not parts or self._is_denied(frame):
                continue
            for one in self._of_frame(frame, parts):
                self._done.add((last_name(one.fields.get("description", "")), one.kind))
                yield one

    def _of_frame(self, frame: Frame, parts: list[int]) -> Iterator[Statement]:
        who, stranger = self._who(frame)
        if who is None:
            return
        if stranger or frame.before == "somebody":
            yield from self._of_somebody(frame, parts, who, stranger=stranger)
            return
        target = self._target(parts[-1] + 1)
        kind, value = frame.kind, frame.value
        if frame.behind == "part to" and not target:
            return
        if kind == "holding" and target and self._words[frame.first][:2] == "<o":
            kind, value = "promise", "offered"
        if kind == "holding" and who and self._is_vehicle(who):
            return
        slots = {"giver" if kind == "promise" else "person": who}
        if kind == "promise":
            slots["taker"] = target or self._taker(frame)
            if target.startswith("<v"):
                slots["vehicle"] = target
        means = {"stage": value} if kind == "promise" else {}
        if "word" in self._words[frame.first : frame.last]:  # "Nell has my word for it"
            means["giver"], slots["taker"] = "me", slots.pop("giver")
        if kind == "holding":
            means = {"availability": value or self._offer(frame)}
        made = self._made(kind, means, frame, parts, slots)
        wish = value == "wish" or kind == "promise"
        yield from (replace(one, sure=True) if wish and self._only_modal() else one for one in made)

    def _offer(self, frame: Frame) -> str:
        mark = self._words[frame.first]
        mention = self._act.view.mention(mark) if mark[:2] == "<o" else None
        return mention.availability if isinstance(mention, DealMention) else ""

    def _only_modal(self) -> bool:
        """Tell whether only "may" and "would" made the sentence doubtful."""
        low = {word.low for word in self._act.view.sentence.words}
        return not low & {"think", "reckon", "perhaps", "maybe", "probably", "possibly", "believe",
                          "guess", "suppose", "seems", "apparently", "?"}  # fmt: skip

    def _made(self, kind: str, means: dict[str, str], frame: Frame, parts: list[int],
              slots: dict[str, str]) -> list[Statement]:  # fmt: skip
        """Return the statements of a verb's clause, made as those of a saying are."""
        things = "".join(self._thing(at) for at in parts)
        filled = {name: f"{mark} " for name, mark in slots.items() if mark}
        starts = dict.fromkeys(filled, self._starts[frame.first])
        first = self._starts[min(frame.first, parts[0])]
        last = max(frame.last, parts[-1] + 1)
        end = self._starts[last - 1] + len(self._words[last - 1]) + 1
        found = Found(
            Saying(f"{kind} by its verb", "{things} by the clause", kind, means, _SOURCE),
            first, end, {"things": things, **filled},
            {"things": self._starts[parts[0]], **starts},
        )  # fmt: skip
        return dealings_of(found, self._act, self._context)

    # who

    # which parts

    def _is_vehicle(self, mark: str) -> bool:
        """Tell whether "she" may be the vehicle, which has parts that are not loose."""
        mention = self._act.view.mention(mark)
        word = self._act.view.sentence.words[mention.start].low if mark else ""
        return word in {"she", "it"} and bool(self._context.vehicles)

    def _is_done(self, at: int) -> bool:
        """Tell whether it is said already who has, wants or is to have a part."""
        name = self._names(at)
        return any((name, kind) in self._done for kind in KINDS)

    # somebody by no name

    def _of_somebody(
        self, frame: Frame, parts: list[int], who: str, *, stranger: bool
    ) -> Iterator[Statement]:
        act, context = self._act, self._context
        named = [at for at in parts if self._words[at][:2] == "<p"]  # fmt: skip
        if not named or (not who and frame.kind != "lead"):
            return
        first = self._starts[max(self._clause_start(frame.first), 0)]
        end = self._starts[parts[-1]] + len(self._words[parts[-1]]) + 1
        found = Found(
            Saying("lead by its verb", "{things} by the clause", "lead", {}, _SOURCE),
            first, end, {"things": "".join(self._thing(at) for at in named)},
            {"things": self._starts[named[0]]},
        )  # fmt: skip
        near = around(act.view, end, context)
        told = Telling(found, act, context, near)
        sure = act.sure(found.start, found.end)
        if frame.kind == "lead":
            yield from self._heard(frame, told, who, stranger=stranger)
            return
        if frame.kind not in {"holding", "want"} or not stranger:
            return
        own = who.split(maxsplit=1)[0].lower() in {"my", "our"} and bool(
            set(who.lower().split()) & _KIN
        )  # fmt: skip
        before = self._words[self._clause_start(frame.first) : frame.first]
        reported = told.hearsay() or bool(set(before) & _REPORTS)
        if frame.kind == "holding" and (reported or not sure) and not own:
            by = self._named_before(0, frame.first) if reported and not told.hearsay() else ""
            by = told.name_text(by) if by else told.said_by()
            for item in told.items("things"):
                yield replace(lead(told, item, who), sure=sure, said_by=by)
        elif own or (frame.kind == "want" and set(who.lower().split()) & _KIN) or near.price:
            for item in told.items("things"):
                deal = next((one.availability for one in near.avail), "")
                deal = deal or ("offered" if near.price else "")
                fields = {"availability": deal, "place": near.place, "build": item.build}
                yield told.made(frame.kind, who, item.part,
                                fields if frame.kind == "holding" else {})  # fmt: skip

    def _heard(
        self, frame: Frame, told: Telling, who: str, *, stranger: bool
    ) -> Iterator[Statement]:
        """Yield what somebody hides, or only knows of or saw somewhere."""
        by = who if stranger else told.name_text(who)
        sure = told.act.sure(told.found.start, told.found.end)
        if not by or by == told.context.writer:
            return
        for item in told.items("things"):
            if frame.value == "tells":
                if told.place() or "of" in self._words[frame.first : frame.last]:
                    yield replace(lead(told, item, ""), sure=sure, said_by=told.said_by() or by)
            elif stranger:
                yield replace(lead(told, item, by), sure=sure)

    # how far a known promise is

    def known(self) -> Iterator[Statement]:
        """Yield how far promises are of which the note told before."""
        context = self._context
        givers = self._promised_here()
        heads = {at: name for at, word in enumerate(self._words) if word[:2] == "<p"
                 and ((name := self._names(at)) in context.promised or at in givers)
                 and (name, "promise") not in self._done}  # fmt: skip
        if not heads:
            return
        told: set[str] = set()
        for at, frame in self._stages(heads):
            if heads[at] in told or self._is_denied(frame):
                continue
            slots = {"giver": givers[at]} if at in givers else {}
            made = self._made("promise", {"stage": self._stage(frame)}, frame, [at], slots)
            told |= {heads[at]} if made else set()
            yield from made

    def _promised_here(self) -> dict[int, str]:
        """Return the parts that the sentence itself says somebody had promised, and whose."""
        return {
            self._starts.index(found.start()): found["giver"]
            for found in _PROMISED.finditer(self._act.view.text)
        }

    def _stage(self, frame: Frame) -> str:
        """Return the stage that a phrase tells; marks of a view tell it themselves."""
        mark = self._words[frame.first]
        mention = self._act.view.mention(mark) if mark[:2] == "<g" else None
        return mention.stage if isinstance(mention, DealMention) else frame.value

    def _stages(self, heads: dict[int, str]) -> list[tuple[int, Frame]]:
        """Return the phrases of stages with the promised part that each is said of, in order."""
        found: list[tuple[int, Frame]] = []
        for frame in known_frames_in(self._words):
            inside = [at for at in heads if frame.first <= at < frame.last]
            start = self._clause_start(frame.first)
            same = [at for at in heads if start <= at < self._clause_end(frame.last)]
            near = inside or same or (list(heads) if len(heads) == 1 else [])
            if near:
                found.append((min(near, key=lambda at: abs(at - frame.first)), frame))
        for match in _FITTED.finditer(self._act.view.text):
            at = self._starts.index(match.start())
            state = self._act.view.mentions[int(match[2])]
            on = isinstance(state, StateMention) and state.presence == "fitted" and (
                state.text.startswith(_ONTO) and not state.service)  # fmt: skip
            whose = at if at in heads else next(iter(heads)) if len(heads) == 1 else None
            if on and whose is not None:
                found.append((whose, Frame(at, at + 2, "promise", "fitted", "known", "part")))
        return sorted(found, key=lambda one: one[1].first)
