"""Reading one note: paragraph by paragraph, sentence by sentence, with what still holds."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .acts import act_of, is_plan
from .by_clause import found_by_clause
from .dealing_clauses import dealings_in_clauses
from .dealings import KINDS, dealings_of
from .fits import ask_of_fit, fits_in
from .follow import agreed, carry_on, led
from .history import history_in
from .left_out import found_left_out
from .list_heads import listed_behind_head
from .makers import statements_of
from .patterns import Patterns, patterns
from .seen import features_in
from .sentences import sentences_of
from .settling import settle
from .view import view_of

if TYPE_CHECKING:
    from collections.abc import Iterator

    from .acts import Act
    from .context import Context
    from .patterns import Found
    from .sentences import Sentence
    from .statement import Statement
    from .view import View


def read_paragraph(
    text: str, context: Context, known: Patterns | None = None
) -> Iterator[Statement]:
    """Yield what a paragraph states; ``context`` is carried on."""
    known = known or patterns()
    for sentence in sentences_of(text):
        yield from read_sentence(sentence, context, known)


def read_sentence(
    sentence: Sentence, context: Context, known: Patterns, view: View | None = None
) -> Iterator[Statement]:
    """Yield what a sentence states; ``view``: of the sentence, if it is at hand."""
    view = settle(view_of(sentence), context) if view is None else view
    act = act_of(led(view, context))
    said: list[Statement] = []
    if not act.silent:
        read = known.find(act.view.text, lambda found: _taken(found, act, context, said))
        read += [
            found
            for found in listed_behind_head(act.view, read)
            if _taken(found, act, context, said)
        ]
        seen = any(one.kind == "survey" for one in said)
        if context.vehicles:
            by_clause = list(found_by_clause(act.view, read, seen=seen))
            for found in (*by_clause, *found_left_out(act.view, [*read, *by_clause])):
                _taken(found, act, context, said)
        said += dealings_in_clauses(act, context, said)
        said += [*fits_in(act, context), *features_in(act, context), *history_in(act, context)]
    else:
        ask_of_fit(act, context)
    said = agreed(said, context)
    carry_on(view, said, context)
    yield from said


def _taken(found: Found, act: Act, context: Context, said: list[Statement]) -> bool:
    """Add what a saying states here; False: nothing, so that another may be read."""
    clause = _clause(act.view.text, found.start, found.end)
    if found.saying.kind == "survey":  # "off till I have sealed it" is off
        clause = clause[: found.end - act.view.text.find(clause)]
    if (
        is_plan(clause)
        and found.saying.kind not in {"want", "promise", "fit", "holding"}
        and "plan" not in found.saying.means
    ):
        return found.saying.kind not in KINDS
    of_kind = dealings_of if found.saying.kind in KINDS else statements_of
    made = of_kind(found, act, context)
    said += made
    seen = tuple(one for one in made if one.kind == "survey")
    context.said = seen or context.said
    return bool(made) or found.saying.kind not in KINDS | {"survey"}


def _clause(text: str, start: int, end: int) -> str:
    """Return the clause around a stretch of a view's text."""
    first = max(
        text.rfind(" ; ", 0, start), text.rfind(" , ", 0, start), text.rfind(" but ", 0, start), 0
    )
    ends = [at for sign in (" ; ", " , ", " but ") if (at := text.find(sign, end - 1)) >= 0]
    return text[first : min(ends, default=len(text))]
