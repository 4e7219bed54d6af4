"""The records of the vocabulary: a part, an assembly, and a name that people use."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

Handed = Literal["handed", "same", "reversible"]
Sort = Literal["part", "hardware", "consumable"]
Need = Literal["static-display", "runner"]
Position = Literal[
    "front", "rear", "upper", "lower", "inner", "outer", "centre", "top", "bottom"
]  # fmt: skip
Region = Literal["any", "UK", "US", "AU"]
Style = Literal["plain", "noun-first", "synonym", "period"]

HANDED: Final[tuple[Handed, ...]] = ("handed", "same", "reversible")
SORTS: Final[tuple[Sort, ...]] = ("part", "hardware", "consumable")
NEEDS: Final[tuple[Need, ...]] = ("static-display", "runner")
POSITIONS: Final[tuple[Position, ...]] = (
    "front", "rear", "upper", "lower", "inner", "outer", "centre", "top", "bottom",
)  # fmt: skip
REGIONS: Final[tuple[Region, ...]] = ("any", "UK", "US", "AU")


@dataclass(frozen=True, slots=True)
class Part:
    """One kind of part, under its permanent id.

    `handed`: left and right are different items, or the same item, or one that can be turned
    about. `positions`: the words by which two items of this part differ (not where it sits).
    `needed_for`: the aims that need it; a full original needs everything, so is not listed.
    `mated_with`: parts worked together with this one, only ever from one source.
    `companions`: parts that must come too, but may come from anywhere of the right build.
    `supply_class`: four digits, or empty. `unit`: a unit id. `caution`: caution ids.
    `identity_bearing`: it carries a vehicle's or assembly's identity.
    `source`: where the names come from; what is needed for what is common practice, no source.
    """

    part_id: str
    name: str
    noun_first: str
    assembly: str
    handed: Handed
    positions: tuple[Position, ...]
    unit: str
    supply_class: str
    needed_for: tuple[Need, ...]
    sort: Sort
    mated_with: tuple[str, ...]
    companions: tuple[str, ...]
    caution: tuple[str, ...]
    identity_bearing: bool
    names_any: tuple[str, ...]
    names_uk: tuple[str, ...]
    names_us: tuple[str, ...]
    names_au: tuple[str, ...]
    names_period: tuple[str, ...]
    replaced_by: str | None
    source: str

    def names(self) -> tuple[NameEntry, ...]:
        """Return every name of the part with the region it is used in and its style."""
        entries = [
            NameEntry(self.name, "any", self.part_id, "plain"),
            NameEntry(self.noun_first, "any", self.part_id, "noun-first"),
        ]
        regional: tuple[tuple[Region, tuple[str, ...]], ...] = (
            ("any", self.names_any),
            ("UK", self.names_uk),
            ("US", self.names_us),
            ("AU", self.names_au),
        )
        for region, names in regional:
            entries += [NameEntry(name, region, self.part_id, "synonym") for name in names]
        entries += [NameEntry(name, "any", self.part_id, "period") for name in self.names_period]
        return tuple(entries)


@dataclass(frozen=True, slots=True)
class NameEntry:
    """One name of one part; region `any` means that it is understood everywhere."""

    name: str
    region: Region
    part_id: str
    style: Style


@dataclass(frozen=True, slots=True)
class Assembly:
    """A major piece that can carry its own build standard, or a section of a parts list.

    `names`: other words for it in section rows and headings. `weight`: its share in
    completeness, about how much of a restoration it is (common practice, no source); shares
    are relative and need not add to 100. `area`: the parts file in which its parts stand.
    """

    assembly_id: str
    name: str
    names: tuple[str, ...]
    weight: float
    area: str
    source: str
