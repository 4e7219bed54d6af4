"""What the work that makes a part fit alters, and whether it can be undone: "drill the bracket".

The words of work are in ``words_work.csv``; all of it is common practice, no source. What is not
understood says neither.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

from .phrases import find_phrases, phrase_tokens
from .text import fold

#: What is the vehicle's own, and no part that is put on it.
_OF_VEHICLE = (
    r"(?:hull|floor|chassis|frame|body|bodywork|bulkhead|armou?r|armou?r plate|superstructure|"
    r"sponson|firewall|deck|glacis|nose plate|side plate|roof|tub|vehicle|crankcase|block|"
    r"cylinder block|casing|engine bay|scuttle)"
)
_AT_VEHICLE = re.compile(
    rf"\b(?:in|into|to|on|onto|through|from|off|of|the|drill|redrill|cut|file|weld|grind|tap|trim|"
    rf"bore|notch)\s+(?:the\s+|its\s+)?{_OF_VEHICLE}"
    r"(?:\s+(?:drilled|redrilled|cut|filed|welded|ground|tapped|trimmed|bored|notched))?"
    r"(?=\s*$|\s+(?:at|where|under|behind|for|to|with|by|so|near|beside|each|either)\b)"
    rf"|^(?:needs? )?(?:the\s+)?{_OF_VEHICLE}\s+"
    r"(?:drilled|redrilled|cut|filed|welded|ground|tapped|trimmed|bored|notched)\b"
)
_CLAUSES = re.compile(r"\s*[,;+&]\s*|\s+(?:and|then|plus)\s+")
_SUITING = re.compile(
    r"\s+(?:to|so as to|so it will) (?:suit|match|clear|fit|line up with|meet)\b.*$"
)
_ONE_MORE = re.compile(rf"(?:the |its )?(?:(?P<vehicle>{_OF_VEHICLE})|\w+(?: \w+)?)")
_DENIED = re.compile(r"\b(?:no|not|without|never|n't|nothing)\b|n't\b")


@dataclass(frozen=True, slots=True)
class WorkReading:
    """``alters``: part, vehicle, both or neither; None where the words do not tell."""

    alters: str | None = None
    can_be_undone: bool | None = None


@lru_cache(maxsize=20_000)
def read_work(text: str) -> WorkReading:
    """Read what work alters; never raises."""
    folded = fold(text).strip(" .")
    if not folded or _DENIED.search(folded):
        return WorkReading()
    read: list[tuple[str, bool] | None] = []
    for clause in filter(None, _CLAUSES.split(folded)):
        one = _clause(_SUITING.sub("", clause))
        before = read[-1] if read else None
        if one is None and before is not None and not before[1]:
            one = _also(clause)  # "drill the hull and bracket"
        read.append(one)
    known = [one for one in read if one is not None]
    lasting = [alters for alters, undone in known if not undone]
    if not known or (not lasting and len(known) < len(read)):
        return WorkReading()
    altered = {alters for alters in lasting if alters != "neither"}
    if "both" in altered or len(altered) > 1:
        return WorkReading("both", can_be_undone=False)
    if altered:
        return WorkReading(altered.pop(), can_be_undone=False)
    return WorkReading("neither", can_be_undone=True)


def _also(clause: str) -> tuple[str, bool] | None:
    """Return what a bare name behind lasting work adds to what it alters."""
    match = _ONE_MORE.fullmatch(clause)
    if match is None or re.search(r"\w(?:ed|ing)\b", clause):
        return None
    return ("vehicle" if match["vehicle"] else "part"), False


def _clause(clause: str) -> tuple[str, bool] | None:
    """Return what one piece of work alters, and whether it can be undone; None if not known."""
    found = find_phrases(phrase_tokens(clause), "work")
    if not found:
        return None
    undone = all(one.meanings["can_be_undone"] == "yes" for one in found)
    if undone:
        return "neither", True
    said = {one.meanings["alters"] for one in found} - {"neither"}
    if "part" in said and _AT_VEHICLE.search(clause):
        said = said - {"part"} | {"vehicle"}
    return ("both" if len(said) > 1 else said.pop()), False
