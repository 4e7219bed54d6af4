"""Which part an exactly said name means: region, assembly, position and size settle it or not."""

from __future__ import annotations

import re
from collections import defaultdict
from functools import lru_cache
from typing import TYPE_CHECKING, Final

from partmuster_trade import false_friend_readings

from .asides import marks_in, state_words
from .candidates import Item, Reading
from .sides_said import position_objection
from .tokens import POSITIONS, plain_words, segments, split_tokens

if TYPE_CHECKING:
    from .exact import Description, Hit
    from .index import Name, VocabularyIndex

_OTHER_REGION: Final = 0.05  # taken off for a word of another region
_OTHER_ASSEMBLY: Final = 0.05  # taken off where the line stands under another assembly
_JOINED: Final = re.compile(r"\s(?:&|\+|and|und|plus)\s")
_SETTLED: Final = 0.93  # a part chosen among namesakes by region or assembly


def readings_by_name(
    index: VocabularyIndex, item: Item, described: Description, region: str | None
) -> list[Reading]:
    """Return the parts whose names the description says; acceptable where only one is meant."""
    if len(described.hits) == 1 and len(described.hits[0].names) == 1:  # most that are said
        hit = described.hits[0]
        name = hit.names[0]
        foreign = region is not None and name.region not in {region, "any"}
        one = _one_meant(index, item, hit, name, foreign=foreign)
        return [_checked(index, one, hit, name, described, region)]
    said: list[tuple[Hit, Name]] = [(hit, name) for hit in described.hits for name in hit.names]
    if not said:
        return []
    chosen, foreign = _of_region(said, region)
    by_part: dict[str, tuple[Hit, Name]] = {}
    for hit, name in chosen:
        known = by_part.get(name.part_id)
        if known is None or hit.probability > known[0].probability:
            by_part[name.part_id] = (hit, name)
    abroad = {name.part_id: name for _, name in said if name.part_id not in by_part}
    if len(by_part) == 1:
        ((hit, name),) = by_part.values()
        one = _one_meant(index, item, hit, name, foreign=foreign)
        if abroad:
            one = _settled_by_region(index, item, one, name, abroad, region)
        one = _checked(index, one, hit, name, described, region)
        # A region that the line itself states is not doubted; the club's own is only likely.
        if item.region:
            return [one]
        return [one, *_abroad(index, said, abroad, described, region)]
    return _several(index, item, by_part, described, said, region)


def _of_region(
    said: list[tuple[Hit, Name]], region: str | None
) -> tuple[list[tuple[Hit, Name]], bool]:
    """Return the names that count in a region, and whether they are all another region's.

    A name listed for the region outranks one understood anywhere (the vocabulary's own rule).
    """
    if region is None:
        return said, False
    own = [pair for pair in said if pair[1].region == region]
    anywhere = [pair for pair in said if pair[1].region == "any"]
    return own or anywhere or said, not (own or anywhere)


def _one_meant(
    index: VocabularyIndex, item: Item, hit: Hit, name: Name, *, foreign: bool
) -> Reading:
    reasons = list(hit.reasons)
    probability = hit.probability
    if foreign:
        reasons.append(f"a word of the region {name.region}")
        probability -= _OTHER_REGION
    part = index.parts[name.part_id]
    if (
        item.side
        and part.assembly == "hardware"
        and part.handed != "handed"
        and len(name.words) == 1
    ):
        # A "bracket LH" is one of a pair made for a place, not a bracket off the shelf.
        return Reading(
            name.part_id, probability, "exact", tuple(reasons), acceptable=True
        ).objected("a side is said of what has none: another part may be meant")
    if item.assembly and item.assembly != part.assembly:
        reasons.append(f"stands under {item.assembly}, belongs to {part.assembly}")
        probability -= _OTHER_ASSEMBLY
    return Reading(name.part_id, probability, "exact", tuple(reasons), acceptable=True)


def _settled_by_region(
    index: VocabularyIndex, item: Item, one: Reading, name: Name, abroad: dict[str, Name],
    region: str | None,
) -> Reading:  # fmt: skip
    """Return a reading that the region chose, unless the assembly speaks for another region's."""
    own = index.parts[name.part_id]
    for part_id, other in sorted(abroad.items()):
        part = index.parts[part_id]
        if item.assembly and item.assembly == part.assembly != own.assembly:
            return one.objected(
                f"in {other.region} '{other.text}' is {part.name}, "
                f"and the line stands under {item.assembly}"
            )
    note = f"the region {region} settles '{name.text}'"
    return Reading(one.part_id, min(one.probability, _SETTLED + 0.02), one.method,
                   (*one.reasons, note), one.acceptable, one.objections)  # fmt: skip


def _abroad(
    index: VocabularyIndex, said: list[tuple[Hit, Name]], abroad: dict[str, Name],
    described: Description, region: str | None,
) -> list[Reading]:  # fmt: skip
    """Return what the words mean in other regions: a known number may still speak for it."""
    hits = {name.part_id: hit for hit, name in said}
    found = []
    for part_id, name in sorted(abroad.items()):
        reading = Reading(part_id, 0.35, "exact", hits[part_id].reasons, acceptable=True)
        hit = hits[part_id]
        reading = _checked(index, reading, hit, name, described, name.region)
        clear = not reading.objections
        reading = reading.objected(f"in {name.region} only, and the club's region is {region}")
        found.append(reading._replace(namesake=clear))
    return found


def _several(
    index: VocabularyIndex, item: Item, by_part: dict[str, tuple[Hit, Name]],
    described: Description, said: list[tuple[Hit, Name]], region: str | None,
) -> list[Reading]:  # fmt: skip
    """Return several parts that the same words name; the line's context may choose one."""
    support = {part_id: _support(index, item, part_id, described.stated) for part_id in by_part}
    best = max(support.values())
    fitting = sorted(part_id for part_id, value in support.items() if value == best)
    if best > 0 and len(fitting) == 1:
        hit, name = by_part[fitting[0]]
        where = _context(item, described)
        reasons = (*hit.reasons, f"'{name.text}' with {where}")
        one = Reading(fitting[0], min(hit.probability, _SETTLED), "exact", reasons, acceptable=True)
        others = [
            Reading(part_id, 0.35, "exact", by_part[part_id][0].reasons).objected(
                f"{where} speaks for {index.parts[fitting[0]].name}"
            )
            for part_id in sorted(by_part) if part_id != fitting[0]
        ]  # fmt: skip
        return [_checked(index, one, hit, name, described, region), *others]
    meanings = _meanings(index, by_part, said)
    share = max(0.3, min(0.6, 0.95 / len(by_part)))
    found = []
    for part_id, (hit, name) in sorted(by_part.items()):
        likely = share + 0.02 * (support[part_id] == best)
        reading = Reading(part_id, likely, "exact", hit.reasons, acceptable=True)
        reading = _checked(index, reading, hit, name, described, region)
        clear = not reading.objections
        found.append(reading.objected(meanings)._replace(namesake=clear))
    return found


def _support(index: VocabularyIndex, item: Item, part_id: str, stated: tuple[str, ...]) -> int:
    """Return how far assembly, the family's lists, supply class and position speak for a part."""
    part = index.parts[part_id]
    listed = {POSITIONS.get(word, word) for word in part.positions}
    return (
        5 * (bool(item.assembly) and item.assembly == part.assembly)
        + 3 * (part_id in item.family_parts)
        + 2 * (bool(item.supply_class) and item.supply_class == part.supply_class)
        + any(POSITIONS.get(word, word) in listed for word in stated)
    )


def _context(item: Item, described: Description) -> str:
    """Return the context of a line in words."""
    supply_class = f"class {item.supply_class}" if item.supply_class else None
    family = f"the lists of {item.family}" if item.family_parts else None
    told = (item.assembly, family, supply_class, *described.stated)
    return ", ".join(text for text in told if text)


def _meanings(
    index: VocabularyIndex, by_part: dict[str, tuple[Hit, Name]], said: list[tuple[Hit, Name]]
) -> str:
    """Return what the words may mean: "UK: soft top; US: bonnet"."""
    regions: dict[str, set[str]] = defaultdict(set)
    for _, name in said:
        if name.part_id in by_part:
            regions[name.part_id].add(name.region)
    told = sorted(
        f"{'/'.join(sorted(found)) if found != {'any'} else 'also'}: {index.parts[part_id].name}"
        for part_id, found in regions.items()
    )
    return "may mean " + ", ".join(told)


def _checked(
    index: VocabularyIndex,
    one: Reading,
    hit: Hit,
    name: Name,
    described: Description,
    region: str | None,
) -> Reading:
    """Return a reading with what positions, sizes and doubtful forms have against it."""
    return one.objected(
        hit.doubt,
        _no_part_objection(name.text, region),
        position_objection(index, name, described.stated) if described.stated else "",
        size_objection(index, name.part_id, described),
        mark_objection(index, name.part_id, described),
        _joined_objection(name, described.text),
        _remark_objection(name, described.text),
    )


@lru_cache(maxsize=20_000)
def _no_part_objection(name: str, region: str | None) -> str:
    """Return the reading of a false friend that is no part of the vocabulary, where it may hold."""
    for friend in false_friend_readings(name):
        if friend.part_id is None and (region is None or friend.region in {region, "any"}):
            return f"'{name}' may also mean {friend.note}"
    return ""


def size_objection(index: VocabularyIndex, part_id: str, described: Description) -> str:
    """Return why a stated size speaks against a part whose names say other sizes of that kind."""
    for kind, stated in described.asides.sizes:
        sized = [
            (size, name)
            for name in index.sized.get(part_id, ())
            for of_kind, size in name.sizes
            if of_kind == kind
        ]
        if sized and all(size != stated for size, _ in sized):
            return f"'{stated}' ({kind}) speaks against '{sized[0][1].text}'"
    return ""


def _joined_objection(name: Name, text: str) -> str:
    """Return why words on both sides of an "and" make no name that has none: "rockers + shaft"."""
    found = _JOINED.search(text)
    if found is None or _JOINED.search(name.text):
        return ""
    own = set(name.words)
    before, behind = (
        set(plain_words(split_tokens(piece)))
        for piece in (text[: found.start()], text[found.end() :])
    )
    if own <= before or own <= behind or not own & before or not own & behind:
        return ""
    return f"'{found.group().strip()}' may join two things"


def _remark_objection(name: Name, text: str) -> str:
    """Return why words behind a comma may be a remark: "tailboard, hinges gone".

    So it is where they tell a state and what the name calls the thing stands among them. Names
    that are turned round have that first ("bolt, track guard rusty").
    """
    if "," not in text:
        return ""
    own = set(name.words)
    first, *behind = [set(plain_words(piece)) for piece in segments(text)] or [set()]
    if name.head in first or own <= first:
        return ""
    for words in behind:
        if name.head in words and not own <= words and words & state_words():
            return f"'{name.head}' may be what is remarked on"
    return ""


@lru_cache(maxsize=8)
def _marks_of(index: VocabularyIndex) -> dict[str, frozenset[str]]:
    """Return the marks that the names of parts state, by part."""
    found: dict[str, frozenset[str]] = {}
    for name in index.names:
        if marks := marks_in(name.text):
            found[name.part_id] = found.get(name.part_id, frozenset()) | marks
    return found


def mark_objection(index: VocabularyIndex, part_id: str, described: Description) -> str:
    """Return why a stated mark speaks against a part whose names say other marks."""
    known = _marks_of(index).get(part_id)
    if known is None:
        return ""
    strange = marks_in(described.text) - known
    return (
        f"mark {min(strange)} is none of its marks ({', '.join(sorted(known))})" if strange else ""
    )
