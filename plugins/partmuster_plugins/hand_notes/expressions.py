"""Expressions that are compiled when they are first used: a short note needs few of them."""

from __future__ import annotations

import re
from typing import Any, AnyStr, cast

_USES = ("search", "match", "fullmatch", "finditer", "findall", "sub", "split", "pattern")


class _Lazy:
    """Stands for an expression until it is used, and from then on does as it does."""

    def __init__(self, pattern: Any, flags: int) -> None:
        self._told = pattern, flags

    def __getattr__(self, name: str) -> object:
        compiled = re.compile(*self._told)
        for use in _USES:  # asked again, this is not called
            setattr(self, use, getattr(compiled, use))
        return getattr(compiled, name)


def expression(pattern: AnyStr, flags: int = 0) -> re.Pattern[AnyStr]:
    """Return a regular expression that costs nothing until it is used."""
    return cast("re.Pattern[AnyStr]", _Lazy(pattern, flags))
