"""Whether a sentence may say what fits what: cheap tests before its things are looked for."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from .contractions import opened
from .expressions import expression
from .told_words import any_of

if TYPE_CHECKING:
    from .context import Context

_MAY = expression(
    r"(?:mk|mark) ?[.]?\d|\b(?:mk|mark|early|late|earl\w+|later|fits?|goes|go|going|"
    r"interchang\w*|same|swaps?|replace\w*|superse\w*|set|pair|handed|hand|"
    r"together|on ?to|into|works?|used|can|put|instead|place|any|every|all|without|ditto|only|"
    r"reverse|round|back|versa|either|yes|no|never|not|dont|wont|one way|does|do|both|alike|"
    r"packet)\b",
    re.IGNORECASE,
)
#: What a sentence names that says what interchanges, where none before it did.
_TOPIC = expression(
    r"\b(?:(?i:mk|mark) ?[.]?\d|\d{3,}|[A-Z]+-\d+|(?i:either|hands?|sides?|early|earlier|late|"
    r"later|any|every|all|same|interchang\w*|"
    r"replac\w*|superse\w*|alike|sets?|provided (?:you|that)|"
    r"pairs?|packet|together|handed|left|right|reverse|versa|ditto|matched|own|universal|common|"
    r"(?:first|second|third)[- ](?:mark|mk)|its mate|identical|both|swap|mix|marks|throughout|"
    r"exchange\w*)\b"
    r"|(?:[Aa]n?|the|of|on|in|to|[Ee]very|[Aa]ny) [A-Z][a-z]{3,})"
)
#: An item of a list of what is offered or wanted says something of its own from so many words on.
_A_SENTENCE = 8
_OWN_LISTS = frozenset({"want", "holding", "promise", "lead"})
_DEALING = expression(
    r"\b(?:wanted|looking for|would like|want an?|i need|we need|after a|for sale|to sell|"
    r"selling|spare|offers?|swap for|"
    r"free to|you can have|gone to|sold)\b"
)
#: A wish names what it is for.
_WISH = expression(
    r"\b(?:would|should|will) (?:\w+ )?(?:like|love|welcome) ?(?::|an?\b|the\b|some\b)"
)
#: Rivets that go in pairs are a feature.
_DETAILS = expression(
    rf"^(?:[a-z]+ ){{0,3}}{any_of('detail')}\b.* (?:go|come|run|are|set|sit) in (?:pairs|twos|"
    r"threes|fours|rows?|sets)\b"
)


def may_tell_fits(text: str, context: Context) -> bool:
    """Tell whether a sentence may say what fits what."""
    low = text.lower()
    if context.heading.get("kind") in _OWN_LISTS and (
        _DEALING.search(low) or (len(text.split()) < _A_SENTENCE and not context.fits)
    ):
        return False
    if _WISH.search(low) or _DETAILS.match(low):
        return False
    return bool(
        _MAY.search(opened(text)) and (context.fits or context.fit_asked or _TOPIC.search(text))
    )
