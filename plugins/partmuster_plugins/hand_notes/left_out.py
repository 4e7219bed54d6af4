"""What a clause leaves to be understood: the state of a part named behind another, "of it none".

- Behind a statement, "and the frame", "nor the cowl", "as does the fan", "and with it the coil" at
  a clause's end: the same holds for that part.
- "Of the extinguishers I saw none", "a belt, of which there is no trace": it is missing.
- A part and beside it, without a verb, a thing of the household ("the handle a bicycle pedal"):
  that stands in for it.

A part that another rule has read is left alone, and so is one with words of its own behind it.
"""

from __future__ import annotations

import functools
import re
from typing import TYPE_CHECKING, Final

from partmuster_trade.sayings import Saying

from .expressions import expression
from .parts import PartMention
from .patterns import Found
from .roles import words_of
from .states import StateMention

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from .view import View

_SOURCE = "common practice, no source"
_LIST = r"(?P<parts>(?:<p\d+> (?:, |and |or |nor |/ )*)*<p\d+> )"
_CLOSE = r"(?=(?:too |as well |also |likewise |with <k\d+> )?(?:$|[,;:-] |but |still ))"
#: What may stand between a statement and a part that shares its state.
_SHARES: Final = expression(
    r"(?:(?:her|him|it|them|us|<k\d+>) )?(?:, )?(?:"
    r"(?:and|nor|or|plus) (?:also |indeed |likewise |then )?(?:the |its |her |a |with <k\d+> )?|"
    r"(?:just |much )?as (?:is|are|was|were|do|does|did|has|have|had) |"
    r"and with <k\d+> |along with |together with |and (?:so|neither) (?:is|are|was|has|have) )"
    + _LIST + _CLOSE
)  # fmt: skip
_NONE = (r"(?P<none><s\d+>|nothing (?:at all )?(?:is |was |has been )?(?:left|remains?|survives?|"
         r"to be seen|found|there)|(?:there (?:is|was) )?(?:no|not an?|not any|not so much as an?) "
         r"(?:sign|trace|vestige|hint|whiff)) ")  # fmt: skip
#: "Of the two extinguishers I saw none".
_OF_IT_NONE: Final = expression(
    rf"(?:(?<=^ of )|(?<=[;,] of )|(?<=but of )|(?<=and of )){_LIST}"
    r"(?:above |below |inside |itself |proper )*(?:, )?(?:<[ih]\d+> )?"
    r"(?:there (?:is|was|are|were) |(?:could |can )?(?:saw|see|found|find|counted) )?" + _NONE
)
#: "A belt, of which there is no trace".
_OF_WHICH_NONE: Final = expression(
    rf"{_LIST}, of (?:which|these|them|<k\d+>) (?:<[ih]\d+> )?"
    r"(?:there (?:is|was|are|were) |(?:could |can )?(?:saw|see|found|find|counted) )?" + _NONE
)
_DENIES = ("no", "not", "nothing", "nowt", "nil")


def found_left_out(view: View, read: Sequence[Found]) -> Iterator[Found]:
    """Yield what clauses leave to be understood, beside what is ``read`` already."""
    text = view.text
    if "<p" not in text:
        return
    taken = [(one.start, one.end) for one in read]
    for found in (*_shared(text, read, taken), *_none_of_it(view, taken), *_household(view, taken)):
        yield found
        taken.append((found.start, found.end))


def _is_free(start: int, end: int, taken: Sequence[tuple[int, int]]) -> bool:
    return not any(first < end and start < last for first, last in taken)


def _shared(text: str, read: Sequence[Found], taken: Sequence[tuple[int, int]]) -> Iterator[Found]:
    """Yield the state of a statement once more, for the parts that share it."""
    for one in read:
        if one.saying.kind != "survey" or "parts" not in one.slots or set(one.slots) & _NOT_ALONE:
            continue
        match = _SHARES.match(text, one.end)
        if match is None or not _is_free(match.start("parts"), match.end("parts"), taken):
            continue
        slots = {**one.slots, "parts": match["parts"]}
        starts = {**one.slot_starts, "parts": match.start("parts")}
        saying = Saying("shares the state before it", "and {parts}", "survey",
                        one.saying.means, _SOURCE)  # fmt: skip
        yield Found(saying, match.start("parts"), match.end("parts"), slots, starts)


#: Slots of sayings whose state is not the parts' alone.
_NOT_ALONE = frozenset({"not", "excepted", "onto", "where", "count", "of", "again", "times",
                        "fraction", "person", "vehicle", "whole"})  # fmt: skip


def _none_of_it(view: View, taken: Sequence[tuple[int, int]]) -> Iterator[Found]:
    """Yield what there is none of."""
    text = view.text
    if " of " not in text:
        return
    for form in (_OF_IT_NONE, _OF_WHICH_NONE):
        for match in form.finditer(text):
            state = view.mention(match["none"]) if match["none"][0] == "<" else None
            denies = state is None or (
                isinstance(state, StateMention)
                and state.presence == "missing"
                and state.text.split()[0].startswith(_DENIES)
            )
            if denies and _is_free(match.start("parts"), match.end("parts"), taken):
                yield _missing(match)


def _missing(match: re.Match[str]) -> Found:
    saying = Saying("of it there is none", "of {parts} none", "survey", {"presence": "missing"},
                    _SOURCE)  # fmt: skip
    return Found(saying, match.start("parts"), match.end(), {"parts": match["parts"]},
                 {"parts": match.start("parts")})  # fmt: skip


#: "The handle a bicycle pedal".
_BESIDE: Final = expression(
    r"(?:(?<=^ )|(?<=[;,:] )|(?<=and ))(?:the |her |its )?(?P<parts><p\d+> )(?:[,:=-] )?"
    r"(?P<thing><p\d+>) (?=$|[,;] )"
)


@functools.cache
def _thing() -> re.Pattern[str]:
    """Return the expression of a part and a thing of the household beside it, without a verb."""
    things = "|".join(map(re.escape, sorted(words_of("makeshift") | words_of("donor"))))
    return expression(
        r"(?:(?<=^ )|(?<=[;,:] )|(?<=and ))(?:the |her |its )?(?P<parts><p\d+> )(?:[,:=-] )?"
        rf"(?:an? (?:old |plain )?|some |one |= )(?:[a-z'-]+ )?(?:{things}) "
        r"(?=<p\d+> |[a-z]+ (?:<p|with|$)|(?:<p\d+> )?(?:$|[,;] |with |from |off |held |tied ))"
    )


def _household(view: View, taken: Sequence[tuple[int, int]]) -> Iterator[Found]:
    """Yield that a thing of the household stands in for the part before it."""
    beside = (
        one for one in _BESIDE.finditer(view.text)
        if isinstance(part := view.mention(one["thing"]), PartMention) and part.donor
    )  # fmt: skip
    for match in (*_thing().finditer(view.text), *beside):
        if _is_free(match.start(), match.end(), taken):
            saying = Saying("a thing beside it", "{parts} a thing", "survey",
                            {"presence": "stand-in", "making": "adapted"}, _SOURCE)  # fmt: skip
            yield Found(saying, match.start("parts"), match.end(), {"parts": match["parts"]},
                        {"parts": match.start("parts")})  # fmt: skip
