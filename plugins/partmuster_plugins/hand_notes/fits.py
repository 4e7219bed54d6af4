"""What fits what, in a sentence of prose: a thing, a verb of fitting, where it goes, and how.

The verb is looked for first; the part before it is what is put on, the part or build behind it is
where; the words around tell the grade. A sentence in which neither a build nor a second part nor
"any" or "all" stands says nothing of what interchanges, and yields nothing.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from .names import NameMention
from .parts import PartMention
from .statement import Statement

if TYPE_CHECKING:
    from .acts import Act
    from .context import Context
    from .view import View

_P, _B, _N = r"<[pk]\d+>", r"<b\d+>", r"<[vn]\d+>"
_ANY = r"(?:any|all|every|either|both|each)"
_NOT = r"(?:(?:do|does|did|will|would|can|could|may|must|should|is|are) not|never|no longer|not)"
_PREP = r"(?:on to|onto|up to|over to|straight on|straight in|into|in place of|instead of|on|in|to|for|with|as)"
#: Verbs of fitting (common practice, no source).
_VERB = (
    r"(?:goes|go|fits|fit|bolts up|bolt up|bolts|bolt|slots|slot|drops|drop|will do|do|does|serves|serve|suits|suit|"
    r"replaces|replace|supersedes|supersede|interchanges|interchange|swaps|swap|works|work|"
    r"mates|mate|marries|marry|clears|clear|be used|be fitted|be put|be mixed|go straight|goes straight|"
    r"takes|take|accepts|accept|screws|screw|lines up|line up|sits|sit)"
)
_SAME = (
    r"(?:(?:is|are) (?:all )?(?:the same|identical|interchangeable|common)|a straight swap|straight swap|"
    r"(?:is|are) (?:no use|useless|no good)(?: at all)?|no use(?: at all)?|interchangeable|"
    r"(?:is|are) not (?:the same|interchangeable|a swap))"
)
_MODAL = r"(?:will|would|can|could|should|may|might)"
_PREDICATE = re.compile(
    rf" (?P<pred>(?:{_NOT} )?(?:{_MODAL} )?(?:{_NOT} )?(?:straight |only |just )?(?:{_VERB}|{_SAME})"
    rf"(?: (?:straight|right|directly|up|over|back|across|together))*)(?: (?P<prep>{_PREP}))?(?= )"
)
#: Verbs that need no word of place behind them.
_ALONE = re.compile(
    r"\b(?:fits?|replaces?|suits?|serves?|supersedes?|interchange\w*|same|identical|clears?|swap)\b"
)
_WORK = re.compile(
    r"(?:\bif (?:you|<i\d+>|we) (?:first )?|\bonce (?:you|<i\d+>)? ?|\bbut (?:you|<k\d+>|the|one|with|needs?|wants?)|\bafter\b|\bwith (?:the |a |some |two |three |four )?"
    r"(?:[\w<>]+ ){0,4}(?:drilled|redrilled|reamed|trimmed|filed|opened|ground|shimmed|packed|turned|cut|slotted|bushed|welded|moved)"
    r"|\b(?:drill|redrill|ream|trim|file|shim|weld|grind|slot|turn|open|fettle|pack|bush|cut|machine|"
    r"skim|elongate|lose|take \d+ ?mm|needs? (?:a |the )?(?:bit|little|drilling|reaming|shim|packing|spacer|work))\b)"
)
_SET = re.compile(
    r"\b(?:only (?:goes?|fits?|go over|works?|with|if|as)|only as a (?:set|pair)|as a (?:set|pair|matched pair)|"
    r"(?:not|never) singly|not without|without (?:its|their|the)|lapped together|go(?:es)? over only|"
    r"stay together|together with|must come with|(?:has|have) to come with|if and only if)\b"
)
_ONE_WAY = re.compile(
    r"\b(?:not (?:the )?(?:other way|back again|back|vice versa|in reverse|conversely)|never (?:the )?other way|"
    r"other way (?:round|about)? ?,? ?(?:no|never|is not|will not)|reverse is not|not the reverse|but not (?:the )?(?:early|late|reverse|other))\b"
)
_BOTH = re.compile(
    r"\b(?:and (?:the )?(?:other way|vice versa|conversely|back)|either way|both ways|and conversely)\b"
)
_NEVER = re.compile(rf"\b(?:{_NOT}|no use|useless|no good|never)\b")
_WHY = re.compile(r"(?: because | as the | since | ; the | , the | - the | \( )(?P<why>.+)$")


@dataclass(frozen=True, slots=True)
class _Side:
    part: PartMention | None
    build: str


def fits_in(act: Act, context: Context) -> list[Statement]:
    """Return what a sentence says of fitting."""
    view = act.view
    text = view.text
    made: list[Statement] = []
    end = 0
    for match in _PREDICATE.finditer(text):
        if match.start() < end:
            continue
        predicate = match["pred"]
        if not match["prep"] and not _ALONE.search(predicate) and not _NEVER.search(predicate):
            continue
        left = _before(view, match.start())
        if left is None:
            continue
        left = _Side(_meant(left.part, context), left.build)
        right, after = _after(view, match.end())
        tail = text[after:]
        head = text[max(0, match.start() - 30) : match.start()]
        if left.part is None or not _tells(left, right, predicate, tail):
            continue
        grade = _grade(predicate, text[match.start() : after], tail, head)
        if grade is None:
            continue
        made.append(_statement(act, context, left, right, grade, tail, match.start()))
        end = after
    return made


def _meant(part: PartMention | None, context: Context) -> PartMention | None:
    if part is None or not part.pronoun:
        return part
    if not context.parts:
        return None
    one = context.parts[-1]
    return replace(one, build=part.build if part.build not in {"", "other"} else one.build,
                   side=part.side or one.side)  # fmt: skip


_ITEM = re.compile(rf"{_P}|{_B}|{_N}|\b{_ANY}\b")


def _before(view: View, at: int) -> _Side | None:
    """Return what is put on: the last part before the verb, with the build said of it."""
    clause = max(view.text.rfind(sign, 0, at) for sign in (" ; ", " but ", " : "))
    text = view.text[max(clause, 0) : at]
    found = [match[0] for match in re.finditer(_P, text)]
    if not found:
        return None
    # "the filler of the late tank goes": the first part of the clause is what is put on
    part = view.parts(found[0] if len(found) == 1 else found[-1])[0]
    builds = [view.mention(m[0]) for m in re.finditer(_B, text)]
    build = part.build or " ".join(b.text for b in builds[-1:] if isinstance(b, NameMention))
    families = [view.mention(m[0]) for m in re.finditer(_N, text)]
    if not build and families and isinstance(families[-1], NameMention):
        build = families[-1].text
    return _Side(part, build)


def _after(view: View, at: int) -> tuple[_Side, int]:
    """Return where it goes, and where the words that say so end."""
    text = view.text
    stop = min((i for sign in (" , ", " ; ", " but ", " if ", " once ", " with ", " - ", " not ", " and ")
                if (i := text.find(sign, at)) >= 0), default=len(text))  # fmt: skip
    part: PartMention | None = None
    build = ""
    end = at
    for match in _ITEM.finditer(text, at, stop + 1):
        mark = match[0]
        if not mark.startswith("<"):
            build = build or mark
            end = match.end()
            continue
        mention = view.mention(mark)
        if isinstance(mention, PartMention):
            if part is not None:
                break
            part = mention
            build = _joined(build, mention.build)
        elif isinstance(mention, NameMention):
            build = _joined(build, mention.text)
        end = match.end()
    return _Side(part, build), max(end, at)


def _joined(first: str, second: str) -> str:
    return " ".join(word for word in (first, second) if word)


def _tells(left: _Side, right: _Side, predicate: str, tail: str) -> bool:
    """Tell whether a sentence is about what interchanges, and not about one vehicle's part."""
    builds = bool(left.build) + bool(right.build)
    if builds == 0:
        return bool(right.part and not right.part.pronoun and _SET.search(tail))
    return bool(right.build or right.part or "same" in predicate or "interchang" in predicate)


def _grade(predicate: str, middle: str, tail: str, head: str) -> str | None:
    """Return the grade that the verb and the words around it tell."""
    if _SET.search(f"{predicate} {middle} {tail}") or head.rstrip().endswith(" only"):
        return "only-as-a-set"
    if _NEVER.search(predicate):
        return "never"
    if _ONE_WAY.search(tail):
        return "one-way"
    if _WORK.search(tail):
        return "with-work"
    if re.match(r" ?(?:[,:;-] )?(?:no|never|not)\b", tail):
        return "never"
    return "as-is"


def _statement(
    act: Act, context: Context, left: _Side, right: _Side, grade: str, tail: str, at: int
) -> Statement:
    part = left.part
    assert part is not None
    fields = {
        "description": part.name, "side": part.side, "position": part.position,
        "build": left.build, "fit_grade": grade, "to_build": right.build,
    }  # fmt: skip
    if right.part is not None and not right.part.pronoun:
        fields |= {"to_description": right.part.name, "to_side": right.part.side,
                   "to_position": right.part.position}  # fmt: skip
    if grade == "with-work":
        fields["work"] = _plain(act, tail)
    if grade == "never" and (why := _WHY.search(tail)):
        fields["reason"] = _plain(act, why["why"])
    if grade == "only-as-a-set":
        companions = [p.name for p in act.view.parts(tail) if not p.pronoun]
        fields["companions"] = ", ".join(companions)
    said_by = ""
    first_hand = act.first_hand(at)
    if not first_hand and act.said_by:
        name = act.view.mention(act.said_by)
        said_by = name.text if isinstance(name, NameMention) else ""
    return Statement(
        kind="fit", rule="goes on", words=act.view.sentence.text,
        fields={key: value for key, value in fields.items() if value},
        sure=act.sure(at, at + 1), first_hand=first_hand, said_by=said_by, said_on=context.day,
    )  # fmt: skip


def _plain(act: Act, text: str) -> str:
    start = act.view.text.rfind(text)
    words = act.view.words_of(start, start + len(text)) if start >= 0 else text
    return words.strip(" ,.;-")
