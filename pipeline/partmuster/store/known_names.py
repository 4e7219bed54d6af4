"""Which names the club knows, for those who must choose between readings of a statement."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, Literal

from partmuster.reading.text import fold

from .decided_pairs import SAME_PERSON, SAME_VEHICLE
from .decisions import NONE, all_standing
from .registered import people, people_rows, plain, vehicle_rows, vehicles
from .short_names import NOBODY, shortened

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from duckdb import DuckDBPyConnection

    from .decisions import Standing
    from .registered import Registered

#: Topic of the question whether a name is a vehicle's or a person's, and its answers by role.
NAME_TOPIC = "name"
SORTS = {"vehicle": "vehicle", "holder": "person"}
_ANSWERS = frozenset({*SORTS.values(), NONE})


@dataclass(frozen=True, slots=True)
class Known:
    """What the club knows of a name in a role.

    ``state``: ``known``; ``maybe`` (it can mean several); ``no`` (a person said it is none);
    ``unknown``. ``ids``: what it means, or can mean.
    """

    state: Literal["known", "maybe", "no", "unknown"]
    ids: tuple[str, ...] = ()

    def __str__(self) -> str:
        """Tell two of them apart in a word."""
        return " ".join((self.state, *self.ids))


@dataclass(slots=True)
class KnownNames:
    """The names of vehicles and people in registers, and what was decided of names.

    The rows are those of ``registered``. ``decisions``: what stands on names, by role; ``sorts``:
    what stands on whether a name is a vehicle's or a person's; ``same_vehicles`` and
    ``same_people``: on whether two are one.
    """

    vehicles: Iterable[dict[str, Any]]
    people: Iterable[dict[str, Any]]
    decisions: Mapping[str, Mapping[str, Standing]] = field(default_factory=dict)
    sorts: Mapping[str, Standing] = field(default_factory=dict)
    same_vehicles: Mapping[str, Standing] = field(default_factory=dict)
    same_people: Mapping[str, Standing] = field(default_factory=dict)
    _registers: dict[str, Any] = field(init=False)
    _short: dict[str, Any] = field(init=False)
    _told: dict[tuple[str, str], Known] = field(init=False, default_factory=dict)
    _families: frozenset[str] = field(init=False)

    def __post_init__(self) -> None:
        """Put the registers in order once."""
        self._registers = {
            "vehicle": vehicles(self.vehicles, self.same_vehicles),
            "holder": people(self.people, self.same_people),
        }
        self._short = dict(shortened(self._registers))
        self._families = frozenset(
            family for one in self._registers["vehicle"].ids.values() for family in one.families
        )

    def of(self, role: str, key: str) -> Known:
        """Return what is known of a folded name in the role ``vehicle`` or ``holder``."""
        if (role, key) not in self._told:
            self._told[role, key] = self._of(role, key)
        return self._told[role, key]

    def chosen(self, subject: str) -> str | None:
        """Return what a person answered to a question on the topic ``name``."""
        said = self.sorts.get(subject)
        return said.answer if said is not None else None

    def ends_as_family(self, key: str) -> bool:
        """Tell whether a name is that of a vehicle of a registered family ("Jorunn's Otter")."""
        words = plain(key).split()
        while words and words[-1].isdigit():
            words.pop()
        return bool(words) and words[-1] in self._families

    def _of(self, role: str, key: str) -> Known:
        sort = self.chosen(key)
        if sort is None:
            return self._named(role, key)
        if sort != SORTS[role] and sort in _ANSWERS:
            return Known("no")
        if sort not in _ANSWERS:  # it was said which vehicle it is, or who
            one = self.meaning(role, sort)
            return Known("known", (one,)) if one else Known("no")
        found = self._named(role, key)
        return found if found.state != "unknown" else Known("known")  # which one may be asked

    def meaning(self, role: str, answer: str) -> str | None:
        """Return the id of a registered vehicle or member: of an id, or what it goes by."""
        registered = self._registers[role]
        if answer in registered.ids:
            return answer
        return next(iter(registered.called.get(plain(answer), ())), None)

    def _named(self, role: str, key: str) -> Known:
        registered = self._registers[role]
        said = self.decisions.get(role, {}).get(key)
        if said is not None and said.answer is not None:
            if said.answer == NONE:
                return Known("no")
            return Known("known", (self.meaning(role, said.answer) or fold(said.answer),))
        meant = registered.called.get(plain(key), {})
        if meant:
            return Known("known" if len(meant) == 1 else "maybe", tuple(sorted(meant)))
        short = self._short[role].named(key) or NOBODY
        if not short.ids:
            return Known("unknown")
        return Known("known" if short.sure else "maybe", short.ids)


def decided_names(
    decisions: Mapping[str, Mapping[str, Standing]], role: str, registered: Registered
) -> Mapping[str, Standing]:
    """Return what stands on names of a role, with those that were said to be one of that role.

    ``decisions``: all that stand, by topic.
    """
    standing = decisions.get(role, {})
    if role not in SORTS:
        return standing
    said = {
        key: one
        for key, one in decisions.get(NAME_TOPIC, {}).items()
        if one.answer in registered.ids or plain(one.answer or "") in registered.called
    }
    return {**said, **standing}


def known_names(
    con: DuckDBPyConnection,
    new_vehicles: Iterable[dict[str, Any]] = (),
    new_people: Iterable[dict[str, Any]] = (),
) -> KnownNames:
    """Return the names that a club knows, with those of registers that are just coming in."""
    decisions = all_standing(con)
    return KnownNames(
        [*vehicle_rows(con), *new_vehicles],
        [*people_rows(con), *new_people],
        {role: decisions.get(role, {}) for role in SORTS},
        decisions.get(NAME_TOPIC, {}),
        decisions.get(SAME_VEHICLE, {}),
        decisions.get(SAME_PERSON, {}),
    )
