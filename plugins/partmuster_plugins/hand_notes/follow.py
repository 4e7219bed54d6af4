"""What carries over from the sentence before: "Turret?" - "Seized."; what "it" may stand for."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import TYPE_CHECKING

from .expressions import expression
from .parts import PartMention
from .places import place_at
from .states import StateMention

if TYPE_CHECKING:
    from collections.abc import Sequence

    from .context import Context
    from .statement import Statement
    from .view import View

#: A sentence that names a part and says nothing of it yet.
_BARE = expression(
    r"^ (?:(?:and|ok|so|now|the|any|her|what about|wot about|how about|how are|how is|about|"
    r"what of|is there|n|then|next|first|\d+|[-*:,]) )*<p\d+> (?:(?:and|or|,|/) (?:the )?<p\d+> )*"
    r"(?:(?:<s\d+>|\?|:|-|,|then|now|first) )*$"
)
#: A row of a table of what fits what.
_TABLE_OF_FITS = expression(r"\|\s*(?:early |late )?(?:mk|mark|any)\b.*\|", re.IGNORECASE)
#: Begins with words of state: it goes on about what the sentence before told of.
_GOES_ON = expression(r"^ (?:(?:but|and|now|still|also) )?<s\d+> (?:$|[,;-] |and |but )")
_LEADING = frozenset({"on", "along", "down", "the", "to", "at", "and", "now"})
_PLAIN = frozenset({"fitted", "missing", ""})
_ASKS = frozenset({"?", "??"})
#: Begins an answer that names no part.
_ANSWER = expression(
    r"^ (?:(?:well|er|um|oh|erm|so|,|just|only|still|all|both|i make it|i counted|i make) )*"
    r"(?:<s\d+>|yes|no|none|nope|yep|\d+ of"
    r"|(?:one|two|three|four|five|six|seven|eight|ten|twelve) (?:of|out of)|<k\d+>"
    r"|there (?:is|are) (?:not|none))"
)
#: Kinds whose lines say the same of a part as a survey would, and more.
_OF_DEALING = frozenset({"holding", "promise", "lead"})


def is_bare(view: View) -> bool:
    """Tell whether a sentence only names parts, as a question or a heading does."""
    return bool(_BARE.match(view.text)) and all(
        mention.text in _ASKS for mention in view.mentions if isinstance(mention, StateMention)
    )


def led(view: View, context: Context) -> View:
    """Return the view of an answer to a bare question with the parts that it is about before it."""
    goes_on = context.fresh and len(context.told) == 1 and _GOES_ON.match(view.text)
    if not goes_on and not (context.asked and _ANSWER.match(view.text)):
        return view
    first = next((one for one in view.mentions if isinstance(one, StateMention)), None)
    if goes_on and (first is None or (first.presence in _PLAIN and not first.service)):
        return view
    if any(isinstance(one, PartMention) and (not one.pronoun or one.start == 0)
           for one in view.mentions):  # fmt: skip
        return view
    number = len(view.mentions)
    stands = PartMention(0, 0, "", pronoun=True, which="they")
    return replace(
        view, text=f" <k{number}> -{view.text}", mentions=(*view.mentions, stands),
        places=((0, 0), (0, 0), *view.places),
    )  # fmt: skip


#: "Near side.", "Moving along the off side now": the parts told of next are there.
_ALONG = expression(
    r"^ (?:(?:now|next|then|and|right|ok|so|moving|going|working|round|along|down|on|to|the|at|over"
    r"|first) )*"
    r"<k(\d+)>(?: (?:now|first|next|then|:|-|;|,))* ?$"
)


def side_at_head(view: View) -> str:
    """Return the side with which a sentence about several parts begins: "Near side: ..."."""
    low = [word.low for word in view.sentence.words]
    at = 0
    while at < len(low) and low[at] in _LEADING:
        at += 1
    place = place_at(low, at)
    if not place or not place[1] or place[2] or "+" in place[1]:
        return ""
    after = low[at + place[0]] if at + place[0] < len(low) else ""
    begins = any(
        isinstance(one, PartMention) and not one.pronoun and one.start >= at + place[0]
        for one in view.mentions
    )
    return place[1] if begins and (after in {":", "-"} or (at and after in {",", "the"})) else ""


def _side_of(view: View) -> str:
    """Return the side that a sentence only names, as a heading does."""
    found = _ALONG.match(view.text)
    mention = view.mentions[int(found[1])] if found else None
    if isinstance(mention, PartMention) and not mention.position and "+" not in mention.side:
        return mention.side
    return ""


def carry_on(view: View, made: Sequence[Statement], context: Context) -> None:
    """Remember what the next sentence may speak of."""
    parts = tuple(one for one in view.mentions if isinstance(one, PartMention) and not one.pronoun)
    seen = tuple(
        PartMention(0, 0, one.fields["description"], one.fields.get("side", ""),
                    one.fields.get("position", ""))
        for one in made if one.kind == "survey" and one.fields.get("description")
    )  # fmt: skip
    bare = is_bare(view)
    if not seen and not parts:
        context.side = _side_of(view)
    if parts:
        context.parts = parts
        context.on_survey = bool(seen) or bare
    if parts or seen:
        context.told = seen or (parts if bare else ())
    context.fresh = bool(seen)
    context.asked = parts if bare else ()


def agreed(made: Sequence[Statement], context: Context) -> list[Statement]:
    """Return a sentence's statements without survey lines of what is dealt with or fits."""
    made = [one for one in made if one.kind != "survey" or not _TABLE_OF_FITS.search(one.words)]
    if any(one.kind == "feature" and one.fields.get("seen") == "no" for one in made):
        made = [one for one in made if one.fields.get("presence") != "missing"]
    kind = context.heading.get("kind", "survey")
    if kind != "survey":
        return [one for one in made if one.kind != "survey"]
    made = [one for one in made if not _put_on(one, context)]
    dealt = {_key(one) for one in made if one.kind in _OF_DEALING or one.kind == "fit"}
    dealt |= {one.fields.get("to_description", "").lower() for one in made if one.kind == "fit"}
    wanted = {_key(one) for one in made if one.kind == "want"}
    return [
        one
        for one in made
        if one.kind != "survey"
        or not (
            _key(one) in dealt or (_key(one) in wanted and one.fields.get("presence") != "missing")
        )
    ]


def _put_on(statement: Statement, context: Context) -> bool:
    """Tell whether "hinge on" ends a promise that the note told of."""
    fields = statement.fields
    return (
        statement.kind == "survey"
        and fields.get("presence") == "fitted"
        and not fields.get("service")
        and _key(statement).rsplit(" ", 1)[-1] in context.promised
    )


def _key(statement: Statement) -> str:
    return statement.fields.get("description", "").lower()
