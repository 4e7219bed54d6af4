"""What somebody else's words, quoted to be answered, leave for the answer to speak of."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .acts import act_of
from .fits import ask_of_fit
from .parts import PartMention
from .sentences import sentences_of
from .view import view_of

if TYPE_CHECKING:
    from .context import Context

#: A quotation of more sentences is a letter, and no question that is answered point by point.
_FEW = 3


def take_up(text: str, context: Context) -> None:
    """Remember what a quoted question is about; nothing in it is said by the writer."""
    sentences = sentences_of(text)
    if len(sentences) > _FEW:
        return
    for sentence in sentences:
        view = view_of(sentence)
        parts = tuple(
            one for one in view.mentions if isinstance(one, PartMention) and not one.pronoun
        )
        context.parts = parts or context.parts
        context.fits = ()
        ask_of_fit(act_of(view), context)
