"""Names, numbers and other matchers weighed against each other, for one item key."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING, Final

from .candidates import MIXED, Item, Reading
from .decided import NO_PART
from .exact import Description, ExactReader
from .names import readings_by_name, size_objection
from .near import MOST_NEAR, UNKNOWN_BELOW, NearName, NearReader
from .numbers import KnownNumber, readings_by_number
from .tokens import POSITIONS, folded
from .trust import judged

if TYPE_CHECKING:
    from collections.abc import Sequence

    from partmuster_trade.part import Region

    from .decided import Decided
    from .index import VocabularyIndex
    from .trust import Standard

MOST_READINGS: Final = 3
_REMEMBERED: Final = 100_000
#: A text of more letters is a letter or a remark and names no part; each word of it costs.
_LONGEST: Final = 1000
_NAMES_NOTHING: Final[tuple[str, ...]] = ("names nothing in the vocabulary",)
_WORTH_SHOWING: Final = 0.05  # beside what leads
_LIKELY: Final = 0.5  # a near name from here on speaks against a number known for another part
_NAME_AND_NUMBER: Final = 0.995


class Weighing:
    """Weighs the item keys of one club; what was worked out for one key serves the next.

    ``known``: known numbers; ``region``: the club's, where a key states none.
    """

    def __init__(
        self,
        index: VocabularyIndex,
        known: dict[str, list[KnownNumber]],
        region: Region | None,
        families: Sequence[str],
        standard: Standard | None = None,
        *,
        exact_only: bool = False,
    ) -> None:
        self._index = index
        self._known = known
        self._region = region
        self._families = tuple(families)
        self._standard = standard
        self._exact_only = exact_only
        self._weighed: dict[tuple[object, ...], list[Reading]] = {}
        self._memories: dict[Region | None, _Memory] = {}

    def readings_of(self, items: Sequence[Item]) -> list[list[Reading]]:
        """Return what item keys may mean, before other matchers and people are heard.

        All are read first, so that those without an exact name are compared with names at once.
        """
        waiting: list[_Waiting] = []
        asked: dict[_Memory, list[Description]] = {}
        for item in items:
            region = None if item.region == MIXED else item.region or self._region
            numbered = item.number in self._known or item.casting in self._known
            same = None if numbered else (
                item.description, item.position, item.side is not None, item.region,
                item.assembly, item.supply_class, item.family_parts,
            )  # fmt: skip
            if same is not None and same in self._weighed:
                waiting.append(_Waiting(same, self._weighed[same]))
                continue
            memory = self._memory(region)
            described = memory.describe(item)
            by_name = readings_by_name(self._index, item, described, region)
            by_number = [
                reading.objected(*_words_against(self._index, reading, described))
                for reading in readings_by_number(self._index, item, self._known)
            ] if numbered else []  # fmt: skip
            if by_name:
                readings = _name_against_number(by_name, by_number)
            else:
                readings = by_number
                if not self._exact_only:
                    asked.setdefault(memory, []).append(described)
            one = _Waiting(same, readings, None if by_name else memory, described, item)
            if same is not None and (by_name or self._exact_only):
                self._remember(same, readings)
            waiting.append(one)
        for memory, described_here in asked.items():
            memory.learn_near(described_here)
        return [self._settled(one) for one in waiting]

    def _settled(self, one: _Waiting) -> list[Reading]:
        if one.memory is None or one.described is None:
            return one.readings
        near = [] if self._exact_only else one.memory.near(one.described)
        if near and not one.readings and one.item is not None:
            near, _ = judged(one.memory.reader, one.item, one.described, near, self._standard)
        found = _number_against_near(one.readings, near)
        if one.same is not None:
            self._remember(one.same, found)
        return found

    def _remember(self, same: tuple[object, ...], readings: list[Reading]) -> None:
        if len(self._weighed) >= _REMEMBERED:
            self._weighed.clear()
        self._weighed[same] = readings

    def _memory(self, region: Region | None) -> _Memory:
        memory = self._memories.get(region)
        if memory is None:
            memory = self._memories[region] = _memory_of(self._index, region, self._families)
        return memory


@dataclass(slots=True)
class _Waiting:
    """A key being weighed: what is known of it, and where its near names are kept."""

    same: tuple[object, ...] | None
    readings: list[Reading]
    memory: _Memory | None = None
    described: Description | None = None
    item: Item | None = None


class _Memory:
    """What was read from descriptions; kept between the passes of an import, which see them twice.

    Bounded, so that a list of millions does not fill memory.
    """

    def __init__(self, reader: ExactReader) -> None:
        self.reader = reader
        self._near_reader: NearReader | None = None
        self._described: dict[tuple[object, ...], Description] = {}
        self._near: dict[tuple[object, ...], list[Reading]] = {}

    def describe(self, item: Item) -> Description:
        """Return what the item's description says."""
        text, positions = folded(item.description), tuple((item.position or "").split())
        asked = (text, positions, item.side is not None)
        described = self._described.get(asked)
        if described is None:
            if len(self._described) >= _REMEMBERED:
                self._described.clear()
            described = (
                Description(text) if len(text) > _LONGEST
                else self.reader.read(text, positions, sided=item.side is not None)
            )  # fmt: skip
            self._described[asked] = described
        return described

    def learn_near(self, described: Sequence[Description]) -> None:
        """Work out what descriptions come near to, all at once, but those that are known."""
        if len(self._near) + len(described) > _REMEMBERED:
            self._near.clear()
        fresh = {_asked(one): one for one in described}
        for asked in fresh.keys() & self._near.keys():
            del fresh[asked]
        if self._near_reader is None:
            self._near_reader = NearReader(self.reader)
        found = self._near_reader.near(list(fresh.values()), MOST_NEAR)
        for (asked, one), near in zip(fresh.items(), found, strict=True):
            self._near[asked] = near_readings(self.reader.index, one, near)

    def near(self, described: Description) -> list[Reading]:
        """Return the parts whose names are like a description that is no name."""
        return self._near[_asked(described)]


def _asked(described: Description) -> tuple[object, ...]:
    return described.text, described.rest, described.stated


@lru_cache(maxsize=8)
def _memory_of(index: VocabularyIndex, region: Region | None, families: tuple[str, ...]) -> _Memory:
    return _Memory(ExactReader(index, region, families))


def _name_against_number(by_name: list[Reading], by_number: list[Reading]) -> list[Reading]:
    """Weigh exactly said names against known numbers; where they disagree, neither is accepted."""
    part_numbers = [reading for reading in by_number if reading.acceptable]
    if not part_numbers:
        return [*by_name, *by_number]
    numbered = {reading.part_id: reading for reading in part_numbers}
    named = {reading.part_id for reading in by_name}
    if not named & numbered.keys():
        wrong_maker = all(reading.probability <= UNKNOWN_BELOW for reading in part_numbers)
        if wrong_maker:
            return [*by_name, *part_numbers]
        disagree = "name and number disagree"
        return [
            *(reading.objected(disagree) for reading in by_name),
            *(reading.objected(disagree) for reading in part_numbers),
        ]
    found: list[Reading] = []
    for reading in by_name:
        same = numbered.get(reading.part_id)
        if same is None:
            found.append(reading)
        elif same.contradicts:
            found.append(reading.objected(*same.objections))
        elif reading.accepted:
            found.append(
                Reading(reading.part_id, _NAME_AND_NUMBER, "exact",
                        (*reading.reasons, *same.reasons), acceptable=True)
            )  # fmt: skip
        elif same.accepted and reading.namesake:
            # The words name several parts; the number says which.
            found.append(
                Reading(reading.part_id, same.probability, "number",
                        (*reading.reasons, *same.reasons), acceptable=True)
            )  # fmt: skip
        else:
            found.append(reading)
    if any(reading.accepted and reading.method == "number" for reading in found):
        return [
            reading.objected("its number says otherwise") if reading.method == "exact" else reading
            for reading in found
        ]
    return found


def _words_against(
    index: VocabularyIndex, reading: Reading, described: Description
) -> tuple[str, ...]:
    """Return why positions or sizes in the words speak against a part known by number."""
    part_id = reading.part_id or ""
    listed = {POSITIONS.get(word, word) for word in index.parts[part_id].positions}
    strange = [word for word in described.stated if POSITIONS.get(word, word) not in listed]
    position = f"'{strange[0]}' is none of its positions" if listed and strange else ""
    unread = "the words beside it are too long to be read" if len(described.text) > _LONGEST else ""
    return position, size_objection(index, part_id, described), unread


def _number_against_near(by_number: list[Reading], near: list[Reading]) -> list[Reading]:
    """Weigh known numbers against near names: a likely other name keeps a number waiting."""
    if not by_number:
        return near
    likely = [reading for reading in near if reading.probability >= _LIKELY]
    parts = {reading.part_id for reading in by_number}
    against = next((reading for reading in likely if reading.part_id not in parts), None)
    if against is not None and not any(reading.part_id in parts for reading in likely):
        by_number = [
            reading.objected("the words come near to another part") if reading.acceptable
            else reading for reading in by_number
        ]  # fmt: skip
    merged = {reading.part_id: reading for reading in near}
    for reading in by_number:
        known = merged.get(reading.part_id)
        if known is None:
            merged[reading.part_id] = reading
        else:
            probability = max(reading.probability, known.probability)
            told = known.reasons or (known.near.reasons if known.near else ())
            merged[reading.part_id] = Reading(
                reading.part_id, probability, "number", (*reading.reasons, *told),
                reading.acceptable, (*reading.objections, *known.objections), reading.contradicts,
            )  # fmt: skip
    return list(merged.values())


def near_readings(
    index: VocabularyIndex, described: Description, near: Sequence[NearName]
) -> list[Reading]:
    """Return the near names of a description as readings that wait for a person."""
    found = []
    sizes = described.asides.sizes
    for one in near:
        reading = Reading(one.part_id, one.probability, "fuzzy", (), near=one)
        if one.objection or sizes:
            of_size = size_objection(index, one.part_id, described)
            reading = reading.objected(one.objection, of_size)
        found.append(reading)
    return found


def ranked(readings: Sequence[Reading], decided: Decided | None, parts: set[str]) -> list[Reading]:
    """Return at most three readings in order, a person's decision ruling over all.

    At most one is accepted. Nothing of 0.3 or more: one row that names nothing known.
    """
    known = [reading for reading in readings if reading.part_id in parts]
    if decided is not None and not decided.contradictory:
        ((answer, people),) = decided.answers.items()
        target = None if answer == NO_PART else answer
        by_whom = (f"decided by {', '.join(people)}",)
        if target is None or target in parts:
            one = Reading(target, 1.0, "decision", by_whom, acceptable=True)
            others = [
                reading.objected("decided otherwise") for reading in known
                if reading.part_id != target
            ]  # fmt: skip
            return [one, *_in_order(others)[: MOST_READINGS - 1]]
        known = [reading.objected(f"'{answer}' was decided, which is no part") for reading in known]
    elif decided is not None:
        known = [reading.objected(f"decided two ways: {decided.words()}") for reading in known]
    known = _in_order(known)
    if sum(reading.accepted for reading in known) > 1:
        known = [reading.objected("more than one part is meant") for reading in known]
        known = _in_order(known)
    if not known or known[0].probability < UNKNOWN_BELOW:
        sure = 1.0 - (known[0].probability if known else 0.0)
        reasons = _NAMES_NOTHING
        if decided is not None and decided.contradictory:
            reasons += (f"not accepted: decided two ways: {decided.words()}",)
        return [Reading(None, sure, "fuzzy", reasons)]
    return [known[0], *(one for one in known[1:MOST_READINGS] if one.probability >= _WORTH_SHOWING)]


def _in_order(readings: list[Reading]) -> list[Reading]:
    if len(readings) < 2:  # noqa: PLR2004 - most keys have one reading
        return readings
    return sorted(
        readings,
        key=lambda reading: (
            not reading.accepted, -round(reading.probability, 4), reading.part_id or "",
        ),
    )  # fmt: skip
