"""Reading whether words say no more than that a thing is gone: sold, scrapped, used up."""

from __future__ import annotations

import re

_MONTH = r"(?:jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)[a-z]*\.?"
_DAY = rf"(?:\d[\d./ -]*|(?:\d{{1,2}}(?:st|nd|rd|th)? )?{_MONTH}(?: \d{{2,4}})?)"
#: As a pattern for polars too, to be matched with the whole of a cell (common practice, no source).
GONE = (
    r"(?i)^\s*(?:now |since |all )?(?:sold(?: on)?|gone|given away|disposed of|scrapped|used up|"
    r"no longer (?:held|have|here))"
    rf"(?: (?:on |in )?{_DAY})?(?: to [^,;]{{1,40}})?(?: (?:on |in )?{_DAY})?\s*[.!]?\s*$"
)


def says_gone(text: str) -> bool:
    """Tell whether a text says that a thing is gone, to whom and when at most besides."""
    return re.match(GONE, text) is not None
