"""How one thing goes on another: the grade that the verb and the words behind it tell."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from . import fit_words as w
from .expressions import expression

if TYPE_CHECKING:
    from collections.abc import Sequence

    from .acts import Act
    from .fit_phrases import Piece

_WHY = expression(
    r"(?:^| )(?:because|as|since|for|;|,|-|:) (?:of )?(?P<why>(?:<t>|the |bolts |its |it is |"
    r"they are |\d|hole|holes|teeth|bore|bell)\W?.*)$"
)
_UNTRIED = expression(
    r"\b(?:have|has|had) not (?:done|tried) (?:it|<t>|that|this)|\b(?:untried|never tried|not "
    r"tried|not been tried|have never done)\b"
)


@dataclass(frozen=True, slots=True)
class Verdict:
    """A grade with what the words add. ``untried``: nobody has done it."""

    grade: str
    work: str = ""
    untried: bool = False


def verdict_of(tail: str, verb: str, *, bare: bool = False) -> Verdict | None:  # noqa: PLR0911 - one line a grade
    """Return how a thing goes on another by its verb and what follows.

    ``bare``: no verb says that it does, so that the words behind must.
    """
    untried = bool(_UNTRIED.search(tail))
    near = _near(tail)
    told = f"{verb} {near}".strip()
    if w.SET.search(told) or re.match(r"only\b.*\b(?:with|together)$", told):
        return Verdict("only-as-a-set", untried=untried)
    if re.match(r"(?:.* )?only(?: \w+)*$", verb) and re.match(r"^with <t>", near):
        return Verdict("only-as-a-set", untried=untried)
    if verb and w.NOT.search(re.sub(r"\bnot only\b", "", verb)):
        return Verdict("never", untried=untried)
    if w.ONE_WAY.search(tail):
        return Verdict("one-way", untried=untried)
    if w.NO.match(near):
        return Verdict("never", untried=untried)
    plain = w.NO_WORK.sub(" ", near)
    if w.WORK.search(plain):
        return Verdict("with-work", untried=untried)
    if bare:
        if w.YES.match(near):
            return Verdict("as-is", untried=untried)
        return None
    return Verdict("as-is", untried=untried)


def _near(tail: str) -> str:
    """Return what follows up to where the sentence turns to something else."""
    return re.split(r" ?; (?=<t>)", tail, maxsplit=1)[0].strip()


def reason_in(words: str) -> str:
    """Return why a thing does not go, in the sentence's words."""
    found = re.search(
        r"(?:\bbecause\b|\bsince\b|\bas the\b|[,;(:–-])\s*(?P<why>(?:the |its |it is |they are |"
        r"it's |too |\d|[a-z]+ (?:is|are)\b|[a-z]+'s )[^,;()]*?)\)?\.?$",
        words, re.IGNORECASE,
    )  # fmt: skip
    return found["why"].strip(" .") if found else ""


def work_in(act: Act, pieces: Sequence[Piece], tail: tuple[int, int]) -> str:
    """Return the work that has to be done, in the sentence's words."""
    start = pieces[tail[0]].start if tail[0] < len(pieces) else 0
    stop = pieces[min(tail[1], len(pieces)) - 1].end
    words = _slice(act, start, stop)
    words = re.sub(
        r"^\W*(?:but|only|if|once|after|yes|it|you|,|'ll| )*(?:have to |need to |you have to )?",
        "",
        words,
    )
    return words.strip(" ,.;:-")


def _slice(act: Act, start: int, stop: int) -> str:
    words = act.view.sentence.words
    chosen = words[start:stop]
    text = " ".join(word.text for word in chosen)
    text = re.sub(r" ([,.;:!?)])", r"\1", text)
    return text.replace(" 's", "'s")
