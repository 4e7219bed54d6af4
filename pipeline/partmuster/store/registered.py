"""The vehicles, people and places that registers name, with all that each goes by."""

from __future__ import annotations

import hashlib
from collections import defaultdict
from dataclasses import dataclass, field
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from partmuster.reading.text import fold

from .decided_pairs import one_by_decision

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from duckdb import DuckDBPyConnection

    from .decisions import Standing

#: Words that stand before a number and tell nothing (common practice, no source).
_IDLE = frozenset({"no", "number", "nr"})

#: What registers say by which vehicles and people are known.
VEHICLE_COLUMNS = (
    "vehicle_key", "assembly", "family", "club_number", "works_number", "service_number",
    "civil_number", "mark", "phase", "owner_key", "keeper_key", "place_key",
)  # fmt: skip
HOLDER_COLUMNS = ("holder_key", "code", "known_as")


@dataclass(slots=True)
class Entry:
    """One registered vehicle, person or place: its name and what else it goes by."""

    name: str
    number: str | None = None
    families: set[str] = field(default_factory=set)
    builds: set[str] = field(default_factory=set)  # marks and phases, plain
    whose: set[str] = field(default_factory=set)  # owner and keeper, plain
    owners: set[str] = field(default_factory=set)
    places: set[str] = field(default_factory=set)  # where it is kept, plain
    identities: dict[str, str] = field(default_factory=dict)  # plain form: what sort it is
    typed: set[tuple[str, str]] = field(default_factory=set)  # numbers as said, with their sort

    @property
    def key(self) -> str:
        """Its name as names are compared."""
        return plain(self.name)

    def add(self, text: str | None, sort: str) -> None:
        """Note one thing it goes by."""
        if text is not None and plain(text):
            self.identities.setdefault(plain(text), sort)

    def add_number(self, text: str | None, sort: str) -> None:
        """Note one of its typed numbers."""
        self.add(text, sort)
        if text:
            self.typed.add((text, sort))

    def take(self, other: Entry) -> None:
        """Take over all that another entry goes by, which is only another way to call it."""
        self.number = self.number or other.number
        for identity, sort in other.identities.items():
            self.identities.setdefault(identity, sort)
        self.builds |= other.builds
        self.whose |= other.whose
        self.owners |= other.owners
        self.places |= other.places
        self.typed |= other.typed


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


def vehicle_rows(con: DuckDBPyConnection) -> list[dict[str, Any]]:
    """Return what the registers that count now say of vehicles, the leading lines first."""
    return _rows(
        con,
        f"SELECT {', '.join(VEHICLE_COLUMNS)} FROM vehicle WHERE vehicle_key IS NOT NULL "  # noqa: S608 - own names
        "ORDER BY assembly IS NULL DESC, said_on DESC, line_id",
    )


def people_rows(con: DuckDBPyConnection) -> list[dict[str, Any]]:
    """Return what the members' lists that count now say of people."""
    columns = ", ".join(HOLDER_COLUMNS)
    return _rows(
        con,
        f"SELECT {columns} FROM holder WHERE holder_key IS NOT NULL ORDER BY line_id",  # noqa: S608 - own names
    )


def place_rows(con: DuckDBPyConnection) -> list[dict[str, Any]]:
    """Return what the lists that count now say of places."""
    return _rows(con, "SELECT DISTINCT place_key FROM place WHERE place_key IS NOT NULL ORDER BY 1")


def _rows(con: DuckDBPyConnection, sql: str) -> list[dict[str, Any]]:
    found = con.execute(sql)
    names = [column[0] for column in found.description or ()]
    return [dict(zip(names, row, strict=True)) for row in found.fetchall()]


def vehicles(
    rows: Iterable[dict[str, Any]], decided_same: Mapping[str, Standing] | None = None
) -> Registered:
    """Return the registered vehicles; as one those that people decided are (``decided_same``).

    A line about one assembly registers a vehicle only where no register line knows the name; such
    lines come last.
    """
    entries: dict[str, Entry] = {}
    known: set[str] = set()
    for row in rows:
        key = plain(row["vehicle_key"])
        if row["assembly"] is not None and key in known and key not in entries:
            continue
        entry = entries.setdefault(key, Entry(row["vehicle_key"]))
        entry.add(row["vehicle_key"], "name")
        if row["family"]:
            entry.families.add(plain(row["family"]))
        number = row["club_number"]
        if number:
            entry.number = entry.number or number
        for column in ("club_number", "works_number", "service_number", "civil_number"):
            entry.add_number(row[column], column.replace("_", " "))
        if row["assembly"] is None:
            _add(entry.builds, row, "mark", "phase")
            _add(entry.whose, row, "owner_key", "keeper_key")
            _add(entry.owners, row, "owner_key")
            _add(entry.places, row, "place_key")
        known.update(entry.identities)
        known.update(f"{f} {plain(number)}" for f in entry.families if number)
    for entry in entries.values():
        numbers = [text for text, sort in entry.identities.items() if sort == "club number"]
        for family in entry.families:
            for number in numbers:
                entry.add(f"{family} {number}", "family and club number")
    return Registered(entries, one_by_decision(decided_same or {}))


def people(
    rows: Iterable[dict[str, Any]], decided_same: Mapping[str, Standing] | None = None
) -> Registered:
    """Return the people of the members' lists; as one those that people decided are.

    A name outside the lists that was said to be a member's is another name of that member.
    """
    entries: dict[str, Entry] = {}
    for row in rows:
        entry = entries.setdefault(plain(row["holder_key"]), Entry(row["holder_key"]))
        entry.add(row["holder_key"], "name")
        entry.add(row["code"], "code")
        for name in (row["known_as"] or "").split(";"):
            entry.add(name, "other name")
    same = one_by_decision(decided_same or {})
    for names in same:
        keys = [plain(name) for name in names]
        known = [key for key in keys if key in entries] or [max(keys, key=len)]
        entry = entries.setdefault(known[0], Entry(known[0]))
        entry.add(known[0], "name")
        for key in keys:
            if key not in known:
                entry.add(key, "other name")
    return Registered(entries, [[plain(name) for name in names] for names in same])


def places(rows: Iterable[dict[str, Any]]) -> Registered:
    """Return the registered places."""
    entries: dict[str, Entry] = {}
    for row in rows:
        key = row["place_key"]
        entries.setdefault(plain(key), Entry(key)).add(key, "name")
    return Registered(entries)


class Registered:
    """All registered of one role: entries by readable id, and who goes by what.

    ``called``: for each plain form its owners, and what sort of identity it is to each.
    """

    def __init__(self, entries: dict[str, Entry], same: Sequence[Sequence[str]] = ()) -> None:
        self.ids = _ids(_joined(_merged(entries), same).values())
        self.called: dict[str, dict[str, str]] = defaultdict(dict)
        for entity, entry in sorted(self.ids.items()):
            for identity, sort in entry.identities.items():
                self.called[identity][entity] = sort


def _add(to: set[str], row: dict[str, Any], *columns: str) -> None:
    to.update(plain(row[name]) for name in columns if row[name])


def _merged(entries: dict[str, Entry]) -> dict[str, Entry]:
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
        entries[other].take(entries[name])
    return {name: entry for name, entry in entries.items() if name not in joined}


def _joined(entries: dict[str, Entry], same: Sequence[Sequence[str]]) -> dict[str, Entry]:
    """Join entries that people decided to be one.

    The one with a club number leads, else one named after its family, else the first. What was
    called by an id that one of them had alone goes on to be.
    """
    if not same:
        return entries
    left = dict(entries)
    ids = {id(entry): text for text, entry in _ids(entries.values()).items()}
    for names in same:
        ours = [left[name] for name in names if name in left]
        ours.sort(key=_leads)
        for other in ours[1:]:
            ours[0].take(other)
            ours[0].families |= other.families
            del left[other.key]
        for entry in ours if len(ours) > 1 else ():
            ours[0].add(ids[id(entry)], "name")
    return left


def _leads(entry: Entry) -> tuple[bool, bool, str]:
    of_family = any(entry.key.startswith(f"{family} ") for family in entry.families)
    return entry.number is None, not of_family, entry.key


def _ids(entries: Iterable[Entry]) -> dict[str, Entry]:
    """Give each entry a readable id: of its club number, with the family, or of its name."""
    wanted: dict[str, list[Entry]] = defaultdict(list)
    for entry in entries:
        number = entry.number
        if number and plain(number).isdigit() and len(entry.families) == 1:
            number = f"{min(entry.families)} {number}"
        wanted[slug(number or entry.name)].append(entry)
    ids: dict[str, Entry] = {}
    for text, same in wanted.items():
        for entry in same:
            ids[text if len(same) == 1 else f"{text}-{slug(entry.name)}"] = entry
    return ids
