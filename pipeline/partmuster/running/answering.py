"""What answers a question takes, and how they are kept: at the terminal as in a form."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from partmuster.model import PartmusterError
from partmuster.stages.normalising.identity import name_key
from partmuster.store.decisions import NONE
from partmuster.store.feature_names import feature_meant
from partmuster.store.frames import first_row
from partmuster.store.known_names import NAME_TOPIC, SORTS, known_names

if TYPE_CHECKING:
    from collections.abc import Callable

    from duckdb import DuckDBPyConnection

    from partmuster_trade import Vocabulary


@dataclass(frozen=True, slots=True)
class Question:
    """Something that only a person can settle. ``choices``: possible answers, ';' between."""

    topic: str
    subject: str
    source_id: str | None = None
    choices: str | None = None
    question_id: str = ""

    @property
    def offered(self) -> tuple[str, ...]:
        """The possible answers; none where anything may be said."""
        return tuple(filter(None, (self.choices or "").split(";")))


def checked(
    con: DuckDBPyConnection, vocabulary: Vocabulary, question: Question, answer: str
) -> str:
    """Return the answer as it is kept: a part by its id, a vehicle by the one it names.

    Raises:
        PartmusterError: the question does not take this answer.
    """
    answer = answer.strip()
    if not answer:
        raise PartmusterError("an answer is needed")
    check = _BY_TOPIC.get(question.topic, _one_offered)
    return check(con, vocabulary, question, answer)


def meaning_of_mark(answer: str, choices: str | None = None) -> str:
    """Return what a mark in a survey, or a colour, is said to mean, if it can be read so.

    Raises:
        PartmusterError: it cannot.
    """
    from partmuster.tables.colour_keys import NOTHING, choice_of_these  # noqa: PLC0415 - one use

    if choices and NOTHING in choices.split(";"):
        chosen = choice_of_these(choices, answer)
        if chosen is None:
            raise PartmusterError(
                f"'{answer}' is no answer to this: {', '.join(choices.split(';'))}"
            )
        return chosen
    from partmuster.reading.presence import read_presence  # noqa: PLC0415 - one use
    from partmuster.tables.marks import CHOICES  # noqa: PLC0415 - one use

    reading = read_presence(answer)
    if reading.ambiguous or (reading.presence is None and reading.service == "unknown"):
        raise PartmusterError(
            f"'{answer}' says nothing of what was seen: {', '.join(CHOICES)}, or such words as "
            "'fitted, unserviceable'"
        )
    return answer


def _mark(_con: DuckDBPyConnection, _words: Vocabulary, question: Question, answer: str) -> str:
    return meaning_of_mark(answer, question.choices)


def _one_offered(
    _con: DuckDBPyConnection, _words: Vocabulary, question: Question, answer: str
) -> str:
    """Return the one of the choices that is meant; anything where there are none.

    Raises:
        PartmusterError: it is none of them.
    """
    offered = {choice.casefold(): choice for choice in question.offered}
    if offered and answer.casefold() not in offered:
        raise PartmusterError(f"'{answer}' is no answer to this: {', '.join(offered.values())}")
    return offered.get(answer.casefold(), answer)


def _anything(_con: DuckDBPyConnection, _words: Vocabulary, _: Question, answer: str) -> str:
    return answer


def _name(con: DuckDBPyConnection, _words: Vocabulary, question: Question, answer: str) -> str:
    """Return what a name is said to be: one of the choices, or a vehicle's or member's id.

    Raises:
        PartmusterError: it is none of them.
    """
    offered = {choice.casefold(): choice for choice in question.offered}
    if answer.casefold() in offered:
        return offered[answer.casefold()]
    known = known_names(con)
    for role in SORTS if NONE in offered else ():
        meant = known.meaning(role, name_key(answer)) or known.meaning(role, answer)
        if meant is not None:
            return meant
    raise PartmusterError(
        f"'{answer}' is no answer to this: {', '.join(offered.values())}, or the name of a vehicle "
        "in the register or of a member"
    )


def _feature(con: DuckDBPyConnection, _words: Vocabulary, question: Question, answer: str) -> str:
    """Return the feature that an answer means, as it is compared, or that it is none.

    Raises:
        PartmusterError: it names no feature of that family and assembly.
    """
    meant = feature_meant(con, question.subject, answer)
    if meant is None:
        offered = ", ".join(question.offered or (NONE,))
        raise PartmusterError(f"'{answer}' is no feature that the lists name there: {offered}")
    return meant


def _part(
    _con: DuckDBPyConnection, vocabulary: Vocabulary, _question: Question, answer: str
) -> str:
    """Return the id of the part that is meant, or that the words name nothing.

    Raises:
        PartmusterError: it is no part of the vocabulary, or a name that several have.
    """
    if answer.lower() == NONE:
        return NONE
    if answer in {part.part_id for part in vocabulary.parts}:
        return answer
    plain = [part for part in vocabulary.parts if part.name.casefold() == answer.casefold()]
    found = {vocabulary.in_force(part.part_id).part_id for part in plain} or {
        vocabulary.in_force(entry.part_id).part_id
        for entry in vocabulary.names()
        if entry.name.casefold() == answer.casefold()
    }
    if len(found) > 1:
        raise PartmusterError(
            f"'{answer}' is a name of several parts: say which, {', '.join(sorted(found))}"
        )
    if not found:
        raise PartmusterError(
            f"'{answer}' is no part of the vocabulary: give a part id or its name, or "
            "'none' where the words name nothing; 'partmuster match WORDS' finds parts"
        )
    return found.pop()


def _vehicle(con: DuckDBPyConnection, _words: Vocabulary, _: Question, answer: str) -> str:
    if answer.lower() == NONE:
        return NONE
    row = first_row(
        con,
        "SELECT target FROM identification_now WHERE role = 'vehicle' AND accepted "
        "AND (target = $1 OR key = $2) LIMIT 1",
        [answer, name_key(answer)],
    )
    if row is None:
        raise PartmusterError(f"there is no vehicle '{answer}' in the register")
    return str(row[0])


#: How an answer is checked; on any other topic it is one of the choices, where there are some.
_BY_TOPIC: dict[str, Callable[[DuckDBPyConnection, Vocabulary, Question, str], str]] = {
    "marks": _mark,
    NAME_TOPIC: _name,
    "feature": _feature,
    "part": _part,
    "vehicle": _vehicle,
    "holder": _anything,
    "place": _anything,
    "version": _anything,
}
