"""What the words behind a saying add: for which vehicle, where, for how much, in what state."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from .amounts import number_of
from .dealing_slots import PRICE
from .deals import DealMention
from .expressions import expression
from .names import NameMention
from .roles import words_of
from .states import StateMention

if TYPE_CHECKING:
    from collections.abc import Mapping

    from .context import Context
    from .parts import PartMention
    from .view import View

_NEXT_PART = expression(r" (?:spare )?<p\d+>")
_CLAUSE_END = expression(
    r" (?:;|but|though|although|because|so|which|who|when|until|till) | <[agox]\d+> "
)
_VEHICLE = expression(r" (?:for|on|onto|to suit) (?:the |old )?<([vn])(\d+)> ")
_OURS = expression(r" for (?:her|him|mine|ours|the old girl|the old lady|<k\d+>|this one) ")
_BUILD = expression(
    r"^ (?:, |\( )?(?:for |off |from )?(?:an? |the )?<b(\d+)> "
    r"| (?:for|off|from) (?:an?|any) <[nv](\d+)> "
)
_FAMILY = expression(r"^ , <n(\d+)> (?:<b\d+> )?(?:,|$)")
PRICE_WITHIN = expression(rf" (?P<price>{PRICE})")
_PRICE_AT = expression(rf" (?:for |at |, |- )?(?P<price>{PRICE})")
_WHERE = (
    r"in|at|on|under|underneath|behind|up|down|near|by|inside|beside|over|above|below|round|beneath|"
    r"against|outside|among|amongst|past|opposite"
)
#: These tell a place only before a word that points to one.
_BEFORE_A_PLACE = (
    r"(?:(?<= up )|(?<= down )|(?<= by )|(?<= round )|(?<= over )|(?<= past ))"
    r"(?!the |a |an |at |in |on |near |my |his |her |our |their |<n)"
)
#: Behind "in" or "at" these tell no place.
_NO_PLACE = (
    r"(?:(?:the )?(?:way|end|moment|meantime|meanwhile|other hand|time|same|morning|evening|"
    r"sixties|seventies|eighties|nineties|summer|winter|spring|autumn) |(?:all|fact|last|least|"
    r"once|first|present|hand|use|any|exchange|return|order|general|good|working|one|bits|pieces|"
    r"it|him|her|them|me|us|early|mid|late) |\d|(?:january|february|march|april|may|june|july|"
    r"august|september|october|november|december) |(?:mon|tues|wednes|thurs|fri|satur|sun)day )"
)
_PLACE = expression(
    rf" (?P<how>{_WHERE}) "
    rf"(?P<where>(?!<[vih]|{_BEFORE_A_PLACE})"
    rf"(?!{_NO_PLACE})"
    r"(?:(?!for |and |but |which |who |that |if |from )[^\s,;:]+ )+)"
)
_OWNED = expression(rf" (?:{_WHERE}) <([hn])(\d+)> 's ")
_HERE = expression(r"^ (?:here|over|left over|to hand) ")
_MODALS = frozenset({"can", "could", "may", "might", "will", "would", "to", "not"})
_OUT_OF = expression(r"^ (?:from|out of|off) (?:his|her|their|my|our|<[hni]\d+> 's) ")
_GIVEN = expression(
    r" (?P<who><[hni]\d+>|you|anyone) "
    r"(?:can|could|may|might|is welcome to|are welcome to|is to|is having|wants|has) "
    r"(?:have )?(?:<k\d+>|that|this|one) "
    r"| (?P<may><[hni]\d+>|you) (?:can|could|may|might) <g\d+> "
    r"| <r\d+> (?:for |to |by )?(?P<bound><[hn]\d+>) "
    r"| (?:is |are )?(?P<whose>yours|his|hers) (?:for|if|,|$)"
)
_WANTED = expression(r" (?:for|against)? ?((?:(?:an?|the|two|some) )?<[pk](\d+)> (?:or )?)")


@dataclass(frozen=True, slots=True)
class Around:
    """What stands behind a saying, as far as the next part that is named.

    ``either``: the vehicle may be a build. ``end``: where its clause ends; ``reach``: where the
    next part is named. ``shares``: of several, what is done with how many of them.
    ``taker``: mark or word of whom they are then given to. ``out_of``, ``stored``: they come out of
    somebody's store, or lie in one. ``at_work``: somebody is at work on them. ``gone``, ``fitted``:
    they are said to be gone, so that nobody has them, or to be on a vehicle.
    """

    end: int
    reach: int = 0
    vehicle: str = ""
    either: bool = False
    build: str = ""
    place: str = ""
    person: str = ""
    price: str = ""
    state: Mapping[str, str] = field(default_factory=dict)
    avail: tuple[DealMention, ...] = ()
    shares: tuple[tuple[str, str], ...] = ()
    wanted: tuple[PartMention, ...] = ()
    stage: str = ""
    taker: str = ""
    out_of: bool = False
    stored: bool = False
    here: bool = False
    at_work: bool = False
    gone: bool = False
    fitted: bool = False


def around(view: View, end: int, context: Context) -> Around:
    """Return what the words behind the place ``end`` of a view's text add."""
    text = view.text
    reach = text[end - 1 : _next_part(view, end)]
    deals = [one for one in map(view.mention, re.findall(r"<[agr]\d+>", reach))
             if isinstance(one, DealMention)]  # fmt: skip
    avail = tuple(one for one in deals if one.availability)
    state, stored, kept_by, gone, fitted = _state(view, reach)
    given = _GIVEN.search(reach)
    place, person = _place(view, end, reach)
    vehicle, either, build = _what_for(view, reach, context)
    price = _PRICE_AT.search(reach)
    offset = end - 1
    clause = _CLAUSE_END.search(text, end - 1)
    wanted = _WANTED.match(text, text.find(">", text.find("<a", end)) + 1) if avail else None
    return Around(
        end=clause.start() + 1 if clause else len(text), vehicle=vehicle, either=either,
        build=build,
        place=place or stored, person=person or kept_by, reach=end - 1 + len(reach),
        price=view.words_of(offset + price.start("price"), offset + price.end()).strip(" ,.")
        if price else "",
        state=state, avail=avail, shares=_shares(view, reach),
        wanted=tuple(view.parts(wanted[1])) if wanted else (),
        stage=_stage(view, reach) or ("agreed" if given and given["bound"] else ""),
        taker=next(filter(None, given.groups()), "") if given else "",
        stored=bool(stored or person or in_store(place)),
        out_of=bool(_OUT_OF.match(reach)),
        at_work=_at_work(view, reach), here=bool(_HERE.match(reach)), gone=gone, fitted=fitted,
    )  # fmt: skip


def _next_part(view: View, end: int) -> int:
    """Return where the next part is named in a view's text; a shelf or a bench is none here."""
    for found in _NEXT_PART.finditer(view.text, end - 1):
        name = view.parts(found[0])[0].name
        if name.rsplit(" ", 1)[-1].lower() not in words_of("store"):
            return found.start() + 1
    return len(view.text)


def _stage(view: View, reach: str) -> str:
    """Return how far a promise is said to be behind it; "can come for it" is no further."""
    for match in re.finditer(r"(\S*) <g\d+>", reach):
        deal = view.mention(match[0].split()[-1])
        if isinstance(deal, DealMention) and match[1] not in _MODALS:
            return deal.stage
    return ""


_DOING = expression(
    r"^ (?!going |lying |sitting |looking |doing |waiting |needing |spared? )[a-z]+(?:ing|ed) "
)


def _at_work(view: View, reach: str) -> bool:
    """Whether what stands right behind a part tells of its state on a vehicle: "has it in bits"."""
    state = re.match(r" <s\d+>", reach)
    mention = view.mention(state[0]) if state else None
    on_it = (
        isinstance(mention, StateMention)
        and mention.presence not in {"off-and-kept", ""}
        and not mention.text.startswith("here")
    )
    return on_it or bool(_DOING.match(reach))


#: Between a part and a word of state that is said of it.
_CLOSE = expression(r" (?:(?:,|and|is|are|but|still|now|-|<s\d+>|<b\d+>|<n\d+>) )*$")


def in_store(place: str) -> bool:
    """Tell whether the words of a place are of one where parts are kept."""
    return any(word.strip(",.").lower() in words_of("store") for word in place.split())


def _state(view: View, reach: str) -> tuple[dict[str, str], str, str, bool, bool]:
    """Return what words of state say: fields, where it lies and at whose, if it is gone or on."""
    fields: dict[str, str] = {}
    stored = person = ""
    gone = fitted = False
    for mark in re.findall(r"<s\d+>", reach):
        state = view.mention(mark)
        if not isinstance(state, StateMention):
            continue
        if state.presence == "missing":
            gone = True
        elif state.presence == "off-and-kept" and f"{mark} of " not in reach:
            words = [word.text for word in view.sentence.words[state.start : state.end]]
            stored = where_of(" ".join(words).replace(" 's", "'s"))
            owned = words.index("'s") if "'s" in words else 0
            person = words[owned - 1] if owned and words[owned - 1][:1].isupper() else ""
        elif state.service and _CLOSE.match(reach[: reach.find(mark)]):
            fields["condition"] = state.text
        elif state.text.startswith(("on", "fitted", "bolted", "in ")):
            fitted = True
    return fields, stored, person, gone, fitted


def where_of(words: str) -> str:
    """Return a place in words, "in", "at" and "on" left out: a place's name is looked for.

    Words that break off before a part tell of a place on a vehicle.
    """
    if re.search(r" (?:of|in|on|to|by|near|under|behind|the|its|her)$", words):
        return ""
    return re.sub(
        r"^(?:(?:lying|rusting|sat|standing|hid|hidden|buried|parked|left|up|out|over|down) )*"
        r"(?:(?:in|at|on) )?(?:the )?(?=\S)",
        "",
        words,
    )


def _place(view: View, end: int, reach: str) -> tuple[str, str]:
    """Return where it is said to be, and whose that is."""
    owned = _OWNED.search(reach)
    person = ""
    if owned:
        name = view.mention(f"<{owned[1]}{owned[2]}>")
        person = name.text if isinstance(name, NameMention) and not name.pronoun else ""
    for found in _PLACE.finditer(view.text, end - 1):
        if found.start() > end - 1 + len(reach):
            break
        where = found["where"].split()
        head = view.words_of(found.start("where"), found.end("where")).split()
        if not head or (where[0].startswith("<") and not where[0].startswith(("<p", "<h", "<n"))):
            continue
        if where[0].startswith("<p") and head[-1].lower() not in words_of("store"):
            continue
        if any(not in_store(part.name) for part in view.parts(found["where"])):
            continue  # "in the corner of the engine deck"
        words = view.words_of(found.start() + 1, found.end()).strip(" ,.")
        return where_of(words), person
    return "", person


def _what_for(view: View, reach: str, context: Context) -> tuple[str, bool, str]:
    """Return the vehicle that parts are for, whether it may be a build, and the build."""
    vehicle = build = ""
    either = False
    found = _VEHICLE.search(reach)
    if found:
        name = view.mention(f"<{found[1]}{found[2]}>")
        vehicle = name.text if isinstance(name, NameMention) else ""
        either = found[1] == "n"
    elif _OURS.search(reach):
        vehicle = next(iter(context.vehicles), "")
    for_build = _BUILD.search(reach) or _FAMILY.search(reach)
    if for_build:
        number = next(one for one in for_build.groups() if one)
        build = view.build_at(int(number))
    return vehicle, either, build


#: Behind the number of a share: "one of them is", "two going to", "two for".
_OF_SHARES = frozenset({"of", "is", "are", "for", "going", "staying", "to", "", "i", "he", "she"})


def _shares(view: View, reach: str) -> tuple[tuple[str, str], ...]:
    """Return what is done with how many: ("offered", "1"), ("kept", "")."""
    found: list[tuple[str, str]] = []
    start = 0
    for match in re.finditer(r"<[ar]\d+>", reach):
        deal = view.mention(match[0])
        said = reach[start : match.start()].split()
        count = next((number_of(word) for word, then in zip(said, [*said[1:], ""], strict=False)
                      if number_of(word) and then in _OF_SHARES), "")  # fmt: skip
        if not count and "other" in said:
            count = "1"
        if isinstance(deal, DealMention):
            found.append((deal.availability, count))
        start = match.end()
    if len(found) == 1 and found[0][1] and found[0][1] != "1":
        return tuple(found)
    return tuple(found) if len(found) > 1 else tuple((one, "") for one, _ in found)
