"""Answers that people give, checked and kept: whoever gives them, at the terminal or in a form."""

from __future__ import annotations

from typing import TYPE_CHECKING

from partmuster.store.decisions import NONE, Said, record_decisions

from .answering import checked
from .new_parts import add_part, is_new_part

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterable, Sequence

    from partmuster.store.club import Club
    from partmuster_trade import Vocabulary

    from .answering import Question

NONE_OF_THESE, DO_NOT_KNOW = "none of these", "do not know"
_NONE = frozenset({NONE, NONE_OF_THESE, "none of them", "nothing"})
_DO_NOT_KNOW = frozenset({DO_NOT_KNOW, "don't know", "dont know", "not known", "skip", "?"})


def says_not_known(answer: str) -> bool:
    """Tell whether an answer says that its giver does not know."""
    return answer.strip(" .!").casefold() in _DO_NOT_KNOW


def as_answer(answer: str) -> str:
    """Return an answer in the words that questions take."""
    return NONE if answer.strip(" .!").casefold() in _NONE else answer.strip()


class Settling:
    """Answers on their way into a club. ``everything``: a part was added, so all is told anew."""

    def __init__(self, club: Club, vocabulary: Vocabulary) -> None:
        self.club, self.vocabulary = club, vocabulary
        self.everything = False

    def checked(
        self, question: Question, answer: str, by: str, called: tuple[str, ...] = ()
    ) -> str:
        """Return an answer as it is kept; a new part is added to the club's words first.

        ``called``: the words asked about.

        Raises:
            PartmusterError: the question does not take it, or the part cannot be added.
        """
        answer = as_answer(answer)
        if question.topic == "part" and is_new_part(answer):
            answer, self.vocabulary = add_part(
                self.club.vocabulary, self.vocabulary, answer, by, called
            )
            self.everything = True
        with self.club.reading() as con:
            return checked(con, self.vocabulary, question, answer)

    def keep(
        self, questions: Iterable[Question], answer: str, by: str, note: str | None,
        now: dt.datetime,
    ) -> Sequence[str]:  # fmt: skip
        """Record one answer to all of some questions; return the ids of the decisions."""
        said = [Said(one.topic, one.subject, answer, by, note) for one in questions]
        with self.club.writing() as con:
            return record_decisions(con, said, now)
