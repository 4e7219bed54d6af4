"""Words by which people say yes and no in a form."""

from __future__ import annotations

#: Common practice, no source.
_YES = frozenset({"yes", "y", "x", "true", "1", "✓", "✔", "ok", "leave out", "leave it out"})
_NO = frozenset({"no", "n", "false", "0", "-"})


def is_yes(text: str) -> bool:
    """Tell whether a cell says yes."""
    return text.strip(" .!").casefold() in _YES


def is_no(text: str) -> bool:
    """Tell whether a cell says no."""
    return text.strip(" .!").casefold() in _NO
