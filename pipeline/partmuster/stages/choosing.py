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
    from collections.abc import Iterator, Sequence

    from partmuster.store.known_names import Known, KnownNames

_ROLES = tuple(SORTS)
#: What stands for the role where a person chooses between names that are all known.
CHOICE = "choice"
#: What a reading may differ in and still say the same.
_NO_MATTER = frozenset({"choice", "rule", "words", "remark", *_ROLES})
#: A choice that begins so holds where no other reading can be.
LAST_RESORT = "else"
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
        for fits in (self._is_known, self._may_be_known, lambda one: not one.names):
            left = self._that_differ(_rather([one for one in possible if fits(one)]))
            if len(left) == 1:
                return list(left[0].rows)
            if left:
                return self._asked_between(left)
        return self._asked_of_names(possible)

    def _states(self, reading: _Reading) -> set[str]:
        return {self._of(role, key).state for role, key, _ in reading.names}

    def _of(self, role: str, key: str) -> Known:
        known = self._known.of(role, key)
        self._names[role, key] = str(known)
        return known

    def _is_known(self, reading: _Reading) -> bool:
        return bool(reading.names) and self._states(reading) == {"known"}

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


def _rather(readings: list[_Reading]) -> list[_Reading]:
    """Return the readings before those which hold only where nothing else does, or the first."""
    firsts = [one for one in readings if not str(one.rows[0]["choice"]).startswith(LAST_RESORT)]
    return firsts or readings[:1]


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
