"""Names of sheets, such as spreadsheet programs take."""

from __future__ import annotations

import re

#: How long a sheet's name may be (the format's own limit).
_LONGEST = 31
#: A name that spreadsheet programs keep for themselves.
_KEPT = "history"


class SheetNames:
    """Gives each sheet a name of its own; capitals make no difference."""

    def __init__(self) -> None:
        self._taken = {_KEPT}

    def new(self, words: str) -> str:
        """Return a name made of words, without the signs that a name may not have."""
        plain = " ".join(re.sub(r"[\W_]+", " ", words).split())
        plain = plain[:1].upper() + plain[1:] or "Sheet"
        name, n = plain[:_LONGEST].rstrip(), 1
        while name.casefold() in self._taken:
            n += 1
            name = f"{plain[: _LONGEST - len(str(n)) - 1].rstrip()} {n}"
        self._taken.add(name.casefold())
        return name
