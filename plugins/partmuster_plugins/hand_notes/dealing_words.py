"""The words of a sentence's clauses: who stands before a verb of dealing, which parts behind it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .expressions import expression
from .parts import PartMention
from .telling import head_of

if TYPE_CHECKING:
    from .dealing_frames import Frame
    from .view import View

_ENDS = frozenset({";", "but", "so", "because", "though", "although", "whereas", "while", "if",
                   "unless", "since", "when", "until", "till", "|", "?"})  # fmt: skip
_DENIES = frozenset({"not", "no", "never", "nobody", "neither", "nor", "none", "hardly", "without",
                     "nothing"})  # fmt: skip
_BEFORE_NOUN = frozenset({"of", "for", "on", "in", "behind", "about", "under", "with", "from", "at",
                          "by", "to", "into", "onto", "over", "beside", "inside", "above", "off",
                          "through", "near", "against", "between", "like", "than", "as",
                          "without", "beneath"})  # fmt: skip
#: "A set of valve guides" is the valve guides.
_MEASURES = frozenset({"pair", "set", "box", "couple", "jar", "tin", "one", "two", "three", "both",
                       "some", "any", "lot", "bunch", "bag", "crate", "row", "sheet", "length",
                       "stack", "heap", "pile", "few", "dozen", "plenty", "loads",
                       "lots"})  # fmt: skip
_VERBS = frozenset({"is", "are", "was", "were", "has", "have", "had", "will", "would", "can",
                    "could", "said", "says", "does", "did", "do", "which", "who"})  # fmt: skip
#: What may stand before a verb where nobody is named.
_NEUTRAL = frozenset({"and", "also", "still", "now", "then", "so", "but", ",", "-", ":", "or", "~",
                      "is", "am", "are", "was", "have", "has", "had", "ps", "well", "just", "only",
                      "again", "would", "will", "could", "all", "both", "been", "very", "be",
                      "much", "always"})  # fmt: skip
_MODAL = frozenset({"who", "which", "may", "might", "must", "can", "should", "well", "got"})
_BEGINS_NP = frozenset({"my", "our", "his", "her", "their", "your", "the", "a", "an", "old",
                        "big", "wee", "some", "one", "another", "somebody", "someone",
                        "that"})  # fmt: skip
_SOMEBODY = frozenset({"<h", "<n", "<i"})
_OWN = frozenset({"my", "our", "your", "his", "her", "their"})
#: These have parts that are not loose, or are nobody.
_NOBODY = frozenset({"hulk", "wreck", "beast", "girl", "lady", "thing", "machine", "hull",
                     "vehicle", "other", "side", "tank", "list", "note", "label", "it", "she",
                     "they", "that", "this", "which", "there", "what", "who", "you",
                     "everybody", "frame",
                     "car", "engine", "chassis", "carcass"})  # fmt: skip
_FARTHEST = 7
_LONGEST_NP = 10
_TO = expression(r"^ ?(?:, )?(?:[^\s,;<]+ ){0,3}?(?:(?:to|for) (?P<who><[hnvi]\d+>|you|me|us) "
                 r"|in (?P<favour><[hn]\d+>) 's favour )")  # fmt: skip


class ClauseWords:
    """The words of a view, each with the place where it begins in the text."""

    def __init__(self, view: View) -> None:
        self._view = view
        self._words = view.text.split()
        self._starts: list[int] = []
        at = 1
        for word in self._words:
            self._starts.append(at)
            at += len(word) + 1

    def _thing(self, at: int) -> str:
        """Return a part's mark with the owner, build or "spare" before it."""
        first = at
        while first and (self._words[first - 1][:2] in {"<n", "<b", "<v"}
                         or self._words[first - 1] == "spare"):  # fmt: skip
            first -= 1
        if (
            first > 1
            and self._words[first - 1] == "'s"
            and self._words[first - 2][:2] in {"<h", "<n"}
        ):
            first -= 2
        return " ".join(self._words[first : at + 1]) + " "

    def _clause_start(self, at: int) -> int:
        start = at
        while start and self._words[start - 1] not in _ENDS:
            if self._words[start - 1] == "and" and self._words[start][:2] in {"<h", "<n", "<i"}:
                break
            start -= 1
        return start

    def _who(self, frame: Frame) -> tuple[str | None, bool]:
        """Return who stands before a verb: a mark, or words of a stranger; None: no person."""
        start = self._clause_start(frame.first)
        before = self._words[start : frame.first]
        if frame.before == "start":
            plain = not before or before[-1] in {":", "-", "~", "|"}
            return ("", False) if plain else (None, False)
        named = self._named_before(start, frame.first)
        stranger = self._np(start, frame.first)
        inside = [word for word in self._words[frame.first : frame.last]
                  if word[:2] in _SOMEBODY]  # fmt: skip
        if frame.before == "part" or (inside and not named and frame.behind == "list"):
            return (inside[-1] if inside else named), False
        if named and not (frame.before == "somebody" and stranger):
            return named, False
        if not named and all(word in _NEUTRAL for word in before):
            return "", False
        return (stranger or None), bool(stranger)

    def _named_before(self, start: int, end: int) -> str:
        """Return the mark of the last one named there, not behind a preposition or as an owner."""
        joined = False
        for at in range(end - 1, start - 1, -1):
            joined = joined or self._words[at] in {"and", ",", "-", ":"}
            if self._words[at][:2] == "<p" and not joined:
                return ""  # "a sprocket on that hub requires"
            governed = at > 0 and self._words[at - 1] in _BEFORE_NOUN
            owns = self._words[at + 1 : at + 2] == ["'s"]
            if self._words[at][:2] in _SOMEBODY and not (owns or governed):
                return self._words[at]
        return ""

    def _np(self, start: int, end: int) -> str:
        """Return the words of somebody who goes by no name, or nothing."""
        for at in range(end - 1, start, -1):  # "she says that her cousin", "from Nell: his lad"
            if self._words[at - 1] in {"that", ":"}:
                start = at
                break
        while start < end and self._words[start] in _NEUTRAL | {"that"}:
            start += 1
        while end > start and self._words[end - 1] in _NEUTRAL | _MODAL:
            end -= 1
        words = self._words[start:end]
        if not words or len(words) > _LONGEST_NP or words[0] not in _BEGINS_NP:
            return ""
        if len(words) > 1 and words[0] in _OWN and words[1][:2] in {"<n", "<v"}:
            return ""
        if set(words) & (_NOBODY | _VERBS | _DENIES) or any(
            word[:2] in {"<p", "<k", "<v", "<s", "<a", "<o", "<w", "<i"} for word in words
        ):
            return ""
        return self._view.words_of(self._starts[start], self._starts[end - 1] + 1).strip(" ,.")

    def _taker(self, frame: Frame) -> str:
        inside = [word for word in self._words[frame.first : frame.last]
                  if word[:2] in {"<h", "<n", "<i"} or word == "you"]  # fmt: skip
        return inside[-1] if inside and inside[-1] != "you" else ""

    def _target(self, at: int) -> str:
        """Return to whom it goes that is named up to the word ``at``."""
        rest = " ".join(self._words[at : at + 9]) + " "
        found = _TO.match(rest)
        if not found:
            return ""
        return found["who"] or found["favour"]

    def _parts(self, frame: Frame, following: int) -> list[int]:
        inside = [
            at for at in range(frame.first, frame.last) if self._words[at][:2] in {"<p", "<k"}
        ]
        if inside:
            return inside
        if frame.before == "part":
            return self._parts_before(frame)
        found: list[int] = []
        at = frame.last
        listed = at < len(self._words) and self._words[at] in {":", "-"}
        if frame.behind == "list" and not listed:
            return []
        while at < following and (found or at - frame.last <= _FARTHEST):
            word = self._words[at]
            if self._stops(at, listed=listed, begun=bool(found)):
                if word in _VERBS and len(found) > 1 and found[-1] >= at - 2:
                    found.pop()  # it has a verb of its own
                break
            if word[:2] == "<p" and not self._is_none(at) and self._is_object(at, frame.last):
                found.append(at)
            at += 1
        return found

    def _stops(self, at: int, *, listed: bool, begun: bool) -> bool:
        """Tell whether what a verb takes ends at a word; ``begun``: a part was named."""
        word = self._words[at]
        if word in _ENDS and not (word == ";" and listed):
            return True
        if word in _VERBS or word[:2] in {"<a", "<r", "<g", "<x"}:
            return True
        return begun and word[:2] in {"<h", "<i"} and self._words[at - 1] in {",", "and"}

    def _parts_before(self, frame: Frame) -> list[int]:
        at = frame.first - 1
        while at >= 0 and self._words[at] in {",", "that", "which"}:
            at -= 1
        found: list[int] = []
        while at >= 0 and (self._words[at][:2] == "<p" or self._words[at] in {"and", ",", "a"}):
            if self._words[at][:2] == "<p":
                found.insert(0, at)
            at -= 1
        return found

    def _is_object(self, at: int, verb: int) -> bool:
        """Tell whether a part is what the verb takes, and not what another word governs."""
        before = at - 1
        while before >= 0 and (self._words[before][:2] in {"<n", "<b", "<v"} or self._words[before]
                               in {"the", "a", "an", "spare", "'s", "any", "some"}):  # fmt: skip
            before -= 1
        if before < verb or self._words[before] not in _BEFORE_NOUN:
            return True
        if self._words[before] == "of":
            return before > 0 and self._words[before - 1] in _MEASURES
        if self._words[before] == "for":  # "obliged for a horn and for a tow hook"
            return before > 0 and self._words[before - 1] in {"and", ",", "or"}
        return False

    def _is_denied(self, frame: Frame) -> bool:
        start = max(self._clause_start(frame.first), frame.first - 4)
        return bool(set(self._words[start : frame.first]) & _DENIES)

    def _is_none(self, at: int) -> bool:
        mention = self._view.mention(self._words[at])
        return isinstance(mention, PartMention) and mention.which == "no"

    def _names(self, at: int) -> str:
        """Return the last word of a part's name."""
        mention = self._view.mention(self._words[at])
        return head_of(mention) if isinstance(mention, PartMention) else ""

    def _clause_end(self, at: int) -> int:
        while at < len(self._words) and self._words[at] not in _ENDS:
            at += 1
        return at
