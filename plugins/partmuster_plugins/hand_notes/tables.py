"""Tables in notes: what the heads of the columns make of a row's cells.

A row becomes sentences, as a person would say them aloud, each with what the columns tell of it.
Which words head which column stands in ``words_note_role.csv``.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from .deals import availability_of
from .expressions import expression
from .roles import words_of
from .sentences import sentence_of

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

#: What the head of a column can be; of two that have the same words the first.
_ROLES = (
    "part", "state", "onto", "verdict", "tried", "left", "right", "person", "has", "wants", "terms",
    "vehicle", "said", "quantity",
)  # fmt: skip
_TELLING = frozenset({"state", "left", "has", "wants", "said", "part"})
_OWN_TRIAL = expression(r"^(?:me|i|we|us|self|myself|everyone|everybody|all)\b", re.IGNORECASE)
_NO_TRIAL = expression(
    r"^(?:nobody|no one|noone|none|no|-|untried|not tried|n/?a)\b", re.IGNORECASE
)
_ANY = frozenset({"any", "all", "every", "every one", "all marks", "any mark", "either", "both"})
_EMPTY = expression(r"^[\s\-–—.?/]*$|^(?:nil|none|n/?a|nothing)\.?$", re.IGNORECASE)
_EMPTY_STATE = expression(r"^[\s–—]*$")


@dataclass(frozen=True, slots=True)
class Said:
    """One sentence that a row says, and what its columns tell of it.

    ``kind``: of a list's items ("holding", "want"), else empty. ``by``: whose word it is.
    ``terms``: on what terms.
    """

    text: str
    person: str = ""
    vehicle: str = ""
    kind: str = ""
    by: str = ""
    terms: str = ""


@dataclass(slots=True)
class Columns:
    """The columns of the table at hand; none are known where no head was understood."""

    roles: tuple[str, ...] = ()

    def head(self, cells: Sequence[str]) -> bool:
        """Take a row as the head of a table if it is one."""
        roles = _of_fits(tuple(_role(cell) for cell in cells), cells)
        told = [role for role in roles if role]
        enough = len(told) >= 2 and len(set(told)) == len(told)  # noqa: PLR2004 - two make a table
        if enough and set(told) & _TELLING:
            self.roles = roles
            return True
        return False

    def said(self, cells: Sequence[str]) -> Iterator[Said]:
        """Yield what a row says."""
        by_role = {
            role: cell.strip() for role, cell in zip(self.roles, cells, strict=False) if role
        }
        if "onto" in by_role:
            yield from _fit(by_role)
        elif "said" in by_role:
            yield from _told(by_role)
        else:
            yield from _listed(by_role)
            yield from _seen(by_role)


def row_as_sentence(cells: Sequence[str]) -> str:
    """Return a row under unknown heads as a list has it: "layshaft - out, on the rack"."""
    told = [cell.strip() for cell in cells if cell.strip(" -.")]
    return " - ".join([*told[:1], ", ".join(told[1:])]) if told[1:] else "".join(told)


def _role(cell: str) -> str:
    words = _folded(cell)
    return next((role for role in _ROLES if words in words_of(f"column {role}")), "")


def _folded(cell: str) -> str:
    return " ".join(cell.casefold().strip(" :*_").split())


def _of_fits(roles: tuple[str, ...], cells: Sequence[str]) -> tuple[str, ...]:
    """Return the columns of a table of what goes on what: there "off" and "from" are no side."""
    donors = words_of("column donor")
    off = next((at for at, cell in enumerate(cells) if _folded(cell) in donors), None)
    if "onto" not in roles or off is None:
        return tuple("" if role in {"onto", "verdict", "tried"} else role for role in roles)
    instead = {"state": "verdict", "person": "tried", "said": "tried"}
    return tuple("off" if at == off else instead.get(role, role) for at, role in enumerate(roles))


def _told(by_role: Mapping[str, str]) -> Iterator[Said]:
    """Yield what somebody said, or what is said of a vehicle."""
    if by_role.get("vehicle"):
        yield Said(by_role["said"], vehicle=by_role["vehicle"])
    elif not _EMPTY.match(by_role["said"]):
        yield Said(by_role["said"], by=by_role.get("person", ""))


def _listed(by_role: Mapping[str, str]) -> Iterator[Said]:
    """Yield what somebody has and wants."""
    person, vehicle = by_role.get("person", ""), by_role.get("vehicle", "")
    for role, kind in (("has", "holding"), ("wants", "want")):
        if role in by_role and not _EMPTY.match(by_role[role]):
            terms = by_role.get("terms", "") if kind == "holding" else ""
            for piece in by_role[role].split(";"):
                yield Said(piece.strip(), person, vehicle, kind, terms=terms)


def _seen(by_role: Mapping[str, str]) -> Iterator[Said]:
    """Yield what was seen of a part, on each side where there is a column for it."""
    person, vehicle = by_role.get("person", ""), by_role.get("vehicle", "")
    part = by_role.get("part", "")
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


def _fit(by_role: Mapping[str, str]) -> Iterator[Said]:
    """Yield what a row says of what goes on what, as a sentence."""
    by = by_role.get("tried", "")
    untried = bool(_NO_TRIAL.match(by))
    own = not by or untried or bool(_OWN_TRIAL.match(by))
    verdict = by_role.get("verdict", "")
    if not verdict or not by_role.get("part"):
        return
    hedge = ", untried" if untried else ""
    verdict = re.sub(
        r"\b(?:the )?(?:later|earlier|late|early)(?: ones?)?\b", "it", verdict, flags=re.IGNORECASE
    )
    verdict = re.sub(r"^\?+\s*|\?+(?=\s|$)", "perhaps ", verdict)
    if {by_role["off"].casefold(), by_role["onto"].casefold()} <= _ANY:
        yield Said(f"{by_role['part']}: all marks: {verdict}{hedge}", by="" if own else by)
        return
    yield Said(f"{by_role['part']}: {by_role['off']} onto {by_role['onto']}: {verdict}{hedge}",
               by="" if own else re.split(r"[,(;]", by)[0].strip())  # fmt: skip


def _state(cell: str) -> str:
    """Return a cell of state as words of one: "no" and "none" are missing, "yes" is there."""
    low = cell.casefold().strip(" .!")
    if low in {"no", "none", "n", "x", "✗", "nil"}:
        return "missing"
    return "there" if low in {"yes", "y", "✓", "✔", "x2"} else cell


def terms_of(terms: str) -> dict[str, str]:
    """Return the availability that terms state."""
    from partmuster_trade.words import load_words  # noqa: PLC0415 - only for tables of terms

    low = " ".join(terms.casefold().split())
    best = ""
    found = ""
    for row in load_words("availability"):
        phrase = row.words.casefold()
        if len(phrase) > 3 and len(phrase) > len(best) and re.search(  # noqa: PLR2004 - words, no signs
            rf"\b{re.escape(phrase)}\b", low
        ) and row.meanings["availability"] not in {"", "unknown"}:  # fmt: skip
            best, found = phrase, row.meanings["availability"]
    if not found:
        found = availability_of(sentence_of(terms).words)
    if not found and re.search(r"[£$€]\s?\d|\bfree\b|\bono\b", low):
        found = "offered"
    return {"availability": found} if found else {}
