"""Reading the hand and the place of a part from its words. A side is never guessed.

Left and right are as seated facing forward. Near and off side become left and right only where the
country is known. What can be read two ways is left open, with both readings.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from functools import lru_cache

from partmuster_trade.words import load_words

from .stations import POSITIONS, Word, find_positions, find_station, phrases_in, words_of
from .text import tidy

_OPPOSITE = {"left": "right", "right": "left", "near": "off", "off": "near"}
_COUNTS = {"one": 1, "two": 2, "three": 3, "four": 4}
_HANDS = frozenset({"lh", "rh", "l/h", "r/h", "left", "right", "left hand", "right hand",
                    "left handed", "right handed", "lefthand", "righthand"})  # fmt: skip
_LETTERS = {"l": ("left", "litre", "length"), "r": ("right", "radius", "rear")}
_NO_SIDE = re.compile(
    r"\b[lr]hd\b|\b(?:left|right)[ -]?hand(?:ed)?[ -](?:drive|thread(?:ed)?)\b"
    r"|\b(?:[lr]/?h|left|right) thread(?:ed)?\b|\bright[ -]?angle[ds]?\b|\bleft[ -]?overs?\b"
    r"|\bleft (?:at|by|with|in|behind|out|on|off|from|until|as)\b"
    r"|\b(?:none|nothing|any|few|some|is|was|were|been|has|have) left\b"
    r"|\bright (?:type|part|one|number|size|way|length|up|through|pattern|colour|thing|place)\b"
    r"|\b(?:not|is|are|just|quite|all) right(?![ -]?hand| side)\b",
    re.IGNORECASE,
)
_REMAINING = re.compile(r"\b(?:\d+|one|two|three|four|only) left(?= ?(?:$|[,;.)]))", re.IGNORECASE)
_BOTH = re.compile(
    r"\b(?:(\d{1,4}|one|two|three|four) (?:off )?(?:(?:on|to|for|of) )?(?:each|per|a) (?:side|hand)"
    r"|(?:each|per) (?:side|hand)|(both) (?:sides|hands)|(handed) (?:pair|pr))\b|^(both)$",
    re.IGNORECASE,
)
_PAIR = re.compile(
    r"^(?:(?:a|one|1) )?(?:pair|pr)(?: of|$)|\((?:a )?(?:pair|pr)\)|,? (?:pair|pr)$", re.IGNORECASE
)
_JOINED = re.compile(
    r"\s*(\d*)\s*(?:x|off|no\.?)?\s*(&|\+|,|;|and|plus|)\s*(\d*)\s*(?:x|off|no\.?)?\s*",
    re.IGNORECASE,
)
_NEGATION = re.compile(r"\b(?:not|non|no|isn't|except|without|never)[ -](?:the )?$", re.IGNORECASE)
# "Track guard, LH": plain words, then a side that can be nothing else; the most usual way.
_SIDE_LAST = re.compile(
    r"([A-Za-z][A-Za-z' ]*(?:, ?[A-Za-z][A-Za-z' ]*?)*?),? "
    r"(lh|rh|l/h|r/h|left hand|right hand|n/s)",
    re.IGNORECASE,
)
_LAST_WORDS = {"lh": "left", "l/h": "left", "left hand": "left", "rh": "right", "r/h": "right",
               "right hand": "right", "n/s": "near"}  # fmt: skip
_DIGIT = re.compile(r"[\d/]")  # "LH/RH" is one word
_ALSO_TELLING = frozenset(
    {*_LETTERS, "left", "right", "pair", "pr", "each", "per", "both", "handed", "bank", "thou",
     "first", "second", "third", "fourth", "fifth", "sixth"}
)  # fmt: skip
_SIZE = re.compile(r"\.0\d\d\b|\b0[1-9]0\b|\bthou\b", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class SideReading:
    """Hand and place of a part.

    ``side``: left, right, near, off, both, or None where not said or left open. ``positions``: in
    the order of ``POSITIONS``. ``count_each``: how many a side where both are said; 1 with no side
    for a bare "pair" (one a side if the part is handed). ``rest``: the text without those words.
    ``ambiguous``: (token, its readings) that were left open; then ``side`` is None.
    """

    text: str
    side: str | None = None
    positions: tuple[str, ...] = ()
    station: str | None = None
    count_each: int | None = None
    rest: str = ""
    ambiguous: tuple[tuple[str, tuple[str, ...]], ...] = ()


@lru_cache(maxsize=1)
def _driving_sides() -> dict[str, str]:
    return {row.words: row.meanings["drives_on"] for row in load_words("driving_side")}


def near_side(country: str | None) -> str | None:
    """Return the near (kerb) side, left or right, in a country (ISO 3166-1 alpha-2), or None."""
    return _driving_sides().get((country or "").strip().upper())


@lru_cache(maxsize=8)
def _context(reading: str) -> frozenset[str]:
    return frozenset(
        row.words for row in load_words("side_context") if row.meanings["reading"] == reading
    )


class _Reader:
    """One reading in the making: what was found, and what stays open."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.words = words_of(text)
        self.norms = frozenset(word.norm for word in self.words)
        self.station, start, end = find_station(text)
        self.taken: list[tuple[int, int]] = [(start, end)] if self.station else []
        self.masked = [match.span() for match in _NO_SIDE.finditer(text)] + self.taken[:]
        self.sides: list[tuple[Word, str]] = []
        self.positions: set[str] = set()
        self.open: dict[str, tuple[str, ...]] = {}

    def is_masked(self, word: Word) -> bool:
        return any(start < word.end and word.start < end for start, end in self.masked)

    def before(self, word: Word) -> str:
        return self.text[: word.start]

    def after(self, word: Word) -> str:
        return self.text[word.end :]

    def is_alone(self, word: Word) -> bool:
        """Tell whether nothing but marks stands beside the word."""
        return not re.search(r"\w", self.before(word) + self.after(word))

    def collect(self) -> None:
        """Find side words, and decide for each whether it is one here."""
        for match in _REMAINING.finditer(self.text):
            if not self.is_masked(Word("", *match.span())):
                self.open["left"] = ("left side", "remaining")
                self.masked.append(match.span())
        for word, meanings in phrases_in(self.text, self.words, "side"):
            if self.is_masked(word):
                continue
            if meanings["position"]:
                self.positions.add(meanings["position"])
            self.side_word(word, meanings)
        for word in self.words:
            self.letter(word)
        self.sides.sort(key=lambda found: found[0].start)

    def side_word(self, word: Word, meanings: dict[str, str]) -> None:
        """Take a side word for a side, pass it over, or leave it open."""
        side = meanings["side"]
        if side in {"driver", "passenger"}:
            side = self.by_steering(side)
        elif word.norm in {"ns", "os"}:
            other = {"os", "o/s"} if word.norm == "ns" else {"ns", "n/s"}
            if self.is_alone(word) or other & self.norms:
                side = "near" if word.norm == "ns" else "off"
        if word.norm == "port" and not self.port_side(word):
            return
        if side == "off" and word.norm in {"o/s", "os"} and not self.off_side(word):
            return
        if word.norm in _HANDS and not self.hand_of_part(word):
            return
        if side:
            self.sides.append((word, side))
        else:
            self.open[word.norm] = tuple(meanings["reads"].split("|"))

    def port_side(self, word: Word) -> bool:
        """Tell whether "port" is a side, not an opening; leave it open where nothing settles it."""
        opening = bool(self.norms & _context("opening"))
        beside = words_of(self.after(word))[:1]
        part = bool(beside) and beside[0].norm in _context("off side")
        if self.is_alone(word) or self.norms & {"starboard", "stbd"} or (part and not opening):
            return True
        if part or not opening:
            self.open[word.norm] = ("left", "opening")
        return False

    def by_steering(self, seat: str) -> str:
        """Return left or right for the driver's or passenger's side, where RHD or LHD is said."""
        said = self.norms & {"rhd", "lhd"}
        if len(said) != 1:
            return ""
        driver = "right" if "rhd" in said else "left"
        return driver if seat == "driver" else _OPPOSITE[driver]

    def off_side(self, word: Word) -> bool:
        """Tell whether O/S is a side here; leave it open where nothing settles it."""
        size = bool(_SIZE.search(self.text))
        oversize = size or bool(self.norms & _context("oversize"))
        off = bool(self.norms & (_context("off side") | {"n/s", "ns"}))
        if size or (oversize and not off):
            return False
        if oversize or not (off or self.is_alone(word)):
            self.open[word.norm] = ("off side", "oversize")
            return False
        return True

    def hand_of_part(self, word: Word) -> bool:
        """Tell whether LH/RH is the hand of a part, not of a thread, and not a round head."""
        threads = bool(self.norms & _context("hand of thread"))
        screws = bool(self.norms & _context("round head"))
        fixings = bool(self.norms & _context(""))
        handed = bool(self.norms & (_context("off side") - {"side", "front", "rear"}))
        round_head = word.norm in {"rh", "r/h"}
        if not (threads or screws or fixings):
            return True
        if threads and not handed:
            return False
        if screws and round_head and not handed:
            return False
        others = ("round head",) if screws and round_head else ("hand of thread",)
        self.open[word.norm] = (word.norm.replace("lh", "left hand").replace("rh", "right hand"),
                                *others)  # fmt: skip
        return False

    def letter(self, word: Word) -> None:
        """Take a lone L or R for a side where it is set off as one."""
        if word.norm in {"lh/rh", "l/r", "rh/lh", "r/l", "ns/os", "os/ns"}:
            self.open[word.norm] = ("left and right", "left or right")
        if word.norm not in _LETTERS or self.is_masked(word):
            return
        before, after = self.before(word), self.after(word)
        if re.search(r"[\d'/]\s?$|\w-$", before) or re.match(r"['/]|-\w| ?\d", after):
            joined = re.match(r" ?(?:&|\+|,|and) ?\d* ?[lr]\b", after, re.IGNORECASE) or re.search(
                r"\b[lr] ?(?:&|\+|,|and) ?\d* ?$", before, re.IGNORECASE
            )
            if not joined:
                return
        ends = bool(re.match(r"\s*(?:$|[,;:)\]])", after))
        set_off = ends and bool(re.search(r"(?:^|[,;:(\[]|\s-)\s*$", before))
        both = re.match(r" ?(?:&|\+|and) ?\d* ?[lr]\b", after, re.IGNORECASE) or re.search(
            r"\b[lr] ?(?:&|\+|and) ?\d* ?$", before, re.IGNORECASE
        )
        hand = re.match(r"[ -](?:hand|side)\b", after, re.IGNORECASE)
        if set_off or both or hand:
            end = word.end + (hand.end() if hand else 0)
            self.sides.append((Word(word.norm, word.start, end), _LETTERS[word.norm][0]))
        else:
            self.open[word.norm] = _LETTERS[word.norm]

    def both_sides(self) -> tuple[str, int | None] | None:
        """Return "both" with the count a side, where two opposite sides are joined."""
        (first, one), (second, two) = self.sides
        joined = _JOINED.fullmatch(self.text[first.end : second.start])
        if _OPPOSITE[one] != two or joined is None or _NEGATION.search(self.before(first)):
            return None
        lead = re.search(r"(?<!\w)(\d{1,4}) ?(?:x|off|no\.?)? ?$", self.before(first))
        tail = re.match(r" ?(\d{1,4})\b", self.after(second))
        if lead:  # 1 LH 2 RH: the number between belongs to the second
            counts = [lead[1], joined[3] or joined[1]]
        else:
            counts = [joined[1], tail[1] if tail else joined[3]]
        if not joined[2] and not all(counts):
            return None
        if lead:
            self.taken.append(lead.span())
        self.taken.append((first.start, second.end))
        if not any(counts):
            return "both", 1
        return "both", int(counts[0]) if counts[0] and counts[0] == counts[1] else None

    def doubt(self, both: re.Match[str] | None) -> None:
        """Leave open the sides that are questioned, denied, or disagree."""
        disagree = len({side for _, side in self.sides}) > 1 or (both and self.sides)
        for word, _ in self.sides:
            questioned = re.match(r"\s*\)?\s*\?", self.after(word))
            if disagree or questioned or _NEGATION.search(self.before(word)):
                self.open.setdefault(word.norm, ("this side", "not this side"))

    def both_counted(self, both: re.Match[str]) -> tuple[str, int | None]:
        """Return "both" and the count in "two each side"; "both sides" is one each."""
        self.taken.append(both.span())
        number = (both[1] or "").lower()
        if number:
            return "both", _COUNTS.get(number) or int(number)
        return "both", 1 if both[2] or both[3] or both[4] else None

    def decide(self) -> tuple[str | None, int | None]:
        """Return the side and the count a side."""
        both = _BOTH.search(self.text)
        two_hands = len(self.sides) == 2 and not self.open and "?" not in self.text  # noqa: PLR2004 - hands
        if two_hands and (joined := self.both_sides()):
            return joined
        self.doubt(both)
        if self.open:
            return None, None
        if both:
            return self.both_counted(both)
        if self.sides:
            self.taken += [(word.start, word.end) for word, _ in self.sides]
            return self.sides[0][1], None
        if pair := _PAIR.search(self.text):
            self.taken.append(pair.span())
            return None, 1
        return None, None

    def rest(self) -> str:
        """Return the text without what was taken from it, and without the marks left hanging."""
        kept = list(self.text)
        for start, end in self.taken:
            kept[start:end] = " " * (end - start)
        rest = re.sub(r"[(\[]\s*[)\]]", " ", "".join(kept))
        rest = re.sub(r"\s+([,;:])", r"\1", " ".join(rest.split()))
        rest = re.sub(r"([,;:])(?:\s*[,;:])+", r"\1", rest)
        rest = re.sub(r"^only\b|\bonly$", "", rest.strip(" ,;:-&+/"))
        return rest.strip(" ,;:-&+/") if self.taken else self.text


@lru_cache(maxsize=1)
def telling_words() -> frozenset[str]:
    """Return the words without one of which (or a digit) a text says nothing of side or place."""
    begins = {
        words_of(row.words)[0].norm for table in ("side", "position") for row in load_words(table)
    }
    return frozenset(begins | _ALSO_TELLING)


def read_side(text: str, country: str | None = None) -> SideReading:
    """Read side, positions and station; never raises.

    ``country`` (two letters) resolves near and off side to left and right.
    """
    reading = _read_side(text)
    if reading.side not in {"near", "off"}:
        return reading
    near = near_side(country)
    if near is None:
        return reading
    return replace(reading, side=near if reading.side == "near" else _OPPOSITE[near])


def _is_plain(head: str) -> bool:
    """Tell whether words before a side say nothing that could make it anything but a side."""
    norms = {word.norm for word in words_of(head)}
    return norms.isdisjoint(telling_words()) and norms.isdisjoint(_unsettling_words())


@lru_cache(maxsize=1)
def _unsettling_words() -> frozenset[str]:
    """Return the words beside which LH or RH may be a thread or a head, or is denied."""
    contexts = _context("round head") | _context("hand of thread") | _context("")
    return contexts | {"not", "non", "no", "isn't", "except", "without", "never", "only"}


@lru_cache(maxsize=200_000)
def _read_side(text: str) -> SideReading:
    tidied = tidy(text)
    if not _DIGIT.search(tidied) and telling_words().isdisjoint(
        word.norm for word in words_of(tidied)
    ):
        return SideReading(text, rest=tidied)  # most descriptions: a tenth of the time
    if (tail := _SIDE_LAST.fullmatch(tidied)) and _is_plain(tail[1]):
        return SideReading(text, _LAST_WORDS[tail[2].casefold()], rest=tail[1])
    reader = _Reader(tidied)
    reader.collect()
    side, count_each = reader.decide()
    for word, position in find_positions(reader.text, reader.words):
        if not any(start < word.end and word.start < end for start, end in reader.taken):
            reader.positions.add(position)
            reader.taken.append((word.start, word.end))
    return SideReading(
        text, side, tuple(p for p in POSITIONS if p in reader.positions), reader.station,
        count_each, reader.rest(), tuple(reader.open.items()),
    )  # fmt: skip
