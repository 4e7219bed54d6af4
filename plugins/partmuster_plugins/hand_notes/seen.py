"""Features seen on a vehicle: construction, castings, plates, dates, marks, as they are told.

A clause tells a feature where it says how a thing is made ("riveted, not welded"), what is on it
("stamped AD"), or how many of a detail it has ("five slots, not four"). What was looked for and
did not find is a feature too, and so is what another vehicle has where this one differs. Only the
clause is kept, in the note's own words.
"""

from __future__ import annotations

import re
from dataclasses import replace
from typing import TYPE_CHECKING

from . import feature_forms as forms
from . import feature_words as w
from .clauses import Clause, clauses_of, is_hedged, names_in, parts_in, place_of, plain_words
from .expressions import expression
from .names import NameMention
from .statement import Statement

if TYPE_CHECKING:
    from .acts import Act
    from .context import Context

_OWN_LISTS = frozenset({"want", "holding", "promise", "lead"})
_VEHICLES = frozenset({"vehicle"})
#: A plan or a wish, in the words of its clause.
_TO_DO = expression(
    r"\b(?:must (?:look|check|see|find)|wonder|whether|wish|hope|remind|ought|should (?:look|"
    r"check)|want to|going to|will be|would be|"
    r"(?:would|should) (?:\w+ )?(?:like|love)|in (?:our|my|those) days?|"
    r"to do|next time|tomorrow|when i|once i|until|ask (?:him|her|him|ivo)|have to|let us|"
    r"pretend|wishing|wanting|looking for)\b"
)
#: Where people and their doings are what a clause speaks of.
_TALK = expression(
    r"^(?:(?:and|so|but|then|well|oh|no|yes) )*(?:he|she|they|we|i|who|which|you|people|"
    r"somebody) (?:say|says|said|told|tells|asked|shouts|carried|took|came|went|gave|paid|let|"
    r"drove|has put|have put|fitted|bought|sold|made)\b"
    r"|\b(?:letter(?! [a-z]\b)|postcard|photograph|receipt|tea|biscuits?|cake|says i can|"
    r"tells me|told me|on the phone)\b"
)
#: Said of the other of two behind a feature: "the offside ones are welded up from plate".
_MADE_TOO = expression(
    r"\bones? (?:is|are|was|were) (?:welded|cast|riveted|pressed|forged|folded|fabricated|bolted|"
    r"machined|plain)\b"
)
_LONG = 30
#: What is looked for is told in so few clauses.
_FEW = 2
#: What follows one of these is read on a plate or in a casting.
_READ = frozenset(
    {
        "reads",
        "reading",
        "says",
        "saying",
        "stamped",
        "marked",
        "numbered",
        "dated",
        "letters",
        "scratched",
    }
)
_ITS = expression(r"\b(?:it|its|they|them|their|one|ones)\b")
_COMPARED = expression(
    r"^(?:(?:where|which|while|whereas|and|but|unlike|though) )*(?:the )?[\w. ]+? ?'s(?: \w+)? "
    r"?(?:,.*, )?(?:has|have|is|are|was|does|do)\b"
)
_MARKS_IN_TEXT = expression(r"\"[^\"]+\"|\b(?=\w*\d)\w+|\b[A-Z]{2,}\b")
#: States of repair that no mark outweighs.
_STATE = expression(
    r"\b(?:cracked|seized|snapped|rotten|gone|missing|wanted|needs?|swap|sale|spare|bolted|goes "
    r"back|on the bench|on the shelf)\b"
)


def features_in(act: Act, context: Context) -> list[Statement]:  # noqa: C901 - what is looked for before what is seen
    """Return the features that a sentence tells, one a clause."""
    text = act.view.sentence.text
    if context.heading.get("kind") in _OWN_LISTS or (
        context.fits and context.fits[-1].words == text
    ):
        return []
    looked, context.looked = context.looked, None
    if context.vehicles or act.view.sentence.first:
        context.last = context.vehicles
    if act.view.sentence.asks:
        return []
    made: list[Statement] = []
    clauses = clauses_of(act)
    if looked is not None and (found := _not_found(act, looked)):
        return [found]
    whole = _looked_for(act, clauses)
    if whole is not None:
        return [_statement(act, context, whole, missing=True, before=None)]
    if (
        clauses
        and len(clauses) <= _FEW
        and w.LOOKED.search(clauses[0].low)
        and not _TO_DO.search(clauses[0].low)
    ):
        context.looked = _statement(act, context, clauses[0], missing=True, before=None)
    last: Clause | None = None
    for clause in clauses:
        missing = _is_missing(clause)
        compared = bool(made) and _is_comparison(act, clause)
        alike = (
            bool(made)
            and bool(re.match(r"(?:and )?(?:the|its) ", clause.low))
            and _MADE_TOO.search(clause.low)
        )
        of_part = bool(parts_in(act, clause.start, clause.end))
        if not missing and not compared and not _tells(clause, of_part=of_part) and not alike:
            continue
        if _TO_DO.search(clause.low) or _TALK.search(clause.low):
            continue
        if parts_of_builds(act, clause):
            continue
        if compared:
            missing = bool(re.search(r"\b(?:is|are|has|have|does|do) not\b", clause.low))
        made.append(_statement(act, context, clause, missing=missing, before=last))
        last = clause
    return made


def _not_found(act: Act, looked: Statement) -> Statement | None:
    """Return what was looked for in the sentence before and, says this one, is not there."""
    low = " ".join(word.low for word in act.view.sentence.words)
    if not re.match(
        r"^(?:(?:but|and|there (?:is|was|are|were)|i found|found) )*(?:none|nothing|not one|not "
        r"there|no|nowhere|not a \w+|in vain)\b",
        low,
    ):
        return None
    if parts_in(act, 0, len(act.view.sentence.words)):
        return None
    words = f"{looked.fields['feature']}. {plain_words(act.view.sentence.words)}"
    return replace(looked, fields={**looked.fields, "feature": words})


def parts_of_builds(act: Act, clause: Clause) -> bool:
    """Tell whether a clause speaks of a build's part in general, and not of one on a vehicle."""
    parts = parts_in(act, clause.start, clause.end)
    return bool(parts) and bool(re.search(r"\b(?:mk|mark) ?\d", parts[0].build.lower()))


def _looked_for(act: Act, clauses: list[Clause]) -> Clause | None:
    """Return the whole sentence as a clause where it looks for something and does not find it."""
    words = act.view.sentence.words
    low = " ".join(word.low for word in words)
    looked = w.LOOKED.search(low)
    if not looked or not w.ABSENT.search(low) or len(clauses) > 3 or len(words) > _LONG:  # noqa: PLR2004 - a short sentence
        return None
    if re.search(r"\b(?:will|would|if|going to) (?:you )?look", low) or (
        "in vain" in low and not re.search(rf"\b{w.TELLS}\b", low)
    ):
        return None
    return Clause(plain_words(words), low, 0, len(words), 0, first=True)


def _is_missing(clause: Clause) -> bool:
    low = clause.low
    if (
        w.NEVER_WAS.search(low)
        and not re.search(r"\bsince (?:i|we)\b|\bin my time\b", low)
        and re.search(r"^(?:and |, )*(?:no|not|there (?:is|are|was|were) (?:no|not))\b", low)
    ):
        return True
    if w.COULD_FIND.search(low) and (
        w.NO_SUCH.search(low)
        or re.search(r"\bno\b.*\b(?:weld|mark|date|number|plate|seam|trace|stamp)", low)
    ):
        return True
    if re.search(
        rf"\b{w.TELLS}(?: (?:by|on|in|under|at|behind) (?:[\w/.-]+ ){{0,4}}| )?[-:,=] (?:looked "
        rf"?, )?(?:(?:none|nil|not there|absent|nothing)\b|no$)",
        low,
    ):
        return True
    if forms.NEVER_HAD.search(low) or forms.NO_MARK.search(low):
        return not forms.NO_MARK.search(low)
    such = w.NO_SUCH.search(low)
    if such is None or (
        "," in low[: such.start()] and not such[0].endswith((" of one", " of it", " of any"))
    ):
        return False
    return not re.search(r"\b(?:no|number) plates? of any sort\b|\bno use\b|\bno good\b", low)


def _tells(clause: Clause, *, of_part: bool) -> bool:
    """Tell whether a clause tells a feature, and no state, work or deal.

    ``of_part``: a part is named in it, as words that mean other things too need.
    """
    if forms.NO_MARK.search(clause.low):
        return False
    reads = w.READS.search(clause.text)
    if reads and re.search(r"(?:^|[ .])[A-Z][a-z]*\.?$", clause.text[: reads.start()].rstrip()):
        reads = None  # a person says so
    marked = bool(w.MARKED.search(clause.low) or reads)
    if of_part and _marks_part(clause):
        return not _STATE.search(clause.low)
    if marked and _MARKS_IN_TEXT.search(clause.text):
        return not _STATE.search(clause.low)
    told = (
        marked
        or w.MADE.search(clause.low)
        or w.COUNTED.search(clause.low)
        or w.NOT_BUT.search(clause.low)
        or w.SHAPE.search(clause.low)
        or w.PAINT.search(clause.low)
        or forms.OTHERWISE_MADE.search(clause.low)
        or forms.DATED.search(clause.low)
        or forms.PAIRED.search(clause.low)
        or forms.PAINTED.search(clause.low)
        or (of_part and _tells_of_part(clause))
    )
    return bool(told) and not w.OTHERWISE.search(clause.low)


def _tells_of_part(clause: Clause) -> bool:
    """Tell whether a clause that names a part tells how many it has of a thing, where, and worn."""
    low = clause.low
    return bool(forms.COUNTED_TOO.search(low) or forms.SIDED.search(low) or forms.WORN.search(low))


def _marks_part(clause: Clause) -> bool:
    """Tell whether a clause that names a part says what is stamped, cast or painted on it."""
    headed = forms.HEADED.match(clause.low) or forms.ON_PART.match(clause.low)
    return bool(
        (headed and _MARKS_IN_TEXT.search(clause.text))
        or (forms.PLACED.match(clause.low) and _MARKS_IN_TEXT.search(clause.text))
        or forms.EMBLEM.search(clause.low)
        or w.EMBLEMS.search(clause.low)
        or forms.PUT_ON.search(clause.text)
    )


def _is_comparison(act: Act, clause: Clause) -> bool:
    """Tell whether a clause says what another vehicle has instead: "where Otter 6's has four"."""
    return bool(
        _COMPARED.search(clause.low)
        and names_in(act, clause.start, clause.end, frozenset({"vehicle", "either"}))
    )


def _statement(
    act: Act, context: Context, clause: Clause, *, missing: bool, before: Clause | None
) -> Statement:
    parts = parts_in(act, clause.start, clause.end)
    if not parts and before is not None and _is_comparison(act, clause):
        parts = parts_in(act, before.start, before.end)
    if not parts and (
        _ITS.search(clause.low)
        or re.match(r"(?:and )?(?:stamped|marked|dated|numbered)\b", clause.low)
    ):
        parts = parts_in(act, 0, clause.start)[-1:] or list(context.parts[-1:])
    fields = {"feature": clause.text, "status": "no" if missing else "yes"}
    if parts:
        part = parts[0]
        fields |= {
            "description": part.name,
            "side": part.side.split("+")[0] if "+" not in part.side else "",
            "position": part.position.split("+")[0],
        }
    compared = before is not None and _is_comparison(act, clause)
    about = vehicles_of(act, clause, compared=compared)
    others = context.vehicles or context.last
    if (
        others
        and context.before
        and any(
            one.text == others[0] and _is_no_vehicle(act, one)
            for one in names_in(
                act, 0, len(act.view.sentence.words), frozenset({"vehicle", "either"})
            )
        )
    ):
        others = context.before
    if not about and context.before and any(_is_comparison(act, one) for one in clauses_of(act)):
        others = context.before
    place = place_of(act, clause.start)
    own = clause.stretch > 0 or (
        re.match(r"(?:there is|there are|the|its) ", clause.low) is not None and clause.start > 0
    )
    first_hand = own or act.first_hand(place)
    said_by = ""
    if (
        not first_hand
        and act.said_by
        and isinstance(name := act.view.mention(act.said_by), NameMention)
    ):
        said_by = name.text
    return Statement(
        kind="feature",
        rule="told of as seen",
        words=act.view.sentence.text,
        fields={key: value for key, value in fields.items() if value},
        vehicles=about or others,
        sure=not is_hedged(clause, act),
        first_hand=first_hand,
        said_by=said_by,
        said_on=context.day,
    )


def vehicles_of(act: Act, clause: Clause, *, compared: bool) -> tuple[str, ...]:
    """Return the vehicle a clause names as the one it speaks of, if it does."""
    sorts = frozenset({"vehicle", "either"}) if compared else _VEHICLES
    names = names_in(act, clause.start, clause.end, sorts)
    words = act.view.sentence.words
    for name in names:
        if _is_no_vehicle(act, name):
            continue
        follows = words[name.end].low if name.end < len(words) else ""
        if compared or follows == "'s" or name.start == clause.start or name.sort == "vehicle":
            return (name.text,)
    return ()


def _is_no_vehicle(act: Act, name: NameMention) -> bool:
    return bool(re.match(r"(?:no|nr|number)\b", name.text, re.IGNORECASE)) or _is_quoted(act, name)


def _is_quoted(act: Act, name: NameMention) -> bool:
    """Tell whether a name stands between quotation marks, or is what a mark reads."""
    words = act.view.sentence.words
    before = [word.low for word in words[: name.start]]
    return before.count('"') % 2 == 1 or bool(_READ & set(before[-8:]))
