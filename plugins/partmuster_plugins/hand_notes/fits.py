"""What fits what, in a sentence of prose: two things, the words between them, and a verdict.

A verb of fitting says that one thing goes on the other; with a mere "on" or "to" between them a
verdict must follow ("late onto early: no"). Where nothing tells of builds, part numbers, hands or a
set, nothing is said of what interchanges.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from . import fit_words as w
from .contractions import opened
from .expressions import expression
from .fit_builds import PHASES
from .fit_gate import may_tell_fits
from .fit_grades import Verdict, verdict_of, work_in
from .fit_phrases import Thing, pieces_of, signs
from .fit_segments import segments, without_asides
from .fit_single import BACK, single_fits
from .fit_statements import build_fields, fit_statement, meant
from .lexicon import lexicon, singular

if TYPE_CHECKING:
    from collections.abc import Sequence

    from .acts import Act
    from .context import Context
    from .fit_phrases import Piece
    from .statement import Statement

_ASKS = expression(
    r"(?:^|[,:;] |\b(?:know|if|whether|tell me) )\W*(?:(?:and|so|but|also|well|ps) )*(?:can|"
    r"could|will|would|does|do|is|are|may|might|should)\b",
    re.IGNORECASE,
)
#: A remark of so few words does not turn to something else ("tried it").
_PASSING = 10
_HAS_PUT = expression(r"\b(?:can|could|may|have|has|i|we|he|she|they|you)(?: \w+){0,2}$")
_IF = expression(
    r"\b(?:if|unless|whether|wonder|hope|want|like|plan|need|wanted|going|must|should|will|shall)\b"
)
_FOULS = expression(
    r"(?:fouls?|binds?|strips?|hits?|rubs?|catches|needs?|requires?|wants?|takes?)\b"
)
_OFF = expression(r"(?:(?:and|or|but|so|what about|how about|ones?) )*(?:off|from|of)")
_OF_LAST = frozenset({"build", "family", "work", "reason", "companions"})
_NONE_OF = expression(
    r"(?:^|[,;:.] |\b(?:but|and|says|that) )(?:none of|not one of|neither of|no)$"
)
_THERE = expression(r"(?:in|on|into|onto)? ?there\b")


@dataclass(frozen=True, slots=True)
class Relation:
    """Two things of which a sentence says how one goes on the other; ``at``: of its pieces."""

    left: Thing
    right: Thing
    verdict: Verdict
    at: int
    tail: tuple[int, int]
    verb: bool = False


def fits_in(act: Act, context: Context) -> list[Statement]:
    """Return what a sentence says of fitting."""
    asks = act.view.sentence.asks
    if asks and context.fits and not act.view.sentence.first:
        context.fit_asked = _asked_again(pieces_of(without_asides(act)), context)
        if context.fit_asked is not None:
            return []
    if not may_tell_fits(act.view.sentence.text, context):
        context.fit_asked = None
        context.fits = context.fits if len(act.view.sentence.words) <= _PASSING else ()
        return []
    if asks:
        context.fits = ()
        ask_of_fit(act, context)
        return []
    made: list[Statement] = []
    for words in segments(without_asides(act)):
        pieces = pieces_of(words)
        asked, context.fit_asked = context.fit_asked, None
        relations = _relations(pieces, context)
        said: list[Statement] = []
        for relation in relations:
            before = said[0].fields.get("description", "") if said else ""
            one = _statement(act, context, pieces, relation, before)
            said += [one] if one is not None else []
        said = said or single_fits(act, context, pieces, asked)
        context.fits = tuple(said) or context.fits
        made += said
    if not made and len(act.view.sentence.words) > _PASSING:
        context.fits = ()
    return made


def ask_of_fit(act: Act, context: Context) -> None:
    """Remember what a question asks of fitting, for the answer behind it."""
    context.fit_asked = None
    pieces: list[Piece] = []
    if not _ASKS.search(opened(act.view.sentence.text)):
        if not _MARK.search(act.view.sentence.text) and not context.fits:
            return
        pieces = pieces_of(without_asides(act))
        context.fit_asked = _asked_again(pieces, context)
        if context.fit_asked or not (pieces[0].text == "" and len(pieces) > 1):
            return
    pieces = pieces or pieces_of(without_asides(act))
    if any(piece.thing is not None and piece.thing.part is not None for piece in pieces):
        context.fits = ()
    for at in range(1, len(pieces) - 3, 2):
        left, between, right = pieces[at].thing, pieces[at + 1].text, pieces[at + 2].thing
        if left is None or right is None:
            continue
        asked = re.sub(r"^(?:,|a|an|any) ", "", between)
        if not (
            w.LINK.fullmatch(between) or w.BARE.fullmatch(asked) or w.LINK.fullmatch(f"is {asked}")
        ):
            continue
        relation = Relation(left, right, Verdict("as-is"), at, (at + 3, at + 3))
        found = _statement(act, context, pieces, relation)
        if found:
            context.fit_asked = found
            return


def _asked_again(pieces: Sequence[Piece], context: Context) -> Statement | None:
    """Return the last fit as asked of another build: "Off an Otter?"."""
    if not context.fits or len(pieces) < 3 or pieces[1].thing is None:  # noqa: PLR2004 - one thing
        return None
    thing = pieces[1].thing
    if thing.part or not thing.builds or not _OFF.fullmatch(pieces[0].text):
        return None
    kept = {k: v for k, v in context.fits[-1].fields.items() if k not in _OF_LAST}
    return replace(context.fits[-1], fields={**kept, **build_fields(thing, None)})


def _relations(pieces: Sequence[Piece], context: Context) -> list[Relation]:  # noqa: C901 - what two things need between them
    found: list[Relation] = []
    places = list(range(1, len(pieces) - 2, 2))
    hits: list[tuple[int, str]] = []
    taken = -1
    for at in places:
        if at <= taken or _says_why(pieces, at, hits):
            continue
        kind = _link(pieces, at) if "<t>" in {pieces[at].sign, pieces[at + 2].sign} else ""
        if kind:
            hits.append((at, kind))
            taken = at + 1 if kind != "mix" else at
    for number, (at, kind) in enumerate(hits):
        left, right = pieces[at].thing, pieces[at + 2].thing
        if left is None or right is None:
            continue
        stop = hits[number + 1][0] if number + 1 < len(hits) else len(pieces)
        tail = _text(pieces, at + 3, stop)
        before = pieces[at - 1].text
        if number + 1 < len(hits):
            tail = re.sub(r"(?:^| )(?:[,;] )?(?:but|and|or|nor)(?: not)?$|(?:^| )not$", "", tail)
        verdict = _verdict(
            kind,
            before,
            pieces[at + 1].text,
            tail,
            found,
            context.fits[-1].fields["fit_grade"] if context.fits else "",
            relative=at > 1 and pieces[at - 2].thing is not None,
        )
        if verdict is None:
            continue
        if kind == "replaced":
            left, right = right, left
        if (
            number
            and re.match(r"(?:,|and|but|or|;|-) ", pieces[at + 1].text)
            and hits[number - 1][0] + 2 == at
        ):
            left = pieces[hits[number - 1][0]].thing or left
        if left.stands and not left.builds and left.stands in {"it", "they", "them"}:
            left = _topic(pieces, at, context) or left
        found.append(Relation(left, right, verdict, at, (at + 3, stop), kind == "verb"))
    return found


def _says_why(pieces: Sequence[Piece], at: int, hits: Sequence[tuple[int, str]]) -> bool:
    """Tell whether a verb is the verdict on two things, and no fit: "on an Otter fouls the arm"."""
    behind = bool(hits) and hits[-1] == (at - 2, "bare")
    return behind and _FOULS.match(pieces[at + 1].text) is not None


def _topic(pieces: Sequence[Piece], at: int, context: Context) -> Thing | None:
    """Return what "it" is: the thing named before in the sentence, with its builds."""
    for number in range(at - 2, 0, -2):
        thing = pieces[number].thing
        if thing is not None and thing.part is not None:
            return thing
    if context.parts:
        part = context.parts[-1]
        return Thing(0, 0, part, builds=part.build)
    return None


def _link(pieces: Sequence[Piece], at: int) -> str:  # noqa: PLR0911 - one line a kind of link
    between = pieces[at + 1].text
    between = re.sub(
        r"^(?:s )?[,:;-] (?=(?:it |they )?(?:will|can|fits|goes|does|do|is|are)\b)", "", between
    )
    if w.REPLACED.fullmatch(between):
        return "replaced"
    if w.EQUAL.fullmatch(between):
        return "equal"
    put = w.PUT.match(pieces[at - 1].text)
    if put and re.fullmatch(rf"{w.PREP} (?:[\w']+ ){{1,3}},", between):
        return "bare"  # "on Otter 3, a Mk 2"
    if w.BARE.fullmatch(between) or (between == "-" and _both_builds(pieces, at)):
        return "bare"
    left, right = pieces[at].thing, pieces[at + 2].thing
    if (
        between in {",", ""}
        and left
        and right
        and left.builds
        and right.builds
        and left.part
        and (re.match(r"[-:=] ", pieces[at + 3].text if at + 3 < len(pieces) else ""))
    ):
        return "comma"
    if between == "and" and at + 3 < len(pieces) and _MIX.match(pieces[at + 3].text):
        return "mix"
    if w.LINK.fullmatch(between):
        return "verb"
    if _THERE.fullmatch(between):
        return ""
    return ""


_MIX = expression(
    r"^(?:(?:will|do|does|can|are|is|must|should) )?(?:all |both )?(?:not |never )?(?:be "
    r")?(?:interchange\w*|mix\w*|swap\w*|the same|identical|alike|different|a straight swap|go "
    r"together|swap|exchange|trade places|change places)"
)


def _both_builds(pieces: Sequence[Piece], at: int) -> bool:
    left, right = pieces[at].thing, pieces[at + 2].thing
    return bool(
        left and right and left.builds and right.builds and not left.part and not right.part
    )


def _text(pieces: Sequence[Piece], start: int, stop: int) -> str:
    """Return the words of some pieces, a thing as ``<t>``."""
    return signs(pieces[start:stop])


def _verdict(  # noqa: C901, PLR0911 - one line a way to say it
    kind: str,
    before: str,
    between: str,
    tail: str,
    earlier: Sequence[Relation],
    last: str,
    *,
    relative: bool = False,
) -> Verdict | None:
    """Return how one thing goes on the other, or None where the words say nothing of it."""
    put = bool(w.PUT.match(before))
    clause = re.split(r"[;:,]|\bbut\b", before)[-1]
    if kind == "mix":
        return verdict_of(tail, verb="")
    if kind in {"replaced", "equal"}:
        return verdict_of(tail, verb=between)
    if kind == "comma":
        return verdict_of(tail, verb="", bare=True)
    if kind == "verb":
        if (w.NOT.search(clause) and put) or _NONE_OF.search(before):
            return verdict_of(tail, verb=f"not {between}")
        if re.search(r"\b(?:which|to|who)$", before) or (before == "that" and relative):
            return None
        head = "only" if re.search(r"\bonly$", before) else ""
        return verdict_of(tail, verb=f"{head} {between}".strip())
    if put:
        if w.NOT.search(clause):
            return verdict_of(tail, verb="not")
        told = verdict_of(tail, verb="", bare=True)
        if told is not None:
            return told
        doing = w.PUT.match(before) and _HAS_PUT.search(re.sub(r" \w+$", "", clause))
        return None if _IF.search(clause) or not doing else verdict_of(tail, verb="put")
    if w.DITTO.match(tail) and (earlier or last):
        return Verdict(earlier[-1].verdict.grade if earlier else last)
    if re.search(r"\bnot$", before):
        return Verdict("never")
    told = verdict_of(tail, verb="", bare=True)
    if (
        told is None
        and earlier
        and re.search(r"(?:^|[,;] )(?:and|but|or|nor|also|same for)$|^,$", before)
    ):
        return replace(earlier[-1].verdict, work="")
    return told


def _statement(
    act: Act, context: Context, pieces: Sequence[Piece], relation: Relation, before: str = ""
) -> Statement | None:
    """Return the line of a relation; ``before``: the part of the one before it in the sentence."""
    left, right = relation.left, relation.right
    if right.stands in {"other", "either"} and left.every:
        right = replace(right, builds=left.builds, every=left.every)
    alike = (
        w.ALL_ALIKE.search(pieces[relation.at + 1].text) if relation.at + 1 < len(pieces) else None
    )
    if alike and right.builds and not left.builds and right.part is None:
        halves = re.split(r" and | or |, ", right.builds)
        if len(halves) == 2 and not right.every:  # noqa: PLR2004 - "the same on Mk 1 and Mk 2"
            left, right = replace(left, builds=halves[0]), replace(right, builds=halves[1])
        else:
            left = replace(left, builds=right.builds, every=right.every)
    if (
        right.part is not None
        and right.builds
        and right.part.name.istitle()
        and not re.search(r"\d|early|late", right.builds.lower())
    ):
        return None  # "to Fettler Jacks"
    part = meant(left, right, pieces, relation.at, context, before)
    if part is None or _is_everyday(left, right):
        return None
    if (
        left.part is None
        and not left.stands
        and not left.every
        and not _MARK.search(left.builds)
        and not (right.builds or left.number)
    ):
        return None  # "the Duchess had her mast up"
    numbered = bool(left.number and (right.number or right.builds))
    made = bool(left.builds) + bool(right.builds)
    if left.stands in _OWN and right.builds and context.fits:
        return _back(act, context, relation)
    if not numbered and (made == 0 or (made == 1 and not _is_on_build(left, right, relation))):
        return None
    if right.part is not None and right.part.name.lower() == part.name.lower() and right.builds:
        right = replace(right, part=None)
    work = work_in(act, pieces, relation.tail) if relation.verdict.grade == "with-work" else ""
    return fit_statement(
        act, context, left, right, part, relation.verdict, pieces, relation.tail, work
    )


def _is_everyday(left: Thing, right: Thing) -> bool:
    """Tell whether early and late things are said to fit of which the trade knows neither."""
    things = [one for one in (left, right) if one.part is not None]
    if len(things) < 2 or not all(PHASES.issuperset(one.builds.lower().split()) for one in things):  # noqa: PLR2004 - both
        return False
    return not any(
        singular(word.lower()) in lexicon().tokens
        for one in things
        if one.part is not None
        for word in one.part.name.split()
    )


_MARK = expression(r"\d|\b(?:early|late|mid|later|earlier|mk|mark)\b", re.IGNORECASE)
_OWN = frozenset({"mine", "yours", "ours", "hers"})


def _back(act: Act, context: Context, relation: Relation) -> Statement | None:
    """Return what is said of one's own the other way round: "mine on a Mk 2, no"."""
    last = context.fits[-1]
    if relation.verdict.grade != "never" or last.fields.get("to_build"):
        return None
    return replace(last, rule=BACK, words=act.view.sentence.text)


def _is_on_build(left: Thing, right: Thing, relation: Relation) -> bool:
    """Tell whether one build is enough: the other side is a part, or a vehicle's own."""
    if left.part is not None and left.part.donor and right.builds:
        return True
    if right.builds and right.part is not None and relation.verb:
        return True
    if left.builds:
        return (
            right.part is not None
            or bool(right.stands)
            or relation.verdict.grade == "only-as-a-set"
        )
    return relation.verdict.grade in {"never", "with-work", "only-as-a-set"} and bool(
        right.part or left.part
    )
