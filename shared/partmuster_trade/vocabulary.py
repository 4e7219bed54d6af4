"""The trade vocabulary: what parts there are, what they are called, and where they belong."""

from __future__ import annotations

import functools
from typing import TYPE_CHECKING

from partmuster_trade.assemblies import load_assemblies
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


def _read_club_file(path: Path) -> tuple[list[PartRow], list[Problem]]:
    try:
        text = path.read_text(encoding="utf-8-sig")
    except UnicodeDecodeError:
        message = "is not UTF-8 text: save it again as CSV UTF-8"
        return [], [Problem(path.name, 0, "", "not-utf-8", message)]
    except OSError as error:
        message = f"cannot be opened: {error.strerror or error}"
        return [], [Problem(path.name, 0, "", "unreadable-file", message)]
    return read_rows(path.name, text)


def load_parts(*extra_csv: Path) -> tuple[Part, ...]:
    """Return the package's parts, with those and the names that club files add.

    A club file has the same columns (any may be left out but `part_id`). A row with a new id
    adds a part and needs name, assembly, handed and sort; a row with a known id adds names.
    Raises VocabularyError with every problem in every file.
    """
    return _bundled_parts() if not extra_csv else _parts(extra_csv)


@functools.cache
def _bundled_parts() -> tuple[Part, ...]:
    return _parts(())


def _parts(extra_csv: Sequence[Path]) -> tuple[Part, ...]:
    rows = list(_bundled_part_rows())
    problems: list[Problem] = []
    for path in extra_csv:
        found, faults = _read_club_file(path)
        rows += found
        problems += faults
    parts, first, faults = build_parts(rows)
    problems += faults
    problems += check_parts(parts, first, {a.assembly_id for a in load_assemblies()})
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
