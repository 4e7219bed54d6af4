"""Words by which a cell or a section row says that something is held, or wanted."""

from __future__ import annotations

from partmuster.reading.text import fold

#: Of cells and section rows, folded (common practice, no source).
_WANT = frozenset({"want", "wanted", "wants", "wtd", "still wanted", "looking for",
                   "parts wanted", "items wanted", "wanted list"})  # fmt: skip
_HAVE = frozenset({"have", "held", "got", "has", "spare", "spares", "holding", "in stock", "stock",
                   "surplus", "for sale", "f/s", "sale", "offered", "on offer", "swap", "swaps",
                   "for swap", "available", "to sell", "for disposal", "spares held",
                   "parts held", "items for sale", "parts for sale"})  # fmt: skip
_LETTERS = {"h": "holding", "w": "want"}


#: Of a want these say that it is met, or where to get it, and not that the row is a holding.
_MET = frozenset({"got", "has", "have", "held", "in stock", "stock", "available", "holding"})


def says_otherwise(cell: str) -> bool:
    """Tell whether words say their kind whatever stands beside them: "got" may be a want met."""
    return fold(cell).strip(" .!:*-") not in _MET


def kind_of(cell: str, *, letters: bool = False) -> str | None:
    """Return the kind of line that words say, all of them; ``letters``: H and W say it too."""
    words = fold(cell).strip(" .!:*-")
    if letters and words in _LETTERS:
        return _LETTERS[words]
    return "want" if words in _WANT else "holding" if words in _HAVE else None
