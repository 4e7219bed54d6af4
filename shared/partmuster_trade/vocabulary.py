"""The trade vocabulary: what parts there are, what they are called, and where they belong."""

from __future__ import annotations

import functools
from typing import TYPE_CHECKING

from partmuster_trade.assemblies import load_assemblies
from partmuster_trade.club_files import name_parts, read_club_file
from partmuster_trade.part_checks import check_parts
from partmuster_trade.part_files import PartRow, build_parts, read_rows
from partmuster_trade.problems import Problem, VocabularyError
from partmuster_trade.tables import (
    bundled_part_files,
    bundled_text,
    name_key,
)

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from pathlib import Path

    from partmuster_trade.part import Assembly, NameEntry, Part, Region


class Vocabulary:
    """Parts, their names and their assemblies, to be asked by id or by name."""

    def __init__(self, parts: Iterable[Part], assemblies: Iterable[Assembly]) -> None:
        self._parts = {part.part_id: part for part in parts}
        self._assemblies = {assembly.assembly_id: assembly for assembly in assemblies}
        self._names = tuple(name for part in self._parts.values() for name in part.names())
        self._by_name: dict[str, list[NameEntry]] = {}
        for entry in self._names:
            self._by_name.setdefault(name_key(entry.name), []).append(entry)

    @property
    def parts(self) -> tuple[Part, ...]:
        """All parts."""
        return tuple(self._parts.values())

    def __contains__(self, part_id: object) -> bool:
        return part_id in self._parts

    def by_id(self, part_id: str) -> Part:
        """Return the part of an id; raises KeyError if there is none."""
        return self._parts[part_id]

    def in_force(self, part_id: str) -> Part:
        """Return the part that stands for an id now, following `replaced_by` to its end."""
        part = self._parts[part_id]
        while part.replaced_by is not None:
            part = self._parts[part.replaced_by]
        return part

    def names(self) -> tuple[NameEntry, ...]:
        """Return every name of every part, with region and style."""
        return self._names

    def named(self, name: str, region: Region | None = None) -> tuple[Part, ...]:
        """Return the parts that a name means; several if the region does not settle it.

        With a region, a name listed for that very region outranks one understood anywhere.
        """
        entries = self._by_name.get(name_key(name), [])
        if region is not None:
            own = [entry for entry in entries if entry.region == region]
            entries = own or [entry for entry in entries if entry.region == "any"]
        return tuple(self._parts[i] for i in dict.fromkeys(entry.part_id for entry in entries))

    def assemblies(self) -> tuple[Assembly, ...]:
        """Return the assemblies."""
        return tuple(self._assemblies.values())

    def assembly(self, assembly_id: str) -> Assembly:
        """Return the assembly of an id; raises KeyError if there is none."""
        return self._assemblies[assembly_id]


@functools.cache
def _bundled_part_rows() -> tuple[PartRow, ...]:
    rows: list[PartRow] = []
    for name in bundled_part_files():
        found, problems = read_rows(name, bundled_text(name))
        if problems:
            raise VocabularyError(problems)
        rows += found
    return tuple(rows)


def load_parts(*club_files: Path) -> tuple[Part, ...]:
    """Return the package's parts, with those and the names that club files add.

    A club file is CSV or a workbook (its first sheet counts) with a column for the part, by id or
    by any of its names, and any other columns of a part. A row about a known part adds names; one
    about a new part needs its name, assembly and whether it is handed.
    Raises VocabularyError with every problem in every file.
    """
    return _parts(club_files) if club_files else _bundled_parts()


@functools.cache
def _bundled_parts() -> tuple[Part, ...]:
    return _parts(())


def _parts(club_files: Sequence[Path]) -> tuple[Part, ...]:
    rows = list(_bundled_part_rows())
    problems: list[Problem] = []
    if club_files:
        theirs: list[PartRow] = []
        for path in club_files:
            found, faults = read_club_file(path)
            theirs += found
            problems += faults
        found, faults = name_parts(theirs, _bundled_vocabulary().names())
        rows += found
        problems += faults
    parts, given, faults = build_parts(rows)
    problems += faults
    problems += check_parts(parts, given, {a.assembly_id for a in load_assemblies()})
    if problems:
        raise VocabularyError(problems)
    return tuple(parts.values())


@functools.cache
def _bundled_vocabulary() -> Vocabulary:
    return Vocabulary(load_parts(), load_assemblies())


def load_vocabulary(club_files: Sequence[Path] = ()) -> Vocabulary:
    """Return the vocabulary, with what club files add; raises VocabularyError as `load_parts`."""
    if not club_files:
        return _bundled_vocabulary()
    return Vocabulary(load_parts(*club_files), load_assemblies())
