"""Reading a cell under "Have" or "Want": nothing, yes, how many, which side, and what else it says.

The words are common practice, no source. What is not understood is left whole, to be mended.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

from .amounts import NUMBER_WORDS
from .conditions import read_condition
from .gone import says_gone
from .phrases import phrase_tokens
from .quantities import read_quantity
from .sides import read_side
from .text import fold, tidy

_POLITE = r"(?:please|pls|plse|plz|thanks|thank you|thankyou|ta|cheers|if possible)"
_NO_WORDS = r"(?:0+(?:\.0+)?|nil|none|no|n|nope|not?|nothing|false|zero|-+|\u2717|\u2718|\u274c)"
_OF_NO_USE = (
    r"(?:wanted|needed|required|reqd|held|here|left|spare|more|yet|at present|now|any more)"
)
_NOTHING = re.compile(
    rf"{_NO_WORDS}(?:,? {_OF_NO_USE}){{0,2}}(?:,? {_POLITE})?|n/?a|have (?:enough|plenty)|enough|"
    r"no need|don't (?:need|want)(?: it| any| one)?(?: any more)?"
)
_YES_WORDS = r"(?:y|yes|yep|yeah|true|x|\u2713|\u2714|\u2611|\u221a|tick|ticked)"
_HAVE_WORDS = r"(?:have|have (?:it|one)|got|got (?:it|one)|held|have got (?:it|one)|in stock|spare)"
_WANT_WORDS = (
    rf"(?:want|wanted|need|needed|required|reqd|still (?:want|wanted|need|needed)|want (?:it|one)|"
    rf"need (?:it|one)|looking|still looking|{_POLITE})"
)
_NUMBERS = "|".join(sorted((w for w in NUMBER_WORDS if " " not in w), key=len, reverse=True))
_LEAD = re.compile(
    rf"(?P<lead>\d{{1,4}}\+?(?: ?(?:off|pairs?|prs?|sets?))?|(?:{_NUMBERS})(?: (?:pairs?|sets?))?|"
    rf"an? (?:pair|pr|set|couple)|pair|set|a few|several|some|any|both|{_YES_WORDS}|{_NO_WORDS})"
    r"(?P<between> ?[,;:(\[-]+ ?| )(?P<rest>.+?)[)\]]?"
)
_ONLY = re.compile(
    rf"\b(?:only|just|one|the|side|hand|for|on|a|an|{_POLITE}|want|wanted|need|needed)\b|[\s.,()-]"
)
_SPARE = re.compile(
    r"(?:reserved |kept |held |put by )?(?:for|off|from|ex|in|at|on|under) [a-z].*|"
    r"(?:of which )?\d+ (?:is |are )?(?:spare|kept|promised|on loan|in use|fitted)"
)
_HURRY = re.compile(r"(?:but )?(?:not urgent|no hurry|no rush|not fussy|not desperate)(?: .*)?")
#: What stands after a count and may take it back again.
_TAKES_BACK = {
    False: re.compile(
        r"\b(?:want(?:ed)?|short|sold|gone|scrapped|lost|not mine|none|given away)\b"
    ),
    True: re.compile(
        r"\b(?:not|no|none|got|found|bought|have|had|sorted|cancel\w*|but|except|unless|already|"
        r"done|more|ignore|maybe|perhaps|or)\b|\?"
    ),
}


@dataclass(frozen=True, slots=True)
class HeldCell:
    """What a cell says: ``nothing``, ``yes`` (how many is not said), ``some``, or ``unclear``.

    ``quantity``, ``side``, ``condition`` and ``remark`` are words of the cell, to be read as those
    of such columns are; of an unclear cell ``quantity`` is all of it.
    """

    says: str
    quantity: str | None = None
    side: str | None = None
    condition: str | None = None
    remark: str | None = None

    @property
    def read(self) -> bool:
        """Whether the cell is understood."""
        return self.says != "unclear"


@lru_cache(maxsize=20_000)
def read_held(text: str, *, wanted: bool) -> HeldCell:
    """Read a cell under a heading that says how many are held, or how many are ``wanted``."""
    folded = fold(text).strip(" .!") or fold(text)
    if not folded or _NOTHING.fullmatch(folded):
        return HeldCell("nothing")
    own = _WANT_WORDS if wanted else _HAVE_WORDS
    plain = re.sub(rf"[ ,(]+{_POLITE}[ )]*$", "", folded)
    plain = re.sub(rf"^(\d{{1,3}}|{_NUMBERS}) more$", r"\1", plain) if wanted else plain
    if re.fullmatch(rf"{_YES_WORDS}(?:,? {own})?|{own}", plain):
        return HeldCell("yes")
    if not wanted and says_gone(folded):
        return HeldCell("nothing", "0", remark=tidy(text))
    return _alone(text, plain, folded, wanted=wanted) or (
        _with_more(text, plain, wanted=wanted) or HeldCell("unclear", tidy(text))
    )


def _alone(text: str, plain: str, folded: str, *, wanted: bool) -> HeldCell | None:
    """Read a side, a count, or how good what is held is, and nothing more."""
    if side := _side_alone(plain):
        return HeldCell("some", side=side)
    if not (wanted and plain.strip("? ") == "") and read_quantity(plain).problem is None:
        return HeldCell("some", plain if plain != folded else tidy(text))
    state = None if wanted else _condition_in(plain, whole=True)
    return HeldCell("yes", condition=tidy(text)) if state else None


def _condition_in(words: str, *, whole: bool = False) -> str | None:
    """Return words that say how good a part is, all of them; or, beside others, that it fails."""
    state = read_condition(words)
    if not state.reasons or state.problem or state.ambiguous:
        return None
    known = sum(len(phrase_tokens(reason)) for reason in state.reasons)
    every = known >= len(phrase_tokens(words))
    return words if every or (not whole and state.service == "unserviceable") else None


def _side_alone(folded: str) -> str | None:
    """Return the words of a side where the text says no more than that: "LH only" -> "lh"."""
    reading = read_side(folded)
    if reading.side in {None, "both"} or re.search(r"\d", folded):
        return None
    words = " ".join(_ONLY.sub(" ", folded).split())
    return words if words and not _ONLY.sub("", reading.rest) else None


def _with_more(  # noqa: PLR0911 - one return a thing that a cell may say
    text: str, folded: str, *, wanted: bool
) -> HeldCell | None:
    """Read an answer or a count with more beside it: "yes, poor", "2 (1 spare)", "1 LH only"."""
    match = _LEAD.fullmatch(folded)
    if match is None:
        return None
    lead, rest = match["lead"], match["rest"].strip(" .,;:-")
    says = "yes" if re.fullmatch(_YES_WORDS, lead) else "some"
    if re.fullmatch(_NO_WORDS, lead):
        if wanted or _TAKES_BACK[wanted].search(rest):
            return None
        return HeldCell("nothing", "0", remark=tidy(text))
    quantity = None if says == "yes" else lead
    if quantity and read_quantity(quantity).problem is not None:
        return None
    if side := _side_alone(rest):
        return HeldCell(says, quantity, side=side)
    if says == "yes" and read_quantity(rest).problem is None:
        return HeldCell("some", rest)
    if not _may_stand_beside(rest, wanted=wanted):
        return None
    words = _as_written(text, rest)
    if not wanted and _condition_in(rest):
        return HeldCell(says, quantity, condition=words)
    return HeldCell(says, quantity, remark=words)


def _may_stand_beside(words: str, *, wanted: bool) -> bool:
    """Tell whether words beside a count add to it, and take nothing back nor count again."""
    if wanted and _HURRY.fullmatch(words):
        return True
    if re.search(r"\d", words) and not _SPARE.fullmatch(words):
        return False
    return _TAKES_BACK[wanted].search(words) is None


def _as_written(text: str, folded: str) -> str:
    """Return words of a folded text as they stand in the cell."""
    at = tidy(text).lower().find(folded)
    return tidy(text)[at : at + len(folded)] if at >= 0 else folded
