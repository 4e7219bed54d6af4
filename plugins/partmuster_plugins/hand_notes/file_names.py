"""What a file's name may name: the words of it that may be a vehicle's name."""

from __future__ import annotations

import re
from itertools import pairwise

from .nearness import is_strange
from .roles import words_of_any
from .trail import MOST, Near


def in_file_name(name: str) -> list[Near]:
    """Return what a file's name may name: two words, a word with its number, a word."""
    stem = name.rsplit("/", 1)[-1].rsplit(".", 1)[0]
    text = re.sub(r"(?<=[a-z])(?=[A-Z])|[_\s-]+", " ", stem)
    words = re.findall(r"[A-Za-z]+|\d+", text)
    known = words_of_any("everyday", "file-word") - {"old"}
    pairs = [
        f"{one} {two}" for one, two in pairwise(words)
        if one.isalpha() and one.casefold() not in known
        and (two.casefold() not in known and (two.isalpha() or len(two) <= 2))  # noqa: PLR2004 - no year
    ]  # fmt: skip
    single = [one for one in words if is_strange(one.casefold())]
    return [Near(one) for one in dict.fromkeys([*pairs, *single])][:MOST]
