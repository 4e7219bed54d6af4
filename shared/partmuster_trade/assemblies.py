"""Assemblies: what can carry its own build standard, or be a section of a parts list."""

from __future__ import annotations

import functools

from partmuster_trade.part import Assembly
from partmuster_trade.tables import bundled_rows, name_key, split_list


@functools.cache
def load_assemblies() -> tuple[Assembly, ...]:
    """Return the assemblies, in the order in which a parts list usually has them."""
    return tuple(
        Assembly(
            row["assembly_id"],
            row["name"],
            split_list(row["names"]),
            float(row["weight"]),
            row["area"],
            row["source"],
        )
        for row in bundled_rows("assemblies.csv")
    )


@functools.cache
def whole_parts() -> dict[str, str]:
    """Return for each assembly that has one the part that is the whole of it ("engine")."""
    return {row["assembly"]: row["part_id"] for row in bundled_rows("whole_assemblies.csv")}


@functools.cache
def _by_name() -> dict[str, str]:
    return {
        name_key(name): assembly.assembly_id
        for assembly in load_assemblies()
        for name in (assembly.assembly_id, assembly.name, *assembly.names)
    }


def assembly_id(words: str) -> str | None:
    """Return the assembly that a heading or section row names ("Engine bay": engine), or None."""
    return _by_name().get(name_key(words))
