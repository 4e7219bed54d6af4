"""Contractions opened ("isn't": is not), so that the sayings need one spelling only."""

from __future__ import annotations

import functools
import re

from .expressions import expression

#: What a sentence must hold for any of them to be looked for.
_SIGNS = expression(
    r"'|\[|\b(?:cd|abt|thats|its|shant|cannot|cant|wont|aint|theres|im|ive|hes|got"
    r"|(?:some|no|every|any)(?:body|one)s|(?:do|does|did|is|was|has|have|would|could|are|were)nt)\b",
    re.IGNORECASE,
)
_CONTRACTIONS = (
    (expression(r"\bcd (?=not\b|n't\b|see\b|get\b)", re.IGNORECASE), "could "),
    (expression(r"\bcdn't\b", re.IGNORECASE), "could not"),
    (expression(r"\babt\b", re.IGNORECASE), "about"),
    (expression(r"\b(some|no|every)(body|one)s(?= (?:had|got|been|taken|nicked|robbed|pinched)\b)",
                re.IGNORECASE), r"\1\2 has"),
    (expression(r"\bthats\b", re.IGNORECASE), "that is"),
    (expression(r"\bits (?=(?:on|off|in|out|there|gone|been|not|a|an|never|only|still|just|all"
                r"|seized|missing|rotten|ok|fine|good|sound|original|at|away|back|stuck|bent)\b)",
                re.IGNORECASE), "it is "),
    (expression(r"(?<![\w'])'em\b", re.IGNORECASE), "them"),
    (expression(r"\b(he|she|it|who|that)'s (?=(?:said|gone|been|had|taken|sold|promised|agreed"
                r"|changed|accepted|picked|collected|kept|put|offered|shaken|shook|fetched|given|told"
                r"|let|come|asked|bought|found)\b)", re.IGNORECASE), r"\1 has "),
    (expression(r"\bshan'?t\b", re.IGNORECASE), "shall not"),
    (expression(r"\bcan't\b|\bcannot\b|\bcant\b", re.IGNORECASE), "can not"),
    (expression(r"\bwon't\b|\bwont\b", re.IGNORECASE), "will not"),
    (expression(r"\bain't\b|\baint\b", re.IGNORECASE), "is not"),
    (expression(r"\b(is|are|was|were|has|have|had|does|do|did|would|could|should|need|must)n't\b",
                re.IGNORECASE), r"\1 not"),
    (expression(r"\b(do|does|did|is|was|has|have|would|could|are|were)nt\b", re.IGNORECASE),
     r"\1 not"),
    (expression(r"\b(i|you|we|they)'ve\b", re.IGNORECASE), r"\1 have"),
    (expression(r"\b(you|we|they)'re\b", re.IGNORECASE), r"\1 are"),
    (expression(r"\bi'm\b", re.IGNORECASE), "i am"),
    (expression(r"\b([a-z]{2,}|i)'ll\b", re.IGNORECASE), r"\1 will"),
    (expression(r"\b(he|she)'d(?= (?:\w+ed|had|been|got|put|said|kept|sold|taken|given|seen|heard"
                r"|found|bought)\b)", re.IGNORECASE), r"\1 had"),
    (expression(r"\b(i|you|we|they|he|she)'d\b", re.IGNORECASE), r"\1 would"),
    (expression(r"\b(he|she|it|that|there|here|what|who|where|everything|nothing)'s got\b",
                re.IGNORECASE), r"\1 has got"),
    (expression(r"\b(he|she|it|that|there|here|what|who|where|everything|nothing|one)'s\b",
                re.IGNORECASE), r"\1 is"),
    (expression(r"\b(any|some|every)(one|body)'?s (?=short|got|after|interested|in need|desperate)",
                re.IGNORECASE), r"\1\2 is "),
    (expression(r"\btheres\b", re.IGNORECASE), "there is"),
    (expression(r"\bim (?=\w)", re.IGNORECASE), "i am "),
    (expression(r"\bive\b", re.IGNORECASE), "i have"),
    (expression(r"\bhes (?=got|had)", re.IGNORECASE), "he has "),
    (expression(r"\b([^\W\d_]+)'s (?=got\b)", re.IGNORECASE), r"\1 has "),
    (expression(r"\b(has|have|had)( still| only| also)? got\b", re.IGNORECASE), r"\1\2"),
)  # fmt: skip

#: "[x] dynamo", "[ ] starter".
_BOX = expression(r"^\W*\[(?P<tick>[ xX✓✔])\]\s*(?P<what>\S.*)$")


@functools.lru_cache(maxsize=2048)
def opened(text: str) -> str:
    """Return a sentence with its contractions opened; a box at its head stands behind it."""
    if not _SIGNS.search(text):
        return text
    boxed = _BOX.match(text)
    if boxed:
        text = f"{boxed['what'].rstrip(' .')} {'✓' if boxed['tick'].strip() else '✗'}"
    for pattern, words in _CONTRACTIONS:
        text = pattern.sub(words, text)
    return text
