"""Reading what is said of features: how usual they are, whether they can be changed, or are there.

Words are in ``words_likelihood.csv``, ``words_changeable.csv``, ``words_seen.csv`` and
``words_evidence.csv``.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

from .phrases import Found, find_phrases, is_hedged, phrase_tokens
from .text import fold, tidy

#: Marks and letters of a table of features by build (common practice, no source).
_MARKS = {
    **dict.fromkeys(("x", "*", "✓", "✔", "☑", "√", "●", "•", "1", "+", "++", "u", "a", "tick"),
                    "usual"),
    **dict.fromkeys(("p", "o", "○", "(x)", "(✓)", "+/-", "±"), "possible"),
    **dict.fromkeys(("-", "--", "0", "✗", "✘", "❌"), "unlikely"),
}  # fmt: skip
_PERCENT = re.compile(
    r"(?:about |around |c\.? ?|~|approx\.? )?(\d{1,3})(?:\.\d+)? ?(?:%|per ?cent)"
)
_OUT_OF = re.compile(
    r"(?:about |around )?(\d{1,4}) ?(?:of|in|out of|/) ?(?:the )?(\d{1,4})(?: seen)?"
)
#: From such a share of all up a feature is usual; below the other one it is unlikely.
_USUAL_FROM, _UNLIKELY_BELOW = 0.7, 0.15
_LONGEST = 200
_BUILDS = re.compile(r"\b(?:early|mid|late|later|earlier|mk|mark)\b")
_DOUBTS = frozenset({"?", "??", "???"})
_SMALL = frozenset({"a", "an", "and", "are", "as", "but", "in", "is", "it", "of", "on", "or", "so",
                    "the", "them", "these", "this", "to", "was", "with", "there", "-"})  # fmt: skip


@dataclass(frozen=True, slots=True)
class LikelihoodReading:
    """``likelihood``: usual, possible or unlikely; None: nothing is said, or it is not read.

    ``problem``: contradictory-words, not-understood. ``rest``: the cell, where it says more.
    """

    likelihood: str | None = None
    problem: str | None = None
    rest: str | None = None


@dataclass(frozen=True, slots=True)
class SeenReading:
    """Whether a feature is there: ``seen`` True or False; None: it was not looked at, or unknown.

    ``value``: what stands there in place of yes and no, as a number that was read. ``rest``: what
    else the cell says. ``problem``: it is not read.
    """

    seen: bool | None = None
    hedged: bool = False
    value: str | None = None
    rest: str | None = None
    problem: bool = False


def _share(folded: str) -> str | None:
    """Return what a share of all says: "90 %", "3 of 4"."""
    if match := _PERCENT.fullmatch(folded):
        share = int(match[1]) / 100
    elif (match := _OUT_OF.fullmatch(folded)) and 0 < int(match[2]) >= int(match[1]):
        share = int(match[1]) / int(match[2])
    else:
        return None
    if share > 1:
        return None
    if share >= _USUAL_FROM:
        return "usual"
    return "unlikely" if share < _UNLIKELY_BELOW else "possible"


def _more(tokens: tuple[str, ...], found: tuple[Found, ...]) -> bool:
    """Tell whether words stand beside the phrases."""
    used = {at for one in found for at in range(one.start, one.end)}
    return any(at not in used and token not in _SMALL for at, token in enumerate(tokens))


@lru_cache(maxsize=20_000)
def read_likelihood(  # noqa: PLR0911 - one return a form of words
    text: str,
) -> LikelihoodReading:
    """Read how usual a feature is on a build; never raises. An empty cell says nothing."""
    folded = fold(text).strip(" .,;:!")
    if not folded or folded in _DOUBTS:
        return LikelihoodReading()
    if len(folded) > _LONGEST:
        return LikelihoodReading(problem="not-understood")
    known = _MARKS.get(folded) or _share(folded)
    if known:
        return LikelihoodReading(known)
    tokens = phrase_tokens(folded.replace("?", " "))
    found = find_phrases(tokens, "likelihood")
    said = {one.meanings["likelihood"] for one in found if not one.negated}
    rest = tidy(text) if _more(tokens, found) or "?" in folded else None
    if rest and _BUILDS.search(" ".join(tokens)) and not _whole(tokens, found):
        return LikelihoodReading(problem="says-builds")  # "never on late ones": of some alone
    if len(said - {""}) > 1 or any(one.negated for one in found):
        first = found[0]
        # "Usual, but not seen on the last ones": what stands first is what the cell says.
        if (
            first.start == 0
            and first.meanings["likelihood"]
            and re.match(r"[^,;(]*\S ?[,;(]", folded)
            and not _others_before_comma(folded)
        ):
            return LikelihoodReading(first.meanings["likelihood"], None, tidy(text))
        return LikelihoodReading(problem="contradictory-words")
    if not found:
        return LikelihoodReading(problem="not-understood")
    return LikelihoodReading(next(iter(said - {""}), None), None, rest)


def _whole(tokens: tuple[str, ...], found: tuple[Found, ...]) -> bool:
    """Tell whether the words of builds stand in the phrases themselves: "late ones only"."""
    within = {token for one in found for token in tokens[one.start : one.end]}
    return all(word in within for word in tokens if _BUILDS.search(word))


def _others_before_comma(folded: str) -> bool:
    """Tell whether two different likelihoods stand before the first comma."""
    tokens = phrase_tokens(re.split(r"[,;(]", folded)[0])
    said = {one.meanings["likelihood"] for one in find_phrases(tokens, "likelihood")}
    return len(said) > 1


@lru_cache(maxsize=20_000)
def says_likelihood(text: str) -> bool:
    """Tell whether a cell says how usual something is, in words that no count or state is."""
    reading = read_likelihood(text)
    plain = fold(text).strip(" .,;:!")
    return reading.likelihood is not None and plain not in _MARKS and plain not in _EITHER


#: What a parts list or a survey says as well.
_EITHER = frozenset(
    {"yes", "y", "no", "n", "none", "nil", "fitted", "not fitted", "present", "absent", "all",
     "some", "not", "standard", "std", "optional", "option", "as required", "true", "false", "ok",
     "correct", "not used", "seen", "not seen", "not there", "wrong", "right"}
)  # fmt: skip


@lru_cache(maxsize=20_000)
def read_changeable(text: str) -> tuple[bool | None, str | None]:
    """Return whether a feature can be changed later, and the words where they say more or other.

    None where nothing is said.
    """
    folded = fold(text).strip(" .,;:!")
    if not folded or set(folded) == {"-"}:
        return None, None
    tokens = phrase_tokens(folded)
    found = tuple(one for one in find_phrases(tokens, "changeable") if not one.negated)
    said = {one.meanings["changeable"] for one in found}
    if found and found[0].start == 0 and said >= {"yes", "no"}:
        said = {found[0].meanings["changeable"]}  # "no, welded in", "yes: unbolts"
    rest = tidy(text) if len(tokens) > 1 or not found else None
    if len(said - {""}) != 1:
        return None, rest
    return said - {""} == {"yes"}, rest


@lru_cache(maxsize=20_000)
def read_seen(text: str) -> SeenReading:
    """Read whether a feature was there; never raises. An empty cell was not looked at.

    Words with figures that are neither yes nor no are what was read or measured there.
    """
    folded = fold(text).strip(" .,;:!")
    if not folded:
        return SeenReading()
    words = re.sub(r"(?<=\w) ?\?+$", "", folded)
    lead = re.split(r"\s*[,;:(]\s*|\s+-+\s+", words, maxsplit=1)
    found = find_phrases(phrase_tokens(lead[0]), "seen")
    hedged = words != folded or is_hedged(phrase_tokens(words))
    whole = bool(found) and not _more(phrase_tokens(lead[0]), found)
    said = {one.meanings["seen"] for one in found}
    if whole and len(said) == 1:
        answer = {"yes": True, "no": False}.get(next(iter(said)))
        beside = re.split(r"\s*[,;:(]\s*|\s+-+\s+", tidy(text).strip(" .,;:!"), maxsplit=1)
        rest = beside[1].strip(" )") if len(beside) > 1 else None
        return SeenReading(answer, hedged and answer is not None, None, rest or None)
    if hedged and not _more(phrase_tokens(words), find_phrases(phrase_tokens(words), "hedge")):
        return SeenReading(seen=True, hedged=True)  # "probably"
    if find_phrases(phrase_tokens(words), "later_change"):
        return SeenReading(seen=True, hedged=hedged, rest=tidy(text))
    if re.search(r"\d", folded):
        return SeenReading(seen=True, hedged=hedged, value=tidy(text).rstrip(" ?"))
    return SeenReading(hedged=hedged, value=tidy(text), problem=True)


#: In the words of a feature these say what it is made of, and not how it is known.
_OF_THINGS = frozenset({"plate", "plates", "casting", "castings", "cast in", "construction", "wear",
                        "structure", "shape", "form", "plaque", "dated"})  # fmt: skip
_STANDS_ALONE = frozenset({"wear"})


@lru_cache(maxsize=20_000)
def evidence_in(text: str, *, column: bool = False) -> str | None:
    """Return the kind of evidence that words name; None where they name none, or several.

    ``column``: they stand in a column for it; else they are a feature's own words, in which
    "plate" is steel.
    """
    found = find_phrases(phrase_tokens(text), "evidence")
    said = {
        one.meanings["evidence"] for one in found
        if not one.negated and (column or one.words not in _OF_THINGS or one.words in _STANDS_ALONE)
    }  # fmt: skip
    return said.pop() if len(said) == 1 else None
