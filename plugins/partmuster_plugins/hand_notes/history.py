"""What is told of a vehicle's past: where it was, who had it, what was done to it, in whose words.

A clause tells of the past where a vehicle (or "she", "it") is what it speaks of, and a verb of a
vehicle's life stands in it in the past ("came from", "was sold to", "served as"), with a year, a
place, an owner or a use where the verb alone may be of today. What the writer concludes ("so she
must have been a trainer") is kept apart.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from . import history_forms as forms
from . import history_words as w
from .clauses import Clause, clauses_of, is_hedged, names_in, place_of, plain_words
from .expressions import expression
from .history_clauses import PRONOUNS, chained, is_vehicles, joined, shown_words, told_start
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
#: A sentence that tells the past has one of these.
_PAST = expression(
    r"\b(?:[Ww]as|[Ww]ere|[Bb]een|[Hh]ad|[Hh]as|[Dd]id|[Nn]ew|[Ee]x|[Ff]irst|[Nn]ever|\w+ed|"
    r"[Ss]old|[Bb]ought|[Bb]uilt|[Rr]ebuilt|"
    r"[Ss]pent|[Ss]tood|[Cc]ame|[Ww]ent|[Rr]an|[Dd]rove|[Tt]ook|[Gg]ot|[Ww]on|[Dd]ug|[Ff]ound|"
    r"[Mm]ade|[Gg]ave|[Ll]ent|[Ll]ay|[Ss]at|"
    r"[Ss]aw|[Ll]ed|[Bb]egan|[Bb]roke|[Ff]ought|[Bb]urnt|[Ss]ank|[Bb]rought|[Pp]ut|[Ll]eft|"
    r"[Kk]ept|[Hh]auling|[Ll]ists|[Yy]rs|[Yy]ears|[Ww]inters|[Ss]aid|[Rr]egard|[Cc]ome|[Ss]hows|[Gg]ives|[Cc]ut)\b"
    r"|\b(?:1[89]|20)\d\d|['\u2019]d\b|['\u2019]\d\d|\bex-"
)
#: Who tells it and when, before what is told.
_TELLING = expression(
    r"^.*?\b(?:told (?:me|us|him|her|them|everyone)(?: on \w+)?|told <[hn]>|says|said|"
    r"recalls?|remembers?|had it) "
    r"(?:that )?(?=(?:she|it|they|<v>|<n>|the \w+) )"
)
_OWN_LISTS = frozenset({"want", "holding", "promise"})
_MINE = expression(r"^(?:(?:and|so|then|but|well) )*(?:i|we)\b")
#: What only a vehicle is: "number eleven in our line", "one of the trials batch".
_BATCH = expression(
    r"\b(?:was|were|been) (?:number \w+ (?:in|of|on)|one of (?:the|a|two|three|four|six)|on the "
    r"strength|new to|part of the)\b"
)


def history_in(act: Act, context: Context) -> list[Statement]:
    """Return what a sentence tells of a vehicle's past, one a clause."""
    before, context.told_past = context.told_past, ()
    if context.vehicles or act.view.sentence.first:
        context.last = context.vehicles
    listed = (
        context.heading.get("kind") in _OWN_LISTS and len(act.view.sentence.words) < _A_SENTENCE
    )
    if act.view.sentence.asks or listed or not _PAST.search(act.view.sentence.text):
        return []
    made: list[Statement] = []
    for clause in chained(act, joined(act, clauses_of(act))):
        shown = shown_words(act, clause, context)
        subject = _subject(shown, act, clause, context, told=bool(made))
        if subject is None:
            continue
        vehicles = _vehicles(act, clause, context, before, subject)
        if not vehicles and not _of_her(subject, clause, context):
            continue
        made.append(_statement(act, context, clause, vehicles))
        before = vehicles
    context.told_past = (
        made[-1].vehicles if made else before if len(act.view.sentence.words) <= _PASSING else ()
    )
    return made


def _subject(shown: str, act: Act, clause: Clause, context: Context, *, told: bool) -> str | None:  # noqa: C901, PLR0911, PLR0912 - one way after another
    """Return the words for the vehicle that a clause tells the past of; empty where left out."""
    shown = re.sub(
        r"^(?:(?:that|and|but|so|well|also|right|ok|then|yes|no|oh|namely|how|because|-|:) )+",
        "",
        shown,
    )
    shown = _TELLING.sub("", shown)
    timed = bool(_year(shown, context) or w.SINCE.search(shown))
    used = bool(w.USE.search(shown))
    if forms.NOT_PAST.search(shown) or w.NOW.search(shown):
        return None
    if (changed := _changed(shown, clause, context)) is not None:
        return changed
    if shown.startswith("<p>") and not told:
        return None
    mine = bool(_MINE.match(shown))
    for pattern in (w.LIFE, w.WAS):
        found = pattern.match(shown)
        if not found or mine or _of_part(shown, found.start("who")):
            continue
        who = found["who"]
        parts = "<p>" in shown[: found.end()]
        weak = pattern is w.WAS or bool(found["timed"])
        if (
            who in {"it", "this", "this one"}
            and (parts or _speaks_of_part(act, clause, context))
            and not (timed and used)
        ):
            continue
        if (
            pattern is w.WAS
            and who not in {"it", "this"}
            and _BATCH.search(shown[found.start("who") :])
        ):
            return who
        if not (timed or used) and (weak or who in {"it", "this"} or not _strong(found)):
            continue
        if pattern is w.LIFE and found["timed"] and not timed:
            continue
        if "<n>" in who and found.start("who") > 0:
            continue
        if "<n>" in who and not (
            pattern is w.LIFE
            and (found["done"] or _strong(found) or " on the strength" in found[0])
        ):
            continue
        return who
    for pattern in (w.DID, w.CARRIED):
        found = pattern.match(shown)
        if not found:
            continue
        what = found["what"] or found["on"]
        if "<n>" in what and not _year(shown, context):
            continue
        by = (found["by"] or "").strip()
        if (
            what == "it"
            and not told
            and ("<p>" in shown or _speaks_of_part(act, clause, context) or not (timed or used))
        ):
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
    if (
        logged
        and "<p>" not in " ".join(shown.split()[:5])
        and (
            _year(shown, context)
            or (told and (used or timed))
            or (used and logged["what"].startswith(("spent", "ex", "new", "serv", "belonged")))
        )
    ):
        return ""
    return _in_more_forms(shown, act, clause, context, used=used)


def _of_her(subject: str, clause: Clause, context: Context) -> bool:
    """Tell whether words of a time long ago stand for a vehicle that may be named before."""
    ago = _year(clause.low, context) or forms.LONG_AGO.search(clause.low)
    return bool(ago) and (subject in {"she", "her"} or "<v>" in subject)


def _changed(shown: str, clause: Clause, context: Context) -> str | None:
    """Return that a vehicle's part was changed long ago, by the words or in somebody's view."""
    ago = bool(_year(shown, context) or forms.LONG_AGO.search(clause.low))
    if forms.JUDGED.search(shown):
        return "" if ago or w.SINCE.search(shown) else None
    after = ago or re.search(r"\b(?:after|before) that\b", shown)
    return "" if after and forms.CHANGED.search(shown) else None


def _in_more_forms(
    shown: str, act: Act, clause: Clause, context: Context, *, used: bool
) -> str | None:
    """Return the words for the vehicle where a clause tells of it in one of some rarer forms."""
    year = _year(shown, context)
    ago = bool(year or forms.LONG_AGO.search(shown))
    found = forms.WITH_HER.search(shown)
    if found and not re.match(r"i\b", shown):
        what = next(one for one in found.groups() if one)
        if what != "it" or ago or (used and not _speaks_of_part(act, clause, context)):
            return what
    if found and ago:
        return "her"
    deed = forms.DEED.match(shown)
    if deed and ago and not _of_part(shown, deed.start("who")):
        who = deed["who"]
        if "<n>" not in who and (who != "it" or not _speaks_of_part(act, clause, context)):
            return who
    entered = forms.ENTERED.match(shown)
    low_used = used or w.USE.search(clause.low)
    if (
        entered
        and "<p>" not in shown[: entered.end()]
        and (year or (low_used and "was" not in entered[0]))
    ):
        return ""
    return None


def _by_others(by: str) -> bool:
    return bool(
        re.search(r"^(?:they|he|(?:the|my|his|our|a|old) \w+(?: \w+)*|<h>(?: .*)?|<n>|her .*)$", by)
    )


def _strong(found: re.Match[str]) -> bool:
    """Tell whether the verb alone tells of a vehicle's life."""
    done = found["done"] or ""
    if done:
        return not re.match(
            r"(?:found|left|kept|parked|pulled|pushed|towed|hauled|stored|driven|sent|cast|won|"
            r"swapped|called|named|returned|given|tried)",
            done,
        )
    return bool(
        re.match(
            r"(?:belonged|served|started life|began life|saw service|spent|wintered|changed "
            r"hands|ploughed|came (?:from|through|off) the|pulled a|hauled|left the works)",
            found["lived"] or "",
        )
    )


def _of_part(shown: str, at: int) -> bool:
    """Tell whether a part stands before the vehicle, as what the clause speaks of."""
    return "<p>" in shown[:at] and not re.search(
        r"\b(?:says|said|told|claims|claimed|reckons|that|when|and)\b", shown[:at]
    )


def _speaks_of_part(act: Act, clause: Clause, context: Context) -> bool:
    """Tell whether "it" may be a part: one was named before it in the sentence, or just before."""
    named = any(
        isinstance(one, PartMention)
        and not one.pronoun
        and one.end > one.start
        and one.start < clause.start
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
    act: Act, clause: Clause, context: Context, before: tuple[str, ...] = (), subject: str = ""
) -> tuple[str, ...]:
    """Return the vehicles that a clause may speak of, likeliest first."""
    known = context.vehicles or context.last
    names = names_in(act, 0, len(act.view.sentence.words), frozenset({"vehicle", "either"}))
    for name in names:
        if (
            known[:1] == (name.text,)
            and re.match(r"(?:no|nr|number)\b", name.text, re.IGNORECASE)
            and context.before
        ):
            known = context.before
    for name in names_in(act, clause.start, clause.end, frozenset({"vehicle"})):
        if not re.match(r"(?:no|nr|number)\b", name.text, re.IGNORECASE):
            return (name.text,) if name.text not in known else known
    start = told_start(act, clause)
    told = names_in(act, start, clause.end, frozenset({"either"}))
    told = [one for one in told if one.text.lower() not in PRONOUNS]
    for name in (
        told[:1]
        if "<n>" in subject or (not subject and told[:1] and told[0].start < start + 3)
        else []
    ):
        return known if name.text in known else (name.text,)
    for name in names_in(act, start, clause.end, frozenset({"person"})):
        if is_vehicles(act, name):
            return (name.text,)
    return known if (names and known) or not before else before


def _statement(act: Act, context: Context, clause: Clause, vehicles: tuple[str, ...]) -> Statement:
    start = told_start(act, clause)
    words = act.view.sentence.words[start : clause.end]
    while words and words[0].low in {"and", "that", "but", ",", "so"} and len(words) > 1:
        words = words[1:]
    told = plain_words(words)
    place = place_of(act, start)
    concludes = bool(w.CONCLUDES.search(clause.low))
    first_hand = (clause.stretch > 0 and act.told_from < 0) or act.first_hand(place)
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
        kind="history",
        rule="told of its past",
        words=act.view.sentence.text,
        fields={key: value for key, value in fields.items() if value},
        vehicles=vehicles,
        sure=sure,
        first_hand=first_hand,
        said_by=said_by,
        said_on=context.day,
    )
