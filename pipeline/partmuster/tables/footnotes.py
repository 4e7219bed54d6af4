"""Notes at the foot of a page or sheet, told by a mark: "Dynamo *" and "* Fitted to Mk 2 only".

What a note says joins the remark of each line that carries its mark. A mark without a note on its
own page or sheet has that of another, if they all say the same; otherwise it is asked about. A note
that no line carries says so.
"""

from __future__ import annotations

import re
from collections import defaultdict
from typing import TYPE_CHECKING

import polars as pl

from .other_notes import Elsewhere

if TYPE_CHECKING:
    from collections.abc import Mapping

    from .other_notes import OtherNote

_SIGN = r"\*{1,2}|†{1,2}|‡{1,2}|§{1,2}|¶"
_RAISED = "⁰¹²³⁴⁵⁶⁷⁸⁹ᵃᵇᶜᵈᵉ"
_PLAIN = dict(zip(_RAISED, "0123456789abcde", strict=True))
#: A mark at the end of a cell: a sign, a raised figure or letter, or one in brackets.
_AT_END = re.compile(
    rf"^(?P<words>.*?[^\s*†‡§¶])\s*(?P<mark>{_SIGN}|[{_RAISED}]{{1,2}}"
    r"|\s[(\[](?:[a-z]|\d{1,2})[)\]]|(?<=\w)[(\[](?:[a-z]|\d)[)\]])$"
)
_ALONE = re.compile(
    rf"^(?:{_SIGN}|[{_RAISED}]{{1,2}}|[(\[](?:[a-z]|\d{{1,2}})[)\]])$"
)  # fmt: skip
_SEE = re.compile(r"^(?:see )?(?:foot)?note ?[(\[]?(\d{1,2}|[a-z])[)\]]?$", re.IGNORECASE)
_AREA = re.compile(r"\b(?:mm|cm|m|km|in|ft|yd)[²³]$", re.IGNORECASE)
_NOTE = re.compile(
    rf"^(?:(?:foot)?notes?\s*[:.-]?\s*)?(?P<mark>{_SIGN}|#|[{_RAISED}]{{1,2}}"
    r"|[(\[](?:[a-z]|\d{1,2})[)\]]|(?:[a-z]|\d{1,2})[).:](?=\s)"
    r"|(?<=ote )(?:\d{1,2}|[a-z])[:.)-]?(?=\s)"
    r"|\d{1,2}(?=\s+(?-i:[A-Z])))"
    r"[\s.:=|–-]*(?P<words>\S.*)$",
    re.IGNORECASE,
)
#: "Items marked * are hand tools": the whole of it is what the mark means.
_OF_MARKED = re.compile(
    rf"^(?:notes?\s*[:.-]?\s*)?(?:all )?(?:items?|parts?|lines?|those|numbers?|figures?)? ?"
    rf"(?:which are |are )?(?:marked|shown|denoted|indicated) (?:with |by |thus )?(?:an? )?[('\"]?"
    rf"(?P<mark>{_SIGN}|asterisk)[)'\"]?:? ",
    re.IGNORECASE,
)
#: A remark that is nothing but the marks of notes.
_BARE = re.compile(r"^(?:\d{1,2}|[a-z])(?: ?(?:,|&|and|/) ?(?:\d{1,2}|[a-z]))*$")
_NEXT = re.compile(rf"\s+(?=(?:{_SIGN}|[{_RAISED}]|[(\[](?:[a-z]|\d{{1,2}})[)\]])\s)")
#: Fields that may end in a mark, and what of any cell may be one; asked of whole columns first.
_FIELDS = ("description", "part_number", "quantity", "item_number", "effectivity", "remark")
_LIKELY = rf"(?i)[{_RAISED}]\s*$|[(\[](?:[a-z]|\d{{1,2}})[)\]]\s*$|\bnote ?[(\[]?\w|[*†‡§¶]"
_BARE_LIKELY = r"^(?:\d{1,2}|[a-z])(?:\W.*)?$"
_NOTE_LIKELY = (
    rf"(?i)^(?:(?:foot)?notes?\b|[*†‡§¶#{_RAISED}(\[]|(?:[a-z]|\d{{1,2}})(?:[).:] | [^|])"
    r"|\d{1,2} \| [^|]+$)"
    r"|\b(?:marked|shown|denoted|indicated)\b"
)
_SURE = re.compile(rf"{_SIGN}")
#: Reasons why a row is no data, and no note either.
_HEADS = frozenset({"title", "headings", "running head", "heading of attaching parts"})
_UNTOLD = "note that no line carries"


def with_footnotes(
    lines: pl.DataFrame, raw: pl.DataFrame
) -> tuple[pl.DataFrame, pl.DataFrame]:  # fmt: skip
    """Return a source's lines and raw lines with notes given to the lines that carry their mark.

    ``lines`` and ``raw``: as :class:`.layout.LaidOut` has them. Only parts lists are read so.
    """
    carrying = pl.any_horizontal(
        pl.col(name).str.contains(_LIKELY).fill_null(value=False) for name in _FIELDS
    ) | pl.col("remark").str.contains(_BARE_LIKELY).fill_null(value=False)
    listed = lines.with_row_index("_at").filter(pl.col("kind") == "requirement")
    carriers = listed.filter(carrying)
    noted = raw.filter(pl.col("words").str.contains(_NOTE_LIKELY))
    pages = listed.select("sheet", "page").unique()
    if pages["page"].null_count() == pages.height:  # a page may be all notes
        noted = noted.join(pages, on=["sheet", "page"], how="semi", nulls_equal=True)
    if not carriers.height and not noted.height:
        return lines, raw
    notes = _notes(noted, raw) if listed.height else {}
    of_notes = {number for own in notes.values() for number, _ in own.values()}
    elsewhere = Elsewhere(notes)
    changes: dict[str, dict[int, str | None]] = defaultdict(dict)
    used: dict[int, str] = {}
    for line in carriers.iter_rows(named=True):
        place = line["sheet"], line["page"]
        own = notes.get(place, {})
        if line["raw_number"] in of_notes:
            continue
        changed = _Carrier(line, own, elsewhere.seen_from(place))
        for name, value in changed.read().items():
            changes[name][line["_at"]] = value
        used |= changed.used
    lines_now = set(lines["raw_number"]) - _all_notes(lines, of_notes)
    dropped = set(used) | (of_notes - lines_now)
    for name, values in changes.items():
        lines = lines.with_columns(lines[name].scatter(list(values), list(values.values())))
    untold = {number for own in notes.values() for mark, (number, _) in own.items()
              if number not in used and (_SURE.fullmatch(mark) or used)
              and number not in lines_now}  # fmt: skip
    reasons = {number: f"footnote '{mark}'" for number, mark in used.items()}
    reasons |= dict.fromkeys(untold - used.keys(), _UNTOLD)
    return lines.filter(~pl.col("raw_number").is_in(list(dropped))), as_not_data(raw, reasons)


def as_not_data(raw: pl.DataFrame, reasons: dict[int, str]) -> pl.DataFrame:
    """Return raw lines, some of them no data, with the reason by number."""
    if not reasons:
        return raw
    ours = pl.col("raw_number").is_in(list(reasons))
    reason = pl.col("raw_number").replace_strict(
        list(reasons), list(reasons.values()), default=None, return_dtype=pl.String
    )
    return raw.with_columns(
        pl.when(ours).then(pl.lit("not-data")).otherwise("outcome").alias("outcome"),
        pl.when(ours).then(reason).otherwise("reason").alias("reason"),
    )


def _mark_of(written: str) -> str:
    """Return a mark as notes and lines share it: "(1)", "1." and a raised 1 are one."""
    bare = written.strip(" ()[].:-").casefold()
    return "".join(_PLAIN.get(sign, sign) for sign in bare)


def _notes(
    noted: pl.DataFrame, raw: pl.DataFrame
) -> dict[tuple[str | None, int | None], dict[str, tuple[int, str]]]:
    """Return number and words of each note by its mark, by sheet and page.

    A row that is a line, or a section, is a note only below every other line.
    """
    lines = raw.filter((pl.col("outcome") == "line") & ~pl.col("words").str.contains(_NOTE_LIKELY))
    last = {(sheet, page): number for sheet, page, number in
            lines.group_by("sheet", "page").agg(pl.max("raw_number")).iter_rows()}  # fmt: skip
    found: dict[tuple[str | None, int | None], dict[str, tuple[int, str]]] = defaultdict(dict)
    for row in noted.iter_rows(named=True):
        place = row["sheet"], row["page"]
        below = row["raw_number"] > last.get(place, 0)
        title = row["outcome"] == "not-data" and row["reason"] in _HEADS
        section = row["outcome"] == "line" or row["reason"] == "section heading"
        cells = row["words"].split(" | ")
        says = any(char.isalnum() for char in row["words"])
        whole = _OF_MARKED.match(row["words"])
        if whole is not None and row["outcome"] == "not-data":
            mark = "*" if whole["mark"].casefold() == "asterisk" else whole["mark"]
            found[place].setdefault(mark, (row["raw_number"], row["words"]))
            continue
        # Two cells of a line are an item and its name, never taken for a mark and its words.
        if title or not says or (section and (not below or len(cells) > 1)):
            continue
        for piece in _NEXT.split(" ".join(cells)):
            match = _NOTE.match(piece)
            if match is not None:
                mark = _mark_of(match["mark"])
                found[place].setdefault(mark, (row["raw_number"], match["words"].strip()))
    return found


def _all_notes(lines: pl.DataFrame, of_notes: set[int]) -> set[int]:
    """Return the numbers of the lines on pages that hold nothing but notes."""
    noted = pl.col("raw_number").is_in(list(of_notes))
    pages = lines.filter(noted.all().over("sheet", "page") & pl.col("page").is_not_null())
    return set(pages["raw_number"])


class _Carrier:
    """One line, the marks it carries, and what they change."""

    def __init__(
        self, line: dict[str, str | None], notes: dict[str, tuple[int, str]],
        others: Mapping[str, OtherNote],
    ) -> None:  # fmt: skip
        self.line, self.notes, self.others = line, notes, others
        self.marks: list[str] = []
        self.used: dict[int, str] = {}
        self.said: list[str] = []
        self.doubts: list[str] = []
        self.changed: dict[str, str | None] = {}

    def read(self) -> dict[str, str | None]:
        """Return the fields that change."""
        for name in _FIELDS:
            if name != "remark" and self.line[name]:
                self._field(name, self.line[name] or "")
        kept = [one for piece in (self.line["remark"] or "").split("; ") if piece
                for one in self._clause(piece)]  # fmt: skip
        if self.marks or self.said:
            self.changed["remark"] = "; ".join(dict.fromkeys([*kept, *self.said])) or None
        if self.doubts:
            before = self.line["doubt"]
            self.changed["doubt"] = "; ".join([*([before] if before else []), *self.doubts])
        return self.changed

    def _field(self, name: str, text: str) -> None:
        words = text
        while match := _AT_END.match(words):
            if not self._take(match["mark"], words):
                break
            words = match["words"].rstrip()
        if words != text:
            self.changed[name] = words

    def _clause(self, text: str) -> list[str]:
        """Return what is left of a remark's clause."""
        if see := _SEE.match(text):
            told = self._take(see[1], text, seen=True)
            return [text] if told or see[1].isalpha() else self._asked(text)
        if self.notes and _BARE.match(text):
            marks = re.findall(r"\d+|[a-z](?![a-z])", text.replace("and", ","))
            if all(mark in self.notes for mark in marks):
                for mark in marks:
                    self._take(mark, text)
                return []
            return self._asked(text)
        if _ALONE.match(text):
            return [] if self._take(text, text, alone=True) else self._asked(text)
        match = _AT_END.match(text)
        if match and self._take(match["mark"], text):
            return [match["words"]]
        return [text]

    def _asked(self, text: str) -> list[str]:
        self.doubts.append(f"'{text}': no note says what it means")
        self.said = [one for one in self.said if one != text]
        return [text]

    def _take(self, written: str, text: str, *, alone: bool = False, seen: bool = False) -> bool:
        """Take a mark for what its note says; tell whether it was one.

        ``seen``: the words refer to a note.
        """
        mark = _mark_of(written)
        other = self.others.get(mark)
        if other is not None and not (other.of_page or seen or _SURE.fullmatch(mark)):
            other = None  # "(2)" may be anything, and the note another list's
        note = self.notes.get(mark) or (other and other.note)
        if note:
            shown = written.strip() if not written.strip().isalnum() else f"({mark})"
            self.marks.append(mark)
            self.used[note[0]] = mark
            self.said.append(f"{shown} {note[1]}")
            return True
        if other is not None:
            self.said.append(mark)
            self.doubts.append(f"'{mark}': {other.differ}")
            return True
        if alone or not _SURE.fullmatch(mark) or _AREA.search(text):
            return False
        self.said.append(mark)
        self.doubts.append(f"'{mark}': no note says what it means")
        return True
