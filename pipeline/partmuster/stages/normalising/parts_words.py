"""What the cells of a parts list say besides their own field: the opposite hand, other numbers.

"LH shown, RH opposite" is two lines, and the opposite hand has a number only where one is said.
Words taken out of a name or a number go to the remark: nothing that stood there is lost.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

import polars as pl

from partmuster.reading import hands, supersession
from partmuster.reading.builds_in_remarks import SERIALS_LAST
from partmuster.reading.quantities import read_quantity
from partmuster.reading.sides import read_side
from partmuster_trade import assemblies

from .items import normal_part_number

if TYPE_CHECKING:
    from collections.abc import Callable

    from .columns import Findings

#: Columns of what one row says of each hand's number; "" where that hand's number is not said.
_NUMBERS = {"left": "_left_number", "right": "_right_number"}
_BOTH = "LH & RH"
_NOT_PROCURABLE = re.compile(
    r"[\s,;]*[(\[]\s*n\.?/?p\.?\s*[)\]]\s*$|\s+NP$|^n\.?/?p\.?$", re.IGNORECASE
)
# V and five signs: the maker's code of a part not the maker's own (component manual, SOURCE-SEEN).
_VENDOR = re.compile(r"[\s,;(\[]*(?<![\w-])(V(?=[A-Z]{0,3}\d)[A-Z0-9]{5})(?![\w-])[)\]]?")
_SERIALS = re.compile(SERIALS_LAST, re.IGNORECASE)
#: Letters that stand for a quantity and give none (parts catalogue, SOURCE-SEEN).
_NO_COUNT = {"nr": "not recommended for field replacement", "ns": "not shown",
             "r": "restricted availability"}  # fmt: skip
_EITHER = re.compile(r"[\s,;(]*(?<![\w/])(?:l\.?/?h\.?|left) ?/ ?(?:r\.?/?h\.?|right)(?![\w/])\)?",
                     re.IGNORECASE)  # fmt: skip
_IN_NUMBER = (
    r"(?i)^n\.?/?p\.?$|\b[lr]\.?/?h\b|\b(?:left|right)\b|/|&|,|;|\band\b|[(\s]n\.?/?p\.?\)?\s*$"
)
_WITH_WORDS = {
    "description": rf"{hands.LIKELY}|{supersession.LIKELY[4:]}|\bV[A-Z0-9]{{5}}\b"
    rf"|{SERIALS_LAST}|-\d+ *\(?[lr]/?h",
    "remark": rf"{hands.LIKELY}|{supersession.LIKELY[4:]}"
    r"|\b(?:one|1) [lr]/?h|\b[lr]\.?/?h\b|\bhanded\b|\b(?:left|right)[- ](?:hand|side)",
    "part_number": rf"{_IN_NUMBER}|{supersession.LIKELY[4:]}",
    "quantity": r"(?i)^\s*(?:nr|ns|r)\s*$|\bn\.?/?p\b",
    "superseded_by": r"[;,(\[]|\b(?:when|after|once|use|used|until|till|from|as|but)\b",
}


_HANDED = re.compile(r"(?:(?:pair|pr)s?,? )?handed(?: (?:pair|pr)s?)?", re.IGNORECASE)
_NUMBERS_SAID = re.compile(supersession.LIKELY)
_HANDS_SAID = re.compile(hands.LIKELY)
_NUMBERS_OF_HANDS = {
    "part_number": re.compile(_IN_NUMBER),
    "description": re.compile(rf"{hands.LIKELY}|-?\d+ *\(?[lr]\.?/?h"),
    "remark": re.compile(r"(?i)\b(?:one|two|\d+)\W{1,3}(?:off )?(?:l/?h|r/?h|left|right)"),
}


def read_parts_words(
    frame: pl.DataFrame, handed: Callable[[list[str]], set[str]], findings: Findings
) -> pl.DataFrame:
    """Return text lines, those of parts lists with what their cells say put into its own columns.

    Adds, where a row says both hands, the number of each for :func:`with_own_numbers`.
    """
    frame = _without_letters(_without_dash(frame))
    said = pl.any_horizontal(
        pl.col(name).str.contains(words).fill_null(value=False)
        for name, words in _WITH_WORDS.items()
    )
    listed = frame.with_row_index("_at").filter((pl.col("kind") == "requirement") & said)
    if not listed.height:
        return frame
    changes: dict[str, dict[int, Any]] = {}
    doubts: list[tuple[int, str]] = []
    for line in listed.select("_at", "raw_number", *_READ).iter_rows(named=True):
        row = _Row(line, handed)
        row.read()
        for name, value in row.changed.items():
            changes.setdefault(name, {})[line["_at"]] = value
        doubts += [(line["raw_number"], doubt) for doubt in row.doubts]
    asked = pl.DataFrame(
        doubts, schema={"raw_number": pl.Int64, "reason": pl.String}, orient="row"
    )  # fmt: skip
    findings.doubt(asked, pl.col("reason"))
    for name, changed in changes.items():
        column = (frame.get_column(name) if name in frame.columns
                  else pl.Series(name, [None] * frame.height, dtype=pl.String))  # fmt: skip
        replaced = column.scatter(list(changed), list(changed.values()))
        frame = frame.with_columns(replaced.alias(name))
    return frame


def with_own_numbers(items: pl.DataFrame) -> pl.DataFrame:
    """Return lines split by hand, each with the number that is said to be its own hand's."""
    for hand, name in _NUMBERS.items():
        if name not in items.columns:
            continue
        mine = (pl.col("side") == hand) & pl.col(name).is_not_null()
        own = pl.when(pl.col(name) != "").then(pl.col(name))
        texts = items.get_column(name).drop_nulls().unique().to_list()
        normal = pl.col(name).replace_strict(
            texts, [normal_part_number(text) for text in texts], default=None,
            return_dtype=pl.String,
        )  # fmt: skip
        items = items.with_columns(
            pl.when(mine).then(own).otherwise("part_number").alias("part_number"),
            pl.when(mine).then(normal).otherwise("part_number_normal").alias("part_number_normal"),
        )
    if "_special" in items.columns:
        special = pl.coalesce("quantity_special", "_special").alias("quantity_special")
        items = items.with_columns(special)
    return items


def _without_dash(frame: pl.DataFrame) -> pl.DataFrame:
    """Return lines without the dash before the number of an item that is not illustrated."""
    number = pl.col("item_number").str.extract(r"^[-–—]\s*(\d\w{0,5})$")  # component manuals
    dashed = (pl.col("kind") == "requirement") & number.is_not_null()
    if not frame.select(dashed.any()).item():
        return frame
    said = pl.concat_str("remark", pl.lit("not illustrated"), separator="; ", ignore_nulls=True)
    return frame.with_columns(
        pl.when(dashed).then(number).otherwise("item_number").alias("item_number"),
        pl.when(dashed).then(said).otherwise("remark").alias("remark"),
    )


def _without_letters(frame: pl.DataFrame) -> pl.DataFrame:
    """Return lines without the letter or number of a list's section where an assembly would be."""
    lettered = (pl.col("kind") == "requirement") & pl.col("assembly").str.contains(
        r"^\s*(?:[A-Za-z]{1,2}|[A-Za-z]{0,2}\d{1,3}[A-Za-z]?)\.?\s*$"
    ).fill_null(value=False)  # fmt: skip
    texts = frame.filter(lettered)["assembly"].unique().to_list()
    unknown = [text for text in texts if assemblies.assembly_id(text) is None]
    if not unknown:
        return frame
    ours = lettered & pl.col("assembly").is_in(unknown)
    said = pl.concat_str(
        "remark", pl.format("section {}", "assembly"), separator="; ", ignore_nulls=True
    )
    return frame.with_columns(
        pl.when(ours).then(said).otherwise("remark").alias("remark"),
        pl.when(~ours).then("assembly").alias("assembly"),
    )


_READ = ("description", "part_number", "quantity", "remark", "side", "unit", "maker",
         "superseded_by", "companions")  # fmt: skip


class _Row:
    """One row of a parts list, and what its words change."""

    def __init__(self, line: dict[str, Any], handed: Callable[[list[str]], set[str]]) -> None:
        self.line, self.handed = line, handed
        self.changed: dict[str, str | None] = {}
        self.doubts: list[str] = []

    def get(self, name: str) -> str:
        """Return a field as it now is."""
        value = self.changed.get(name) if name in self.changed else self.line[name]
        return value or ""

    def keep(self, words: str) -> None:
        """Keep words that left their field in the remark."""
        before = self.get("remark")
        if words and words not in before:
            self.changed["remark"] = f"{before}; {words}" if before else words

    def read(self) -> None:
        """Read number, name, remark and quantity, in this order."""
        self._quantity()
        self._other_numbers()
        self._vendor()
        self._serials()
        if self._hands():
            return
        if any(words.search(self.get(name)) for name, words in _NUMBERS_OF_HANDS.items()):
            self._hand_numbers()
        if "side" not in self.changed and self._told() is None:
            self._side_in_remark()

    def _quantity(self) -> None:
        number = self.get("part_number")
        if match := _NOT_PROCURABLE.search(number):
            self.changed["part_number"] = number[: match.start()].rstrip(" ,;") or None
            self.changed["_special"] = "not-procurable"
            self.keep(match[0].strip(" ,;()[]"))
        quantity = self.get("quantity").strip()
        if meaning := _NO_COUNT.get(quantity.casefold()):
            self.changed["quantity"] = None
            self.keep(f"quantity: {quantity} ({meaning})")
        elif (match := _NOT_PROCURABLE.search(quantity)) and match.start():
            self.changed["quantity"] = quantity[: match.start()]
            self.changed["_special"] = "not-procurable"
            self.keep(f"quantity: {quantity}")

    def _other_numbers(self) -> None:
        """Take "superseded by X", "used with X"; the words leave a name or number, not a remark."""
        self._newer_number()
        for name in ("part_number", "description", "remark"):
            text = self.get(name)
            read = supersession.read_supersession(text) if _NUMBERS_SAID.search(text) else None
            if read is None:
                continue
            if name != "remark":
                rest, said = supersession.without_supersession(text)
                if not re.search(r"\w", rest) and name == "description":
                    continue
                self.changed[name] = rest or None
                self.keep(said)
            told = supersession.until_used_up(text)
            if told and name == "remark" and read.newer:
                self.changed[name] = f"{text}; {told}"
            for field, value in (("superseded_by", read.newer), ("companions", read.companions)):
                before = self.get(field)
                if value and not before:
                    self.changed[field] = value
                elif value and normal_part_number(value) != normal_part_number(before):
                    asked = "takes its place" if field == "superseded_by" else "goes with it"
                    self.doubts.append(f"'{before}' or '{value}': which {asked}?")

    def _newer_number(self) -> None:
        """Part the number that took its place from what is said of that: "when used up"."""
        number, beside = supersession.number_and_words(self.get("superseded_by"))
        if not beside:
            return
        self.changed["superseded_by"] = number
        self.keep(beside)
        if told := supersession.until_used_up(beside):
            self.keep(told)

    def _vendor(self) -> None:
        name = self.get("description")
        match = _VENDOR.search(name)
        if match is None or not re.search(r"\w", name[: match.start()]):
            return
        self.changed["description"] = f"{name[: match.start()]}{name[match.end() :]}".strip(" ,;")
        if self.get("maker"):
            self.keep(f"vendor {match[1]}")
        else:
            self.changed["maker"] = match[1]

    def _serials(self) -> None:
        """Put serials at the end of a name with the remarks, where they are read."""
        name = self.get("description")
        match = _SERIALS.search(name)
        if match is not None and re.search(r"\w", name[: match.start()]):
            self.changed["description"] = name[: match.start()].rstrip(" ,;:-([")
            self.keep(name[match.start() :].strip(" ,;:-()[]"))

    def _hands(self) -> bool:
        """Read a hand shown and the opposite one; tell whether the row says so."""
        for name in ("description", "remark"):
            text = self.get(name)
            read = hands.read_hands(text) if _HANDS_SAID.search(text) else None
            if read is None:
                continue
            own = read_side(self.get("description") if name == "remark" else read.rest).side
            self._taken_out(name, text, read.rest)
            self._shown(read, text, own or read_side(self.get("side")).side)
            return True
        if any(
            _HANDS_SAID.search(self.get(name)) and hands.opposite_of_nothing(self.get(name))
            for name in ("description", "remark")
        ):
            told = read_side(self.get("side")).side or read_side(self.get("description")).side
            if told is None:
                self.doubts.append("an opposite hand, but which of the two is not said")
        return False

    def _shown(self, read: hands.HandsReading, text: str, own: str | None) -> None:
        """Make two lines of a row that shows one hand, the other's number said or none."""
        asked, hand = read.asked, read.shown
        if hand is None:
            self.doubts.append(asked or f"'{text}': which hand is shown?")
            return
        if own in {"left", "right"}:
            if own != hand and asked:
                return  # "RH opp. hand" beside the right hand itself: one line
            asked = None if own == hand else f"'{text}': which hand is shown?"
        if asked:
            self.doubts.append(asked)
        number = self.get("part_number")
        numbers = hands.numbers_of_hands(number) if number else {}
        theirs = hands.with_suffix(number, read.opposite) if read.opposite else ""
        if len(numbers) > 1:
            self._both(numbers, own)
        elif hands.pair_of_numbers(number):
            self._pair(number, own)
        else:
            mine = numbers.get(hand, number)
            self._both({hand: mine, hands.other_hand(hand): theirs}, own)

    def _taken_out(self, name: str, text: str, rest: str) -> None:
        """Keep in the remark what leaves a name."""
        if name == "description":
            self.changed["description"] = rest or None
            self.keep(text.removeprefix(rest).strip(" ,;:()"))

    def _hand_numbers(self) -> None:
        """Read the numbers of two hands, in the number's cell or by their ends in the name."""
        number, name = self.get("part_number"), self.get("description")
        found = hands.numbers_of_hands(number) if number else {}
        if len(found) == 1:
            ((hand, own),) = found.items()
            if not self.get("side"):
                self.changed["side"] = hand
            self.changed["part_number"] = own
            return
        told = self._told()
        if not found and (alone := hands.number_of_both(number)):
            self.changed["part_number"] = alone
            self.keep(number[len(alone) :].strip(" ,;()[]"))
            self._both({}, told)
            return
        either = _EITHER.search(name)
        if either and told is None and (found or hands.pair_of_numbers(number)):
            # Beside two numbers "LH/RH" is both of them.
            name = f"{name[: either.start()]}{name[either.end() :]}".strip(" ,;")
            self.changed["description"] = name or None
            self.keep(either[0].strip(" ,;()"))
        if not found and name:
            found, rest = hands.suffixes_of_hands(name, number)
            if found:
                self.changed["description"] = rest
                self.keep(name.removeprefix(rest).strip(" ,;:()"))
                found = found if number else dict.fromkeys(found, "")
        if found:
            self._both(found, told)
        elif (
            number
            and hands.pair_of_numbers(number)
            and (either or told in {"left", "right", "both"} or name in self.handed([name]))
        ):
            self._pair(number, told)
        elif self._each_counted():
            self._both({}, told)

    def _side_in_remark(self) -> None:
        """Take a side that is all a clause of the remark says: "RH only", "handed"."""
        for clause in re.split(r"\s*;\s*", self.get("remark")):
            side = read_side(clause)
            if side.side in {"left", "right"} and not side.rest and not side.positions:
                self.changed["side"] = side.side
            elif (side.side == "both" and not side.rest) or _HANDED.fullmatch(clause):
                self._both({}, None)

    def _told(self) -> str | None:
        """Return the side that side, name or quantity say, "both" too."""
        side = read_side(self.get("side")).side or read_side(self.get("description")).side
        if side is None and len(read_quantity(self.get("quantity")).per_side) > 1:
            return "both"
        return side

    def _each_counted(self) -> bool:
        """Tell whether a remark counts each hand ("one LH, one RH") as the quantity does."""
        for clause in re.split(r"\s*;\s*", self.get("remark")):
            counted = read_quantity(clause)
            if len(counted.per_side) < 2 or counted.problem:  # noqa: PLR2004 - both hands
                continue
            whole = read_quantity(self.get("quantity"))
            if whole.per_side:
                return False
            if self.get("quantity") and whole.at_least != counted.at_least:
                self.doubts.append(f"'{self.get('quantity')}', but '{clause}': how many are there?")
            elif len({low for _, low, _ in counted.per_side}) > 1:
                self.changed["quantity"] = clause
                self.keep(f"quantity: {self.line['quantity']}" if self.line["quantity"] else "")
            return True
        return False

    def _both(self, numbers: dict[str, str], told: str | None) -> None:
        """Make the row two lines, each with its own number or none."""
        if told != "both":
            self.changed["side"] = _BOTH
        if told in {"left", "right"}:
            self.changed["description"] = hands.without_side(self.get("description"))
        for hand, column in _NUMBERS.items():
            if hand in numbers:
                self.changed[column] = numbers[hand]

    def _pair(self, number: str, told: str | None) -> None:
        """Ask which of two numbers is which hand's: their order does not settle it."""
        one, two = hands.pair_of_numbers(number) or ("", "")
        self.changed["part_number"] = None
        self.keep(f"part number: {number}")
        self.doubts.append(f"'{number}': is {one} the left hand's and {two} the right hand's?")
        if told not in {"left", "right"}:
            self._both({}, told)
