"""Folding text for line identity, and cutting it into tokens."""

from __future__ import annotations

import re
import unicodedata
from functools import lru_cache

# NFKC would run a vulgar fraction into the digit before it: 1½ -> 11/2.
_VULGAR = re.compile(r"(?<=\d)\s*([\u00bc-\u00be\u2150-\u215e])")
_UNIFIED = str.maketrans(
    {
        **dict.fromkeys("\u2018\u2019\u201a\u201b\u2032\u00b4`\u02bc", "'"),
        **dict.fromkeys("\u201c\u201d\u201e\u201f\u2033\u00ab\u00bb", '"'),
        **dict.fromkeys("\u2010\u2011\u2012\u2013\u2014\u2015\u2212\ufe63\uff0d", "-"),
        **dict.fromkeys("\u2044\u2215", "/"),
        "\u00d7": "x",
        "\u00ad": None,
    }
)
# A joiner stays inside a token only beside a digit or a single letter: l/h, u-bolt, 4h.5274, but
# front/rear is two words.
_WORD = re.compile(r"[^\W_]+(?:['./&-][^\W_]+)*[\"']?|\.\d+")
_JOINER = re.compile(r"([./&-])")


def tidy(text: str) -> str:
    """Return the text in NFKC, quotes and dashes unified, one space between words; case kept."""
    if text.isascii() and text.isprintable() and "`" not in text:
        # Most cells: nothing to unify but spaces and a doubled quote (three times as fast).
        return " ".join(text.replace("''", '"').split())
    text = _VULGAR.sub(r" \1", text).translate(_UNIFIED)
    text = unicodedata.normalize("NFKC", text).translate(_UNIFIED).replace("''", '"')
    kept = "".join(
        " " if char.isspace() else char
        for char in text
        if char.isspace() or unicodedata.category(char) not in {"Cc", "Cf", "Cs"}
    )
    return " ".join(kept.split())


@lru_cache(maxsize=200_000)
def fold(text: str) -> str:
    """Return the form used for identity: ``tidy``, and without case. Folding twice changes nothing.

    Common practice, no source: vulgar fractions become ``1/2``, a multiplication sign ``x``.
    """
    if text.isascii() and text.isprintable():
        return tidy(text).lower()
    folded = tidy(tidy(text).casefold())
    while (again := tidy(folded.casefold())) != folded:  # case folding can undo a normal form
        folded = again
    return folded


def _split(word: str) -> list[str]:
    """Cut a word at joiners between whole words."""
    parts = _JOINER.split(word)
    out = [parts[0]]
    for joiner, part in zip(parts[1::2], parts[2::2], strict=True):
        before = _JOINER.split(out[-1])[-1]
        single = len(before) == 1 or len(part.rstrip("\"'")) == 1
        if single or any(char.isdigit() for char in before + part):
            out[-1] += joiner + part
        else:
            out.append(part)
    return out


@lru_cache(maxsize=200_000)
def tokens(text: str) -> tuple[str, ...]:
    """Return the folded words, keeping ``l/h``, ``3/8``, ``no.2``, ``1/2"`` and part numbers whole.

    A ``.010`` keeps its point. Slashed or hyphened whole words come apart (``front/rear``).
    """
    return tuple(part for word in _WORD.findall(fold(text)) for part in _split(word))
