"""Features seen on a vehicle: construction, castings, plates, dates, marks; by the words that tell them.

A clause tells a feature where it says how a thing is made ("riveted, not welded"), what stands on it
("stamped AD"), or how many of a detail it has ("five slots, not four"). What somebody looked for and
did not find is a feature too. Only the clause is kept, in the note's own words.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from .acts import is_plan
from .names import NameMention
from .statement import Statement

if TYPE_CHECKING:
    from .acts import Act
    from .context import Context

_NUMBER = r"(?:\d+|one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve)"
#: Small things that are counted to tell a build (common practice, no source).
_DETAIL = (
    r"(?:holes?|ribs?|slots?|knuckles?|spokes?|teeth|tooth|studs?|rivets?|louvres?|louvers?|fins?|splines?|"
    r"screws?|bolts?|lugs?|segments?|vanes?|leaves|rows?|pieces?|piece|webs?|bosses|boss|flutes?)"
)
_MARKED = re.compile(
    r"\b(?:stamped|punched|stencilled|stenciled|chalked|scratched|engraved|embossed|etched|inscribed|"
    r"lettered|cast in|cast on|cast into|cast with|cast -|cast \"|cast-in|raised letters|raised figures|"
    r"numbered|carved|cut into|painted on|painted in|marked|branded|tallied)\b"
    r"|\b(?:reads|reading|says|bears|carries|carrying|wears)\b(?=.*(?:\"|\d|[A-Z]{2}))"
    r"|\b(?:casting|foundry|forging|inspector's|inspection|maker's|acceptance|unit|chalk|casting date) (?:marks?|numbers?|no|dates?|stamps?|codes?)\b"
    r"|\b(?:date code|date-code|casting no|cast no|batch number|serial no|serial number|chassis number|engine number|hull number)\b"
    r"|\b(?:badge|emblem|insignia|crest|transfer|lozenge|diamond|triangle|white bar|red stripe|roundel|star)\b"
    r"|\b(?:data plate|maker's plate|builder's plate|engine plate|chassis plate|brass plate|brass tag|brass tally|works plate)\b"
    r"(?=.*\b(?:reads|says|dated|number|with|two|has|none|missing|not there|filed|blank)\b)"
)
_MADE = re.compile(
    r"\b(?:riveted|welded|spot welded|bolted|cast iron|folded|pressed|drilled|pierced|bored|joined|chamfered|"
    r"ribbed|dished|spoked|louvred|fabricated|forged|machined|hinged|one piece|in one piece|two piece|2 piece|"
    r"in two pieces|two halves|single weld|ground flush|stitched|flush|continuous)\b"
)
_CAST = re.compile(r"\b(?:is|are|was|were) (?:a )?cast(?:ing)?\b")
_COUNTED = re.compile(
    rf"\b(?:has|have|having|with|carries|there is|there are|is|are|of|got|by|through|into)\b(?: [\w-]+){{0,3}} {_NUMBER}(?: [\w-]+){{0,2}} {_DETAIL}\b"
    rf"|\b{_NUMBER}(?: [\w-]+){{0,2}} {_DETAIL}\b"
)
_NOT_BUT = re.compile(
    rf"\b{_NUMBER}\b[^,;]*,? (?:and )?not (?:{_NUMBER}|in|on|the|a|hexagon|hex)\b|, not \w+$"
)
_SHAPE = re.compile(
    r"\b(?:is|are|was|were) (?:the )?(?:square|round|oval|curved|straight|flat|sloping|stepped|hexagon|hex|"
    r"tapered|rounded|domed|bevelled)\b"
)
_LOOKED = re.compile(
    r"\b(?:looked (?:hard )?for|searched for|hunted for|no sign (?:of|there ever)|no trace of|ever been|ever was|ever were|"
    r"could (?:see|find) no|found no|could not find|i did look|looked , (?:none|not there)|none (?:of .* )?is stamped)\b"
)
_NONE = re.compile(r"\b(?:no|none|not there|is not one|not a|without)\b")
#: What is said of work to do, of a state or of fitting is no feature.
_OTHERWISE = re.compile(
    r"\b(?:needs?|will need|want|wants|to be|should be|must be|could be|can be|if you|have to|"
    r"drill(?:ing)?|weld(?:ing)? (?:it|up|them)|missing|gone|broken|cracked|seized|snapped|sheared|lost|loose|"
    r"spare|swap|sale|offer|shelf|boxful|bolts? (?:on|up))\b"
)
_CLAUSE = re.compile(
    r" (?:;|:(?! (?:\"|\d))|but|although|though|whereas|where the|, and(?= <)|,(?= (?:and|but|the|its|it|there|which|while|where|<))|- (?=<)) "
)


def features_in(act: Act, context: Context) -> list[Statement]:
    """Return the features that a sentence tells, one a clause."""
    made: list[Statement] = []
    text = act.view.text
    for start, end in _clauses(text):
        clause = text[start:end]
        words = act.view.words_of(start, end).strip(" ,.;-")
        plain = f"{words.lower()} {clause}"
        missing = bool(_LOOKED.search(plain) and _NONE.search(plain))
        if not (missing or _tells(words, plain)) or is_plan(clause):
            continue
        if _OTHERWISE.search(plain) and not missing:
            continue
        made.append(_statement(act, context, start, end, words, missing=missing))
    return made


def _tells(words: str, plain: str) -> bool:
    return bool(
        _MARKED.search(words)
        or _MARKED.search(plain)
        or _MADE.search(plain)
        or _CAST.search(plain)
        or _COUNTED.search(plain)
        or _NOT_BUT.search(plain)
        or _SHAPE.search(plain)
    )


def _clauses(text: str) -> list[tuple[int, int]]:
    """Return the clauses of a view's text, as places in it."""
    found: list[tuple[int, int]] = []
    start = 0
    for match in _CLAUSE.finditer(text):
        found.append((start, match.start() + 1))
        start = match.end() - 1
    found.append((start, len(text)))
    return [(a, b) for a, b in found if text[a:b].strip()]


def _statement(
    act: Act, context: Context, start: int, end: int, words: str, *, missing: bool
) -> Statement:
    view = act.view
    clause = view.text[start:end]
    parts = [part for part in view.parts(clause) if not part.pronoun] or (
        list(context.parts[-1:]) if re.search(r"<k\d+>|\bits\b", clause) else []
    )
    fields = {"feature": words, "status": "no" if missing else "yes"}
    if parts:
        fields |= {"description": parts[0].name, "side": parts[0].side,
                   "position": parts[0].position}  # fmt: skip
    names = [view.mention(mark) for mark in re.findall(r"<v\d+>", clause)]
    vehicles = tuple(name.text for name in names[:1] if isinstance(name, NameMention))
    first_hand = act.first_hand(start)
    said_by = ""
    if (
        not first_hand
        and act.said_by
        and isinstance(name := view.mention(act.said_by), NameMention)
    ):
        said_by = name.text
    return Statement(
        kind="feature", rule="told of as seen", words=view.sentence.text,
        fields={key: value for key, value in fields.items() if value},
        vehicles=vehicles or context.vehicles, sure=act.sure(start, end), first_hand=first_hand,
        said_by=said_by, said_on=context.day,
    )  # fmt: skip
