"""Builds and serials that a parts list says in its remarks: "Mk 2 only", "not Mk 3".

A remark tells much besides. What plainly says the builds is read; what names them in another sense
("same as Mk 1") is left a remark; and what may be meant so is asked about, never passed over.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

from .builds import read_effectivity
from .sides import read_side
from .text import tidy

_MARK = r"\b(?:mks?|marks?)\b\.? ?-?(?:\d|[ivx]+\b|one|two|three|four)|\bmk\.?(?:\d|[ivx])"
_PHASE = r"(?:early|mid|middle|late|earlier|later)"
_SERIALS = (
    r"\b(?:serials?|ser\.? nos?|s/nos?|s/ns?|(?:sns?|s\.n\.|sers?\.?)(?=[ :.]*[a-z]{0,3}-?\d)"
    r"|eff(?:ective|ectivity)?\.?(?=[ :]+(?:from |up to )?[a-z]{0,3}-?\d)"
    r"|(?:hulls?|chassis|chas|engines?|eng|vehicles?|veh)\.? (?:nos?|numbers?|s/ns?|sns?)\b"
    r"(?=.{0,20}\d)|(?:hulls?|chassis|engines?|vehicles?|vehs?)"
    r" (?:from|up to|before|after|until|prior to) [a-z]{0,3}-?\d"
    r"|(?:hulls?|chassis|chas|engines?|eng|frame|veh(?:icle)?s?)\.?"
    r"(?: nos?\.?| numbers?)? ?\d)"
)
_RUN = r"[a-z]{0,3}-?\d{3,6}"
_YEAR = r"(?:19|20)\d\d"
#: A run of serials without their series, open at one end, in words that say so; no years.
_OPEN_RUN = (
    rf"^(?:(?:not )?(?:used |fitted |required |reqd )?(?:from|up to|after|before|until|prior to)"
    rf"(?: ?(?:and|&) ?incl(?:uding|usive|\.)?)? (?!{_YEAR}\b){_RUN}(?: incl(?:usive|\.)?)?"
    rf"|(?:from )?(?!{_YEAR}\b){_RUN} ?,?(?: ?(?:&|and|\+|all|on|onwards?|upwards?|up|after|above"
    r"|over|sub[a-z]*\.?|later|thereafter|following|before|earlier|prior))+"
    r"(?: (?:vehicles?|vehs?|hulls?|chassis|engines?|models?|production|builds?|only))*)$"
)
#: Serials at the end of a name; for polars too, so without looking ahead or behind.
SERIALS_LAST = (
    r"[\s,;(]+(?:(?:s/nos?\.?|s/ns?|sns?|s\.n\.|sers?\.?|serials?|eff(?:ective|ectivity)?\.?"
    r"|(?:hull|engine|eng|chassis|vehicle|veh|frame)\.?(?: s/ns?| sns?| serials?)?)"
    r"(?: (?:nos?|numbers?)\.?)?[ :.]*(?:from |up to |after |before )?"
    r"[a-z]{0,3}-?(?:\d{3,}|\d+ ?(?:-|to|thru|&|and|on|up)).*"
    r"|\d{2,6} ?(?:&|and|\+) ?(?:all )?(?:sub[a-z]*|after|on|onwards|up|later|above)\.?\)?)$"
)
_TELLS = re.compile(rf"{_MARK}|\b{_PHASE}\b|{_SERIALS}|{_OPEN_RUN}", re.IGNORECASE)
_NAMED = re.compile(rf"{_MARK}|{_SERIALS}|{_OPEN_RUN}", re.IGNORECASE)
#: Words by which builds are named in another sense (common practice, no source).
_OTHER_SENSE = re.compile(
    r"\b(?:as|like|same|similar|identical|alike|common|interchange\w*|replac\w*|supersed\w*|see|ref"
    r"|refer|ex|cf|compare\w*|differs?|different|unlike|instead|in place|in lieu|copy|was|were"
    r"|drawing|drg|dwg|list|handbook|manual|book|catalogue|catalog|page|fig|figure|plate|part no"
    r"|p/n|taken|photo|picture|quoted)\b|\bfrom (?:an?|the|my|his|her)\b"
    r"|\boff (?:an?|the|my|his|her|mk|mark)\b",
    re.IGNORECASE,
)
#: "used on", "only", "not for": a remark that begins or ends so may say where a part is used.
_OPENS = (
    r"(?:used|use|usable|fits|fitted|fit|reqd|req'd|required|needed|only)"
    r"(?: to| on| for| with| in)*"
)
_MAY_SAY = re.compile(
    rf"(?:only|just) (?:on|for|to|with|if|when)\b"
    rf"|^(?:if|when|where) (?:.* )?(?:fitted|supplied|specified)\b|\bon {_PHASE}\b"
    rf"|^not (?:used |fitted |required |reqd |needed )?(?:on|for|to|with)\b"
    rf"|^(?:{_OPENS} )?(?:on |for |with )?[lr]hd\b(?! to)"
    rf"|^(?:except|excluding|excl|all but|all except|apart from|other than)\b"
    rf"|^(?:{_OPENS}|for|on|to) .*\b(?:vehicles?|models?|types?|variants?|versions?)\b|^optional\b"
    rf"|^(?:on|for )?(?:some|certain|most|many)(?: \w+)? (?:vehicles?|marks?|models?|only)\b",
    re.IGNORECASE,
)
_ONLY = re.compile(r"^(.+?) only$|^only (.+)$", re.IGNORECASE)
#: What "only" stands beside without saying which vehicles (common practice, no source).
_NOT_VEHICLES = re.compile(
    r"^(?:\d+|one|two|a few|spares?|pairs?|sets?|ref(?:erence)?|for reference|info\w*|display"
    r"|runners?|static|front|rear|upper|lower|inner|outer|top|bottom|steel|brass|rubber|genuine|original|new"
    r"|supplied .*|sold .*|available .*|as (?:a |an )?(?:set|pair|assembly|unit).*|complete|in \w+"
    r"|.*\b(?:lamp|bolt|nut|washer|screw|pin|bush|seal|gasket|bracket|cover|housing)s?)$",
    re.IGNORECASE,
)
_BARE_PHASE = re.compile(
    rf"\b{_PHASE}[- ](?:production|type|pattern|style|model|build|version|series|ones?|vehicles?|"
    rf"chassis|hulls?|builds|models|marks)\b|\b(?:on|for|not) {_PHASE}\b|^{_PHASE}\b",
    re.IGNORECASE,
)
_NOT_A_BUILD = re.compile(
    rf"\b{_PHASE} (?:19|20|'?\d\ds?\b|war\b|in\b|days?\b|delivery)", re.IGNORECASE
)
#: Beside one of these a mark may be meant after all: "same as Mk 1 but Mk 2 only".
_YET = re.compile(
    r"\b(?:from|after|before|up to|until) (?:s/?n|ser|hull|chassis|engine|mk|mark|\d{3})"
    r"|\bonly\b|\bonwards\b|\bnot (?:used |fitted |required )?(?:on|for)\b",
    re.IGNORECASE,
)
#: "Late type" may tell the part and not the vehicles.
_SORT = re.compile(r"\b(?:type|pattern|style|model|version|series)\b", re.IGNORECASE)
#: A run of serials that may be something else: asked about.
_MAY_BE_RUN = re.compile(
    r"^\d{1,6} ?(?:-|to|thru) ?\d{3,6}$|^(?:\d{2}|\d{1,3},\d{3}) ?(?:&|and|\+)? ?(?:all )?"
    r"(?:sub[a-z]*\.?|on|onwards?|after|later|above|up)$"
    r"|^(?:from|up to|before|after|until) \d{1,3},\d{3}$|^\d{3,6} ?/ ?\d{3,6}$"
    r"|^nos?\.? ?\d{2,6} ?(?:&|and|-|to)? ?(?:\d{2,6}|on|onwards?|up|after|later|sub[a-z]*)$"
    r"|^(?:pre|post)[- ]?mod|\bmod(?:ification)?\.? ?(?:no\.? ?)?\d+ ?(?:&|and|on|to|-|up)",
    re.IGNORECASE,
)
_OPEN_DASH = re.compile(r"(?:^|; )(?:\d{3,6} ?[-\u2013]|[-\u2013] ?\d{3,6})(?:$|;)")
_SERIAL_RUN = re.compile(
    r"^(?:from |up to |to |before |after |until )?[a-z]{0,3}-?\d{3,6}"
    r"(?: ?(?:-|to|on|onwards|\+|& ?subs?\w*|and subs?\w*)(?: ?[a-z]{0,3}-?\d{3,6})?)$",
    re.IGNORECASE,
)
_RUN_FROM = re.compile(r"^(?:from|up to|before|after|until) [a-z]{0,3}-?\d{3,6}$", re.IGNORECASE)
_STRUCK = re.compile(r"struck through: [^;]*", re.IGNORECASE)
_LABEL = re.compile(r"^([^:;]{1,40}?)\s*:\s+(?=\S)")
_SPLIT = re.compile(
    r"\s*(?:;|\.(?= |$)|\s[-\u2013\u2014]\s|[()\[\]]|, (?!\d|[ivx]+\b|early\b|mid\b|late\b))\s*",
    re.IGNORECASE,
)
#: As layout writes them: the mark of a footnote before its words, and a code without a key.
_MARKED = re.compile(
    r"^(?:[*†‡§¶#⁰¹²³⁴⁵⁶⁷⁸⁹ᵃᵇᶜᵈᵉ]{1,2}|[(\[](?:[a-z]|\d{1,2})[)\]]) (?=\S)", re.IGNORECASE
)
_CODE = re.compile(r"usable-on code\b")
#: A full stop after one of these ends no sentence.
_SHORTENED = re.compile(
    r"\b(sers?|eff|nos?|incl|sub[a-z]*|veh|eng|chas|s\.n)\.(?= )", re.IGNORECASE
)
_EARLY_OR_LATE = re.compile(r"^(?:early|late)\b|\b(?:early|late)$", re.IGNORECASE)
_NAME_ENDS = re.compile(r"\s*(?:[;,(\[]|\s[-\u2013\u2014]\s)\s*")
#: Without one of these no remark says a build; asked of whole columns first.
LIKELY = (
    rf"(?i){_MARK}|\b{_PHASE}\b|\busable-on\b|\bmod|^[-\u2013] ?\d{3}|\bnos?\.? ?\d"
    r"|\bserials?\b|\bsers?\b|s/n|\bs\.?ns?\b|\beff"
    r"|\b(?:hulls?|chassis|chas|engines?|eng|frame|veh(?:icle)?s?)\.?(?: nos?\.?| numbers?)? ?\d"
    r"|\bonly\b|\b[lr]hd\b|\boptional\b|\bexcept|\bexcl"
    r"|\bnot (?:used |fitted |required |reqd |needed )?(?:on|for|to|with)\b"
    r"|\b(?:if|when|where) (?:.* )?(?:fitted|supplied|specified)"
    r"|\ball but\b|\bapart from\b|\bother than\b|\b(?:vehicles?|models?|types?|variants?)\b"
    r"|^[^a-z]*\d{3,6}|^\d{2} ?(?:&|and|\+|on|sub)|\d{2,6} ?(?:&|and|\+|,) ?[a-z]"
    r"|\bnot (?:used |fitted |required |reqd )?(?:before|after)\b"
    r"|\b(?:from|up to|before|after|until) [a-z]{0,3}-?\d{3,6}"
    r"|\d{3,6} (?:on|onwards)\b"
)


@dataclass(frozen=True, slots=True)
class BuildsInRemark:
    """What a remark says of builds: ``effectivity``, the words that plainly do, or None.

    ``asked``: it may say which builds, and a person must tell; then ``effectivity`` is None.
    """

    effectivity: str | None = None
    asked: bool = False


@lru_cache(maxsize=50_000)
def read_builds_in_remark(text: str) -> BuildsInRemark:
    """Return which builds a remark says a part is for; never raises."""
    verdicts = [(clause, _verdict(clause)) for clause in _clauses(text)]
    told = [clause for clause, verdict in verdicts if verdict == "told"]
    # "Mk 1 pattern, Mk 2 only": the pattern is the part's.
    settled = any(re.search(r"\bonly\b", clause, re.IGNORECASE) for clause in told)
    asked = any(verdict == "asked" and not (settled and _SORT.search(clause))
                for clause, verdict in verdicts)  # fmt: skip
    joined = ", ".join(told)
    if len(told) > 1:  # "Mk 1, Mk 2 early"; "late; Mk 2" may be late of it
        asked |= not all(_NAMED.search(one) for one in told)
        asked |= not _says(joined)
    if asked or _OPEN_DASH.search(text):
        return BuildsInRemark(asked=True)
    return BuildsInRemark(joined or None)


@lru_cache(maxsize=50_000)
def read_builds_in_name(text: str) -> BuildsInRemark:
    """Return which builds a part's description says it is for: "Idler (Mk 2 only)".

    A mark beside the name itself ("Idler Mk 2") may be the part's, and is asked about.
    """
    name, _, rest = _NAME_ENDS.sub("\n", tidy(text), count=1).partition("\n")
    others = _clauses(rest)
    told = [clause for clause in others if _says(clause)]
    beside = [name, *(clause for clause in others if clause not in told)]
    marked = any(re.search(_MARK, one, re.IGNORECASE) and not _OTHER_SENSE.search(one)
                 for one in beside)  # fmt: skip
    marked |= _EARLY_OR_LATE.search(name) is not None
    marked |= any(_TELLS.search(one) and _verdict(one) == "asked" for one in others)
    if marked or len(told) > 1:
        return BuildsInRemark(asked=True)
    return BuildsInRemark(told[0] if told else None)


@lru_cache(maxsize=4096)
def read_builds_in_section(text: str) -> BuildsInRemark:
    """Return which builds the words of a section say the parts below it are for."""
    found = [read_builds_in_remark(one) for one in text.split(" / ")]
    told = [one.effectivity for one in found if one.effectivity]
    if len(told) > 1 or any(one.asked for one in found):
        return BuildsInRemark(asked=True)
    return BuildsInRemark(told[0] if told else None)


@lru_cache(maxsize=50_000)
def says_builds(text: str) -> bool:
    """Tell whether words are marks, and which of them, and nothing else: "MK 1 ONLY"."""
    words = text.strip(" .:-")
    return re.search(_MARK, words, re.IGNORECASE) is not None and _says(words)


def _clauses(text: str) -> list[str]:
    found = []
    for piece in _STRUCK.sub("", tidy(text)).split(";"):
        words = _MARKED.sub("", piece.strip())
        if _says(words.strip(" .")):  # "Eff: 1-100"
            found.append(words.strip(" .,:-"))
            continue
        label = _LABEL.match(words)
        if label:
            if _OTHER_SENSE.search(label[1]):
                continue
            if not re.search(_MARK, label[1], re.IGNORECASE):  # "Mk 1: see item 17"
                words = words[label.end() :]
        whole = words.strip(" .")
        pieces = [whole] if _says(whole) else _SPLIT.split(_SHORTENED.sub(r"\1", whole))
        found += [clause for one in pieces if (clause := one.strip(" ,.:-"))]
    return found


def _says(clause: str) -> bool:
    """Tell whether words are builds or serials and nothing else, and plainly so."""
    if _SORT.search(clause) or not _TELLS.search(clause):
        return False
    if re.fullmatch(r"from (?:the )?(?:mk|mark)\.? ?\w+", clause, re.IGNORECASE):
        return False  # from then on, or taken off one?
    reading = read_effectivity(clause)
    return reading.problem is None and reading.doubt is None and not reading.all


def _verdict(clause: str) -> str | None:  # noqa: PLR0911 - one return a form of words
    """Return told, asked, or None for a clause that says nothing of builds."""
    if _says(clause):
        return "told"
    if _CODE.match(clause):
        return "asked"
    if re.match(rf"(?:{_MARK})[^:]*: ", clause, re.IGNORECASE):
        return "asked"
    if re.search(_MARK, clause, re.IGNORECASE) or re.search(_SERIALS, clause, re.IGNORECASE):
        return "asked" if _YET.search(clause) or not _OTHER_SENSE.search(clause) else None
    if _MAY_BE_RUN.match(clause) or _SERIAL_RUN.match(clause) or _RUN_FROM.match(clause):
        return "asked"
    short = len(clause.split()) <= 4  # noqa: PLR2004 - longer ones describe
    if short and _BARE_PHASE.search(clause) and not _NOT_A_BUILD.search(clause):
        return "asked" if _YET.search(clause) or not _OTHER_SENSE.search(clause) else None
    if only := _ONLY.match(clause):
        words = only[1] or only[2]
        side = read_side(words)
        said = side.side or side.positions
        return None if _NOT_VEHICLES.match(words) or (said and not side.rest) else "asked"
    return "asked" if _MAY_SAY.search(clause) else None
