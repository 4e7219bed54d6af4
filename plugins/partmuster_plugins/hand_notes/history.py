"""What is told of a vehicle's past: where it was, who had it, what was done to it, in whose words.

A clause tells of the past where a vehicle (or "she", "it", "her") is what it speaks of, and a verb of a
vehicle's life stands in it in the past ("came from", "was sold to", "served as"), with a year, a
place, an owner or a use. What the writer concludes ("so she must have been a trainer") is kept apart.
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

#: Verbs of a vehicle's life (common practice, no source).
_LIFE = (
    r"(?:(?:was|were|been|being|got|is said to have been) (?:\w+ly )?(?:sold|bought|built|delivered|issued|converted|rebuilt|repainted|"
    r"painted|registered|new|supplied|used|dug|found|rescued|raised|towed|shipped|crated|returned|given|"
    r"captured|presented|hired|lent|loaned|abandoned|scrapped|cut|demobbed|auctioned|exported|imported|"
    r"fitted out|driven|kept|parked|left|laid up|taken|pulled|pushed|owned|recovered|salvaged|put|tried|"
    r"re-engined|bombed|hit|burnt|burned|sunk|stored|disposed|surveyed|allotted|allocated|struck off)"
    r"|came (?:from|off|out|through|here|to|in|up|over|by|home|with)|came into|went (?:to|through|under|over|with|into|on|off|for|as)|"
    r"belonged|served|worked|stood|spent|hauled|carried|pulled|towed|ploughed|wintered|lived|did|burned|burnt|sank|"
    r"started (?:life|out)|began life|ended up|finished up|saw (?:service|action)|took part|ran|drove|bought|sold|"
    r"had (?:her|it|him|been)|got her|left the (?:works|factory|army)|passed (?:to|through)|changed hands|"
    r"was (?:a|an|the|one of|with|at|on|in|number|crane|once|part of|originally|for|used|new)|were a|has been (?:a|an|at|in|with)|"
    r"used to (?:be|belong|stand|pull|work|live)|had a season|done a season|led the|won|starred|appeared in|"
    r"made her|made it|put her|put it|ex-\w+)"
)
_LIFE_VERB = re.compile(rf"\b{_LIFE}\b")
_YEAR = re.compile(
    r"\b(?:1[89]\d\d|20[012]\d)\b|'\s?\d\d\b|\b(?:nineteen )?(?:forty|fifty|sixty|seventy|eighty)[- ]?(?:one|two|three|four|five|six|seven|eight|nine)?\b"
    r"|\b(?:thirties|forties|fifties|sixties|seventies|eighties|nineties)\b|\b\d0s\b|\bthe war\b|\bcoronation\b"
)
_USE = re.compile(
    r"\b(?:army|navy|air force|ministry|board|council|county|company|co|farm|farmer|works|quarry|pit|pits|mine|mill|barracks|depot|"
    r"school|trials?|range|ranges|squadron|regiment|engineers|pioneers|gunners|territorials|cadets|scouts|circus|fair|fairground|"
    r"showman|film|lifeboat|lighthouse|docks?|railway|brickworks|brickyard|kilns?|sale|auction|disposal|surplus|dealer|widow|"
    r"father|grandfather|uncle|family|owner|trainer|training|tractor|plough|gritter|hearse|library|prop|target|fire engine|"
    r"fire brigade|brigade|winch|crane|tender|ferry|harbour|parade|procession|review|carnival|float|milk|coal|timber|forestry|"
    r"bridge|ice|river|fen|ditch|bog|pond|snow|flood|playground|chicken house|barn|scrap|scrapyard|waterworks|drainage|"
    r"lorry|wagon|command|recovery|ambulance|troop|unit|reserve|workshops?|wksp|conversion|expedition|museum|club)\b"
)
_CLAUSE = re.compile(
    r" (?:;|:|but|although|though|, and (?=(?:<|then|she|he|it|they|was|stood|served))|, then|and then|, (?=(?:then|she|it|he|they|was|stood|served|sold|repainted|belonged)\b)) "
)
_SUBJECT = re.compile(
    r"<v\d+>|<n\d+>|<k\d+>|<h\d+>|\b(?:she|her|it|he|him|the (?:old lady|vehicle|beast|brute|old girl|heap|lot)|this (?:one|heap|vehicle))\b"
)
_NOW = re.compile(r"\b(?:is|are|needs?|wants?|tomorrow|will|shall|offered up)\b")
_MINE = re.compile(
    r"^\W*(?:<i\d+>|we|i) (?:came|went|had|drove|took|spent|saw|did|ran|put|bought|sold)\b"
)


def history_in(act: Act, context: Context) -> list[Statement]:
    """Return what a sentence tells of a vehicle's past, one a clause."""
    made: list[Statement] = []
    text = act.view.text
    for start, end in _clauses(text):
        clause = text[start:end]
        words = act.view.words_of(start, end).strip(" ,.;-")
        low = words.lower()
        if not _LIFE_VERB.search(low) or is_plan(clause) or _MINE.search(clause):
            continue
        about = _vehicles(act, clause, low, context)
        if about is None:
            continue
        if not (_YEAR.search(low) or _USE.search(low)) or _of_a_part(clause):
            continue
        made.append(_statement(act, context, start, end, words, about))
    return made


def _clauses(text: str) -> list[tuple[int, int]]:
    found: list[tuple[int, int]] = []
    start = 0
    for match in _CLAUSE.finditer(text):
        found.append((start, match.start() + 1))
        start = match.end() - 1
    found.append((start, len(text)))
    return [(a, b) for a, b in found if text[a:b].strip()]


def _vehicles(act: Act, clause: str, low: str, context: Context) -> tuple[str, ...] | None:
    """Return the vehicles that a clause may speak of, or None where it speaks of none."""
    marks = re.findall(r"<[v]\d+>", clause)
    if marks:
        name = act.view.mention(marks[0])
        return (name.text,) if isinstance(name, NameMention) else None
    either = re.match(r"\W*(?:the )?(<n\d+>)", clause)
    if either:
        name = act.view.mention(either[1])
        if isinstance(name, NameMention):
            return (name.text, *context.vehicles)
    if re.search(r"\b(?:she|her|it|vehicle|old lady|old girl|heap|beast|brute|this one)\b", low):
        return context.vehicles or None
    if re.match(rf"\W*{_LIFE}\b", low) or _YEAR.match(low):
        return context.vehicles or None
    return None


def _of_a_part(clause: str) -> bool:
    """Tell whether a clause speaks of a part: one stands before its verb."""
    first = re.search(r"<[pvnhk]\d+>", clause)
    return bool(first and first[0].startswith("<p"))


def _statement(
    act: Act, context: Context, start: int, end: int, words: str, about: tuple[str, ...]
) -> Statement:
    first_hand = act.first_hand(start)
    said_by = ""
    if not first_hand and act.said_by:
        name = act.view.mention(act.said_by)
        said_by = name.text if isinstance(name, NameMention) else ""
    year = _YEAR.search(words)
    fields = {"statement": words, "happened_on": year[0] if year else ""}
    return Statement(
        kind="history", rule="told of its past", words=act.view.sentence.text,
        fields={key: value for key, value in fields.items() if value}, vehicles=about,
        sure=act.sure(start, end), first_hand=first_hand, said_by=said_by, said_on=context.day,
    )  # fmt: skip
