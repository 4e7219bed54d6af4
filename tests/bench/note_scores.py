"""How lines read from notes are held against the true ones (tests/golden/notes/README.md)."""

from __future__ import annotations

import csv
import re
from collections import defaultdict
from dataclasses import dataclass, field, fields
from typing import TYPE_CHECKING

from rapidfuzz import fuzz

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from pathlib import Path

KINDS = ("survey", "holding", "want", "fit", "promise", "feature", "history", "lead")
#: Parts are alike from here on, told words overlap from there on, in hundredths.
_ALIKE = 85
_OVERLAP = 60
#: What of the other columns is counted apart, where the truth states it.
_OTHERS = ("position", "count", "of", "making", "availability", "build", "place", "first_hand",
           "said_by")  # fmt: skip
_OPEN = "?"
_SIDES = {"near": "left", "off": "right"}  # of the notes' country
_NOT_THE_PART = frozenset(
    {"left", "right", "near", "off", "nearside", "offside", "side", "hand", "lh", "rh", "l", "r",
     "ns", "os", "n", "s", "o", "h", "front", "rear", "upper", "lower", "inner", "outer", "top",
     "bottom", "the", "a", "an", "of", "its", "both"}
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Fact:
    """A true line, or one that was read; empty where nothing is stated.

    ``vehicle`` and ``holder`` are ids where the club knows them, else the words. ``canonical``: the
    name of the part that the club took it for; ``asked``: what a person is asked about it;
    ``words`` and ``rule``: its sentence, and what read it; ``waits``: it counts only when a person
    says that the words say so.
    """

    kind: str = ""
    vehicle: str = ""
    holder: str = ""
    part: str = ""
    side: str = ""
    position: str = ""
    count: str = ""
    of: str = ""
    presence: str = ""
    service: str = ""
    making: str = ""
    availability: str = ""
    build: str = ""
    to_part: str = ""
    to_build: str = ""
    grade: str = ""
    stage: str = ""
    place: str = ""
    told: str = ""
    seen: str = ""
    sure: str = ""
    first_hand: str = ""
    said_by: str = ""
    date: str = ""
    canonical: str = ""
    asked: str = ""
    words: str = ""
    rule: str = ""
    waits: str = ""

    def __str__(self) -> str:
        """Return the columns that say something, for a person."""
        said = {one.name: getattr(self, one.name) for one in fields(self)}
        kind, words = said.pop("kind"), said.pop("words")
        told = " ".join(f"{name}={text!r}" for name, text in said.items() if text)
        return f"{kind or '(no kind)'} {told}" + (f"  <- {words}" if words else "")


def true_facts(path: Path, name_of: Callable[[str, str], str]) -> list[Fact]:
    """Return the true lines of a note; ``name_of`` (role, name) makes names what they mean."""
    with path.open(encoding="utf-8-sig", newline="") as file:
        rows = list(csv.DictReader(file))
    found = []
    for row in rows:
        said = {name: (text or "").strip() for name, text in row.items() if name}
        for role in ("vehicle", "holder"):
            if said[role] and not said[role].endswith(_OPEN):
                said[role] = name_of(role, said[role])
        found.append(Fact(**said))
    return found


@dataclass(slots=True)
class Kind:
    """Sums of one kind of line."""

    true: int = 0
    found: int = 0
    right: int = 0
    predicted: int = 0
    right_and_taken: int = 0
    asked: int = 0
    waiting: int = 0
    waiting_right: int = 0

    @property
    def precision(self) -> float:
        """Share of the lines taken that are right."""
        return self.right_and_taken / self.predicted if self.predicted else 1.0

    @property
    def recall(self) -> float:
        """Share of the true lines that were read right and count by themselves."""
        return self.right / self.true if self.true else 1.0

    @property
    def recall_asked(self) -> float:
        """Share of the true lines that count once a person has said yes to those that wait."""
        return (self.right + self.waiting_right) / self.true if self.true else 1.0


@dataclass(slots=True)
class Scores:
    """Sums over notes; what was missed and what is false, to be looked at."""

    by_kind: dict[str, Kind] = field(default_factory=lambda: defaultdict(Kind))
    invented: int = 0
    dates: int = 0
    dates_right: int = 0
    others: int = 0
    others_right: int = 0
    wrong: list[str] = field(default_factory=list)

    def add(self, more: Scores) -> None:
        """Add the sums of another note."""
        for kind, one in more.by_kind.items():
            for name in Kind.__dataclass_fields__:
                setattr(self.by_kind[kind], name,
                        getattr(self.by_kind[kind], name) + getattr(one, name))  # fmt: skip
        for name in ("invented", "dates", "dates_right", "others", "others_right"):
            setattr(self, name, getattr(self, name) + getattr(more, name))
        self.wrong += more.wrong

    def total(self, kinds: Sequence[str] = KINDS) -> Kind:
        """Return the sums of several kinds together."""
        whole = Kind()
        for kind in kinds:
            for name in Kind.__dataclass_fields__:
                setattr(whole, name, getattr(whole, name) + getattr(self.by_kind[kind], name))
        return whole


def score_note(true: Sequence[Fact], got: Sequence[Fact]) -> Scores:
    """Return how the lines read from one note agree with the true ones, one to one, best first."""
    scores = Scores()
    matched = _matched(true, got)
    for a, want in enumerate(true):
        at, right = matched.get(a, (None, False))
        _count_true(scores, want, at, right, got)
    taken = {b for b, _ in matched.values()}
    for b, have in enumerate(got):
        kind = scores.by_kind[have.kind]
        kind.predicted += not (have.asked or have.waits)
        kind.waiting += bool(have.waits)
        if b not in taken:
            kind.asked += bool(have.asked)
            scores.wrong.append(f"{'asked    ' if have.asked else 'false    '} {have}")
    if not true:
        scores.invented = sum(not (one.asked or one.waits) for one in got)
    return scores


def _matched(true: Sequence[Fact], got: Sequence[Fact]) -> dict[int, tuple[int, bool]]:
    """Return for each true line that was found which one it is, and whether that is right."""
    pairs = []
    for a, want in enumerate(true):
        for b, have in enumerate(got):
            if not _may_be(want, have):
                continue
            right = bool(have.asked) or _is_right(want, have)
            pairs.append((right, _agreeing(want, have), -a, -b))
    matched: dict[int, tuple[int, bool]] = {}
    taken: set[int] = set()
    for right, _, a, b in sorted(pairs, reverse=True):
        if -a not in matched and -b not in taken:
            matched[-a] = -b, right
            taken.add(-b)
    return matched


def _may_be(want: Fact, have: Fact) -> bool:
    """Tell whether a line that was read is about what a true one is about."""
    if have.asked and not _asks_of_vehicle(want, have):
        return False
    # of a statement that waits for a name nobody knows what kind of line it is
    of_a_kind = want.kind == have.kind or (bool(have.asked) and not have.kind)
    return of_a_kind and _same_matter(want, have)


def _count_true(
    scores: Scores,
    want: Fact,
    at: int | None,
    right: bool,
    got: Sequence[Fact],
) -> None:
    kind = scores.by_kind[want.kind]
    kind.true += 1
    if at is None:
        scores.wrong.append(f"missed    {want}")
        return
    kind.found += 1
    waits = bool(got[at].waits)
    kind.right += right and not waits
    kind.waiting_right += right and waits
    kind.right_and_taken += right and not (waits or got[at].asked)
    if right:
        _count_the_rest(scores, want, got[at])
    else:
        scores.wrong.append(f"expected  {want}\n   got    {got[at]}")


def _count_the_rest(scores: Scores, want: Fact, have: Fact) -> None:
    if want.date:
        scores.dates += 1
        scores.dates_right += have.date.startswith(want.date)
    for name in _OTHERS:
        if said := getattr(want, name):
            scores.others += 1
            scores.others_right += _overlap(said, getattr(have, name)) >= _ALIKE


def _agreeing(want: Fact, have: Fact) -> float:
    """Return how much two lines agree, for choosing among pairs."""
    names = ("vehicle", "holder", "side", "position", "count", "presence", "service", "grade",
             "stage", "availability", "sure", "to_part", "build", "to_build", "seen")  # fmt: skip
    same = sum(_side(getattr(want, one)) == _side(getattr(have, one)) for one in names)
    return same + _part_score(want, have) / 100 + _overlap(want.told, have.told) / 100


def _same_matter(want: Fact, have: Fact) -> bool:
    """Tell whether two lines of one kind are about the same thing, whatever they say of it."""
    if want.kind in ("feature", "history"):
        return _told(want, have)
    if want.kind == "lead":
        return _part_score(want, have) >= _ALIKE or _told(want, have)
    return _part_score(want, have) >= _ALIKE


def _is_right(want: Fact, have: Fact) -> bool:
    """Tell whether a line about the same matter says the same, by the rule of its kind."""
    if (want.sure == "no") != (have.sure == "no"):
        return False
    rules: dict[str, Callable[[], bool]] = {
        "survey": lambda: (
            _named(want.vehicle, have.vehicle)
            and want.presence == have.presence
            and want.service in ("", have.service)
            and _side(want.side) == _side(have.side)
        ),
        "holding": lambda: (
            _named(want.holder, have.holder)
            and want.availability in ("", have.availability)
            and _side(want.side) == _side(have.side)
        ),
        "want": lambda: _either(want, have) and _side(want.side) == _side(have.side),
        "promise": lambda: (
            _either(want, have)
            and want.stage == have.stage
            and _side(want.side) == _side(have.side)
        ),
        "fit": lambda: want.grade == have.grade and _goes_on(want, have),
        "feature": lambda: (
            _named(want.vehicle, have.vehicle) and (want.seen == "no") == (have.seen == "no")
        ),
        "history": lambda: _named(want.vehicle, have.vehicle),
        "lead": lambda: (
            not (want.holder or want.place)
            or bool(want.holder and _named(want.holder, have.holder))
            or bool(want.place and _overlap(want.place, have.place) >= _OVERLAP)
        ),
    }
    return rules[want.kind]()


def _asks_of_vehicle(want: Fact, have: Fact) -> bool:
    """Tell whether what is asked is the vehicle that the truth leaves open, too."""
    if not want.vehicle.endswith(_OPEN):
        return False
    named = want.vehicle.rstrip(_OPEN)
    return "vehicle" in have.asked and _overlap(named, have.vehicle) >= _ALIKE


def _either(want: Fact, have: Fact) -> bool:
    """Tell whether holder or vehicle agree; where neither is stated, neither may be said."""
    if not want.holder and not want.vehicle:
        return not have.vehicle
    return bool(want.holder and _named(want.holder, have.holder)) or bool(
        want.vehicle and _named(want.vehicle, have.vehicle)
    )


def _goes_on(want: Fact, have: Fact) -> bool:
    """Tell whether a fit is between the same parts, or the same builds."""
    if want.to_part and _alike(want.to_part, have.to_part) >= _ALIKE:
        return True
    builds = ((want.build, have.build), (want.to_build, have.to_build))
    if not any(a for a, _ in builds):
        return not want.to_part  # "only as a set" is said of a part alone
    return all(not a or _same_build(a, b) for a, b in builds)


def _same_build(want: str, have: str) -> bool:
    """Tell whether two builds are one; a family that the other side has is no fault."""
    said, read = _build(want), _build(have)
    return said == read or (bool(said) and said < read and not (read - said) & _PHASES
                            and all(word.isalpha() for word in read - said))  # fmt: skip


_PHASES = frozenset({"early", "mid", "late", "later", "earlier"})


def _build(text: str) -> frozenset[str]:
    words = re.findall(r"[a-z]+|\d+", text.lower().replace("mark", "mk"))
    return frozenset(_singular(word) for word in words) - {
        "mk",
        "any",
        "all",
        "every",
        "the",
        "a",
        "an",
    }


def _named(want: str, have: str) -> bool:
    if not want:
        return True
    return want == have or (bool(have) and _overlap(want.rstrip(_OPEN), have) >= _ALIKE
                            and not _is_id(want))  # fmt: skip


def _is_id(name: str) -> bool:
    return "-" in name and name == name.lower() and " " not in name


def _side(text: str) -> str:
    return _SIDES.get(text, text)


def _told(want: Fact, have: Fact) -> bool:
    return _overlap(want.told, have.told) >= _OVERLAP


def _overlap(a: str, b: str) -> float:
    if not a or not b:
        return 0.0
    return float(fuzz.token_set_ratio(_words(a), _words(b)))


def _words(text: str) -> str:
    return " ".join(re.findall(r"[^\W_]+", text.lower()))


def _part_score(want: Fact, have: Fact) -> float:
    return max(_alike(want.part, have.part), _alike(want.part, have.canonical))


def _alike(a: str, b: str) -> float:
    """Return how alike two parts are, whatever their sides and numbers."""
    if not a or not b:
        return 100.0 if not a and not b else 0.0
    return float(fuzz.token_set_ratio(_item(a), _item(b)))


def _item(text: str) -> str:
    words = re.findall(r"[^\W_]+", text.lower().replace("'s", "").replace("'", ""))
    kept = [word for word in words if word not in _NOT_THE_PART] or words
    return " ".join(_singular(word) for word in kept)


def _singular(word: str) -> str:
    if word.endswith("ies") and len(word) > 4:  # "batteries", not "ties"
        return word[:-3] + "y"
    if word.endswith(("ches", "shes", "sses", "xes")):
        return word[:-2]
    return word[:-1] if word.endswith("s") and not word.endswith("ss") else word
