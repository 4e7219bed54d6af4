"""Fits said of one thing: alike in all builds, only as a set, handed; answers and corrections."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import TYPE_CHECKING

from . import fit_words as w
from .expressions import expression
from .fit_grades import Verdict, verdict_of
from .fit_phrases import Thing, pieces_of, signs
from .fit_statements import build_fields, fit_statement, said
from .parts import PartMention

if TYPE_CHECKING:
    from collections.abc import Sequence

    from .acts import Act
    from .context import Context
    from .fit_phrases import Piece
    from .statement import Statement

#: Rules that change what was said before; ``fit_settling`` takes them up.
NOT_SO, BACK, UNTRIED = "not so", "not back", "untried"
_STATES = expression(
    r"\b(?:gone|missing|seized|broken|worn|cracked|wanted|spare|sale|sell|sold|swap(?! (?:it|"
    r"them|about|freely|over|as|any)\b)|offers?|"
    r"collected|promised|stolen|lost|found|bought|rusted|welded)\b"
)
_AS_IS = Verdict("as-is")
_UNTRIED = expression(
    r"\b(?:have|has|had) (?:not|never) (?:done|tried)(?: (?:it|that|this))?\b|\buntried\b"
)
_ELLIPSIS = expression(
    r"^(?:will|would|does|do|can|could) (?P<neg>not|never)?(?: ?(?:go|fit|do|work|swap|"
    r"interchange|suit|be used|any good))*"
    r"(?: (?:in|on|straight on|there|too|either|as well|at all|go|fit))*(?= ?$| ?[,;:-]| (?:if|"
    r"once|with|because|as|when|but)\b)"
)
_PLACED = expression(
    r"^(?:in|on|in there|to fit|to go|to go on|to work)(?= ?$| ?[,;:]| (?:if|once|with|after|by)\b)"
)


_REVERSED = expression(
    r"^(?:(?:but|and|,|it) )*(?:the )?(?:other way (?:round|about|around)?|reverse|vice versa|"
    r"conversely)(?P<tail>.*)$"
)
_REFUSED = expression(
    r"\b(?:will|would|does|do|can|is) (?:just |simply |certainly )?(?:not|never)\b"
)
_THIS = expression(
    r"^(?P<verb>(?:will|can|could|would|does|do|is|are) .*(?:on|in|to|onto|into|with|for|up to)) "
    r"(?:this|her|it|mine|ours|him|this one|that one|my \w+|our \w+)(?= ?(?:$|[,;:-]|if |once |"
    r"unless |because |without |after |with ))"
)
#: "Any of them fits any of them": of the part named before.
_ANY_ANY = expression(
    r"^any (?:of )?(?:<t>|them|one) ?(?:fits?|goes? on|go with|does for|swaps? with|on|for) any\b"
)


_TRIED = expression(r"^(?:was|were|has been|got) (?:offered up|tried)(?: for size| on her| on it)?")


def single_fits(  # noqa: PLR0911 - what changes an earlier fit first
    act: Act, context: Context, pieces: Sequence[Piece], asked: Statement | None
) -> list[Statement]:
    """Return what a sentence says of fitting that names only one thing, or none."""
    text = _text(pieces)
    low = " ".join(filter(None, (piece.text for piece in pieces))).rstrip(" ;")
    opens = act.view.sentence.first
    if asked is not None and (answer := _answer(act, asked, text)):
        return [answer]
    if context.fits and not opens and _UNTRIED.search(low):
        return [replace(context.fits[-1], rule=UNTRIED, words=act.view.sentence.text)]
    if context.fits and not opens and w.NOT_SO.match(low):
        return [replace(context.fits[-1], rule=NOT_SO, words=act.view.sentence.text)]
    if context.fits and (back := _other_way(act, context, low)):
        return [back]
    if context.fits and (w.REVERSE.match(low) or w.ONE_WAY.search(low)) and len(low.split()) < 12:  # noqa: PLR2004
        if w.ONE_WAY.search(low):
            return [replace(context.fits[-1], rule=BACK, words=act.view.sentence.text)]
        return []
    for find in (_on_this, _left_out, _mixed, _handed, _alike, _as_set):
        found = find(act, context, pieces, text, low)
        if found is not None:
            return [found]
    return []


def _other_way(act: Act, context: Context, low: str) -> Statement | None:
    """Return what a fit that takes work is the other way round, where that never goes."""
    last = context.fits[-1]
    behind = _REVERSED.match(low)
    if not behind or last.fields["fit_grade"] != "with-work" or not last.fields.get("to_build"):
        return None
    if not (_REFUSED.search(behind["tail"]) or w.NO.match(behind["tail"])):
        return None
    kept = {k: v for k, v in last.fields.items() if k in {"description", "side", "position"}}
    turned = {
        "build": last.fields["to_build"], "family": last.fields.get("to_family", ""),
        "to_build": last.fields.get("build", ""), "to_family": last.fields.get("family", ""),
        "fit_grade": "never",
    }  # fmt: skip
    fields = kept | {key: value for key, value in turned.items() if value}
    return replace(last, fields=fields, words=act.view.sentence.text, rule="never the other way")


def _text(pieces: Sequence[Piece]) -> str:
    return signs(pieces)


def _answer(act: Act, asked: Statement, text: str) -> Statement | None:
    """Return what was asked, graded by the answer: "Yes, no bother", "No, never"."""
    if act.view.sentence.asks:
        return None
    text = re.sub(
        r"^(?:<t>|[a-z]+(?: [a-z]+)?) (?:told (?:me|us)|says|said|reckons|thinks|swears|tells "
        r"me) (?:that )?",
        "",
        text,
    )
    start = re.sub(r"^(?:(?:well|oh|er|um|ah|,|;) )*", "", text)
    if not (w.YES.match(start) or w.NO.match(start) or re.match(r"(?:only|goes|with|if) ", start)):
        return None
    verdict = verdict_of(start, verb="", bare=True)
    if verdict is None:
        return None
    fields = {**asked.fields, "fit_grade": verdict.grade}
    return replace(
        asked,
        fields=fields,
        words=act.view.sentence.text,
        rule="answered",
        sure=act.sure(0, len(act.view.text)),
        first_hand=act.first_hand(0),
    )


def _first_part(pieces: Sequence[Piece]) -> tuple[int, Thing] | None:
    for at, piece in enumerate(pieces):
        if piece.thing is not None and piece.thing.part is not None:
            return at, piece.thing
    return None


def _before_alike(pieces: Sequence[Piece]) -> tuple[int, Thing] | None:
    """Return the part right before "are the same"."""
    for at, piece in enumerate(pieces[:-1]):
        thing = piece.thing
        if (
            thing is not None
            and thing.part is not None
            and re.match(
                r"(?:is|are) (?:all )?(?:the )?(?:same|identical|interchangeable|common|"
                r"universal)\b",
                pieces[at + 1].text,
            )
        ):
            return at, thing
    return None


def _left_out(  # noqa: C901 - each way to leave a side out
    act: Act, context: Context, pieces: Sequence[Piece], _text: str, _low: str
) -> Statement | None:
    """Return a fit of which only one side is said again: "The running board will not"."""
    for at, piece in enumerate(pieces):
        thing = piece.thing
        if thing is None or at + 1 >= len(pieces):
            continue
        behind = pieces[at + 1].text
        tail = signs(pieces[at + 2 :])
        if thing.builds and w.PUT.match(pieces[at - 1].text) and (placed := _PLACED.match(behind)):
            verdict = verdict_of(f"{behind[placed.end() :]} {tail}".strip(), verb="put")
            part = _part_of(thing, pieces, at, context)
            if verdict is not None and part is not None:
                return fit_statement(
                    act, context, thing, Thing(0, 0), part, verdict, pieces, (at + 1, len(pieces))
                )
        if (
            thing.builds
            and thing.part is not None
            and (tried := _TRIED.match(behind))
            and (w.NO.match(behind[tried.end() :].strip()) or w.NO.match(tail))
        ):
            return fit_statement(act, context, thing, Thing(0, 0), thing.part, Verdict("never"))
        found = _ELLIPSIS.match(behind)
        if not found or not context.fits or not (thing.part or thing.builds):
            continue
        last = context.fits[0].fields
        part = _part_of(thing, pieces, at, context)
        if part is None:
            continue
        verdict = verdict_of(f"{behind[found.end() :]} {tail}".strip(), verb=found[0])
        if verdict is None:
            continue
        fields = {
            **{key: last[key] for key in _ENDS if last.get(key)},
            "description": part.name,
            "side": part.side,
            "position": part.position,
            "fit_grade": verdict.grade,
        }
        if thing.builds:
            fields = {**_without(fields, ("build", "family")), **build_fields(thing, part)}
        there = [one.thing for one in pieces[:at] if one.thing is not None and one.thing.builds]
        if there and not there[-1].part and " there" in found[0]:
            fields = {**_without(fields, _ENDS[2:]), **build_fields(there[-1], None, "to_")}
        return said(
            act,
            context,
            fields,
            thing.start,
            untried=verdict.untried,
            rule="goes on as said before",
        )
    return None


_ENDS = ("build", "family", "to_build", "to_family", "to_description", "to_part_number")


def _without(fields: dict[str, str], names: Sequence[str]) -> dict[str, str]:
    return {key: value for key, value in fields.items() if key not in names}


def _part_of(
    thing: Thing, pieces: Sequence[Piece], at: int, context: Context
) -> PartMention | None:
    if thing.part is not None:
        return thing.part
    for number in range(at - 2, 0, -2):
        before = pieces[number].thing
        if before is not None and before.part is not None:
            return before.part
    if context.fits:
        last = context.fits[-1].fields
        return PartMention(
            0, 0, last.get("description", ""), last.get("side", ""), last.get("position", "")
        )
    return context.parts[-1] if context.parts else None


def _on_this(
    act: Act, context: Context, pieces: Sequence[Piece], _text: str, _low: str
) -> Statement | None:
    """Return how a build's part goes on the vehicle at hand: "can never be used on this"."""
    for at, piece in enumerate(pieces[:-1]):
        thing = piece.thing
        found = _THIS.match(pieces[at + 1].text) if thing is not None else None
        if thing is None or thing.part is None or not thing.builds or found is None:
            continue
        if not w.LINK.fullmatch(found["verb"]):
            continue
        tail = f"{pieces[at + 1].text[found.end() :]} {signs(pieces[at + 2 :])}".strip()
        verdict = verdict_of(tail, verb=found["verb"])
        if verdict is not None:
            return fit_statement(
                act, context, thing, Thing(0, 0), thing.part, verdict, pieces, (at + 1, len(pieces))
            )
    return None


def _mixed(
    act: Act, context: Context, _pieces: Sequence[Piece], _text: str, low: str
) -> Statement | None:
    """Return "never mix them" of two builds told apart in one sentence."""
    if not re.search(r"\b(?:never|do not|can not|must not) (?:mix|swap|interchange)\b", low):
        return None
    whole = pieces_of(act.view.sentence.words)
    built = [one.thing for one in whole if one.thing is not None and one.thing.builds]
    first = _first_part(whole)
    if len(built) < 2 or first is None or first[1].part is None:  # noqa: PLR2004 - two builds
        return None
    return fit_statement(
        act, context, built[0], replace(built[1], part=None), first[1].part, Verdict("never")
    )


def _handed(
    act: Act, context: Context, pieces: Sequence[Piece], _text: str, low: str
) -> Statement | None:
    """Return what is said of one hand in place of the other."""
    never = w.HANDED.search(low)
    if not never and not (w.EITHER_SIDE.search(low) and not act.view.sentence.asks):
        return None
    first = _first_part(pieces)
    part = first[1].part if first is not None else (context.parts[-1] if context.parts else None)
    if first is None and context.fits:
        part = PartMention(0, 0, context.fits[-1].fields.get("description", ""))
    if part is None or re.search(r"\b(?:gone|missing|wanted|for sale|spare)\b", low):
        return None
    sides = re.findall(r"\b(?:left|right|lh|rh)\b", low)
    first_side = "right" if sides[:1] in (["right"], ["rh"]) and len(sides) > 1 else "left"
    fields = {
        "description": part.name,
        "position": part.position,
        "side": first_side,
        "to_side": "left" if first_side == "right" else "right",
        "fit_grade": "never" if never else "as-is",
    }
    return said(act, context, fields, 0, rule="one hand for the other")


def _alike(
    act: Act, context: Context, pieces: Sequence[Piece], _text: str, low: str
) -> Statement | None:
    """Return what is the same in several builds: "any Bramble", "Mk 1 or Mk 2, no difference"."""
    first = _before_alike(pieces) or _first_part(pieces)
    if first is None and context.parts and _ANY_ANY.match(signs(pieces)):
        return fit_statement(act, context, Thing(0, 0), Thing(0, 0), context.parts[-1], _AS_IS)
    part = first[1].part if first is not None else None
    if first is None or part is None:
        return None
    at, thing = first
    tail = signs(pieces[at + 1 :])
    others = [one.thing for one in pieces[at + 1 :] if one.thing is not None and one.thing.builds]
    listed = [
        one for one in (thing, *others) if one.every or re.search(r" or | and |, ", one.builds)
    ]
    whole = next(iter(listed), None) or (thing if thing.builds else next(iter(others), None))
    raw = " ".join(one.text for one in pieces[at + 1 :])
    alike = (
        w.ALL_ALIKE.search(tail)
        or w.ALL_ALIKE.search(raw)
        or re.search(r"\b(?:are|is) <t>\b", tail)
    )
    if not alike or w.NOT.search(tail) or _STATES.search(low):
        return None
    if whole is not None and (whole.every or re.search(r" or | and |, ", whole.builds)):
        halves = re.split(r" or | and |, ", whole.builds)
        first_one, last_one = (halves[0], halves[-1]) if not whole.every else (whole.builds,) * 2
        return fit_statement(
            act,
            context,
            replace(thing, builds=first_one, every=whole.every),
            replace(whole, part=None, builds=last_one),
            part,
            Verdict("as-is"),
        )
    if w.MARKS.search(low) and whole is None:
        return fit_statement(act, context, thing, Thing(0, 0), part, Verdict("as-is"))
    return None


def _as_set(
    act: Act, context: Context, pieces: Sequence[Piece], _text: str, low: str
) -> Statement | None:
    """Return what goes only together."""
    first = _first_part(pieces)
    if _STATES.search(low):
        return None
    if first is None:
        bare = re.match(r"^(?:(?:as|in) (?:a )?(?:\w+ )?(?:set|pair)s? only|only as a set)", low)
        if bare and context.parts and not context.fits:
            part = context.parts[0]
            fields = {"description": part.name, "fit_grade": "only-as-a-set"}
            return said(act, context, fields, 0, rule="only together")
        return None
    at, thing = first
    tail = signs(pieces[at + 1 :])
    raw = " ".join(one.text for one in pieces[at + 1 :]).rstrip(" ;,")
    if thing.part is None or not (w.SET.search(tail) or w.SET.search(raw)):
        return None
    whose = thing
    if context.fits:
        last = context.fits[-1].fields.get("description", "").lower()
        same = [
            one.thing
            for one in pieces
            if one.thing is not None
            and one.thing.part is not None
            and one.thing.part.name.lower() == last
        ]
        whose = same[0] if same else thing
    if whose.part is None:
        return None
    return fit_statement(
        act,
        context,
        whose,
        Thing(0, 0),
        whose.part,
        Verdict("only-as-a-set"),
        pieces,
        (at + 1, len(pieces)),
    )
