"""Reading hybrids from the works told in sentences, with the serials that they were built under.

"Otters 1201 to 1260 left the works with the Mk 2 superstructure on Mk 1 hulls". A sentence is read
whole or not at all.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

from partmuster_trade.assemblies import assembly_id

from .builds import read_effectivity
from .hybrids import AssemblyBuild, read_assembly_build, read_hybrid
from .phrases import is_hedged, phrase_tokens
from .text import fold

_WORKS = r"(?:the )?(?:works|factory)"
_AT_WORKS = re.compile(rf",? ?\b(?:at|in|by|from) {_WORKS}\b,?")
_LEFT = (
    rf"(?:left|came out of|came from|came out from|went out of|went out from|emerged from) {_WORKS}"
    r"(?: (?:built|fitted|paired|mated|finished|completed))?"
)
_JOINED = (
    r"(?:built|fitted|mounted|put|set|joined|mated|paired|married|finished|completed|assembled|"
    r"combined)"
)
_WAS = r"(?:(?:was|were|is|are|been|had|have|has|often|sometimes|also|always) )*"
_TO = r"(?:with|on|onto|on to|to|over|under)"
_SUBJECT_FIRST = re.compile(
    rf"(?P<subject>.+?) {_WAS}(?:(?P<left>{_LEFT})|{_JOINED}) (?P<by>{_TO}) (?P<rest>.+)"
)
_BY_WORKS = re.compile(
    rf"(?:(?P<subject>.*?\d.*?),? )?{_WORKS} (?:put|fitted|mounted|joined|set|mated|married|paired|"
    r"built|combined) (?P<rest>.+)"
)
_RUN = re.compile(
    r"(?:\bfrom )?(?:\b(?:nos?\.?|numbers?|serials?) ?)?\b[a-z]{0,2}\d{3,9}"
    r"(?: ?(?:-|/|to|thru|through|up to) ?[a-z]{0,2}\d{1,9}"
    r"| ?\+| (?:and |& )?(?:on|onwards?|up|upwards|later)\b)?(?: incl(?:usive|\.)?)?"
)
_VEHICLES = re.compile(r"(?:the )?(?:(?P<name>[a-z]{3,}) ?)?(?P<series>[a-z]{3,})?(?: nos?\.?)?")
_NOBODY = frozenset({"vehicle", "number", "serial", "no", "those", "machine", "all"})
_DENIED = re.compile(r"\b(?:no|not|never|except|excluding|but|or|without|none|nor)\b|\?")
_MAIN = ("hull", "chassis", "body", "frame")


@dataclass(frozen=True, slots=True)
class WorksHybrid:
    """Two assemblies that left the works together; ``serials``: first and last of ``series``."""

    one: AssemblyBuild
    other: AssemblyBuild
    family: str | None = None
    series: str | None = None
    serials: tuple[int | None, int | None] | None = None


def says_works(text: str) -> bool:
    """Tell whether words speak of the works, and so may tell of a hybrid from there."""
    return re.search(r"\b(?:works|factory)\b", fold(text)) is not None


@lru_cache(maxsize=20_000)
def read_works_hybrid(text: str) -> WorksHybrid | None:
    """Return the hybrid that a sentence tells of, or None where a piece is not understood."""
    folded = fold(text).strip(" .")
    if not says_works(folded) or _DENIED.search(folded) or is_hedged(phrase_tokens(folded)):
        return None
    if (plain := read_hybrid(text)) is not None and not _RUN.search(folded):
        return WorksHybrid(*plain) if plain[0].assembly != plain[1].assembly else None
    if match := _BY_WORKS.fullmatch(folded):
        return _of(match["subject"], match["rest"])
    bare = " ".join(_AT_WORKS.sub(" ", _kept(folded)).split())
    match = _SUBJECT_FIRST.fullmatch(bare)
    if match is None or not (match["left"] or bare != folded):
        return None
    one = _with_serials(match["subject"])
    if one is not None:
        return _joined(one, _with_serials(match["rest"]))
    return _of(match["subject"], match["rest"]) if match["by"] == "with" else None


def _kept(folded: str) -> str:
    """Return the words, "came from the works" as "left the works": it is no place there."""
    return re.sub(rf"\bcame (?:out )?from {_WORKS}\b", "left the works", folded)


def _of(vehicles: str | None, pair: str) -> WorksHybrid | None:
    """Return "the Mk 2 superstructure on Mk 1 hulls" of some vehicles, by their serials."""
    halves = re.split(r" (?:on|onto|on to|over|under|and|with|to) ", pair)
    if len(halves) != 2:  # noqa: PLR2004 - one and the other
        return None
    found = _joined(*(_with_serials(half) for half in halves))
    if found is None or vehicles is None:
        return found
    run = _RUN.search(vehicles)
    serials = _serials(run[0]) if run else None
    if run is None or serials is None or found.serials is not None:
        return None
    named = _VEHICLES.fullmatch(
        " ".join(f"{vehicles[: run.start()]} {vehicles[run.end() :]}".split())
    )
    if named is None:
        return None
    words = [word.removesuffix("s") for word in (named["name"], named["series"]) if word]
    told = [assembly for word in words if (assembly := assembly_id(word))]
    families = [word for word in words if not assembly_id(word) and word not in _NOBODY]
    main = [a for a in (found.one.assembly, found.other.assembly) if a in _MAIN]
    series = next(iter(told or main), None)
    if series is None or len(told) > 1 or len(families) > 1:
        return None
    family = families[0].capitalize() if families else None
    return WorksHybrid(found.one, found.other, family, series, serials)


def _joined(
    one: tuple[AssemblyBuild, tuple[int | None, int | None] | None] | None,
    other: tuple[AssemblyBuild, tuple[int | None, int | None] | None] | None,
) -> WorksHybrid | None:
    if one is None or other is None or one[0].assembly == other[0].assembly:
        return None
    if one[1] and other[1]:
        return None  # whose serials?
    series = one[0].assembly if one[1] else other[0].assembly if other[1] else None
    return WorksHybrid(one[0], other[0], None, series, one[1] or other[1])


def _with_serials(
    text: str,
) -> tuple[AssemblyBuild, tuple[int | None, int | None] | None] | None:
    """Read "Mk 1 hulls 1201-1260": an assembly, its build, and its serials if they are said."""
    run = _RUN.search(text)
    rest = f"{text[: run.start()]} {text[run.end() :]}" if run else text
    build = read_assembly_build(" ".join(rest.split()))
    if build is None or re.search(r"\d{3}", rest):
        return None
    serials = _serials(run[0]) if run else None
    return None if run and serials is None else (build, serials)


def _serials(text: str) -> tuple[int | None, int | None] | None:
    read = read_effectivity(text.strip())
    if read.problem or read.doubt or read.clauses or len(read.intervals) != 1:
        return None
    return read.intervals[0].first, read.intervals[0].last
