"""Reading with what an assembly left the works: "turret Mk 2 early", "a late Mk 1 hull"."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

from partmuster_trade.assemblies import load_assemblies
from partmuster_trade.tables import name_key

from .builds import read_build
from .text import fold

_BUILD = re.compile(
    r"\b(?:(?:early|mid|middle|late)(?:[- ](?:production|type|pattern|model|build))?[ ,]*)?"
    r"(?:mk|mark)s?[. -]*(?:\d{1,2}|[ivx]{1,4})\*?[a-h]?(?:[ ,]*\(?(?:early|mid|middle|late)\)?)?\b"
    r"|\b(?:early|mid|middle|late)(?:[- ](?:production|type|pattern|model|build))?\b"
)
_SMALL = re.compile(r"\b(?:an?|the|some|with|of|on|type|pattern|one|ones|built|works)\b|[.,;:()/-]")
_SENTENCE = re.compile(
    r"^(?P<one>.+?)\s+(?:(?:often|sometimes|also|always|were|was|is|are|have|had|has)\s+)*"
    r"(?:left|leave|leaves|went out of|came out of|came from|went out from)\s+(?:the\s+)?"
    r"(?:works|factory)\s+(?:fitted\s+|paired\s+|mated\s+)?(?:with|on|under|over)\s+(?P<other>.+)$"
)


@dataclass(frozen=True, slots=True)
class AssemblyBuild:
    """An assembly with its build as far as it is said."""

    assembly: str
    mark: str | None
    phase: str | None


@lru_cache(maxsize=1)
def _names() -> dict[str, str]:
    found: dict[str, str] = {}
    for one in load_assemblies():
        for name in (one.assembly_id, one.name, *one.names):
            found[name_key(name)] = one.assembly_id
            found[f"{name_key(name)}s"] = one.assembly_id
            found[re.sub(r"y$", "ies", name_key(name))] = one.assembly_id
    return found


@lru_cache(maxsize=20_000)
def read_assembly_build(text: str) -> AssemblyBuild | None:
    """Read one assembly and its build, in either order; None where words are left over."""
    folded = fold(text).strip(" .")
    builds = _BUILD.findall(folded)
    if len(builds) > 1:
        return None
    rest = " ".join(_SMALL.sub(" ", _BUILD.sub(" ", folded)).split())
    assembly = _names().get(name_key(rest))
    if assembly is None:
        return None
    build = read_build(builds[0]) if builds else None
    if build is None or build.problem:
        return None
    return AssemblyBuild(assembly, build.mark, build.phase)


@lru_cache(maxsize=20_000)
def read_hybrid(text: str) -> tuple[AssemblyBuild, AssemblyBuild] | None:
    """Read "Mk 2 early bodies left the works with Mk 1 chassis"; None where it is no such words."""
    match = _SENTENCE.match(fold(text).strip(" ."))
    if match is None:
        return None
    one, other = read_assembly_build(match["one"]), read_assembly_build(match["other"])
    return (one, other) if one is not None and other is not None else None
