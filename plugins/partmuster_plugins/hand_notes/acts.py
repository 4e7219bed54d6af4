"""What a sentence does: it states, asks, wishes, plans, hedges, or tells what somebody else said.

Words of hedging and of hearsay are taken out of the view, so that the sayings need not know them;
what they said of the sentence is kept beside it.
"""

from __future__ import annotations

import functools
import re
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from partmuster_trade.words import load_words

if TYPE_CHECKING:
    from collections.abc import Callable

    from .view import View

_ASKS = re.compile(
    r"^ (?:and |but |so |or |ps |also )?(?:has|have|does|do|did|is|are|was|were|can|could|would|will|shall|should|"
    r"any|anyone|anybody|who|what|where|which|when|why|how|whose|got|know|had|am|may) "
)
_TAG = re.compile(r" (?:is|was|does|has|do|did|are) (?:not )?(?:it|he|she|they|<k\d+>) \? $")
#: Wishes, plans and orders (common practice, no source).
_NOT_SAID = re.compile(
    r" (?:(?:if|unless|until|till|when|once|whether|wish|hope|hoping|imagine|suppose|supposing|"
    r"dream|dreamt|remind|remember to|do not forget|must not forget)) "
)
_PLANS = re.compile(
    r" (?:(?:will|shall|would) (?!(?:swap|trade|sell|part|do|not|fit|go|take|let|have|be))"
    r"|(?:am|is|are) (?:going|planning|hoping|meaning|due) to|must (?!be|have been)|ought to|"
    r"need to|needs to|have to|has to|had to|plan to|plans to|hope to|hopes to|might try|"
    r"next (?:week|month|year|time|weekend|job|sunday|saturday) ) ?"
)
_IS = re.compile(r" (?:might|may|could|must|would) (?:well )?be (?=\S)")
_HAVE = re.compile(r"(?<! you) (?:might|may|must) (?:well )?have (?=<|a |an |two |three |some |spare )")
_LOOKS = re.compile(r" (?:looks?|looked|seems?|seemed|appears?|appeared|sounds?) "
                    r"(?:to be|to me like|to me|like|as if <k\d+> is|as though <k\d+> is) ")  # fmt: skip
_SAYS = (
    r"(?:says|said|reckons|reckoned|tells (?:me|us)|told (?:me|us|<i\d+>)|thinks|thought|believes|swears|"
    r"swore|claims|claimed|mentioned|mentions|reports|reported|insists|insisted|writes|wrote|"
    r"rang to say|phoned to say|adds|added|confirms|confirmed|assures me|remembers|remembered)"
)
_HEARSAY = (
    re.compile(rf" (?P<who><[hn]\d+>) (?:also )?{_SAYS} (?:to <i\d+> )?(?:that |how )?(?=\S)"),
    re.compile(r" (?:according to) (?P<who><[hn]\d+>) ,? ?(?=\S)"),
    re.compile(r" <i\d+> (?:hear|heard|am told|was told|gather|understand|have heard|have been told) "
               r"(?:from (?P<who><[hn]\d+>) )?(?:that )?(?=\S)"),
    re.compile(r" (?:apparently|reportedly|allegedly|supposedly|so <i\d+> am told|(?:they|<k\d+>) say|word is|"
               r"rumour has <k\d+>|rumour is|it is said|people say|the story is|story goes)"
               r" (?:that )?,? ?(?=\S)"),
)  # fmt: skip
_AFTER = re.compile(rf" , (?P<who><[hn]\d+>) {_SAYS} (?=$|[,;.])|"
                    rf" , (?:says|said) (?P<who2><[hn]\d+>) (?=$|[,;.])")  # fmt: skip
_OWN = re.compile(
    r" <i\d+> (?:think|reckon|believe|guess|suspect|fancy|suppose|assume|imagine|"
    r"would say|would guess|am not sure but|have a feeling|do not think) (?:that )?"
)


@dataclass(frozen=True, slots=True)
class Act:
    """What a view's sentence does. ``unsure_from``: hedged from this place of the text on.

    ``hedged``: places of the text that are hedged, as (start, end). ``said_by``: whose words they
    are, a mark or empty, from ``told_from`` on; -1: nobody else's.
    """

    view: View
    silent: str = ""
    hedges: tuple[tuple[int, int], ...] = ()
    told_from: int = -1
    said_by: str = ""

    def sure(self, start: int, end: int) -> bool:
        """Whether nothing hedges a stretch of the text."""
        return not any(first < end and start < last for first, last in self.hedges)

    def first_hand(self, start: int) -> bool:
        """Whether the writer says it of his own."""
        return self.told_from < 0 or start < self.told_from


@functools.cache
def _hedge_words() -> re.Pattern[str]:
    words = [row.words.lower() for row in load_words("hedge")]
    plain = [w for w in words if re.fullmatch(r"[a-z ]+", w) and "think" not in w
             and w not in {"may", "might", "could be", "may be", "might be", "looks", "suspect",
                           "believe", "guess", "sort of", "i think"}]  # fmt: skip
    plain.sort(key=len, reverse=True)
    return re.compile(rf" (?:{'|'.join(map(re.escape, plain))})(?= )")


def act_of(view: View) -> Act:
    """Return what a view's sentence does, and the view without the words that say so."""
    text = view.text
    if view.sentence.asks and (_ASKS.search(text) or _TAG.search(text)):
        return Act(view, silent="asks")
    act = Act(view)
    act = _told(act)
    act = _hedged(act)
    if view.sentence.asks and not act.hedges:
        act = replace(act, hedges=((0, len(act.view.text)),))
    return act


def _told(act: Act) -> Act:
    """Take words of hearsay out; what stands behind them is somebody else's."""
    for pattern in _HEARSAY:
        match = pattern.search(act.view.text)
        if match is None:
            continue
        who = match.groupdict().get("who") or ""
        view = act.view.without(match.start(), match.end())
        return replace(act, view=view, told_from=match.start(), said_by=who)
    match = _AFTER.search(act.view.text)
    if match:
        who = match["who"] or match["who2"]
        view = act.view.without(match.start(), match.end())
        return replace(act, view=view, told_from=0, said_by=who)
    return act


def _hedged(act: Act) -> Act:
    """Take hedges out; each holds for its clause, "I think" for all that follows to a "but"."""
    hedges: list[tuple[int, int]] = []
    view = act.view
    steps: tuple[tuple[re.Pattern[str], Callable[[re.Match[str]], str]], ...] = (
        (_IS, lambda _m: "is"), (_LOOKS, lambda _m: "is"), (_HAVE, lambda _m: "has"),
        (_OWN, lambda _m: ""), (_hedge_words(), lambda _m: ""),
    )  # fmt: skip
    told_from = act.told_from
    for pattern, instead in steps:
        while match := pattern.search(view.text):
            word = instead(match)
            before = len(view.text)
            view = view.without(match.start(), match.end(), instead=word)
            gone = before - len(view.text)
            hedges = [(a - gone if a > match.start() else a, b - gone if b > match.start() else b)
                      for a, b in hedges]  # fmt: skip
            start, end = _clause_around(view.text, match.start())
            hedges.append((start, end))
            if told_from > match.start():
                told_from = max(told_from - gone, 0)
    return replace(act, view=view, hedges=tuple(hedges), told_from=told_from)


_CLAUSE_END = re.compile(r" (?:;|but|although|though|however|:) ")


def _clause_around(text: str, at: int) -> tuple[int, int]:
    start = max((m.end() - 1 for m in _CLAUSE_END.finditer(text, 0, at + 1)), default=0)
    after = _CLAUSE_END.search(text, at)
    return start, after.start() if after else len(text)


def is_plan(clause: str) -> bool:
    """Tell whether a clause wishes, plans or supposes, and so says nothing of what is."""
    return bool(_PLANS.search(clause) or _NOT_SAID.search(clause))
