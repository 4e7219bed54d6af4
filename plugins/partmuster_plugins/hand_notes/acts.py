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

from .expressions import expression
from .hearsay import FORMS, LIKELY
from .names import NameMention

if TYPE_CHECKING:
    from collections.abc import Callable

    from .view import View

_ASKS = expression(
    r"^ (?:(?:and|but|so|or|ps|also|then|well|now|right|ok|oh|um|er|,) )*(?:has|have|does|do|did|"
    r"is|are|was|were|can|"
    r"could|would|will|shall|should|any|anyone|anybody|who|what|where|which|when|why|how|whose|"
    r"got|know|had|am|"
    r"may|fancy|want|need|shd|cd|wd) "
)
_TAG = expression(
    r" (?:is|was|does|has|do|did|are|were|have) (?:not )?(?:it|he|she|they|there|"
    r"you|<[hk]\d+>) \? $"
)
_WHO_HAS = expression(
    r" (?:who|what|where|which|how many|why|whether|anybody|anyone) (?:[^,;]* "
    r")?\? $"
)
#: Wishes, plans and orders (common practice, no source).
_NOT_SAID = expression(
    r" (?:if|unless|until|till|when|once|whether|wish|wishes|wished|wishing|hope|hopes|hoping|"
    r"imagine|suppose|"
    r"supposing|dream|dreamt|dreaming|remind|reminder|remember to|remember :|do not forget|must "
    r"not forget|"
    r"let <i\d+> say|say for example|pretend|wonder|wondering|wondered|provided|assuming|in case|"
    r"lest|as long as|"
    r"would like to know|no idea (?:if|whether)|find out|(?:should|must|please|to|will|shall|"
    r"could|can) "
    r"(?:check|make sure|ask|find out|see to)) "
)
_PLANS = expression(
    r" (?:(?:will|shall|would) (?!(?:swap|trade|sell|part|do|not|fit|go|take|let|have|be))"
    r"|(?:am|is|are) (?:going|planning|hoping|meaning|due) to|must (?!be|have been)|should (?!be|"
    r"have)|ought to|"
    r"need to|needs to|have to|has to|had to|plan to|plans to|hope to|hopes to|might try|"
    r"next (?:week|month|year|time|weekend|job|sunday|saturday) ) ?"
)
#: Rewritings: doubtful words about what is or was, and what is left of them.
_IS = expression(r" (?:might|may|could|must|would) (?:well |just |possibly )?(?:not )?be (?=\S)")
_HAVE = expression(
    r"(?<! you) (?:might|may|must) (?:well |just )?have (?=<|a |an |two |three |"
    r"some |spare )"
)
_LOOKS = expression(
    r" (?:looks?|looked|seems?|seemed|appears?|appeared|sounds?|feels?) (?:very much )?"
    r"(?:to be|to me like|to me|like|as if <[kv]\d+> is|as though <[kv]\d+> is|as if|as though) "
)
_OWN = expression(
    r" (?:and |but |, )?<i\d+> (?:do |did |still |rather |now )?(?:think|thought|reckon|believe|"
    r"guess|suspect|fancy|"
    r"suppose|assume|imagine|expect|daresay|dare say|would say|would guess|would think|would "
    r"have said|am fairly sure|"
    r"am pretty sure|am almost sure|am not sure but|am not certain but|have a feeling|have an idea|"
    r"seem to remember|seem to recall|vaguely remember|could be wrong but|may be wrong but|might "
    r"be wrong but) "
    r"(?:that |so )?(?:, )?"
)
_AS_FAR = expression(
    r" (?:, )?(?:as far as <i\d+> (?:know|knew|can tell|could tell|can see|could see|can "
    r"remember|remember|am aware)|"
    r"to the best of my knowledge|if <i\d+> (?:remember|recall) (?:right|rightly|correctly)|if "
    r"<i\d+> remember|"
    r"if (?:my )?memory serves|unless <i\d+> am (?:much )?mistaken|if <i\d+> am not mistaken|"
    r"from memory|"
    r"(?:do not|<i\d+> would not) quote me(?: on (?:that|this|it|<k\d+>))?|not that <i\d+> "
    r"(?:looked|tried) (?:hard|long)|"
    r"<i\d+> (?:am|was) not (?:sure|certain)|<i\d+> can not be (?:sure|certain)|<i\d+> would not "
    r"swear to (?:it|<k\d+>)|"
    r"by the look of (?:it|<k\d+>)|by the looks of (?:it|<k\d+>)|at a guess|if <i\d+> had to "
    r"guess|hard to (?:tell|say)|"
    r"more or less|to judge by (?:it|<k\d+>)) (?:, |but |though )*"
)
_NOT_SURE = expression(
    r" (?:not|never) (?:quite |entirely |too |100% )?(?:sure|certain) (?:, "
    r")?(?:but |though |if |whether )*"
)
#: Words of hedging that are rewritten above, or that tell something else in a sentence.
_NOT_PLAIN = frozenset({
    "may", "might", "could be", "may be", "might be", "looks", "looks like", "looks to be",
    "seems", "seems to be", "appears", "appears to be", "suspect", "believe", "guess", "sort of",
    "i think", "think so", "not sure", "unsure", "apparently", "allegedly", "supposedly",
    "reportedly", "said to be", "thought to be",
})  # fmt: skip


@dataclass(frozen=True, slots=True)
class Act:
    """What a view's sentence does.

    ``silent``: why it says nothing, or empty. ``hedges``: places of the text that are hedged, as
    (start, end). ``told_from``: from where on it is somebody else's words; -1: nowhere.
    ``said_by``: whose, a mark or empty.
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
    plain = [w for w in words if re.fullmatch(r"[a-z ]+", w) and w not in _NOT_PLAIN]
    plain.sort(key=len, reverse=True)
    return expression(rf" (?:, )?(?:{'|'.join(map(re.escape, plain))}) (?:, )?")


def act_of(view: View) -> Act:
    """Return what a view's sentence does, and the view without the words that say so."""
    text = view.text
    asks = view.sentence.asks
    said = f" {' '.join(word.low for word in view.sentence.words)} " if asks else ""
    if asks and (_ASKS.search(said) or _TAG.search(text) or _WHO_HAS.search(text)):
        return Act(view, silent="it is a question")
    act = _hedged(_told(Act(view)))
    if asks and not act.hedges:
        act = replace(act, hedges=((0, len(act.view.text)),))
    return act


def _told(act: Act) -> Act:
    """Take words of hearsay out; what they reach is somebody else's."""
    text = act.view.text
    if not LIKELY.search(text):
        return act
    hits = [(match.start(), number, match) for number, form in enumerate(FORMS)
            if (match := form.pattern.search(text))]  # fmt: skip
    if not hits:
        return act
    behind = [hit for hit in hits if FORMS[hit[1]].before and hit[2].groupdict().get("who")]
    _, number, match = min(behind or hits, key=lambda hit: hit[:2])
    form = FORMS[number]
    view, mark = _speaker(act.view, match)
    view = view.without(match.start(), match.end(), instead=form.instead)
    start, end = _clause_around(view.text, min(match.start(), len(view.text) - 1))
    told_from = start if form.before else match.start()
    hedges = ((told_from, end if form.before else len(view.text)),) if form.doubts else ()
    return replace(act, view=view, told_from=told_from, said_by=mark, hedges=hedges)


def _speaker(view: View, match: re.Match[str]) -> tuple[View, str]:
    """Return a mark for who speaks; one without a name is given one, in the note's words."""
    who = (match.groupdict().get("who") or "").strip(" ,")
    if not who:
        return view, ""
    if re.fullmatch(r"<[hn]\d+>", who):
        return view, who
    start = match.start("who")
    words = view.words_of(start, start + len(who)).strip(" ,").removesuffix("'s")
    told = NameMention(0, 0, words, "person")
    return replace(view, mentions=(*view.mentions, told)), f"<h{len(view.mentions)}>"


def _hedged(act: Act) -> Act:
    """Take hedges out; each holds for its clause."""
    hedges = list(act.hedges)
    view = act.view
    told_from = act.told_from
    steps: tuple[tuple[re.Pattern[str], Callable[[re.Match[str]], str]], ...] = (
        (_AS_FAR, lambda _m: ""), (_NOT_SURE, lambda _m: ""),
        (_IS, lambda m: "is not" if " not " in m[0] else "is"), (_LOOKS, lambda _m: "is"),
        (_HAVE, lambda _m: "has"), (_OWN, lambda _m: ""), (_hedge_words(), lambda _m: ""),
    )  # fmt: skip
    for pattern, instead in steps:
        while match := pattern.search(view.text):
            word = instead(match)
            before = len(view.text)
            view = view.without(match.start(), match.end(), instead=word)
            gone = before - len(view.text)
            hedges = [
                (a - gone if a > match.start() else a, b - gone if b > match.start() else b)
                for a, b in hedges
            ]
            if told_from > match.start():
                told_from = max(told_from - gone, 0)
            hedges.append(_clause_around(view.text, min(match.start(), len(view.text) - 1)))
    return replace(act, view=view, hedges=tuple(hedges), told_from=told_from)


_CLAUSE_END = expression(r" (?:;|but|although|though|however|:) ")


#: A sentence of so many words is dictated: its commas end clauses, too.
_RUN_ON = 30


def _clause_around(text: str, at: int) -> tuple[int, int]:
    if text.count(" ") > _RUN_ON:
        return _between_commas(text, at)
    start = max((m.end() - 1 for m in _CLAUSE_END.finditer(text, 0, at + 1)), default=0)
    after = _CLAUSE_END.search(text, at)
    return start, after.start() if after else len(text)


def _between_commas(text: str, at: int) -> tuple[int, int]:
    """Return the words between two commas; where nothing is left there, those before them."""
    start = max(text.rfind(" , ", 0, at + 1), text.rfind(" ; ", 0, at + 1), 0)
    ends = [end for sign in (" , ", " ; ", " but ") if (end := text.find(sign, at + 1)) >= 0]
    end = min(ends, default=len(text))
    if not text[start + 2 : end].strip(" ,"):
        start = max(text.rfind(" , ", 0, max(start, 0)), 0)
    return start, end


def is_plan(clause: str) -> bool:
    """Tell whether a clause wishes, plans or supposes, and so says nothing of what is."""
    return bool(_PLANS.search(clause) or _NOT_SAID.search(clause))
