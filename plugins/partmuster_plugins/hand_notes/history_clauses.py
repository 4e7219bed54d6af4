"""Clauses that may tell of a vehicle's past: chains apart, names together.

A clause is shown as words with marks for vehicles, persons and parts (``history_words``).
"""

from __future__ import annotations

import re
from itertools import pairwise
from typing import TYPE_CHECKING

from . import history_words as w
from .clauses import Clause, names_in, plain_words
from .expressions import expression
from .names import NameMention
from .parts import PartMention

if TYPE_CHECKING:
    from .acts import Act
    from .context import Context

#: A chain without a new subject: "sold in 1959 ... and stood in a yard".
_CHAIN = expression(
    r",? (?:and|then|and then) (?=(?:then |later |afterwards )?(?:stood|served|spent|worked|went "
    r"(?:to|into|through)|ended|finished|was (?:sold|bought|used|rebuilt|converted|scrapped)|"
    r"sold|passed|became|sat|lay|came|used)\b)"
)
_COMMA = expression(
    r" , (?=(?:then |later )?(?:sold|repainted|rebuilt|converted|served|stood|spent|used (?:as|"
    r"by|for)|bought|scrapped|rescued|lent|loaned|registered|demobbed)\b)"
)
_WHEN = expression(
    r",? when (?=(?:the|my|his|they|a|our) \w+(?: \w+)? (?:put|took|sold|used|had) (?:her|it)\b)"
)
_THEY = expression(r" and (?=they (?:ran|used|kept|had|worked) (?:it|her)\b)")
_LATER = expression(
    r",? (?:and |, )*(?=(?:(?:in|until|till|before|after|from|by) (?:that|then|'?\s?\d\d)\S* ?,? "
    r"?)(?:she|it|they|he)\b)"
)
#: Words of a vehicle's life that look like parts, or slips for them: "started", "a breaker".
_OWN_WORD = expression(
    rf"^(?:(?:a|the) )?(?:started|starts|converted|retired|registered|carried|tracked|pulled|"
    rf"driven|towed|worked|served|rebuilt|painted|repainted|"
    rf"breakers?|cable laying|(?:[\w-]+ )?(?:{w.USES}|prop)s?)$"
)
PRONOUNS = frozenset({"she", "he", "her", "him", "it", "i", "we", "they"})
_NAMES = frozenset({"vehicle", "either"})
_NAME = 3
_ASIDE = expression(r"^(<v>|<n>|she|it) , [^,]{1,60} ,(?= )")
_BOUGHT = frozenset(
    {"bought", "sold", "drove", "acquired", "rescued", "rebuilt", "dug", "found", "restored", "won"}
)
_FROM = frozenset({"from", "off", "at", "to", "out", "for", "in", "up"})
_BUILT = expression(
    r"(?:was|were|had been|has been) (?:first |new |originally )?(?:built|rebuilt|delivered|"
    r"issued|registered|converted|dug|re-engined|bought|sold|new)\b"
)


def chained(act: Act, clauses: list[Clause]) -> list[Clause]:
    """Return clauses with chains of verbs, and times that begin a new one, apart."""
    found: list[Clause] = []
    for clause in clauses:
        cuts = [
            match.end()
            for pattern in (_CHAIN, _COMMA, _THEY, _WHEN, _LATER)
            for match in pattern.finditer(clause.low)
            if match.start() > 0 and _begun(clause.low[: match.start()])
        ]
        bounds = [0, *sorted(set(cuts)), len(clause.low) + 1]
        for number, (start, end) in enumerate(pairwise(bounds)):
            first = clause.start + clause.low[:start].count(" ")
            last = (
                clause.start + clause.low[:end].count(" ") if end <= len(clause.low) else clause.end
            )
            words = act.view.sentence.words[first:last]
            while words and words[-1].low in {"and", "then", ","}:
                words = words[:-1]
            if words:
                found.append(
                    Clause(
                        plain_words(words),
                        " ".join(word.low for word in words),
                        first,
                        first + len(words),
                        clause.stretch,
                        clause.first and not number,
                    )
                )
    return found


def _begun(low: str) -> bool:
    """Tell whether words tell of the past already, so that a chain may go on from them."""
    last = re.sub(r"^\W+", "", low.rsplit(" : ", maxsplit=1)[-1])
    return bool(
        w.LIFE.search(low) or w.LOGGED.match(last) or w.WAS.search(low) or w.DID.search(low)
    )


def joined(act: Act, clauses: list[Clause]) -> list[Clause]:
    """Return clauses, a name that stands alone put together with what is said of it."""
    found: list[Clause] = []
    for clause in clauses:
        before = found[-1] if found else None
        if (
            before is not None
            and before.stretch == clause.stretch
            and names_in(act, before.start, before.start + 1, _NAMES)
            and before.end - before.start <= _NAME
            and clause.start - before.end <= 1
        ):
            words = act.view.sentence.words[before.start : clause.end]
            found[-1] = Clause(
                plain_words(words),
                " ".join(word.low for word in words),
                before.start,
                clause.end,
                clause.stretch,
                before.first,
            )
        else:
            found.append(clause)
    return found


def shown_words(act: Act, clause: Clause, context: Context | None = None) -> str:
    """Return a clause's words with marks, without the words that say who tells it."""
    start = told_start(act, clause)
    own = {name.casefold() for name in context.vehicles} if context is not None else set()
    short = {name.rsplit(" ", 1)[-1] for name in own if " " in name and name[-1:].isalpha()}
    marks = {
        one.start: one
        for one in act.view.mentions
        if isinstance(one, (NameMention, PartMention)) and one.end > one.start
    }
    words = act.view.sentence.words
    shown: list[str] = []
    at = start
    while at < clause.end:
        one = marks.get(at)
        if (
            isinstance(one, PartMention)
            and not one.pronoun
            and not _OWN_WORD.search(one.name.lower())
        ):
            shown += [words[at].low, "<p>"] if words[at].low in {"her", "its"} else ["<p>"]
            at = max(one.end, at + 1)
        elif (
            isinstance(one, NameMention)
            and not one.pronoun
            and words[at].low not in PRONOUNS
            and one.sort != "build"
        ):
            number = re.match(r"(?:no|nr|number)\b", one.text, re.IGNORECASE)
            shown.append(
                "<v>"
                if one.text.casefold() in own or is_vehicles(act, one)
                else "<h>"
                if one.sort == "person"
                else words[at].low
                if number
                else "<v>"
                if one.sort == "vehicle"
                else "<n>"
            )
            at = max(one.end, at + 1)
        else:
            if words[at].low in short:
                shown.append("<v>")
            elif words[at].low not in {'"', "*", "_"}:
                shown.append(words[at].low)
            at += 1
    told = _ASIDE.sub(r"\1", " ".join(shown))
    told = re.sub(r"\( (?:<[vnh]>|[^()\d]{1,40}) \) ", "", told)
    return " ".join(word for word in told.split() if word != ",")


def is_vehicles(act: Act, name: NameMention) -> bool:
    """Tell whether a given name is a vehicle's: "bought Maisie from", "Maisie was rebuilt"."""
    words = [word.low for word in act.view.sentence.words]
    if name.pronoun or name.sort != "person" or " " in name.text.strip():
        return False
    before = words[name.start - 1] if name.start else ""
    after = words[name.end] if name.end < len(words) else ""
    return (before in _BOUGHT and after in _FROM) or bool(
        _BUILT.match(" ".join(words[name.end : name.end + 4])) and before != "by"
    )


def told_start(act: Act, clause: Clause) -> int:
    """Return where a clause begins behind the words that say who tells it or how surely."""
    kept: set[int] = set()
    for start, end in act.view.places:
        kept.update(range(start, max(end, start + 1)))
    at = clause.start
    while at < clause.end and at not in kept:
        at += 1
    return at if at < clause.end else clause.start
