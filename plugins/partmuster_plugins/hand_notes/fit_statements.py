"""From two things and a grade to the line of a fit."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import TYPE_CHECKING

from .clauses import place_of
from .expressions import expression
from .fit_grades import reason_in
from .fit_words import NO_THINGS
from .names import EVERYDAY, NameMention
from .parts import PartMention
from .statement import Statement

if TYPE_CHECKING:
    from collections.abc import Sequence

    from .acts import Act
    from .context import Context
    from .fit_grades import Verdict
    from .fit_phrases import Piece, Thing

#: What makes words doubtful, where "may be" only allows.
_DOUBTS = expression(
    r"\b(?:think|reckon|probably|perhaps|might|suspect|guess|possibly|maybe|believe|fancy|not "
    r"sure|unsure|likely|could be wrong|suppose|should think)\b|\?"
)
_ALLOWS = expression(
    r"\bmust (?:not )?be\b|\bmay (?:also )?(?:be \w+ed|be (?:hung|had|put)|take|go|replace|serve)\b"
)
_OF_BUILD = expression(
    r"(?:mk|mark)?[.]?\d*[a-h]?\*?|[ivx]+\*?|one|two|three|four|early|late|mid|later|earlier",
    re.IGNORECASE,
)


def meant(  # noqa: C901, PLR0911 - one place after another to look for it
    left: Thing,
    right: Thing,
    pieces: Sequence[Piece],
    at: int,
    context: Context,
    said_before: str = "",
) -> PartMention | None:
    """Return the part that is put on: named with the left thing, before it, or on the right."""
    if left.part is not None:
        return _numbered(left.part, left)
    if left.number and not left.builds:
        return PartMention(left.start, left.end, left.number)
    if said_before:
        return PartMention(0, 0, said_before)
    for number in range(at - 2, 0, -2):
        thing = pieces[number].thing
        if thing is not None and thing.part is not None:
            return thing.part
    if topic := _topic_words(pieces[0].text if pieces else ""):
        return PartMention(0, 0, topic)
    if left.builds and right.part is not None and not left.stands and not right.builds:
        return right.part
    if context.fits and (
        left.stands or not context.parts or context.parts[-1].name in context.fits[-1].words
    ):
        said = context.fits[-1].fields
        return PartMention(
            0, 0, said.get("description", ""), said.get("side", ""), said.get("position", "")
        )
    if context.parts:
        return replace(context.parts[-1], side=context.parts[-1].side)
    if context.fits:
        return PartMention(0, 0, context.fits[-1].fields.get("description", ""))
    return None


_ABOUT = expression(
    r"(?:^|.* )(?:about|of|re|on|for|with) (?:the |your |my |a |an |our |his |her "
    r")?(?P<what>[a-z]+(?: [a-z]+)?)(?: question)? ?[:,-]$"
    r"|^(?:the |and |also |now |so |as for (?:the |your )?)*(?P<alone>[a-z]{4,}(?: [a-z]{3,})?) "
    r"?[:,-]$"
)


def _topic_words(text: str) -> str:
    """Return what the words before a first thing speak of: "your question about the bevel box:"."""
    found = _ABOUT.match(text)
    words = (found["what"] or found["alone"] or "").split() if found else []
    plain = [word for word in words if word not in EVERYDAY and word not in NO_THINGS]
    return " ".join(words) if words and len(plain) == len(words) else ""


def _numbered(part: PartMention, thing: Thing) -> PartMention:
    if not thing.number or thing.number.lower() in part.name.lower():
        return part
    behind = part.end > thing.start and part.start == thing.start
    return replace(part, name=f"{part.name} {thing.number}") if behind else part


def fit_statement(
    act: Act,
    context: Context,
    left: Thing,
    right: Thing,
    part: PartMention,
    verdict: Verdict,
    pieces: Sequence[Piece] = (),
    tail: tuple[int, int] = (0, 0),
    work: str = "",
) -> Statement:
    """Return the line of a fit; who says it, and how surely, is the sentence's."""
    fields = {
        "description": part.name,
        "side": part.side,
        "position": part.position,
        "fit_grade": verdict.grade,
        "work": work,
        **build_fields(left, part),
        **build_fields(right, None, "to_"),
    }
    if left.number and not left.builds:
        fields["part_number"] = left.number
    if right.part is not None:
        name = right.part.name
        named = (
            f"{name} {right.number}" if right.number and right.part.start < right.end - 1 else name
        )
        fields |= {
            "to_description": named,
            "to_side": right.part.side,
            "to_position": right.part.position,
        }
    elif right.number and not right.builds:
        fields |= {"to_description": right.number, "to_part_number": right.number}
    if verdict.grade == "never":
        fields["reason"] = reason_in(act.view.sentence.text)
    if verdict.grade == "only-as-a-set":
        named_too = [
            piece.thing.part.name
            for piece in pieces[tail[0] : tail[1]]
            if piece.thing is not None and piece.thing.part is not None
        ]
        fields["companions"] = ", ".join(dict.fromkeys(named_too))
    return said(act, context, fields, left.start, untried=verdict.untried)


def said(
    act: Act,
    context: Context,
    fields: dict[str, str],
    at: int,
    *,
    untried: bool = False,
    rule: str = "goes on",
) -> Statement:
    """Return a line of a fit with whose words it is."""
    place = place_of(act, at)
    first_hand = act.first_hand(place)
    by = ""
    if not first_hand and act.said_by:
        name = act.view.mention(act.said_by)
        by = name.text if isinstance(name, NameMention) else ""
        if isinstance(name, NameMention) and name.pronoun:
            by = next((one for one in context.named), "")
    text = act.view.sentence.text.lower()
    sure = act.sure(place, place + 1)
    if not sure and _ALLOWS.search(text) and not _DOUBTS.search(text):
        sure = True
    return Statement(
        kind="fit",
        rule=rule,
        words=act.view.sentence.text,
        fields={key: value for key, value in fields.items() if value},
        sure=sure and not untried,
        first_hand=first_hand,
        said_by=by,
        said_on=context.day,
    )


def build_fields(thing: Thing, part: PartMention | None, prefix: str = "") -> dict[str, str]:
    """Return the builds of a thing as fields; a family alone is no build."""
    build = thing.builds or (part.build if part is not None else "")
    if thing.number and (part is None or thing.part is not None) and not build:
        return {f"{prefix}part_number": thing.number}
    family = " ".join(
        word for word in build.replace(",", " ").split() if not _OF_BUILD.fullmatch(word)
    )
    marks = " ".join(word for word in build.split() if _OF_BUILD.fullmatch(word))
    if family and thing.part is None and family.endswith("s") and not family.endswith("ss"):
        family = family[:-1]  # "the same on all Otters"
    marks = re.sub(
        r"\b([Ll]at|[Ee]arli)er\b",
        lambda found: "late" if found[1].lower() == "lat" else "early",
        marks,
    )
    fields = {f"{prefix}family": family, f"{prefix}build": marks}
    return {key: value for key, value in fields.items() if value}
