"""Reading one note: paragraph by paragraph, sentence by sentence, with what still holds."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .acts import act_of, is_plan
from .context import Context
from .dealings import KINDS, dealings_of
from .fits import fits_in
from .history import history_in
from .makers import statements_of
from .parts import PartMention
from .patterns import Patterns, patterns
from .seen import features_in
from .sentences import sentences_of
from .view import view_of

if TYPE_CHECKING:
    from collections.abc import Iterator

    from .sentences import Sentence
    from .statement import Statement


def read_paragraph(
    text: str, context: Context, known: Patterns | None = None
) -> Iterator[Statement]:
    """Yield what a paragraph states; ``context`` is carried on."""
    known = known or patterns()
    for sentence in sentences_of(text):
        yield from read_sentence(sentence, context, known)


def read_sentence(sentence: Sentence, context: Context, known: Patterns) -> Iterator[Statement]:
    """Yield what a sentence states."""
    view = view_of(sentence)
    act = act_of(view)
    if not act.silent:
        for found in known.find(act.view.text):
            clause = _clause(act.view.text, found.start, found.end)
            if is_plan(clause) and found.saying.kind not in {"want", "promise", "fit", "holding"}:
                continue
            made = statements_of(found, act, context)
            yield from made
            seen = tuple(one for one in made if one.kind == "survey")
            context.said = seen or context.said
        yield from fits_in(act, context)
        yield from features_in(act, context)
        yield from history_in(act, context)
    parts = tuple(one for one in view.mentions if isinstance(one, PartMention) and not one.pronoun)
    if parts:
        context.parts = parts


def _clause(text: str, start: int, end: int) -> str:
    """Return the clause around a stretch of a view's text."""
    first = max(
        text.rfind(" ; ", 0, start), text.rfind(" , ", 0, start), text.rfind(" but ", 0, start), 0
    )
    ends = [at for sign in (" ; ", " , ", " but ") if (at := text.find(sign, end - 1)) >= 0]
    return text[first : min(ends, default=len(text))]
