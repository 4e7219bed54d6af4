"""Reading words of a feature that say that it is not there: "no oil filler on the left"."""

from __future__ import annotations

import re
from functools import lru_cache

from .phrases import is_hedged, phrase_tokens
from .text import fold, tidy

_A = r"(?:(?:a|an|any|the)\s+)?"
#: Before the feature (common practice, no source).
_BEFORE = re.compile(
    r"(?:(?:it |there |this one |she )?(?:has|had|is|was|are|were) )?(?:no sign of|no trace of|no|"
    r"without|lacks|lacking|minus|never had|never fitted with|not fitted with|not got|"
    r"absence of|does not have|did not have|doesn't have|didn't have|has not got|hasn't got|"
    rf"not have|not having|is missing|missing)\s+{_A}(?P<feature>.+)"
)
_AFTER = re.compile(
    r"(?P<feature>.+?)\s*(?:[:,;-]\s*|\s(?:is|was|are|were)\s)?\s*\(?"
    r"(?:not fitted|never fitted|not there|not present|none|absent|missing|lacking)\)?"
)
#: Words that deny something; a number ("no. 4", "No 12") and a compound ("non-slip") do not.
_DENIES = re.compile(
    r"\b(?:no(?!\.? ?\d|\.\w)|not|never|without|lack(?:s|ing)?|missing|absent|absence|minus|none|"
    r"neither|nor|nothing|nowhere|nobody|hardly|barely|scarcely|cannot|\w+n't)\b(?!-)"
)
#: A thing told of by what it has not is a feature of its own: "hatch without a handle".
_WITHIN = re.compile(r"^(?!there |it |this |has |had )[a-z][\w' -]*? (?:without|with no) [\w' -]+$")
#: With these more is said than that the feature is not there.
_MORE = re.compile(
    r"\b(?:but|except|only|though|although|however|longer|more|less|fewer|doubt|two|both|all|"
    r"every|each|that i|i could|you can|yet|now|any ?more|instead|or|and)\b|[,;?]"
)


@lru_cache(maxsize=20_000)
def read_absence(text: str) -> tuple[bool | None, str | None]:
    """Return whether a feature in these words is there, and the feature where it is denied.

    (True, None): nothing is denied. (None, None): a person must say what is meant.
    """
    folded = fold(text).strip(" .!")
    denied = len(_DENIES.findall(folded))
    if not denied:
        return True, None
    if is_hedged(phrase_tokens(folded)):
        return None, None
    if denied == 1 and _WITHIN.match(folded):
        return True, None
    match = _BEFORE.fullmatch(folded) or _AFTER.fullmatch(folded)
    if match is None or denied > 1 or _MORE.search(match["feature"]):
        return None, None
    if _DENIES.search(match["feature"]):
        return None, None
    start, end = match.span("feature")
    kept = tidy(text).strip(" .!")
    return False, (kept[start:end] if len(kept) == len(folded) else match["feature"]).strip(" .")
