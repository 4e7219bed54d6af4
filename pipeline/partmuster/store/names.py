"""Which vehicle, person or place a name means: worked out over all names, whatever came first.

Vehicles, people and places get readable ids from the lines that register them. A name that means
two of them is never settled by luck: both are offered and a person is asked.
"""

from __future__ import annotations

import hashlib
from collections import defaultdict
from dataclasses import dataclass, field
from functools import lru_cache
from typing import TYPE_CHECKING, Any

import polars as pl

from partmuster.reading.text import fold

from .decisions import NONE, standing_decisions
from .frames import stage
from .identifications import CONCLUSION_SCHEMA, record_concluded

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterable, Sequence

    from duckdb import DuckDBPyConnection

    from .decisions import Standing

#: Words that stand before a number and tell nothing (common practice, no source).
_IDLE = frozenset({"no", "number", "nr"})

_NOT_LISTED = {
    "vehicle": "no vehicle of that name in the register",
    "holder": "not in the members' list",
    "place": "not in the list of places",
}


@dataclass(slots=True)
class _Entry:
    """One registered vehicle, person or place: its name and what else it goes by."""

    name: str
    number: str | None = None
    families: set[str] = field(default_factory=set)
    identities: dict[str, str] = field(default_factory=dict)  # plain form: what sort it is

    def add(self, text: str | None, sort: str) -> None:
        """Note one thing it goes by."""
        if text is not None and plain(text):
            self.identities.setdefault(plain(text), sort)


@lru_cache(maxsize=65536)
def plain(text: str) -> str:
    """Return a name in the form in which names are compared: 'Otter No. 03' is 'otter 3'."""
    letters = "".join(sign if sign.isalnum() else " " for sign in fold(text).replace("'", ""))
    words = [word.lstrip("0") or "0" if word.isdigit() else word for word in letters.split()]
    return " ".join(word for word in words if word not in _IDLE) or " ".join(words)


def slug(text: str) -> str:
    """Return a readable id of a name: 'Otter No. 3' is 'otter-3'."""
    found = plain(text).replace(" ", "-")
    return found or "unnamed-" + hashlib.sha256(text.encode()).hexdigest()[:6]


def identify_names(con: DuckDBPyConnection, now: dt.datetime) -> int:
    """Conclude what every name means and record what changed; return how many names did.

    Runs over all names ever said and all registers that count now, so that the order of imports
    does not matter. Decisions on topics vehicle, holder and place rule over it.
    """
    registers = {"vehicle": _vehicles(con), "holder": _people(con), "place": _places(con)}
    rows: list[dict[str, Any]] = []
    for role, entries in registers.items():
        keys = con.execute("SELECT key FROM ever_said_name WHERE role = ? ORDER BY 1", [role])
        names = [row[0] for row in keys.fetchall()]
        rows += _conclude(role, names, entries, standing_decisions(con, role))
    stage(con, "concluded", pl.DataFrame(rows, schema=CONCLUSION_SCHEMA))
    return record_concluded(con, now)


def _vehicles(con: DuckDBPyConnection) -> dict[str, _Entry]:
    """Return the registered vehicles by plain name.

    A line about one assembly registers a vehicle only where no register line knows the name.
    """
    rows = con.execute(
        "SELECT vehicle_key, family, club_number, works_number, service_number, civil_number, "
        "assembly IS NULL AS whole FROM vehicle WHERE vehicle_key IS NOT NULL "
        "ORDER BY whole DESC, said_on DESC, line_id"
    ).fetchall()
    entries: dict[str, _Entry] = {}
    known: set[str] = set()
    for key, family, club_number, works, service, civil, whole in rows:
        if not whole and plain(key) in known and plain(key) not in entries:
            continue
        entry = entries.setdefault(plain(key), _Entry(key))
        entry.add(key, "name")
        if family:
            entry.families.add(plain(family))
        if club_number:
            entry.number = entry.number or club_number
        entry.add(club_number, "club number")
        entry.add(works, "works number")
        entry.add(service, "service number")
        entry.add(civil, "civil number")
        known.update(entry.identities)
        known.update(f"{f} {plain(club_number)}" for f in entry.families if club_number)
    for entry in entries.values():
        numbers = [text for text, sort in entry.identities.items() if sort == "club number"]
        for family in entry.families:
            for number in numbers:
                entry.add(f"{family} {number}", "family and club number")
    return entries


def _people(con: DuckDBPyConnection) -> dict[str, _Entry]:
    rows = con.execute(
        "SELECT holder_key, code, known_as FROM holder WHERE holder_key IS NOT NULL "
        "ORDER BY line_id"
    ).fetchall()
    entries: dict[str, _Entry] = {}
    for key, code, known_as in rows:
        entry = entries.setdefault(plain(key), _Entry(key))
        entry.add(key, "name")
        entry.add(code, "code")
        for name in (known_as or "").split(";"):
            entry.add(name, "other name")
    return entries


def _places(con: DuckDBPyConnection) -> dict[str, _Entry]:
    rows = con.execute(
        "SELECT DISTINCT place_key FROM place WHERE place_key IS NOT NULL ORDER BY 1"
    )
    entries: dict[str, _Entry] = {}
    for (key,) in rows.fetchall():
        entries.setdefault(plain(key), _Entry(key)).add(key, "name")
    return entries


def _merged(entries: dict[str, _Entry]) -> dict[str, _Entry]:
    """Join an entry whose name is only another way to call one other entry: 'Otter 3' and '3'."""
    called: dict[str, set[str]] = defaultdict(set)
    for name, entry in entries.items():
        for identity in entry.identities:
            if identity != name:
                called[identity].add(name)
    owner = {name: next(iter(called[name])) for name in entries if len(called[name]) == 1}
    joined = {}
    for name, entry in entries.items():
        other = owner.get(name)
        if other is None or owner.get(other) is not None:
            continue
        families = entries[other].families
        if not families or not entry.families or families & entry.families:
            joined[name] = other
    for name, other in joined.items():
        into = entries[other]
        into.number = into.number or entries[name].number
        for identity, sort in entries[name].identities.items():
            into.identities.setdefault(identity, sort)
    return {name: entry for name, entry in entries.items() if name not in joined}


def _ids(entries: Iterable[_Entry]) -> dict[str, _Entry]:
    """Give each entry a readable id: of its club number, with the family, or of its name."""
    wanted: dict[str, list[_Entry]] = defaultdict(list)
    for entry in entries:
        number = entry.number
        if number and plain(number).isdigit() and len(entry.families) == 1:
            number = f"{min(entry.families)} {number}"
        wanted[slug(number or entry.name)].append(entry)
    ids: dict[str, _Entry] = {}
    for text, same in wanted.items():
        for entry in same:
            ids[text if len(same) == 1 else f"{text}-{slug(entry.name)}"] = entry
    return ids


def _conclude(
    role: str, names: list[str], entries: dict[str, _Entry], decisions: dict[str, Standing]
) -> list[dict[str, Any]]:
    ids = _ids(_merged(entries).values())
    owners: dict[str, dict[str, str]] = defaultdict(dict)
    for entity, entry in sorted(ids.items()):
        for identity, sort in entry.identities.items():
            owners[identity][entity] = sort
    rows: list[dict[str, Any]] = []
    for name in names:
        meant = owners.get(plain(name), {})
        said = decisions.get(name)
        if said is not None and said.answer is not None:
            rows.append(_decided(role, name, said, ids, owners))
        elif said is not None:
            reason = "two decisions contradict each other"
            rows += _rows(role, name, list(meant) or [None], reason, accepted=False)
        elif len(meant) > 1:
            reason = f"{len(meant)} go by this"
            rows += _rows(role, name, list(meant), reason, accepted=False)
        elif meant:
            entity, sort = next(iter(meant.items()))
            rows += _rows(role, name, [entity], f"its {sort}", accepted=True)
        else:
            own = None if role == "vehicle" else slug(name)
            rows += _rows(role, name, [own], _NOT_LISTED[role], accepted=own is not None)
    return rows


def _decided(
    role: str,
    name: str,
    said: Standing,
    ids: dict[str, _Entry],
    owners: dict[str, dict[str, str]],
) -> dict[str, Any]:
    """Return what a standing decision makes of a name."""
    answer = said.answer or NONE
    reason = f"decided by {said.decided_by}"
    target: str | None = None
    method = "decision"
    meant = owners.get(plain(answer), {})
    if answer == NONE:
        pass
    elif answer in ids:
        target = answer
    elif len(meant) == 1:
        target = next(iter(meant))
    elif role != "vehicle" and not meant:
        target = slug(answer)
    else:
        method = "name"
        reason = f"{reason}: {answer}, but the register has no such vehicle, or several"
    return _row(role, name, 1, target, 1.0 if method == "decision" else 0.0, reason,
                method=method, accepted=target is not None)  # fmt: skip


def _rows(
    role: str, name: str, targets: Sequence[str | None], reason: str, *, accepted: bool
) -> list[dict[str, Any]]:
    chance = 0.0 if targets[0] is None else 1.0 / len(targets)
    return [
        _row(role, name, rank, target, chance, reason, method="name", accepted=accepted)
        for rank, target in enumerate(targets, start=1)
    ]


def _row(
    role: str,
    name: str,
    rank: int,
    target: str | None,
    probability: float,
    reason: str,
    *,
    method: str,
    accepted: bool,
) -> dict[str, Any]:
    return {
        "role": role, "key": name, "rank": rank, "target": target, "probability": probability,
        "method": method, "reasons": reason, "accepted": accepted,
    }  # fmt: skip
