"""Usable-on codes of a parts list: letters that a key on the sheets says the builds of.

A code stands in a column of its own or as "UOC: A" beside the name; blank is all. Without a key a
person is asked once for each code, and the line waits.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import polars as pl

from partmuster.reading.builds import read_effectivity

from .asking import Question
from .footnotes import as_not_data

if TYPE_CHECKING:
    from .told import Told

_CODE = r"(?!(?:MK|ALL|ANY|AND|OR|NOT|SN)\b)[A-Z]{1,3}\d?"
_FIGURED = r"(?:[A-Z]{1,3}\d{0,2}|\d{1,2}[A-Z]?)"
_JOINED = r"\s*(?:[,/&;+]|\band\b|\s)\s*"
_CODES = re.compile(rf"{_CODE}(?:{_JOINED}{_CODE})*")
_FIGURED_CODES = re.compile(rf"{_FIGURED}(?:{_JOINED}{_FIGURED})*")
#: "UOC: A" beside a name or in a remark; the code list ends where small letters begin.
_BESIDE = re.compile(
    r"[\s,;(\[]*\b(?:UOC|U\.O\.C\.?|(?:usable|used)[ -]on codes?|eff(?:ectivity|\.)? codes?)"
    rf"\s*[:=.-]*\s*(?-i:(?P<codes>{_FIGURED}(?:\s*[,/&]\s*{_FIGURED})*))(?!\w)[)\]]?",
    re.IGNORECASE,
)
_BESIDE_LIKELY = r"(?i)\bu\.?o\.?c\b|\bcodes?\b"
_CODE_HEADING = r"(?i)\bu\.?o\.?c\b|\bcodes?\b"
#: Codes of their column with the serials of others beside it, from :func:`.serial_columns`.
_WITH_SERIALS = re.compile(
    rf"(?P<codes>{_FIGURED}(?:{_JOINED}{_FIGURED})*), (?P<serials>\D{{2,}}.*\d.*)"
)
_KEYED = re.compile(
    r"^(?:(?:key|legend|uoc|(?:usable|used)[ -]on|eff(?:ectivity|ective|\.)?|model|code)s?\b\s*)+"
    r"(?:(?:to|of|for) [\w -]+?)?\s*[:=–-]+\s*(?=\S)",
    re.IGNORECASE,
)
_PART = re.compile(
    rf"^(?:(?:[Cc]ode|CODE|UOC)\s+)?['\"(]?(?P<code>{_FIGURED})['\")]?"
    r"\s*(?:=|:|\.{2,}|[-–]\s|\s[-–]|\bmeans\b|\bis\b|\bfor\b)\s*(?P<words>\S.*)$"
)
_NEXT = re.compile(rf"\s*[;,\n|]\s*(?=(?:[Cc]ode\s+)?['\"(]?{_FIGURED}['\")]?\s*(?:=|:|[-–]\s))")
_TWO_CELLS = re.compile(rf"^(?P<code>{_FIGURED}) \| (?P<words>[^|]+)$")
_KEY_LIKELY = r"=|:|^[A-Z0-9]{1,4} \| [^|]+$|^(?:[Cc]ode )?[A-Z0-9]{1,4} ?[-–.]"
_KEY_HEADINGS = re.compile(
    r"^(?:uoc|codes?|letters?|key|symbols?|(?:usable|used) on codes?|eff(?:ectivity)? codes?)\b"
    r"[^|]*(?:\|[^|]*)?$",
    re.IGNORECASE,
)
_KEY = "key of usable-on codes"
#: How a code whose meaning nobody told stands in the remark.
UNTOLD = "usable-on code"


def with_codes(
    lines: pl.DataFrame, raw: pl.DataFrame, layout: pl.DataFrame, told: Told,
    questions: list[Question],
) -> tuple[pl.DataFrame, pl.DataFrame, list[Question]]:  # fmt: skip
    """Return a source's lines with the builds of their codes, its raw lines, and what to ask.

    ``questions``: what is asked so far; nothing is asked about a sheet that is all key.

    The key may stand on any sheet; a sheet's own goes first, and what a person told before both.
    """
    lines = _taken_beside(lines)
    coded = _coded(lines, layout)
    if not coded:
        return lines, raw, questions
    keys, rows = _keys(raw)
    answers = {name.removeprefix("code "): words for (_, name), words in told.given.items()
               if name.startswith("code ")}  # fmt: skip
    meant: dict[tuple[str | None, str], str | None] = {}
    asked: dict[str, tuple[int, str]] = {}
    for (sheet, text), count in coded.items():
        codes, serials = _codes_and_serials(text)
        meanings = [(code, _meaning(code, sheet, keys, answers)) for code in _apart(codes, keys)]
        known = [words for _, words in meanings if words is not None]
        if len(known) == len(meanings):
            builds = "; ".join(dict.fromkeys(known))
            meant[sheet, text] = f"{builds}, {serials}" if serials else builds
            continue
        meant[sheet, text] = None
        for code, words in meanings:
            if words is None:
                before = asked.get(code, (0, text))
                asked[code] = before[0] + count, before[1]
    lines = _with_builds(lines, meant)
    lines, raw = _without_keys(lines, raw, rows)
    left = set(lines["sheet"].to_list())
    no_more = tuple(f"{sheet}|" for sheet in set(rows.values()) - left if sheet)
    questions = [one for one in questions if not (no_more and one.subject.startswith(no_more))]
    questions += [
        Question("layout", f"|code {code}", f"Which builds does the usable-on code '{code}' mean?",
                 "", count)
        for code, (count, _) in sorted(asked.items())
    ]  # fmt: skip
    return lines, raw, questions


def _taken_beside(lines: pl.DataFrame) -> pl.DataFrame:
    """Return lines with the codes that stand beside a name, or in a remark, as their builds."""
    listed = pl.col("kind") == "requirement"
    for name in ("description", "remark"):
        found = lines.with_row_index("_at").filter(
            listed & pl.col(name).str.contains(_BESIDE_LIKELY)
        )
        changes: dict[str, dict[int, str | None]] = {name: {}, "effectivity": {}}
        for at, text, own in found.select("_at", name, "effectivity").iter_rows():
            match = _BESIDE.search(text)
            if match is None or (own and own != match["codes"]):
                continue
            rest = f"{text[: match.start()]} {text[match.end() :]}"
            changes[name][at] = " ".join(rest.split()).strip(" ,;") or None
            changes["effectivity"][at] = match["codes"]
        for column, values in changes.items():
            if values:
                lines = lines.with_columns(
                    lines[column].scatter(list(values), list(values.values()))
                )
    return lines


def _coded(lines: pl.DataFrame, layout: pl.DataFrame) -> dict[tuple[str | None, str], int]:
    """Return how often each text of codes stands, by sheet; letters that say a build are none."""
    headed = layout.filter(
        (pl.col("field") == "effectivity") & pl.col("heading").str.contains(_CODE_HEADING)
    )
    headed_sheets = set(headed["sheet"].to_list())
    texts = lines.filter(
        (pl.col("kind") == "requirement")
        & (pl.col("effectivity").str.split(", ").list.first().str.len_chars() <= 24)  # noqa: PLR2004 - longer ones are words
    ).group_by("sheet", "effectivity").len()  # fmt: skip
    found = {}
    for sheet, text, count in texts.iter_rows():
        codes, _ = _codes_and_serials(text)
        headed_so = sheet in headed_sheets and _FIGURED_CODES.fullmatch(codes)
        if headed_so or (_CODES.fullmatch(codes) and read_effectivity(text).problem):
            found[sheet, text] = count
    return found


def _codes_and_serials(text: str) -> tuple[str, str]:
    """Return the codes of a text, and the serials behind them or nothing."""
    found = _WITH_SERIALS.fullmatch(text)
    if found is None:
        return text, ""
    reading = read_effectivity(found["serials"])
    if not reading.intervals or reading.problem:
        return text, ""
    return found["codes"], found["serials"]


def _apart(text: str, keys: dict[tuple[str | None, str], str | None]) -> list[str]:
    """Return the codes in a cell; "AB" are two where the key has A and B and no AB."""
    known = {code for _, code in keys}
    found: list[str] = []
    for code in re.findall(_FIGURED, text):
        letters = list(code)
        single = code not in known and code.isalpha() and set(letters) <= known
        found += letters if single else [code]
    return found


def _meaning(
    code: str, sheet: str | None, keys: dict[tuple[str | None, str], str | None],
    answers: dict[str, str],
) -> str | None:  # fmt: skip
    """Return the builds a code means, or None where nothing, or several things, are said."""
    if code in answers:
        return answers[code] if _is_read(answers[code]) else None
    if (sheet, code) in keys:
        return keys[sheet, code]
    said = {words for (_, one), words in keys.items() if one == code}
    return said.pop() if len(said) == 1 else None


def _is_read(words: str) -> bool:
    reading = read_effectivity(words)
    return reading.problem is None and reading.doubt is None


def _keys(
    raw: pl.DataFrame,
) -> tuple[dict[tuple[str | None, str], str | None], dict[int, str | None]]:
    """Return the builds of each code by sheet, and the numbers of the rows that say so."""
    found: dict[tuple[str | None, str], str | None] = {}
    rows: dict[int, str | None] = {}
    likely = raw.filter(pl.col("words").str.contains(_KEY_LIKELY))
    for number, sheet, text in likely.select("raw_number", "sheet", "words").iter_rows():
        pairs = _pairs(text)
        if not pairs or not all(_is_read(words) for _, words in pairs):
            continue
        rows[number] = sheet
        for code, words in pairs:
            before = found.setdefault((sheet, code), words)
            if before != words:
                found[sheet, code] = None
    return found, rows


def _pairs(text: str) -> list[tuple[str, str]]:
    """Return code and words of each part of a key's row, or nothing where one is no such part."""
    if two := _TWO_CELLS.match(text):
        return [(two["code"], two["words"].strip())]
    matches = [_PART.match(part) for part in _NEXT.split(_KEYED.sub("", text))]
    return [(match["code"], match["words"].strip(" .;,")) for match in matches
            if match] if all(matches) else []  # fmt: skip


def _with_builds(
    lines: pl.DataFrame, meant: dict[tuple[str | None, str], str | None]
) -> pl.DataFrame:
    """Return lines with builds for codes; one that nobody explained stands in the remark."""
    effects, remarks = lines["effectivity"].to_list(), lines["remark"].to_list()
    rows = lines.select("kind", "sheet", "effectivity").iter_rows()
    for at, (kind, sheet, text) in enumerate(rows):
        if kind != "requirement" or (sheet, text) not in meant:
            continue
        effects[at] = meant[sheet, text]
        if effects[at] is None:
            said = f"{UNTOLD} {text}"
            remarks[at] = f"{remarks[at]}; {said}" if remarks[at] else said
    return lines.with_columns(
        pl.Series("effectivity", effects, dtype=pl.String),
        pl.Series("remark", remarks, dtype=pl.String),
    )


def _without_keys(
    lines: pl.DataFrame, raw: pl.DataFrame, rows: dict[int, str | None]
) -> tuple[pl.DataFrame, pl.DataFrame]:
    """Return lines and raw lines, the rows of a key, and its headings, no data."""
    reasons = dict.fromkeys(rows, _KEY)
    left = raw.filter(
        (pl.col("outcome") == "line") & ~pl.col("raw_number").is_in(list(rows))
        & pl.col("sheet").is_in([sheet for sheet in rows.values() if sheet is not None])
    )  # fmt: skip
    for number, words in left.select("raw_number", "words").iter_rows():
        if _KEY_HEADINGS.match(words):
            reasons[number] = _KEY
    kept = lines.filter(~pl.col("raw_number").is_in(list(reasons)))
    return kept, as_not_data(raw, reasons)
