"""What is told of a vehicle's past: where it was, who had it, what was done to it, in whose words.

A clause tells of the past where a vehicle (or "she", "it", "her") is what it speaks of, and a verb of a
vehicle's life stands in it in the past ("came from", "was sold to", "served as"), with a year, a
place, an owner or a use where the verb alone may be of today. What the writer concludes ("so she
must have been a trainer") is kept apart.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from . import history_words as w
from .clauses import Clause, clauses_of, is_hedged, names_in, place_of, plain_words
from .names import NameMention
from .parts import PartMention
from .statement import Statement

if TYPE_CHECKING:
    from .acts import Act
    from .context import Context

#: A remark of so few words does not turn to something else.
_PASSING = 9
#: An item of a list of what is offered or wanted tells nothing of the past in fewer words.
_A_SENTENCE = 7
_OWN_LISTS = frozenset({"want", "holding", "promise"})
#: A chain without a new subject: "sold in 1959 ... and stood in a yard".
_CHAIN = re.compile(
    r",? (?:and|then|and then) (?=(?:then |later |afterwards )?(?:stood|served|spent|worked|went (?:to|into|through)|ended|finished|was (?:sold|bought|used|rebuilt|converted|scrapped)|sold|passed|became|sat|lay|came|used)\b)"
)
_COMMA = re.compile(r" , (?=(?:then |later )?(?:sold|repainted|rebuilt|converted|served|stood|spent|used (?:as|by|for)|bought|scrapped|rescued|lent|loaned|registered|demobbed)\b)")
_WHEN = re.compile(r",? when (?=(?:the|my|his|they|a|our) \w+(?: \w+)? (?:put|took|sold|used|had) (?:her|it)\b)")
_THEY = re.compile(r" and (?=they (?:ran|used|kept|had|worked) (?:it|her)\b)")
_LATER = re.compile(r",? (?:and |, )*(?=(?:(?:in|until|till|before|after|from|by) (?:that|then|'?\s?\d\d)\S* ?,? ?)(?:she|it|they|he)\b)")
#: Words of a vehicle's life that look like parts, or slips for them: "started", "a breaker".
_OWN_WORD = re.compile(
    rf"^(?:(?:a|the) )?(?:started|starts|converted|retired|registered|carried|tracked|pulled|driven|towed|worked|served|rebuilt|painted|repainted|"
    rf"breakers?|cable laying|(?:[\w-]+ )?(?:{w.USES}|prop)s?)$"
)
_MINE = re.compile(r"^(?:(?:and|so|then|but|well) )*(?:i|we)\b")
#: What only a vehicle is: "number eleven in our line", "one of the trials batch".
_BATCH = re.compile(r"\b(?:was|were|been) (?:number \w+ (?:in|of|on)|one of (?:the|a|two|three|four|six)|on the strength|new to|part of the)\b")


def history_in(act: Act, context: Context) -> list[Statement]:
    """Return what a sentence tells of a vehicle's past, one a clause."""
    before, context.told_past = context.told_past, ()
    if context.vehicles or act.view.sentence.first:
        context.last = context.vehicles
    listed = context.heading.get("kind") in _OWN_LISTS and len(act.view.sentence.words) < _A_SENTENCE
    if act.view.sentence.asks or listed:
        return []
    made: list[Statement] = []
    for clause in _chained(act, _joined(act, clauses_of(act))):
        shown = _shown(act, clause, context)
        subject = _subject(shown, act, clause, context, told=bool(made))
        if subject is None:
            continue
        vehicles = _vehicles(act, clause, context, before)
        if not vehicles:
            continue
        made.append(_statement(act, context, clause, vehicles))
        before = vehicles
    context.told_past = made[-1].vehicles if made else before if len(act.view.sentence.words) <= _PASSING else ()
    return made


def _chained(act: Act, clauses: list[Clause]) -> list[Clause]:
    """Return clauses with chains of verbs, and times that begin a new one, apart."""
    found: list[Clause] = []
    for clause in clauses:
        cuts = [match.end() for pattern in (_CHAIN, _COMMA, _THEY, _WHEN, _LATER) for match in pattern.finditer(clause.low)
                if match.start() > 0 and _begun(clause.low[: match.start()])]  # fmt: skip
        bounds = [0, *sorted(set(cuts)), len(clause.low) + 1]
        for number, (start, end) in enumerate(zip(bounds, bounds[1:], strict=False)):
            first = clause.start + clause.low[:start].count(" ")
            last = clause.start + clause.low[:end].count(" ") if end <= len(clause.low) else clause.end
            words = act.view.sentence.words[first:last]
            while words and words[-1].low in {"and", "then", ","}:
                words = words[:-1]
            if words:
                found.append(Clause(plain_words(words), " ".join(word.low for word in words), first,
                                    first + len(words), clause.stretch, clause.first and not number))  # fmt: skip
    return found


def _begun(low: str) -> bool:
    """Tell whether words tell of the past already, so that a chain may go on from them."""
    last = re.sub(r"^\W+", "", low.rsplit(" : ", maxsplit=1)[-1])
    return bool(w.LIFE.search(low) or w.LOGGED.match(last) or w.WAS.search(low) or w.DID.search(low))


def _joined(act: Act, clauses: list[Clause]) -> list[Clause]:
    """Return clauses, a name that stands alone put together with what is said of it."""
    found: list[Clause] = []
    for clause in clauses:
        before = found[-1] if found else None
        if before is not None and before.stretch == clause.stretch and names_in(
            act, before.start, before.start + 1, _NAMES
        ) and before.end - before.start <= _NAME and clause.start - before.end <= 1:  # fmt: skip
            words = act.view.sentence.words[before.start : clause.end]
            found[-1] = Clause(plain_words(words), " ".join(word.low for word in words), before.start,
                               clause.end, clause.stretch, before.first)  # fmt: skip
        else:
            found.append(clause)
    return found


_PRONOUNS = frozenset({"she", "he", "her", "him", "it", "i", "we", "they"})
_NAMES = frozenset({"vehicle", "either"})
_NAME = 3
_ASIDE = re.compile(r"^(<v>|<n>|she|it) , [^,]{1,60} ,(?= )")


def _shown(act: Act, clause: Clause, context: Context | None = None) -> str:
    """Return a clause's words with marks for vehicles, persons and parts, without whose words they are."""
    start = _told_start(act, clause)
    own = {name.casefold() for name in context.vehicles} if context is not None else set()
    short = {name.rsplit(" ", 1)[-1] for name in own if " " in name and name[-1:].isalpha()}
    marks = {one.start: one for one in act.view.mentions if isinstance(one, (NameMention, PartMention)) and one.end > one.start}
    words = act.view.sentence.words
    shown: list[str] = []
    at = start
    while at < clause.end:
        one = marks.get(at)
        if isinstance(one, PartMention) and not one.pronoun and not _OWN_WORD.search(one.name.lower()):
            shown += [words[at].low, "<p>"] if words[at].low in {"her", "its"} else ["<p>"]
            at = max(one.end, at + 1)
        elif isinstance(one, NameMention) and not one.pronoun and words[at].low not in _PRONOUNS and one.sort != "build":
            number = re.match(r"(?:no|nr|number)\b", one.text, re.IGNORECASE)
            shown.append("<v>" if one.text.casefold() in own or _is_vehicles(act, one) else "<h>" if one.sort == "person" else words[at].low if number else "<v>" if one.sort == "vehicle" else "<n>")
            at = max(one.end, at + 1)
        else:
            if words[at].low in short:
                shown.append("<v>")
            elif words[at].low not in {'"', "*", "_"}:
                shown.append(words[at].low)
            at += 1
    told = _ASIDE.sub(r"\1", " ".join(shown))
    told = re.sub(r"\( (?:<[vnh]>|[^()]{1,40}) \) ", "", told)
    return " ".join(word for word in told.split() if word != ",")


_BOUGHT = frozenset({"bought", "sold", "drove", "acquired", "rescued", "rebuilt", "dug", "found", "restored", "won"})
_FROM = frozenset({"from", "off", "at", "to", "out", "for", "in", "up"})
_BUILT = re.compile(r"(?:was|were|had been|has been) (?:first |new |originally )?(?:built|rebuilt|delivered|issued|registered|converted|dug|re-engined|bought|sold|new)\b")


def _is_vehicles(act: Act, name: NameMention) -> bool:
    """Tell whether a given name is a vehicle's: "bought Rosalind from", "Rosalind was rebuilt at"."""
    words = [word.low for word in act.view.sentence.words]
    if name.pronoun or name.sort != "person" or " " in name.text.strip():
        return False
    before = words[name.start - 1] if name.start else ""
    after = words[name.end] if name.end < len(words) else ""
    return (before in _BOUGHT and after in _FROM) or bool(
        _BUILT.match(" ".join(words[name.end : name.end + 4])) and before != "by"
    )


def _told_start(act: Act, clause: Clause) -> int:
    """Return where a clause begins behind the words that say who tells it or how surely."""
    kept: set[int] = set()
    for start, end in act.view.places:
        kept.update(range(start, max(end, start + 1)))
    at = clause.start
    while at < clause.end and at not in kept:
        at += 1
    return at if at < clause.end else clause.start


def _subject(shown: str, act: Act, clause: Clause, context: Context, *, told: bool) -> str | None:
    """Return the words for the vehicle that a clause tells the past of; empty where left out; or None."""
    shown = re.sub(r"^(?:(?:that|and|but|so|well|also|right|ok|then|yes|no|oh|namely|how|because|-|:) )+", "", shown)
    timed = bool(_year(shown, context) or w.SINCE.search(shown))
    used = bool(w.USE.search(shown))
    if w.NOW.search(shown) or (shown.startswith("<p>") and not told):
        return None
    mine = bool(_MINE.match(shown))
    for pattern in (w.LIFE, w.WAS):
        found = pattern.match(shown)
        if not found or mine or _of_part(shown, found.start("who")):
            continue
        who = found["who"]
        parts = "<p>" in shown[: found.end()]
        weak = pattern is w.WAS or bool(found["timed"])
        if who in {"it", "this", "this one"} and (parts or _speaks_of_part(act, clause, context)) and not (timed and used):
            continue
        if pattern is w.WAS and who not in {"it", "this"} and _BATCH.search(shown[found.start("who") :]):
            return who
        if not (timed or used) and (weak or who in {"it", "this"} or not _strong(shown, found)):
            continue
        if found.re is w.LIFE and found["timed"] and not timed:
            continue
        if "<n>" in who and found.start("who") > 0:
            continue
        if "<n>" in who and not (pattern is w.LIFE and (found["done"] or _strong(shown, found) or " on the strength" in found[0])):
            continue
        return who
    for pattern in (w.DID, w.CARRIED):
        found = pattern.match(shown)
        if not found:
            continue
        what = found["what"] if found["what"] else found["on"]
        if "<n>" in what and not _year(shown, context):
            continue
        by = (found["by"] or "").strip()
        if what == "it" and not told and ("<p>" in shown or _speaks_of_part(act, clause, context) or not (timed or used)):
            continue
        if by in {"", "you"} and not timed:
            continue
        if (by in {"i", "we"} or mine) and not _year(shown, context):
            continue
        if timed or used or (what == "her" and _by_others(by)):
            return what
    if w.HERS.search(shown):
        return "her"
    if w.RECORDED.match(shown) and (timed or used):
        return "her"
    shown = re.sub(r"^\W+", "", shown.rsplit(" : ", maxsplit=1)[-1])
    logged = w.LOGGED.match(shown)
    if logged and "<p>" not in " ".join(shown.split()[:5]) and (_year(shown, context) or (told and (used or timed)) or (used and logged["what"].startswith(("spent", "ex", "new", "serv", "belonged")))):
        return ""
    return None


def _by_others(by: str) -> bool:
    return bool(re.search(r"^(?:they|he|(?:the|my|his|our|a|old) \w+(?: \w+)*|<h>(?: .*)?|<n>|her .*)$", by))


def _strong(shown: str, found: re.Match[str]) -> bool:
    """Tell whether the verb alone tells of a vehicle's life."""
    done = found["done"] or ""
    if done:
        return not re.match(r"(?:found|left|kept|parked|pulled|pushed|towed|hauled|stored|driven|sent|cast|won|swapped|called|named|returned|given|tried)", done)
    return bool(re.match(r"(?:belonged|served|started life|began life|saw service|spent|wintered|changed hands|ploughed|came (?:from|through|off) the|pulled a|hauled|left the works)", found["lived"] or ""))


def _of_part(shown: str, at: int) -> bool:
    """Tell whether a part stands before the vehicle, as what the clause speaks of."""
    return "<p>" in shown[:at] and not re.search(r"\b(?:says|said|told|claims|claimed|reckons|that|when|and)\b", shown[:at])


def _speaks_of_part(act: Act, clause: Clause, context: Context) -> bool:
    """Tell whether "it" may be a part: one was named before it in the sentence, or just before."""
    named = any(
        isinstance(one, PartMention) and not one.pronoun and one.end > one.start and one.start < clause.start
        for one in act.view.mentions
    )
    return named or (bool(context.parts) and context.on_survey)


def _year(shown: str, context: Context) -> str:
    """Return the time a clause names, if it is past."""
    found = w.YEAR.search(shown)
    if not found:
        return ""
    year = re.search(r"(?:19|20)\d\d", found[0])
    if year and context.day is not None and int(year[0]) >= context.day.year - 1:
        return ""
    return found[0]


def _vehicles(
    act: Act, clause: Clause, context: Context, before: tuple[str, ...] = ()
) -> tuple[str, ...]:
    """Return the vehicles that a clause may speak of, likeliest first."""
    known = context.vehicles or context.last
    names = names_in(act, 0, len(act.view.sentence.words), frozenset({"vehicle", "either"}))
    for name in names:
        if known[:1] == (name.text,) and re.match(r"(?:no|nr|number)\b", name.text, re.IGNORECASE) and context.before:
            known = context.before
    for name in names_in(act, clause.start, clause.end, frozenset({"vehicle"})):
        if not re.match(r"(?:no|nr|number)\b", name.text, re.IGNORECASE):
            return (name.text,) if name.text not in known else known
    start = _told_start(act, clause)
    for name in names_in(act, start, min(start + 3, clause.end), frozenset({"either"})):
        return known if name.text in known else (name.text,)
    for name in names_in(act, start, clause.end, frozenset({"person"})):
        if _is_vehicles(act, name):
            return (name.text,)
    return known if names or not before else before


def _statement(
    act: Act, context: Context, clause: Clause, vehicles: tuple[str, ...]
) -> Statement:
    start = _told_start(act, clause)
    words = act.view.sentence.words[start : clause.end]
    while words and words[0].low in {"and", "that", "but", ",", "so"} and len(words) > 1:
        words = words[1:]
    told = plain_words(words)
    place = place_of(act, start)
    concludes = bool(w.CONCLUDES.search(clause.low))
    first_hand = clause.stretch > 0 and act.told_from < 0 or act.first_hand(place)
    said_by = ""
    if not first_hand and act.said_by:
        name = act.view.mention(act.said_by)
        said_by = name.text if isinstance(name, NameMention) else ""
    low = " ".join(word.low for word in act.view.sentence.words)
    sure = not (is_hedged(clause, act) or concludes or w.DOUBTED.search(low))
    year = w.YEAR.search(told)
    fields = {
        "statement": plain_words(act.view.sentence.words) if concludes else told,
        "conclusion": told if concludes else "",
        "happened_on": year[0] if year else "",
    }
    return Statement(
        kind="history", rule="told of its past", words=act.view.sentence.text,
        fields={key: value for key, value in fields.items() if value}, vehicles=vehicles,
        sure=sure, first_hand=first_hand, said_by=said_by, said_on=context.day,
    )  # fmt: skip
