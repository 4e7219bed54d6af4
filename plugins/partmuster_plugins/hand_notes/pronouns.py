"""Words that stand for a part named before: "it", "the left one", "n/s" alone, "the driver's"."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .amounts import number_of
from .expressions import expression
from .parts import PartMention
from .places import joined, place_at
from .roles import words_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from .sentences import Word

_DETERMINERS = words_of("determiner")
_ITS = frozenset({"its", "his", "her", "their", "my", "our", "your"})
_OPENERS = (_DETERMINERS | {"another", "no", "either", "each", "neither", "both", "all"}) - _ITS
_CREW = words_of("crew")
_PLAIN = frozenset({"it", "they", "them", "these", "those", "both", "mine", "ours", "hers"})
_FELLOWS = frozenset({"fellow", "neighbour", "twin", "mate", "partner", "opposite", "brother",
                      "sister", "neighbor"})  # fmt: skip
_WHICH_BUILD = frozenset({"early", "late", "later", "earlier", "other", "spare"})
_MARK = expression(r"(?:\d{1,2}[a-h]?|[ivx]{1,4})\*?")
_FIRST = _PLAIN | _OPENERS | _ITS | _WHICH_BUILD | _CREW | {"mk", "mark"}
_ENDS = words_of("clause-end") | {";"}
_ONES = frozenset({"one", "ones", "pair", "side"})
_AFTER = frozenset({
    "is", "are", "was", "were", "has", "have", "had", "looks", "not", "seems", "also", "does", "do",
    "did",
})  # fmt: skip
_BARE = frozenset({"left", "right"})


def pronoun_at(
    words: Sequence[Word], low: tuple[str, ...], at: int, states: frozenset[int] = frozenset()
) -> PartMention | None:
    """Return "it", "they", "the left one", "an early one", "the other side" as a mention.

    What it stands for was named before; its side, position, build and count are its own.
    ``low``: the words in small letters. ``states``: where words of state begin, which end words of
    place alone.
    """
    if low[at] not in _FIRST and place_at(low, at) is None and not number_of(low[at]):
        return None
    return _whole_at(low, at, states) or _pointed_at(words, low, at, states)


def _whole_at(low: tuple[str, ...], at: int, states: frozenset[int]) -> PartMention | None:
    """Return "it", "both", "both sides", "its fellow" as a mention."""
    if low[at] in _PLAIN and (low[at] != "both" or _is_pair(low, at, states)):
        return PartMention(at, at + 1, "", pronoun=True, every=low[at] == "both", which=low[at])
    whole = place_at(low, at)
    if whole and "+" in whole[1] and _ends_there(low, at + whole[0], states):
        return PartMention(at, at + whole[0], "", whole[1], pronoun=True)
    if low[at] in {"its", "their", "the"} and low[at + 1 : at + 2] and low[at + 1] in _FELLOWS:
        return PartMention(at, at + 2, "", build="other", which="the", pronoun=True)
    return None


def _pointed_at(
    words: Sequence[Word], low: tuple[str, ...], at: int, states: frozenset[int]
) -> PartMention | None:
    """Return "the left one", "n/s", "two", "the driver's" as a mention."""
    start = at
    which = count = owner = name = ""
    if low[at] in _OPENERS:
        which, at = low[at], at + 1
    if at < len(low) and (number := number_of(low[at])) and low[at] != "one":
        count, at = number, at + 1
    if at + 1 < len(low) and low[at] in _CREW and low[at + 1] == "'s":
        owner, at = f"{words[at].text}'s", at + 2
    at, side, position, build = _told_apart(words, low, at)
    said = side or position or build or owner
    if at < len(low) and low[at] in _ONES and (which or said or count):
        name = "side" if low[at] == "side" else ""
        at, side = _side_behind(low, at + 1, side)
    elif not (
        _counted(low, start, at, states, count, said)
        or (said and _stands_alone(low, start, at, states, which, side, build, owner))
    ):
        return None
    count = count or ("1" if which in {"another", "a", "an"} else "")
    return PartMention(start, at, name, side, position, count, build=build, which=which,
                       owner=owner, pronoun=True)  # fmt: skip


def _told_apart(words: Sequence[Word], low: tuple[str, ...], at: int) -> tuple[int, str, str, str]:
    """Return where the words end that tell one apart, and the side, position and build they say."""
    side = position = build = ""
    while at < len(low):
        place = place_at(low, at)
        if place and (low[at] != "back" or low[at + 1 : at + 2] == ("one",)):
            side, position = side or place[1], joined(position, place[2])
            at += place[0]
        elif low[at] in _WHICH_BUILD:
            build, at = low[at], at + 1
        elif low[at] in {"mk", "mark"} and at + 1 < len(low) and _MARK.fullmatch(low[at + 1]):
            build, at = f"{words[at].text} {words[at + 1].text} {build}".strip(), at + 2
        else:
            break
    return at, side, position, build


def _side_behind(low: tuple[str, ...], at: int, side: str) -> tuple[int, str]:
    """Return the end and the side of "(the one) on the right"."""
    if side or low[at : at + 1] not in {("on",), ("at",)}:
        return at, side
    behind = at + 2 if low[at + 1 : at + 2] == ("the",) else at + 1
    place = place_at(low, behind)
    return (behind + place[0], place[1]) if place and place[1] else (at, side)


def _counted(
    low: tuple[str, ...], start: int, end: int, states: frozenset[int], count: str, said: str
) -> bool:
    """Tell whether a number alone stands for so many of a part: "6 good, 2 scrap"."""
    begins = not start or low[start - 1] in _ENDS
    return bool(count) and not said and end in states and begins


def _is_pair(low: tuple[str, ...], at: int, states: frozenset[int]) -> bool:
    """Tell whether "both" stands for two parts: it begins a clause that goes on about them."""
    return (at == 0 or low[at - 1] in _ENDS) and _ends_there(low, at + 1, states)


def _stands_alone(
    low: tuple[str, ...], start: int, end: int, states: frozenset[int], which: str, side: str,
    build: str, owner: str,
) -> bool:  # fmt: skip
    """Tell whether words of place or build stand for a part without "one" behind them."""
    if owner or (which == "the" and (side or build == "other")):
        return _ends_there(low, end, states)
    if which or build or not _ends_there(low, end, states):
        return False
    before = low[start - 1] if start else ","
    if low[start] in _BARE and end - start == 1:
        return before in _ENDS and (end in states or low[end : end + 1] not in {(), ("on",)})
    answered = end < len(low) and low[end] in {"no", "yes", "none"}
    return bool(side) or (before in _ENDS and (end in states or answered))


def _ends_there(low: tuple[str, ...], at: int, states: frozenset[int]) -> bool:
    return (
        at >= len(low) or at in states or low[at] in _ENDS or low[at] in _AFTER
        or low[at] == "." or low[at].isdigit() or bool(number_of(low[at]))
        or low[at] in {"no", "yes", "none", "nil"}
    )  # fmt: skip
