"""Words by which a cell or a section row says that something is held, or wanted."""

from __future__ import annotations

import re

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
#: "Want: -" is a label with nothing said.
_LABELLED_NOTHING = re.compile(r"\w ?: ?-+$")
#: Beside "Have/want" these say it, too, alone or with a count (common practice, no source).
_ALSO = {
    **dict.fromkeys(("need", "needed", "needs", "short", "required", "after", "w", "-"), "want"),
    **dict.fromkeys(("+", "h", "over", "to spare", "to go"), "holding"),
}
_SIGN = re.compile(r"([+-]?) ?(\d{1,4})(?:\.0)?")
_WORD_AND_COUNT = re.compile(r"(?P<word>[a-z/+ -]*?[a-z]|[+-]) ?[:=x-]? ?(?P<count>\d{1,4})")
_COUNT_AND_WORD = re.compile(r"(?P<count>\d{1,4}) ?(?:x |off )?(?P<word>[a-z/][a-z/ ]*)")


def kind_and_count(cell: str) -> tuple[str | None, str | None]:
    """Return kind and count that a cell under "Have/want" says: "+2", "want 1", "2 spare"."""
    folded = fold(cell).strip(" .!:")
    if match := _SIGN.fullmatch(folded):
        return ("want" if match[1] == "-" else "holding"), match[2]
    if (kind := kind_of(cell, letters=True) or _ALSO.get(folded)) is not None:
        return kind, None
    match = _WORD_AND_COUNT.fullmatch(folded) or _COUNT_AND_WORD.fullmatch(folded)
    if match is None:
        return None, None
    word = match["word"].strip()
    kind = kind_of(word, letters=True) or _ALSO.get(word)
    return kind, match["count"] if kind else None


def says_otherwise(cell: str) -> bool:
    """Tell whether words say their kind whatever stands beside them: "got" may be a want met."""
    return fold(cell).strip(" .!:*-") not in _MET


def kind_of(cell: str, *, letters: bool = False) -> str | None:
    """Return the kind of line that words say, all of them; ``letters``: H and W say it too."""
    folded = fold(cell)
    if _LABELLED_NOTHING.search(folded):
        return None
    words = folded.strip(" .!:*-")
    if letters and words in _LETTERS:
        return _LETTERS[words]
    return "want" if words in _WANT else "holding" if words in _HAVE else None


_SECTION = re.compile(
    r"(?P<kind>still wanted|wanted|wants|looking for|items wanted|parts wanted|for sale|for swap|"
    r"for disposal|on offer|offered|spares|surplus|available|items for sale|parts for sale)\b"
    r"(?P<rest>.*)"
)
#: What may stand in a section row beside the kind; any other word may name a part.
_GENERAL = frozenset(
    ["all", "good", "anything", "any", "considered", "offers", "offer", "please", "contact", "see",
     "cheap", "price", "prices", "swap", "swaps", "or", "and", "below", "urgent", "urgently", "now",
     "still", "items", "parts", "bits", "members", "list", "the", "to", "of", "in", "condition",
     "new", "used", "as", "seen", "collect", "collection", "only", "buyer", "collects", "this",
     "month", "autumn", "spring", "summer", "winter", "our", "club", "by", "from", "for", "at",
     "first", "come", "served", "sensible", "wanted", "sale", "free", "postage", "extra"]
)  # fmt: skip
_WHOSE = re.compile(r"\s*[-:,(]*\s*(?:for|by|from|of)\s+\S.*")


def section_kind(text: str) -> str | None:
    """Return the kind that a section row says, with words beside it: "WANTED FOR OTTER 3".

    None where the words beside may name a part: "For sale: horn".
    """
    if (kind := kind_of(text)) is not None:
        return kind
    match = _SECTION.fullmatch(fold(text).strip(" .!:*-"))
    if match is None:
        return None
    numbered = re.search(r"\d", match["rest"]) and _WHOSE.fullmatch(match["rest"])
    shouted = text.isupper() and _WHOSE.fullmatch(match["rest"])
    general = set(re.findall(r"[a-z]+", match["rest"])) <= _GENERAL
    if not (numbered or shouted or general):
        return None
    return kind_of(match["kind"])
