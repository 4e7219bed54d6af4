"""Tables in notes: what the heads of the columns make of a row's cells.

A row becomes sentences, as a person would say them aloud, each with what the columns tell of it.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

#: What the head of a column can be, by its words (common practice, no source).
_COLUMNS: Mapping[str, frozenset[str]] = {
    "part": frozenset("part item what thing description component piece parts items name bit what? "
                      "fitting".split()),
    "state": frozenset("state found condition result remarks remark status check seen verdict finding findings comment "
                       "comments notes note there there? present present? fitted? state? how is it".split())
    | {"how it is", "what i found", "what we found", "as found"},
    "onto": frozenset({"onto", "on to", "goes on", "goes onto", "fits", "fits on", "to", "into", "will it fit", "on",
                       "to fit", "in place of", "goes to", "target", "receiving vehicle"}),
    "verdict": frozenset({"verdict", "outcome", "does it", "does it fit", "does it fit?", "does it go?", "will it go?",
                          "will it fit?", "fit", "fit?", "how it goes", "works?", "answer", "grade"}),
    "tried": frozenset({"tried by", "tested by", "who says", "source", "says who", "by", "tried", "who tried",
                        "who tried it", "done by"}),
    "left": frozenset({"left", "lh", "l", "l/h", "left hand", "near", "ns", "n/s", "nearside", "near side", "port"}),
    "right": frozenset({"right", "rh", "r", "r/h", "right hand", "off", "os", "o/s", "offside", "off side",
                        "starboard"}),
    "person": frozenset({"who", "member", "whom", "person", "name of member", "owner", "holder", "member's name"}),
    "has": frozenset({"has", "have", "offers", "offering", "spare", "spares", "for sale", "got", "offered", "on offer",
                      "has spare", "to sell", "selling", "can offer"}),
    "wants": frozenset({"wants", "want", "wanted", "needs", "need", "needed", "looking for", "after", "would like",
                        "short of", "seeks"}),
    "terms": frozenset({"terms", "deal", "how", "price", "for", "at"}),
    "vehicle": frozenset({"vehicle", "which", "which vehicle", "machine", "tank", "lorry"}),
    "said": frozenset({"said", "what they said", "story", "report", "reported", "heard", "what was said", "news"}),
    "quantity": frozenset({"qty", "quantity", "no.", "no", "number", "how many", "count", "off"}),
}  # fmt: skip
#: What the columns beside "onto" are, whatever such words head elsewhere.
_OFF = frozenset({"off", "from", "of", "taken off", "taken from", "comes off", "donor", "from a", "off a", "what from", "source"})
_OWN_TRIAL = re.compile(r"^(?:me|i|we|us|self|myself|everyone|everybody|all)\b", re.IGNORECASE)
_NO_TRIAL = re.compile(r"^(?:nobody|no one|noone|none|no|-|untried|not tried|n/?a)\b", re.IGNORECASE)
_EMPTY = re.compile(r"^[\s\-–—.?/]*$|^(?:nil|none|n/?a|nothing)\.?$", re.IGNORECASE)
_EMPTY_STATE = re.compile(r"^[\s–—]*$")


@dataclass(frozen=True, slots=True)
class Said:
    """One sentence that a row says, and what its columns tell of it.

    ``kind``: of a list's items ("holding", "want"), else empty. ``terms``: on what terms.
    """

    text: str
    person: str = ""
    vehicle: str = ""
    kind: str = ""
    by: str = ""
    terms: str = ""
    side: str = ""


@dataclass(slots=True)
class Columns:
    """The columns of the table at hand; none are known where no head was understood."""

    roles: tuple[str, ...] = ()
    seen: list[str] = field(default_factory=list)

    def head(self, cells: Sequence[str]) -> bool:
        """Take a row as the head of a table if it is one."""
        roles = _of_fits(tuple(_role(cell) for cell in cells), cells)
        told = [role for role in roles if role]
        enough = len(told) >= 2 and len(set(told)) == len(told)  # noqa: PLR2004 - two columns make a table
        if enough and set(told) & {"state", "left", "has", "wants", "said", "part"}:
            self.roles = roles
            return True
        return False

    def said(self, cells: Sequence[str]) -> Iterator[Said]:
        """Yield what a row says."""
        by_role = {
            role: cell.strip() for role, cell in zip(self.roles, cells, strict=False) if role
        }
        person, vehicle = by_role.get("person", ""), by_role.get("vehicle", "")
        part = by_role.get("part", "")
        if "onto" in by_role:
            yield from _fit(by_role)
            return
        if "said" in by_role:
            if vehicle:
                yield Said(by_role["said"], vehicle=vehicle)
            elif not _EMPTY.match(by_role["said"]):
                yield Said(by_role["said"], by=person)
            return
        for role, kind in (("has", "holding"), ("wants", "want")):
            if role in by_role and not _EMPTY.match(by_role[role]):
                terms = by_role.get("terms", "") if kind == "holding" else ""
                for piece in by_role[role].split(";"):
                    yield Said(piece.strip(), person, vehicle, kind, terms=terms)
        if not part:
            return
        for side in ("left", "right"):
            if by_role.get(side) and not _EMPTY_STATE.match(by_role[side]):
                yield Said(f"{side} {part} - {_state(by_role[side])}", person, vehicle)
        if "left" in by_role:
            return
        if by_role.get("state"):
            yield Said(f"{part}: {_state(by_role['state'])}", person, vehicle)
        elif not {"has", "wants"} & set(by_role):
            yield Said(part, person, vehicle)


def _of_fits(roles: tuple[str, ...], cells: Sequence[str]) -> tuple[str, ...]:
    """Return the columns of a table of what goes on what, where "off" is no side and "from" no part."""
    low = [" ".join(cell.casefold().strip(" :*_").split()) for cell in cells]
    off = next((at for at, words in enumerate(low) if words in _OFF), None)
    if "onto" not in roles or off is None:
        return tuple("" if role in {"onto", "verdict", "tried"} else role for role in roles)
    return tuple(
        "off" if at == off else "verdict" if role == "state" else "tried" if role in {"person", "said"} else role
        for at, role in enumerate(roles)
    )


def _fit(by_role: Mapping[str, str]) -> Iterator[Said]:
    """Yield what a row says of what goes on what, as a sentence."""
    by = by_role.get("tried", "")
    untried = bool(_NO_TRIAL.match(by))
    own = not by or untried or bool(_OWN_TRIAL.match(by))
    verdict = by_role.get("verdict", "")
    if not verdict or not by_role.get("part"):
        return
    hedge = ", untried" if untried else ""
    verdict = re.sub(r"\b(?:the )?(?:later|earlier|late|early)(?: ones?)?\b", "it", verdict, flags=re.IGNORECASE)
    verdict = re.sub(r"^\?+\s*|\?+(?=\s|$)", "perhaps ", verdict)
    ends = {by_role["off"].casefold(), by_role["onto"].casefold()}
    if ends <= {"any", "all", "every", "every one", "all marks", "any mark", "either", "both"}:
        yield Said(f"{by_role['part']}: all marks: {verdict}{hedge}", by="" if own else by)
        return
    yield Said(f"{by_role['part']}: {by_role['off']} onto {by_role['onto']}: {verdict}{hedge}",
               by="" if own else re.split(r"[,(;]", by)[0].strip())  # fmt: skip


def _role(cell: str) -> str:
    words = " ".join(cell.casefold().strip(" :*_").split())
    return next((role for role, names in _COLUMNS.items() if words in names), "")


def _state(cell: str) -> str:
    """Return a cell of state as words of one: "no" and "none" are missing, "yes" is there."""
    low = cell.casefold().strip(" .!")
    if low in {"no", "none", "n", "x", "✗", "nil"}:
        return "missing"
    return "there" if low in {"yes", "y", "✓", "✔", "x2"} else cell
