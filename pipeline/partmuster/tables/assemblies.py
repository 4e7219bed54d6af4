"""Section rows: the assembly, side or position they name."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache, lru_cache

from partmuster.reading.sides import read_side
from partmuster_trade.assemblies import load_assemblies
from partmuster_trade.headings import fold_heading

_NUMBERED_SECTION = re.compile(
    r"^(?:group|section|sect|chapter|part|sub-?group|fig(?:ure)?|assy|assembly|table)\b\.?\s*"
    r"(?:no\.?\s*)?(?P<number>[\dA-Z]{1,4}(?:\.\d+)*)?\s*(?:[-–:.)]+|\s|$)\s*",
    re.IGNORECASE,
)
_CONTINUED = re.compile(r"[\s(,\-–]*\b(?:contd?|continued|cont)\b\.?\)?\s*$", re.IGNORECASE)
_FILLER = frozenset(
    [
        "the",
        "and",
        "assembly",
        "assy",
        "group",
        "section",
        "parts",
        "items",
        "bits",
        "area",
        "compartment",
        "side",
        "hand",
        "other",
        "misc",
        "various",
        "sundries",
        "general",
        "details",
        "complete",
        "of",
        "for",
    ]
)


#: "Otter bits", "Odds and ends": a heap, not a part (common practice, no source).
_HEAP = re.compile(
    r"\b(?:bits|bits and pieces|parts|spares|items|stuff|things|oddments|odds and ends|sundries|"
    r"misc(?:ellaneous)?|other)\.?$",
    re.IGNORECASE,
)


@dataclass(frozen=True, slots=True)
class Section:
    """What a section row says of the rows below it.

    ``numbered`` tells "Group 3 - ..." and the like; ``heap`` "Otter bits"; ``named`` that the
    whole row is the name of an assembly, a side or a position, and nothing else.
    """

    words: str
    assembly: str | None = None
    side: str | None = None
    position: str | None = None
    numbered: bool = False
    heap: bool = False
    named: bool = False


@cache
def assembly_words() -> dict[str, str]:
    """Return every name of an assembly, folded, with its id; names shared by two are left out."""
    found: dict[str, set[str]] = {}
    for assembly in load_assemblies():
        names = [assembly.assembly_id, assembly.name, *assembly.names]
        for name in filter(None, (fold_heading(name) for name in names)):
            found.setdefault(name, set()).add(assembly.assembly_id)
    return {name: ids.pop() for name, ids in found.items() if len(ids) == 1}


def is_continued(text: str) -> bool:
    """Tell whether a section's words say that it goes on: "GROUP 3. STEERING (CONTD)"."""
    return _CONTINUED.search(text.strip()) is not None


def without_continued(text: str) -> str:
    """Return a section's words without "(CONTD)"."""
    return _CONTINUED.sub("", text.strip())


@lru_cache(maxsize=4096)
def read_section(text: str) -> Section:
    """Return what a section row's words name."""
    bare = _CONTINUED.sub("", text.strip()).rstrip(" :-–")
    found = _NUMBERED_SECTION.match(bare)
    numbered = found is not None and (found["number"] is not None or found.end() < len(bare))
    rest = bare[found.end() :] if found and numbered else bare
    heap = _HEAP.search(rest) is not None
    folded = fold_heading(rest)
    assembly, whole = _assembly(folded)
    if assembly is not None:
        return Section(text, assembly=assembly, numbered=numbered, heap=heap, named=whole)
    reading = read_side(rest)
    left = [word for word in fold_heading(reading.rest).split() if word not in _FILLER]
    side = reading.side if reading.side in {"left", "right", "near", "off"} else None
    if left or not (side or reading.positions):
        return Section(text, numbered=numbered, heap=heap)
    position = " ".join(reading.positions) or None
    return Section(text, side=side, position=position, numbered=numbered, named=True)


def _assembly(folded: str) -> tuple[str | None, bool]:
    """Return the assembly that words name, and whether they name nothing besides."""
    known = assembly_words()
    for form in (folded, folded.removesuffix("s"), f"{folded}s"):
        if form in known:
            return known[form], True
    padded = f" {folded} "
    inside = {name for name in known if f" {name} " in padded}
    longest = {name for name in inside if not any(name != o and name in o for o in inside)}
    if len({known[name] for name in longest}) != 1:
        return None, False
    left = padded
    for name in longest:
        left = left.replace(f" {name} ", "  ")
    return known[min(longest)], not [word for word in left.split() if word not in _FILLER]
