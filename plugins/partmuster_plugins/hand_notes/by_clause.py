"""What a clause says of a part where no saying has its form: few principles, in this order.

- Words before a part ("made off with", "nothing by way of", "has kept": ``words_note_before.csv``)
  say what the table says; of a list with "and" or "or", of each.
- A part alone in its clause, beside "and no ...", is there.
- Words of state behind a part hold for it: with a verb of being between them, or close behind a
  part that begins the clause.

Nothing is said where another part, a denial, a wish or a plan stands between, where the part hangs
on a preposition, or where a saying has read the words already.
"""

from __future__ import annotations

import functools
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from partmuster_trade.sayings import Saying
from partmuster_trade.words import load_words

from .deals import phrases_of
from .expressions import expression
from .names import NameMention
from .parts import PartMention
from .patterns import BE, HAVE, Found
from .roles import words_of

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from .view import View

_SOURCE = "common practice, no source"
_JOIN = frozenset({",", "and", "or", "nor", "/", "plus", "&"})
_STOPS = frozenset({",", ";", "-", ":", "|"})
_LAST_JOIN = frozenset({"and", "or", "nor", "/", "plus", "&"})
_IN_LIST = frozenset(
    {"no", "not", "any", "a", "an", "the", "of", "either", "also", "trace", "sign"}
)
_ENDS = frozenset({";", ":", "|", "?", "and", "or", "but", "so", "because", "since", "though",
                   "although", "while", "whereas", "if", "when", "until", "till", "unless", "than",
                   "as", "where", "before", "after", "without"})  # fmt: skip
_DENIES = frozenset({"not", "no", "never", "none", "nor", "neither", "hardly", "nobody", "nothing",
                     "will", "would", "should", "could", "can", "may", "might", "must", "shall",
                     "ought", "needs", "wants", "need", "want", "to", "let", "like"})  # fmt: skip
_BEFORE_NOUN = frozenset({"of", "for", "on", "in", "behind", "about", "under", "with", "from", "at",
                          "by", "to", "into", "onto", "over", "beside", "inside", "above", "below",
                          "through", "near", "off", "against", "between", "round", "within",
                          "upon", "across", "past", "like", "than", "'s"})  # fmt: skip
_VERBS = frozenset(" ".join((BE.replace("|", " "), HAVE.replace("|", " "))).split()) - {
    "to", "out", "got", "gets", "comes", "turned", "found", "proved"}  # fmt: skip
_IS = frozenset(BE.split("|"))
#: "The horn that should sit there is a bulb": what should be is told of the part's place.
_SHOULD = frozenset({"should", "would", "might", "must", "could", "to"})
_TO_BE = expression(r"(?:found|proved|proves|reported|known|seen) (?:, [^,;<]+, )?to (?:be|have) $")
_PERSONS = frozenset({"<h", "<i"})
_THAT = frozenset({"that", "which", "who"})
#: What may follow a part that goes on; another noun would make another thing of it.
_GOES_ON = _VERBS | _BEFORE_NOUN | _THAT | {
    ",", "however", "itself", "themselves", "though", "still", "now", "alone", "too", "there",
    "here", "up", "down", "again", "also", "both", "all", "only", "was", "were", "has", "to",
    "once", "alas", "then", "already", "plainly", "clearly", "sadly", "half", "nearly", "almost",
}  # fmt: skip
_FARTHEST = 7
_NEAR = 2
_LONGEST_ASIDE = 8
_BESIDE_NONE = expression(
    r"(?:(?<=^ )|(?<=; )|(?<=: )|(?<=within , )|(?<=inside , ))"
    r"(?P<parts>(?:<p\d+> (?:(?:, )?(?:and |or |/ )?)?)+)"
    r"(?:, )?(?:and |but )?(?:no|zero|not (?:a|one|any)|minus|nary a|without|sans) <p"
)
#: Words between who does something and the verb.
_ADVERBS = frozenset({"still", "also", "now", "only", "then", "has", "have", "had", "always", "yet",
                      "is", "was", "been", "that", "once", "at", "least"})  # fmt: skip
_BEGIN_CLAUSE = frozenset({",", ";", "-", ":", "|", "and", "but", "also", "now", "then", "so",
                           "the", "still", "both", "all", "well", "ok"})  # fmt: skip


@dataclass(frozen=True, slots=True)
class _Words:
    """A view's text in words, with the place of each, and which a saying has read."""

    text: str
    words: tuple[str, ...]
    starts: tuple[int, ...]
    read: tuple[bool, ...]

    def cut(self, first: int, last: int) -> str:
        return " ".join(self.words[first:last]) + " "

    def is_part(self, at: int) -> bool:
        return 0 <= at < len(self.words) and self.words[at].startswith("<p")


def found_by_clause(view: View, read: Sequence[Found], *, seen: bool) -> Iterator[Found]:
    """Yield what the clauses of a view say of parts that no saying read, as sayings found.

    ``seen``: whether the sentence tells of the state of other parts.
    """
    text = view.text
    if "<p" not in text:
        return
    words = _words(text, read)
    yield from _beside_none(words)
    at = 0
    while at < len(words.words):
        if not words.is_part(at) or words.read[at]:
            at += 1
            continue
        found, end = _so_many_of(words, at, view)
        if found is None:
            found, end = _before(words, at, view, seen=seen)
        if found is None:
            found, end = _behind(words, at)
        if found is not None:
            yield found
        at = max(end, at + 1)


def _words(text: str, read: Sequence[Found]) -> _Words:
    words = tuple(text.split())
    starts: list[int] = []
    at = 1
    for word in words:
        starts.append(at)
        at += len(word) + 1
    taken = tuple(any(one.start <= start < one.end for one in read) for start in starts)
    return _Words(text, words, tuple(starts), taken)


def _found(words: _Words, rule: str, first: int, last: int, means: Mapping[str, str],
           slots: Mapping[str, tuple[int, int]]) -> Found:  # fmt: skip
    """Return a finding from word ``first`` to ``last`` with the words of its slots."""
    end = words.starts[last - 1] + len(words.words[last - 1]) + 1
    return Found(
        Saying(rule, "{parts} by the clause", "survey", means, _SOURCE),
        words.starts[first], end,
        {name: words.cut(*where) for name, where in slots.items()},
        {name: words.starts[where[0]] for name, where in slots.items()},
    )  # fmt: skip


def _beside_none(words: _Words) -> Iterator[Found]:
    """Yield that parts are there that are only named, beside "and no ..."."""
    for match in _BESIDE_NONE.finditer(words.text):
        first = words.starts.index(match.start("parts"))
        last = first + len(match["parts"].split())
        while not words.is_part(last - 1):
            last -= 1
        if not any(words.read[first:last]):
            yield _found(words, "named beside what is not there", first, last,
                         {"presence": "fitted"}, {"parts": (first, last)})  # fmt: skip


def _so_many_of(words: _Words, at: int, view: View) -> tuple[Found | None, int]:
    """Return that so many are there where no more is said ("2 of 6 floor boards")."""
    part = view.mention(words.words[at])
    bare = (at == 0 or words.words[at - 1] in _STOPS) and (
        at + 1 == len(words.words) or words.words[at + 1] in _STOPS
    )
    if not bare or not isinstance(part, PartMention) or not part.of:
        return None, at + 1
    found = _found(words, "so many of them", at, at + 1, {"presence": "fitted"},
                   {"parts": (at, at + 1)})  # fmt: skip
    return found, at + 1


def _before(words: _Words, at: int, view: View, *, seen: bool) -> tuple[Found | None, int]:
    """Return what words before a list of parts say of each, and where the list ends."""
    phrase = _phrase_before(view, view.mention(words.words[at]).start)
    if phrase is None:
        return None, at + 1
    length, presence, subject = phrase
    begin = view.mention(words.words[at]).start - length
    there = view.places[:at]
    first = next((one for one in range(len(there) - 1, -1, -1) if there[one][0] <= begin), 0)
    if not _is_subject(words, first, subject, view) or any(words.read[first:at]):
        return None, at + 1
    last = _list_end(words, at)
    if subject in {"owner", "there"} and not (
        _ends_clause(words, last) and (seen or subject == "owner")
    ):
        return None, at + 1
    if _predicate(words, last) is not None and subject != "vehicle":
        return None, at + 1
    return _found(words, f"words before it: {presence}", first, last, {"presence": presence},
                  {"parts": (at, last)}), last  # fmt: skip


def _list_end(words: _Words, at: int) -> int:
    """Return where a list of parts ends; one with a verb of its own is none of it."""
    end = at + 1
    while True:
        after = end
        while after < len(words.words) and words.words[after] in _JOIN:
            after += 1
        if after == end:
            return end
        while after < len(words.words) and words.words[after] in _IN_LIST:
            after += 1
        if not words.is_part(after) or words.read[after] or _has_verb(words, after + 1):
            return end
        end = after + 1


def _has_verb(words: _Words, at: int) -> bool:
    return at < len(words.words) and (
        words.words[at] in _VERBS or words.words[at] in {"-", "does", "do"}
        or words.words[at][:2] in {"<s", "<a", "<r", "<x", "<g"}
    )  # fmt: skip


def _is_subject(words: _Words, first: int, subject: str, view: View) -> bool:
    """Tell whether those of whom words before a part must be said stand before them."""
    if subject in {"", "there"}:
        return True
    at = first - 1
    while at >= 0 and words.words[at] in _ADVERBS:
        at -= 1
    if at < 0 or words.words[at] in {",", ";", "-", "and", "but"}:
        return subject != "owner"
    word = words.words[at]
    if subject == "watcher":
        return word[:2] == "<i" or word in {"we", "us", "nobody"}
    if subject == "owner" and word[:2] in {"<p", "<v", "<k"}:
        # "the hinge has three knuckles" tells of its build
        of_build = word[:2] == "<p" and _counted(words, first, view)
        return not of_build and (at == 0 or words.words[at - 1] not in _BEFORE_NOUN)
    if word[:2] == "<h":
        name = view.mention(word)
        return isinstance(name, NameMention) and name.text.lower() in {"she", "it", "her"}
    some = {"<v", "<k"} if subject == "owner" else {"<v", "<n", "<k"}
    return word[:2] in some or word.isdigit() or word in {"she", "it"}


def _counted(words: _Words, first: int, view: View) -> bool:
    """Tell whether the next part from a word on has a number."""
    at = next((one for one in range(first, len(words.words)) if words.is_part(one)), first)
    part = view.mention(words.words[at])
    return isinstance(part, PartMention) and bool(part.count)


def _ends_clause(words: _Words, at: int) -> bool:
    return at >= len(words.words) or words.words[at] in _STOPS | {
        "and", "but", "still", "again", "now", "too", "though"}  # fmt: skip


@functools.cache
def _phrases() -> dict[str, tuple[tuple[tuple[frozenset[str], ...], str, str], ...]]:
    """Return the phrases before a part by their last words, the longest first."""
    found: dict[str, list[tuple[tuple[frozenset[str], ...], str, str]]] = {}
    for row in load_words("note_before"):
        for phrase in phrases_of(row.words.lower()):
            words = tuple(one for one in phrase if isinstance(one, frozenset))
            for last in words[-1]:
                found.setdefault(last, []).append(
                    (words, row.meanings["presence"], row.meanings["subject"])
                )
    return {
        last: tuple(sorted(group, key=lambda one: -len(one[0]))) for last, group in found.items()
    }


_FILLERS: Final = words_of("filler") | {"the", "a", "an", "its", "her", "his", "their", "any"}


def _phrase_before(view: View, part: int) -> tuple[int, str, str] | None:
    """Return the words of the longest phrase before word ``part``, and what it says, of whom."""
    spoken = view.sentence.words
    end = part
    while end and spoken[end - 1].low in _FILLERS:
        end -= 1
    if not end:
        return None
    for phrase, presence, subject in _phrases().get(spoken[end - 1].low, ()):
        start = end - len(phrase)
        if start >= 0 and all(
            spoken[start + step].low in wanted for step, wanted in enumerate(phrase)
        ):
            return part - start, presence, subject
    return None


def _behind(words: _Words, at: int) -> tuple[Found | None, int]:
    """Return the state that words further behind a part or a list of parts tell."""
    first = at
    if at and words.words[at - 1] in _BEFORE_NOUN | _DENIES:
        return None, at + 1
    last = at + 1
    while (
        last + 1 < len(words.words)
        and words.words[last] in _JOIN
        and words.words[last + 1][:2] == "<p"
        and (words.words[last] in _LAST_JOIN or _list_goes_on(words, last + 2))
    ):
        last += 2
    told = _predicate(words, last)
    if told is None:
        return None, at + 1
    state, verb = told
    if not verb and not (first == 0 or words.words[first - 1] in _BEGIN_CLAUSE):
        return None, at + 1
    end = state + 1
    while end + 1 < len(words.words) and (
        words.words[end] in {"and", "but", ","} and words.words[end + 1][:2] == "<s"
        and not words.read[end + 1]
        and (end + 2 == len(words.words) or words.words[end + 2][:2] not in {"<p", "<k"})
    ):  # fmt: skip
        end += 2
    supposed = not _SHOULD.isdisjoint(words.words[last:state])  # of its place, and no plan
    return _found(words, "state further behind", first, end, {"plan": "yes"} if supposed else {},
                  {"parts": (first, last), "states": (state, end)}), end  # fmt: skip


def _list_goes_on(words: _Words, at: int) -> bool:
    """Tell whether commas behind a part lead to an "and": the parts before share its verb."""
    while at + 1 < len(words.words) and words.words[at] in _JOIN and words.is_part(at + 1):
        if words.words[at] in _LAST_JOIN:
            return True
        at += 2
    return False


def _predicate(  # noqa: C901, PLR0911, PLR0912 - one line a way in which a clause ends
    words: _Words, at: int
) -> tuple[int, bool] | None:
    """Return where words of state behind a part stand and whether a verb leads to them."""
    verb = governed = told_of = False
    count = 0
    next_words = (*words.words[at : at + 2], "", "")
    if next_words[0] and next_words[0] not in _GOES_ON and next_words[0][0] != "<":
        return None
    if next_words[0] == "'s" and next_words[1][:2] != "<s":
        return None  # "the hull's number"
    while at < len(words.words) and count <= _FARTHEST:
        word = words.words[at]
        mark = word[:2] if word[0] == "<" else ""
        if word in _THAT or (mark == "<s" and (told_of or words.words[at - 1][:2] in _PERSONS)):
            # "the horn that is bolted on", "the horn Bert bolted on": its verb comes later
            told_of, governed, verb, at = mark != "<s", True, False, at + 1
            continue
        if mark == "<s":
            near = count <= _NEAR and not governed
            return (at, verb) if (verb or near) and not words.read[at] else None
        if word == ",":
            at = _behind_aside(words, at)
            if not at:
                return None
            continue
        if word == "to" and _TO_BE.search(
            words.cut(max(0, at - 12), min(at + 2, len(words.words)))
        ):
            verb = True
            at += 2
            continue
        if word == "and" and words.words[at + 1 : at + 2] and words.words[at + 1] in _IS:
            verb, count, at = True, 0, at + 2  # "was found at last and is seized"
            continue
        if governed and word in _SHOULD:
            told_of, at = False, at + 1
            continue
        if word in _ENDS or word in _DENIES:
            return None
        if mark in {"<p", "<k", "<v", "<n", "<b"} and words.words[at - 1] not in _BEFORE_NOUN:
            return None
        if mark in {"<a", "<o", "<w", "<x", "<r", "<g"}:
            return None
        if mark:
            governed, verb = True, False
        elif word in _VERBS:
            verb = True
        else:
            count += 1
        at += 1
    return None


def _behind_aside(words: _Words, at: int) -> int:
    """Return where a clause goes on behind words between commas; 0: it does not."""
    for end in range(at + 1, min(at + 2 + _LONGEST_ASIDE, len(words.words))):
        word = words.words[end]
        if word == ",":
            after = words.words[end + 1] if end + 1 < len(words.words) else ""
            goes_on = after in _VERBS or after == "to"
            return end + 1 if goes_on else 0
        if word[:2] in {"<p", "<s", "<k"} or word in {";", ":"}:
            return 0
    return 0
