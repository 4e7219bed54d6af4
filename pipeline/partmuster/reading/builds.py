"""Reading build standards (mark and phase) and effectivity (which builds or serials).

Nothing is dropped: words that are not read are a problem, and an effectivity with a problem says
nothing at all.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

from partmuster_trade.words import load_words

from .marks import MARK as _MARK
from .marks import MARK_ID as _ID
from .marks import MARK_LIST as _LIST
from .marks import RefusedError as _RefusedError
from .marks import mark_of as _mark
from .marks import marks_of as _marks
from .marks import marks_reaching
from .serial_words import plain_runs
from .text import fold

_PHASE_OF = {"early": "early", "mid": "mid", "middle": "mid", "late": "late"}
_PHASE = (
    r"(?<!\w)(early|mid|middle|late)"
    r"(?:[- ](?:production|type|pattern|model|build|version|series))?(?!\w)"
)
_LONGEST = 300  # characters; longer cells are remarks, and patterns stay bounded
# A lone x or v is a mark made by a pen as often as ten or five.
_PEN_MARKS = frozenset({"x", "v"})
#: Of a clause whose phase may be meant for another mark.
UNSETTLED = "unsettled"
_NOTHING = frozenset({"", "?", "??", "unknown", "not known", "n/k", "nk", "-", "n/a", "tbc"})
_ALL = frozenset(
    {"", "all", "any", "all marks", "any mark", "all mks", "all builds", "any build", "all types",
     "all models", "all vehicles", "every mark", "all versions", "all phases", "common to all",
     "all marks and builds", "all series"}
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class BuildReading:
    """Mark ("Mk 2") and phase (early, mid, late) as far as said; ``rest``: words not read.

    Problem codes: several-marks, several-phases, unsure-build, words-not-read.
    """

    text: str
    mark: str | None = None
    phase: str | None = None
    rest: str = ""
    problem: str | None = None


@dataclass(frozen=True, slots=True)
class Clause:
    """A build: assembly id, mark and phase; None = any.

    ``reach``: None = that mark; "onwards" and "up-to" with it; "except" = any other, whatever other
    clauses say; "unsettled" = that mark, but the phase may not be meant for it.
    """

    assembly: str | None
    mark: str | None
    phase: str | None
    reach: str | None = None


@dataclass(frozen=True, slots=True)
class SerialInterval:
    """Serials ``first`` to ``last`` inclusive (None = open) of a named series, with a prefix."""

    series: str | None
    first: int | None
    last: int | None
    prefix: str | None = None


@dataclass(frozen=True, slots=True)
class EffectivityReading:
    """Which builds a line holds for.

    Clauses for one assembly are alternatives, for different assemblies they hold together; so do
    clauses and intervals. ``doubt``: what a person must settle. Problem codes: words-not-read,
    unsure-build, excluded-builds, open-mark-range, ambiguous-phase, ambiguous-number,
    marks-or-serials, range-reversed, prefixes-disagree.
    """

    text: str
    all: bool = False
    clauses: tuple[Clause, ...] = ()
    intervals: tuple[SerialInterval, ...] = ()
    problem: str | None = None
    doubt: str | None = None


@lru_cache(maxsize=50_000)
def read_build(text: str) -> BuildReading:
    """Read one build standard; never raises. A bare number or roman numeral is a mark."""
    folded = fold(text).strip(" .")
    if folded in _NOTHING or folded in _ALL:
        return BuildReading(text)
    if len(folded) > _LONGEST:
        return BuildReading(text, rest=folded, problem="words-not-read")
    if folded in _PEN_MARKS:
        return BuildReading(text, rest=folded, problem="unsure-build")
    phases = [_PHASE_OF[word] for word in re.findall(_PHASE, folded)]
    rest = re.sub(_PHASE, " ", folded)
    marks = re.findall(_MARK, rest)
    rest = re.sub(_MARK, " ", rest)
    more = re.compile(rf"(?<!\w)(?:/|&|,|and|or|-|to)? ?({_ID})")
    if marks or not re.search(r"[^\W\d_]{4,}", rest):
        marks += more.findall(rest)
        rest = more.sub(" ", rest)
    rest = " ".join(re.sub(r"[(),.;:/&-]|\bonly\b", " ", rest).split())
    problem = None
    if "?" in rest:
        problem = "unsure-build"
    elif len(set(marks)) > 1:
        problem = "several-marks"
    elif len(set(phases)) > 1:
        problem = "several-phases"
    elif rest:
        problem = "words-not-read"
    mark = _mark(marks[0]) if len(set(marks)) == 1 and problem != "unsure-build" else None
    phase = phases[0] if len(set(phases)) == 1 else None
    return BuildReading(text, mark, phase, rest, problem)


@lru_cache(maxsize=1)
def _assemblies() -> dict[str, str]:
    return {row.words: row.meanings["assembly"] for row in load_words("assembly")}


@lru_cache(maxsize=1)
def _assembly_pattern() -> str:
    return (
        "(?:" + "|".join(map(re.escape, sorted(_assemblies(), key=len, reverse=True))) + r")(?!\w)"
    )


_FITTED = r"(?:used|usable|fitted|applicable|required|reqd)"
_OPENERS = re.compile(
    rf"^(?:{_FITTED} (?:on|to|for)|fits|for|on|both|applies to"
    rf"|{_FITTED}(?= (?:from|up to|after|before|until|prior)\b)"
    r"|eff(?:ective|ectivity)?\.?:?) "
)
#: "Not fitted after 1250" holds up to it (common practice, no source).
_NOT_BEYOND = re.compile(
    rf"^not (?:{_FITTED} )?(?:(after|beyond|above)|(before|prior to|below))"
    r" (?=\S*\d|\D*\d+$)"
)
_NUMBER = r"([a-z]{0,3})(?:(?<=[a-z])-)?(\d{1,9})(?!\w)"
_SERIES = (
    r"(?:nos?\.?|numbers?|serials?|sers?\.?|s/nos?\.?|s/ns?|sns?|s\.n\.)(?![a-z])"
    r"(?: (?:nos?\.?|numbers?|range)(?![a-z]))*[:. ]*"
)
_SERIALS_APART = re.compile(r" ?(?:,|&|\+|\band\b)+ ?(?=[a-z]{0,3}-?\d{1,9}(?!\w))")
_OPEN_END = (
    r"(?:&|and|\+|all|on|onwards?|upwards?|up|subsequently|subsequent|subseqt?\.?|subqt?\.?"
    r"|subs\.?|sub\.?|later|after|above|over|beyond|thereafter|following)(?![a-z])"
)
#: "veh. 1251 & on", "vehicles 1 to 40"; "vehicle 5" may be one vehicle's name.
_OF_VEHICLES = (
    r"(?:vehicles?|vehs?)(?![a-z])\.?:? ?"
    r"(?:(?:serials?|ser\.|nos?|numbers?|s/?ns?)(?![a-z])\.?:? ?)+"
    r"|(?:vehicles?|vehs?)(?![a-z])\.?:? ?(?=(?:from |up to |before |after |prior to |to |until )?"
    r"[a-z]{0,3}-?(?:\d{3,}|\d+ ?(?:(?:-|to|thru|through) ?[a-z]{0,3}\d|\+|(?:(?:&|and) )?"
    r"(?:on|up|sub|later|after))))"
)
_RANGE = re.compile(
    rf"(?:from )?{_NUMBER} ?(?:-|to|thru|through) ?{_NUMBER}(?: incl(?:usive|\.)?)?"
)
_FROM = re.compile(rf"(?:from )?{_NUMBER} ?,?-?(?: ?{_OPEN_END})+|from {_NUMBER}")
_AND_BEFORE = re.compile(rf"{_NUMBER} ?(?:&|and) ?(?:all )?(?:before|earlier|prior|previous|below)")
#: "1251 and subsequent vehicles", "SN 1 to 400 only".
_TRAILING = re.compile(
    r"(?:,? (?:only|vehicles?|vehs?|hulls?|chassis|engines?|models?|production|builds?|serials?|nos"
    r"|numbers))+$"
)
_AFTER = re.compile(rf"after {_NUMBER}")
_UP_TO = re.compile(
    rf"(?:up to|to|until|thru|through)(?: ?(?:and|&) ?incl(?:uding|usive|\.)?)? {_NUMBER}"
    r"(?: incl(?:usive|\.)?)?"
)
_BEFORE = re.compile(rf"(?:before|prior to|below|under) {_NUMBER}")
_ONE = re.compile(rf"{_NUMBER}(?: only)?")


def _interval(  # noqa: PLR0911 - one return a form of words
    text: str, series: str | None
) -> SerialInterval | None:
    """Read a run of serials without its series; None where it is none."""
    text = _TRAILING.sub("", text)
    if match := _RANGE.fullmatch(text):
        first, last = int(match[2]), int(match[4])
        if match[3] and match[3] != match[1]:
            raise _RefusedError("prefixes-disagree")
        if first > last:
            raise _RefusedError("range-reversed")
        return SerialInterval(series, first, last, match[1].upper() or None)
    if match := _FROM.fullmatch(text):
        prefix, start = (match[1], match[2]) if match[2] else (match[3], match[4])
        return SerialInterval(series, int(start), None, prefix.upper() or None)
    if match := _AFTER.fullmatch(text):
        return SerialInterval(series, int(match[2]) + 1, None, match[1].upper() or None)
    if match := _UP_TO.fullmatch(text):
        return SerialInterval(series, None, int(match[2]), match[1].upper() or None)
    if match := _AND_BEFORE.fullmatch(text):
        return SerialInterval(series, None, int(match[2]), match[1].upper() or None)
    if match := _BEFORE.fullmatch(text):
        return SerialInterval(series, None, int(match[2]) - 1, match[1].upper() or None)
    if match := _ONE.fullmatch(text):
        return SerialInterval(series, int(match[2]), int(match[2]), match[1].upper() or None)
    return None


def _series_of(text: str) -> tuple[str | None, str, bool]:
    """Split off the series named ("hull nos", "s/n"); tell whether serials were announced."""
    named = re.compile(
        r"^(from |up to (?:(?:&|and) incl(?:uding|usive|\.)? )?|before |after |prior to |to "
        r"|until )?"
        rf"({_assembly_pattern()}[.:]? )?({_OF_VEHICLES}|{_SERIES})?"
    )
    match = named.match(text)
    if match is None or not (match[2] or match[3]):
        return None, text, False
    series = _assemblies()[match[2].strip(" .:")] if match[2] else None
    return series, ((match[1] or "") + text[match.end() :]).strip(), bool(match[3])


_BUILD = re.compile(
    rf"(?:(?P<before>{_PHASE}) )?(?:(?P<mk>(?:mks?|marks?)(?:\.|-| )* ?)?(?P<marks>{_LIST}))?"
    rf"(?P<after>(?:,? ?(?:&|and|or|/)? ?\(?{_PHASE}\)?)*)(?: only)?"
)


def _clauses(text: str, assembly: str | None) -> list[Clause] | None:
    """Read marks and phases without their assembly; None where they are none."""
    match = _BUILD.fullmatch(text)
    if match is None or not (match["before"] or match["marks"] or match["after"]):
        return None
    phases = [_PHASE_OF[w] for w in re.findall(_PHASE, f"{match['before'] or ''} {match['after']}")]
    if not match["marks"]:
        return [Clause(assembly, None, phase) for phase in phases]
    if not match["mk"] and re.search(r"\d ?(?:-|to) ?\d", match["marks"]):
        raise _RefusedError("marks-or-serials")
    marks = _marks(match["marks"])
    if phases and len(marks) > 1:
        return _phase_of_some(marks, phases, assembly, before=bool(match["before"]))
    return [Clause(assembly, mark, phase) for mark in marks for phase in phases or (None,)]


def _phase_of_some(
    marks: list[str], phases: list[str], assembly: str | None, *, before: bool
) -> list[Clause]:
    """Return "Mk 1 & 2 late": late of the nearest mark; of the others it may not be meant."""
    if len(phases) > 1:
        raise _RefusedError("ambiguous-phase")
    nearest = marks[0] if before else marks[-1]
    return [
        Clause(assembly, mark, phases[0], None if mark == nearest else UNSETTLED) for mark in marks
    ]


def _reaching(text: str, assembly: str | None) -> list[Clause]:
    """Read "Mk 2 onwards", "up to Mk 2", "all except Mk 1"; empty where it is none of these."""
    return [Clause(assembly, mark, None, reach) for mark, reach in marks_reaching(text)]


_AGAIN = (
    r"(?=(?:mks?\b|marks?\b|mk|(?:early|mid|late) mk|s/?ns?\b|from|up to|(?:before|after) "
    r"|[a-z]{0,3}\d{3,}))"
)


def _pieces(part: str) -> list[str]:
    """Cut a part at commas and "and" before a new mark, serial or assembly.

    Once serials are announced, bare numbers go on with them: "SN 5, 7" is SN 5 and SN 7.
    """
    again = rf"(?:{_AGAIN}|(?={_assembly_pattern()}))"
    found: list[str] = []
    for cut in re.split(rf" ?(?:,|&|\+|\band\b|\bor\b) ?{again}", part):
        piece = cut.strip()
        _, serials = _split_serials(piece)
        announced = _series_of(serials or piece)[2]
        first, *more = _SERIALS_APART.split(piece) if announced else [piece]
        found += [first.strip(), *(f"sn {run.strip()}" for run in more)]
    return [piece for piece in found if piece]


def _split_serials(piece: str) -> tuple[str, str]:
    """Cut "mk 2 from hull no. 1251" before the serials."""
    mark = re.match(_MARK, piece)
    if mark is None or mark.end() == len(piece):
        return piece, ""
    tail = piece[mark.end() :]
    cut = re.search(rf"^(?: {_PHASE})?,? ?(?=(?:from|up to|before|after|prior to|{_SERIES}\d|"
                    rf"{_assembly_pattern()}\.? {_SERIES}))", tail)  # fmt: skip
    if cut is None:
        return piece, ""
    return piece[: mark.end() + cut.end()].strip(" ,"), tail[cut.end() :]


def _read_piece(
    piece: str, assembly: str | None, series: str | None
) -> tuple[list[Clause], list[SerialInterval], str | None, str | None]:
    """Read one piece; return clauses, intervals, and the assembly and series now in force."""
    build, serials = _split_serials(piece)
    if serials:
        builds, _, assembly, _ = _read_piece(build, assembly, series)
        more, intervals, _, series = _read_piece(serials, assembly, series)
        if more:
            raise _RefusedError("open-mark-range")
        return builds, intervals, assembly, series
    named, whole, _ = _series_of(piece)
    if reaching := _reaching(whole.lstrip(": "), named or assembly):
        if any(clause.reach == "except" for clause in reaching):
            raise _RefusedError("excluded-builds")  # from which of the others?
        return reaching, [], named or assembly, series
    if re.search(r"\b(?:mks?|marks?)\b.*(?:\bon\b|onwards?|\blater\b|subs|\+$)", piece):
        raise _RefusedError("open-mark-range")
    own, body, announced = _series_of(piece)
    body = body.lstrip(": ")
    own = own or None
    if not announced:
        clauses = _clauses(body, own or assembly)
        if clauses:
            return clauses, [], own or assembly, series
        tail = re.fullmatch(rf"(.+?) ({_assembly_pattern()})", body)
        if tail and own is None and (clauses := _clauses(tail[1], _assemblies()[tail[2]])):
            return clauses, [], _assemblies()[tail[2]], series
    interval = _interval(body, own or series)
    if interval is None:
        raise _RefusedError("words-not-read")
    return [], [interval], assembly, own or series


@lru_cache(maxsize=50_000)
def read_effectivity(text: str) -> EffectivityReading:  # noqa: PLR0911, C901 - one refusal a doubt
    """Read a used-on cell; never raises. An empty one holds for all builds.

    "Mk 1-3" is Mk 1, 2 and 3; "Mk 1 & 2 late" may mean late of both or of the second: what both
    readings have in common is sure. "Before Mk 2" and "all except Mk 1" are read whole. A
    bare number of one or two digits is a mark, a longer one a serial (common practice, no source).
    """
    folded = plain_runs(fold(text).strip(" ."))
    folded = _NOT_BEYOND.sub(lambda m: "up to " if m[1] else "from ", folded)
    folded = _OPENERS.sub("", folded)
    if folded in _ALL:
        return EffectivityReading(text, all=True)
    if len(folded) > _LONGEST:
        return EffectivityReading(text, problem="words-not-read")
    if "?" in folded or folded in _NOTHING | _PEN_MARKS:
        return EffectivityReading(text, problem="unsure-build")
    try:
        named, whole, _ = _series_of(folded)
        reaching = _reaching(folded, None) or _reaching(whole.lstrip(": "), named)
    except _RefusedError as refused:
        return EffectivityReading(text, problem=str(refused.args[0]))
    if reaching:
        return EffectivityReading(text, clauses=tuple(reaching))
    if re.search(r"\b(?:except|not|excluding|but|other than|non)\b", folded):
        return EffectivityReading(text, problem="excluded-builds")
    if re.search(r"(?<!\d)\d{1,3},\d{3}(?!\d)", folded):
        return EffectivityReading(text, problem="ambiguous-number")
    clauses: list[Clause] = []
    intervals: list[SerialInterval] = []
    try:
        for part in folded.split(";"):
            assembly = series = None
            for piece in _pieces(re.sub(r"^all (?=mk|mark|early|mid|late)", "", part.strip())):
                more, runs, assembly, series = _read_piece(piece, assembly, series)
                clauses += more
                intervals += runs
    except _RefusedError as refused:
        return EffectivityReading(text, problem=str(refused.args[0]))
    if not clauses and not intervals:
        return EffectivityReading(text, problem="words-not-read")
    return EffectivityReading(
        text, clauses=tuple(dict.fromkeys(clauses)), intervals=tuple(dict.fromkeys(intervals)),
        doubt=_doubt(text, clauses),
    )  # fmt: skip


def _doubt(text: str, clauses: list[Clause]) -> str | None:
    """Return what is to be asked about a phase that may not be meant for all marks named."""
    phases = [clause.phase for clause in clauses if clause.reach == UNSETTLED]
    return f"'{text}': {phases[0]} of all these marks, or of one only?" if phases else None
