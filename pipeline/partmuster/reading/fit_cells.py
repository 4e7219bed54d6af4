"""Reading cells that answer whether a part fits: "no - hoses foul", "yes with shims", "LH only"."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from functools import lru_cache

from .phrases import find_phrases, is_hedged, phrase_tokens
from .roles import read_grade
from .sides import read_side
from .text import tidy

_LEAD = re.compile(
    r"^(yes|y|no|n|never|ok|okay)(?![\w/])[\s,;:.\u2013\u2014-]*(.*)$", re.IGNORECASE
)
_NO_WORK = re.compile(
    r"^(?:with )?(?:no|without(?: any)?) (?:work|mods?|modifications?|alterations?|changes?|"
    r"trouble|problems?|drilling|fettling|fiddling|bother)(?: (?:needed|required|at all))?$",
    re.IGNORECASE,
)
_WORK = re.compile(
    r"^(?:but |only |can be done |will do )?(?P<how>if|with|after|once|when|provided|by|needs?|"
    r"requires?|must be|has to be|have to be|wants)"
    r"(?: you| it is| it's| they are| some| a bit of| a little)? (?P<work>.+)$",
    re.IGNORECASE,
)
#: What is done to a part, or put with it, to make it fit (common practice, no source).
_WORKED = re.compile(
    r"\b(?:\w{2,}(?:ed|ing)|cut|bored|ground|turned|bent|shims?|spacers?|washers?|pack(?:er|ing)s?|"
    r"adapt[eo]rs?|longer|shorter|bushe?s?|holes?|sleeves?|mods?|modifications?|work|fettle|weld|"
    r"drill|file|ream|trim)\b",
    re.IGNORECASE,
)
_ONLY_CHECKING = re.compile(r"\b(?:check|test|try|trying|measur|ask|confirm)\w*\b", re.IGNORECASE)
#: Words after a plain grade that may take it back.
_TAKES_BACK = re.compile(
    r"\b(?:apart from|except|but|unless|if|only|though|although|nearly|almost|not quite|barring)\b",
    re.IGNORECASE,
)
#: "No idea" is no answer.
_NOBODY_KNOWS = re.compile(
    r"^(?:idea|clue|one|body|record|information|info|data|word)\b", re.IGNORECASE
)
_SIDES = re.compile(r"\b(?:[lr]/?h|left|right|n/s|o/s|near ?side|off ?side)\b", re.IGNORECASE)
_ONLY = re.compile(r"\bonly\b|\bjust\b", re.IGNORECASE)
_DOUBTS_IT = re.compile(
    r"^(?:(?:very |almost )?(?:probably|possibly|perhaps|maybe|likely|presumably|apparently|"
    r"certainly)|i(?: should| would)? (?:think|say)|seemingly) (?:not?|never)$"
    r"|^(?:i )?doubt it$|^(?:very )?doubtful$|^(?:very )?unlikely$|^not (?:very )?likely$"
    r"|^(?:i )?(?:do not|don't|dont) think so$",
    re.IGNORECASE,
)
_LEADING_DOUBT = re.compile(
    r"^(?:probably|possibly|perhaps|maybe|presumably|likely|apparently|i think),?\s+", re.IGNORECASE
)
#: What must come too, behind words that already say that something must.
_TOO = re.compile(r"\bwith (?!its own$)(.+)$", re.IGNORECASE)
_REASON = re.compile(r"^(?:because(?: of)?|as|since|due to|the)\s+", re.IGNORECASE)
_BEYOND = re.compile(r"\s*(?:\s[-\u2013\u2014]\s|[,;:(]|\bbecause(?: of)?\b|\bas\b)\s*")
_TELLS_NOTHING = frozenset(
    {"fits", "fit", "goes on", "will fit", "suits", "replacement", "replaces", "substitute",
     "equivalent", "alternative", "similar", "compatible", "supersedes", "superseded by"}
)  # fmt: skip
_LOOSE = " ,;:.()-\u2013\u2014"


@dataclass(frozen=True, slots=True)
class FitCell:
    """What a cell says of a fit.

    ``side``: the only one it is said of. ``asked``: it may say that the part goes, and not how;
    ``problem``: it is not read at all; then the grade is unknown.
    """

    grade: str = "unknown"
    work: str | None = None
    reason: str | None = None
    companions: str | None = None
    side: str | None = None
    hedged: bool = False
    asked: bool = False
    problem: bool = False


@lru_cache(maxsize=20_000)
def read_fit_cell(text: str) -> FitCell:  # noqa: PLR0911 - one return a form of words
    """Read a cell in a column of fit grades; never raises. An empty one says nothing."""
    words = " ".join(tidy(text).split()).strip(" .")
    if not words:
        return FitCell()
    if _DOUBTS_IT.match(words.rstrip("? ")):
        return FitCell("never", hedged=True)
    hedged = is_hedged(phrase_tokens(text))
    side = read_side(words)
    if side.side in {"left", "right", "near", "off"} and _ONLY.search(words):
        rest = _ONLY.sub("", side.rest).strip(_LOOSE)
        read = _read(rest) if rest else FitCell(asked=True)
        return replace(read, side=side.side, hedged=hedged)
    if _SIDES.search(words):
        return FitCell(asked=True, hedged=hedged)
    read = _read(words)
    bare = _LEADING_DOUBT.sub("", words)
    if (read.problem or read.asked) and bare != words:  # "possibly with trimming"
        again = _read(bare)
        if not (again.problem or again.asked):
            return replace(again, hedged=True)
    if read.problem and hedged:  # "probably"
        return FitCell(hedged=True, asked=True)
    return replace(read, hedged=hedged)


def _read(words: str) -> FitCell:  # noqa: PLR0911 - one return a form of words
    if _NO_WORK.match(words):
        return FitCell("as-is")
    lead = _LEAD.match(words)
    tokens = phrase_tokens(words)
    open_words = find_phrases(tokens, "fit")
    if len(open_words) == 1 and open_words[0].end - open_words[0].start == len(tokens):
        return _graded(words)  # "no way" gives no reason
    if lead is None or (open_words and not any(one.meanings["fit_grade"] != "unknown"
                                               for one in open_words)):  # fmt: skip
        return _graded(words)
    rest = re.sub(r"^but ", "", lead[2].strip(_LOOSE))
    if _NOBODY_KNOWS.match(rest):
        return FitCell()
    if lead[1].lower() in {"yes", "y", "ok", "okay"}:
        read = _graded(rest) if rest else FitCell(asked=True)
        return FitCell(asked=True) if read.problem or read.grade == "never" else read
    if _NO_WORK.match(rest) or _NO_WORK.match(words) or _TAKES_BACK.search(rest):
        return FitCell(asked=True)
    if read_grade(words).grade == "as-is":  # "no mods"
        return FitCell("as-is")
    return FitCell("never", reason=_REASON.sub("", rest) or None)


def _graded(words: str) -> FitCell:  # noqa: PLR0911 - one return a form of words
    """Read what says how a part goes on."""
    if _NO_WORK.match(words):
        return FitCell("as-is")
    reading = read_grade(words)
    found = find_phrases(phrase_tokens(words), "fit")
    if reading.problem == "contradictory-words":
        return FitCell(asked=True)
    if work := _work(words):
        return work
    if reading.grade in {"as-is", "one-way"} and _takes_back(words, [one.words for one in found]):
        return FitCell(asked=True)
    if reading.grade == "never":
        return FitCell("never", reason=_beyond(words))
    if reading.grade == "only-as-a-set":
        match = _TOO.search(words)
        return FitCell(reading.grade, companions=match[1].strip(_LOOSE) if match else None)
    if reading.grade != "unknown":
        return FitCell(reading.grade, work=reading.work)
    if not found:
        return FitCell(problem=True)
    return FitCell(asked=any(one.words in _TELLS_NOTHING for one in found))


def _work(words: str) -> FitCell | None:
    """Return what "with shims" and "needs redrilling" say, or None where it is no work."""
    match = _WORK.match(words)
    if match is None or read_grade(words).grade == "only-as-a-set":
        return None
    work = re.sub(r"^work\s*[:,-]\s*", "", match["work"].strip(_LOOSE))
    if _ONLY_CHECKING.search(work):
        return FitCell(asked=True)
    sure = match["how"].lower() in {"needs", "need", "requires", "require"}
    if sure or _WORKED.search(work):
        return FitCell("with-work", work=words if work.lower() == "work" else work)
    return FitCell(asked=True)


def _takes_back(words: str, phrases: list[str]) -> bool:
    """Tell whether other words than the grade's own may take it back."""
    rest = words.lower()
    for phrase in sorted(phrases, key=len, reverse=True):
        rest = rest.replace(phrase, " ")
    only_word = re.fullmatch(r"[\s,;:.()-]*only[\s,;:.()-]*", rest) is not None
    return not only_word and _TAKES_BACK.search(rest) is not None


def _beyond(words: str) -> str | None:
    """Return the reason that stands beside "does not fit", as written."""
    cut = re.split(
        r"\s*(?:\s[-\u2013\u2014]\s|[,;:(]|\bbecause(?: of)?\b|\bas\b)\s*", words, maxsplit=1
    )
    rest = cut[1].strip(_LOOSE) if len(cut) > 1 else ""
    if rest:
        return rest
    tokens = phrase_tokens(words)
    used = sum(one.end - one.start for one in find_phrases(tokens, "fit"))
    return words if len(tokens) > used + 1 else None
