"""Choosing: of readings of a statement that exclude each other, the one whose names are known.

An importer does not see the club: whether "Edna" is a vehicle or a person, or which words of a
title name the vehicle, it can only offer. Readings are lines of one raw line with a ``choice``.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import polars as pl

from partmuster.store.decisions import NONE
from partmuster.store.known_names import NAME_TOPIC, SORTS

from .normalising.identity import name_key

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from partmuster.store.known_names import Known, KnownNames

_ROLES = tuple(SORTS)
#: What stands for the role where a person chooses between names that are all known.
CHOICE = "choice"
#: What a reading may differ in and still say the same.
_NO_MATTER = frozenset({"choice", "rule", "words", "remark", *_ROLES})
#: Of names that a statement may be about, those looked at first, those looked at one by one where
#: none before is known, the last of these if no further one may be meant, and those of which one is
#: meant where all else leaves it open.
NEARER, LAST_RESORT, STOPS, OR = "near", "else", "stop", "or"
#: Names that choices were made by: columns of ``Chosen.names``.
NAMES_SCHEMA = {"role": pl.String, "key": pl.String, "meaning": pl.String, "asked": pl.Boolean}
QUESTIONS_SCHEMA = {"topic": pl.String, "subject": pl.String, "question": pl.String,
                    "choices": pl.String, "lines": pl.Int64}  # fmt: skip
NO_MATTER_OF_CLUB = "what it names is no vehicle and no member, as people decided"


@dataclass(frozen=True, slots=True)
class Chosen:
    """Lines of which no two exclude each other, and what that was chosen by.

    A statement that only a person can settle is one line without a kind, with its doubt.
    ``names``: the names that the choices hang on, and what was known of each. ``questions``: what
    is to be asked. ``not_data``: raw lines that are none, as people decided.
    """

    lines: pl.DataFrame
    names: pl.DataFrame
    questions: pl.DataFrame
    not_data: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class _Reading:
    rows: tuple[dict[str, Any], ...]
    names: tuple[tuple[str, str, str], ...]  # role, key, as written

    def label(self, *, with_kind: bool) -> str:
        """Return what a person calls this reading by."""
        names = " and ".join(dict.fromkeys(text for _, _, text in self.names))
        kind = str(self.rows[0]["kind"])
        return f"{kind}: {names}" if with_kind and names else names or kind

    @property
    def turn(self) -> str:
        """Return when it is looked at: one of the words above, or nothing for the first ones."""
        word = str(self.rows[0]["choice"]).partition(" ")[0]
        return word if word in {NEARER, LAST_RESORT, STOPS, OR} else ""


def choose(lines: pl.DataFrame, known: KnownNames, source_id: str = "") -> Chosen:
    """Return the lines (``text_lines`` schema) with one reading of each statement at most."""
    given = pl.col("choice").is_not_null()
    offered = lines.filter(given)
    nothing = Chosen(lines, pl.DataFrame(schema=NAMES_SCHEMA),
                     pl.DataFrame(schema=QUESTIONS_SCHEMA))  # fmt: skip
    if not offered.height:
        return nothing
    choosing = _Choosing(known, source_id)
    kept = [
        row
        for number, statement in offered.group_by("raw_number", maintain_order=True)
        for row in choosing.statement(int(str(number[0])), statement.to_dicts())
    ]
    chosen = pl.DataFrame(kept, schema=lines.schema).with_columns(
        pl.lit(None, pl.String).alias("choice")
    )
    every = pl.concat([lines.filter(~given), chosen]).sort("raw_number", maintain_order=True)
    return Chosen(every, *choosing.told(), tuple(choosing.not_data))


class Walk:
    """The readings of a statement, looked at from the nearest name on."""

    def __init__(
        self,
        readings: Sequence[_Reading],
        of: Callable[[str, str], Known],
        ends_as_family: Callable[[str], bool],
    ) -> None:
        self._of, self._ends_as_family = of, ends_as_family
        self._by_turn: dict[str, list[_Reading]] = {}
        for one in readings:
            turn = LAST_RESORT if one.turn == STOPS else one.turn
            self._by_turn.setdefault(turn, []).append(one)
        #: Of a name that may mean several: those it may mean.
        self._among: frozenset[str] = frozenset()
        self._open: _Reading | None = None
        self._closed = False

    def known(self) -> list[_Reading]:
        """Return the nearest readings whose names are all known; several where one is meant."""
        for one in self._by_turn.get(NEARER, ()):
            if self._fits(one):
                return [one]
        firsts = self._by_turn.get("", [])
        found = [one for one in firsts if self._is_known(one)]
        fitting = [one for one in found if self._is_among(one)]
        if fitting:
            return self._told_by_others(fitting)
        self._closed = bool(found)
        if found or any(self._stops(one) for one in firsts):
            return []
        self._note(*firsts)
        for one in self._by_turn.get(LAST_RESORT, ()):
            if self._fits(one):
                return [one]
            if self._stops(one):
                self._open = self._open or one
                return []
        return [
            one for one in self._by_turn.get(OR, ()) if self._is_known(one) and self._is_among(one)
        ]

    def _told_by_others(self, readings: list[_Reading]) -> list[_Reading]:
        """Return of several readings that which names further off speak for, too."""
        every = {self._vehicles(one) for one in readings}
        if len(every) < 2:  # noqa: PLR2004 - no two vehicles
            return readings
        for one in self._by_turn.get(LAST_RESORT, ()):
            if self._is_known(one) and self._vehicles(one) in every:
                return [other for other in readings if self._vehicles(other) == self._vehicles(one)]
        return readings

    def _vehicles(self, reading: _Reading) -> frozenset[str]:
        return frozenset(
            one for role, key, _ in reading.names if role == "vehicle"
            for one in self._of(role, key).ids
        )  # fmt: skip

    def open(self) -> list[_Reading]:
        """Return the readings that are asked about where none is known."""
        firsts = self._by_turn.get("", [])
        if self._open and (self._closed or not any(one.names for one in firsts)):
            return [self._open]
        return firsts or next(iter(self._by_turn.values()))[:1]

    def _fits(self, reading: _Reading) -> bool:
        """Tell whether a name is known and one of those that nearer ones may mean."""
        if self._is_known(reading):
            return self._is_among(reading)
        if self._note(reading) and not self._open:
            self._open = reading
        return False

    def _is_known(self, reading: _Reading) -> bool:
        return bool(reading.names) and all(
            self._of(role, key).state == "known" for role, key, _ in reading.names
        )

    def _note(self, *readings: _Reading) -> bool:
        """Keep which vehicles may be meant by a name that may mean several."""
        ids = {
            one for reading in readings for role, key, _ in reading.names if role == "vehicle"
            and self._of(role, key).state == "maybe" and self._tells_several(key)
            for one in self._of(role, key).ids
        }  # fmt: skip
        self._among = (self._among & ids) or self._among or frozenset(ids)
        return bool(ids)

    def _tells_several(self, key: str) -> bool:
        """Tell whether a name is a family's or an owner's, no name among other words."""
        return key.endswith(" s") or self._ends_as_family(key)

    def _is_among(self, reading: _Reading) -> bool:
        ids = self._vehicles(reading)
        return not self._among or not ids or bool(ids & self._among)

    def _stops(self, reading: _Reading) -> bool:
        """Tell whether a name is a vehicle's that the club does not know."""
        return any(
            role == "vehicle" and self._of(role, key).state == "unknown"
            and (reading.turn == STOPS or self._ends_as_family(key))
            for role, key, _ in reading.names
        )  # fmt: skip


class _Choosing:
    """Choices between readings, with the names and questions that come of them."""

    def __init__(self, known: KnownNames, source_id: str) -> None:
        self._known, self._source_id = known, source_id
        self._names: dict[tuple[str, str], str] = {}
        self._questions: dict[tuple[str, str], list[Any]] = {}
        self.not_data: list[int] = []

    def told(self) -> tuple[pl.DataFrame, pl.DataFrame]:
        """Return the names that choices hung on, and the questions."""
        subjects = {subject for _, subject in self._questions}
        names = [
            (role, key, meaning, key in subjects)
            for (role, key), meaning in sorted(self._names.items())
        ]
        asked = [(*subject, *rest) for subject, rest in self._questions.items()]
        return (
            pl.DataFrame(names, schema=NAMES_SCHEMA, orient="row"),
            pl.DataFrame(asked, schema=QUESTIONS_SCHEMA, orient="row"),
        )

    def statement(self, number: int, rows: Sequence[dict[str, Any]]) -> list[dict[str, Any]]:
        """Return the lines that are kept of one statement."""
        readings = list(_readings(rows))
        possible = [one for one in readings if "no" not in self._states(one)]
        if not possible:
            self.not_data.append(number)
            return []
        walk = Walk(possible, self._of, self._known.ends_as_family)
        left = self._that_differ(walk.known())
        for fits in (self._may_be_known, lambda one: not one.names):
            left = left or self._that_differ([one for one in walk.open() if fits(one)])
        if len(left) == 1:
            return list(left[0].rows)
        return self._asked_between(left) if left else self._asked_of_names(walk.open())

    def _states(self, reading: _Reading) -> set[str]:
        return {self._of(role, key).state for role, key, _ in reading.names}

    def _of(self, role: str, key: str) -> Known:
        known = self._known.of(role, key)
        self._names[role, key] = str(known)
        return known

    def _may_be_known(self, reading: _Reading) -> bool:
        return bool(reading.names) and self._states(reading) <= {"known", "maybe"}

    def _that_differ(self, readings: Sequence[_Reading]) -> list[_Reading]:
        """Return the readings that say different things, the preferred one of those that do not."""
        distinct: dict[Any, _Reading] = {}
        for reading in readings:
            says = tuple(
                (
                    *(row[name] for name in sorted(row) if name not in _NO_MATTER),
                    *(self._meant(role, row[role]) for role in _ROLES),
                )
                for row in reading.rows
            )
            distinct.setdefault(says, reading)
        return list(distinct.values())

    def _meant(self, role: str, name: str | None) -> tuple[str, ...]:
        key = name_key(name or "")
        return (self._of(role, key).ids or (key,)) if key else ()

    def _asked_between(self, readings: list[_Reading]) -> list[dict[str, Any]]:
        """Keep the reading that a person chose, or ask which of several known ones is meant."""
        names = {key: text for one in readings for _, key, text in one.names}
        roles = {role for one in readings for role, _, _ in one.names}
        if len(names) == 1 and len(roles) > 1:
            return self._asked_of_names(readings)
        same = len({one.label(with_kind=False) for one in readings}) < len(readings)
        labels = {one.label(with_kind=same): one for one in readings}
        subject = "|".join((self._source_id, *map(name_key, labels)))
        answer = self._known.chosen(subject)
        self._names[CHOICE, subject] = answer or ""
        for label, reading in labels.items():
            if answer is not None and name_key(answer) == name_key(label):
                return list(reading.rows)
        words = " or ".join(f'"{label}"' for label in labels)
        self._ask(subject, f"Which is meant here: {words}?", ";".join(labels))
        return [_waiting(readings[0], f"which is meant: {words}")]

    def _asked_of_names(self, readings: Sequence[_Reading]) -> list[dict[str, Any]]:
        """Ask about each name that leaves open what is said."""
        roles: dict[str, list[str]] = {}
        texts: dict[str, str] = {}
        for role, key, text in (name for one in readings for name in one.names):
            roles.setdefault(key, [])
            if role not in roles[key]:
                roles[key].append(role)
            texts.setdefault(key, text)
        asked = []
        for key, its in roles.items():
            states = {self._of(role, key).state for role in its}
            if states == {"known"} and len(its) == 1:
                continue
            asked.append(texts[key])
            question = (
                f'Is "{texts[key]}" a vehicle or a person?' if len(its) > 1
                else f'{"Which vehicle" if its[0] == "vehicle" else "Who"} is "{texts[key]}"?'
            )  # fmt: skip
            ids = [] if len(its) > 1 else self._of(its[0], key).ids
            sorts = [SORTS[role] for role in _ROLES if role in its] if len(its) > 1 else []
            self._ask(key, question, ";".join([*ids, *sorts, NONE]))
        what = ", ".join(f'"{text}"' for text in asked)
        return [_waiting(readings[0], f"who or what is meant by {what}")]

    def _ask(self, subject: str, question: str, choices: str) -> None:
        held = self._questions.setdefault((NAME_TOPIC, subject), [question, choices, 0])
        held[2] += 1


def _readings(rows: Sequence[dict[str, Any]]) -> Iterator[_Reading]:
    """Yield the readings of a statement, the preferred one first."""
    by_choice: dict[str, list[dict[str, Any]]] = {}
    for row in rows:
        by_choice.setdefault(row["choice"], []).append(row)
    for lines in by_choice.values():
        names = {
            (role, name_key(line[role]), line[role]): None
            for line in lines
            for role in _ROLES
            if line[role] and name_key(line[role])
        }
        yield _Reading(tuple(lines), tuple(names))


def _waiting(reading: _Reading, doubt: str) -> dict[str, Any]:
    """Return the one line that stands for a statement until a person has settled it."""
    row = reading.rows[0]
    address = {name: row[name] for name in ("raw_number", "sheet", "page", "row", "column", "box",
                                            "words", "section", "rule")}  # fmt: skip
    doubts = "; ".join(filter(None, (doubt, row["doubt"])))
    return {**dict.fromkeys(row), **address, "doubt": doubts, "sure": True, "first_hand": True,
            "struck": False, "hidden": False}  # fmt: skip
