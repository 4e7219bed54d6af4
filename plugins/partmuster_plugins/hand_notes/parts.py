"""Finding parts in a sentence, with the side, position, count and build said with each."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import TYPE_CHECKING

from partmuster_trade.words import load_words

from .amounts import NUMBERS, amount_before
from .expressions import expression
from .lexicon import WEAK, lexicon, singular
from .places import joined, may_begin_place, place_at, place_before
from .roles import words_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from .sentences import Word

_ADJECTIVES = words_of("adjective")
#: Said of a part that nobody has in use; behind "can" it is a verb.
_SPARE = frozenset({"spare", "surplus", "extra", "unused"})
_NO_NAME = _SPARE | NUMBERS.keys() | words_of("no-name") | words_of("crew") - {"hull"}
#: Whose doors, roofs and windows are no vehicle's; another machine's parts only stand in.
_BUILDINGS = words_of("building")
_NOT_OURS = _BUILDINGS | {"mr", "mrs", "miss", "messrs", "dr"}
_DONORS = words_of("donor")
#: Everyday words that are parts where somebody says that they are, or are not, there.
_SMALL = words_of("small-part")
_POINTING = frozenset({"no", "its", "their", "without", "minus", "'s"})
_CREW = words_of("crew")
_NO_NOUN = (
    words_of("everyday") | words_of("filler") | words_of("clause-end") | words_of("adjective")
)
_SEASON = frozenset(
    {"the", "last", "this", "next", "in", "since", "by", "early", "late", "before", "till"}
)
_DOINGS = frozenset(
    {"bolt", "screw", "clip", "plug", "lock", "pin", "nail", "switch", "hang", "hook"}
)
_PERSONS = frozenset({"my", "his", "your", "their", "our"})
#: What a person has too.
_WORN = frozenset({"boots", "boot", "back", "head", "hand", "hands", "cap", "belt", "wind", "teeth",
                   "arm", "arms", "leg", "legs", "foot", "feet", "eye", "eyes", "gloves", "neck",
                   "nose", "ear", "ears", "lid", "stomach", "knees", "shoes"})  # fmt: skip
_WAYS = frozenset({"on", "in", "up", "out", "down", "^"})
_BEFORE_VERB = frozenset({"", "that", "which", "will", "just", "you", "we", "i", "they", "to", ";",
                          ",", "and", ".", "it", "then"})  # fmt: skip
#: Written without vowels, behind a word of the trade ("trk gds").
_SHORT = expression(
    r"(?!(?:mrs|hrs|mph|nr|mr|dr|st|tbc|ps|pts|km|ft|mm|cm|lbs?)$)[b-df-hj-np-tv-xz]{2,5}"
)
_ONE = frozenset({"the", "one", "a"})
_NOT_IN_NAME = words_of("no-name-adjective")
_MODALS = frozenset({"can", "could", "will", "would", "might", "may", "to"})


@dataclass(frozen=True, slots=True)
class PartMention:
    """A part named in a sentence: the words from ``start`` to ``end`` (counted in words).

    ``name``: its words without side, position and count, as written. ``every``: "all", "both".
    ``build``: "late" or "Mk 1 early" said before it. ``which``: the word that points to it.
    ``spare``: said to be spare. ``owner``: whose, where only that is said ("the driver's").
    ``donor``: the other machine it is said to come from ("a lorry radiator").
    """

    start: int
    end: int
    name: str
    side: str = ""
    position: str = ""
    count: str = ""
    of: str = ""
    build: str = ""
    every: bool = False
    which: str = ""
    pronoun: bool = False
    spare: bool = False
    owner: str = ""
    donor: str = ""

    @property
    def plural(self) -> bool:
        """Whether the words speak of more than one."""
        last = self.name.rsplit(" ", 1)[-1].lower()
        return last != singular(last) or bool(_SHORT.fullmatch(last) and last.endswith("s"))


def find_parts(words: Sequence[Word], taken: Sequence[bool] = ()) -> list[PartMention]:
    """Return the parts named in a sentence, left to right, without overlap.

    ``taken``: words that are something else.
    """
    low = tuple([word.low for word in words])
    if True in taken:
        low = tuple(["^" if took else word for word, took in zip(low, taken, strict=True)])
    plain = tuple([_settled(word) or _plain(words, at) for at, word in enumerate(low)])
    found: list[PartMention] = []
    at = 0
    while at < len(low):
        if not (_begins_name(plain[at]) or may_begin_place(low[at]) or low[at] in _SMALL):
            at += 1
            continue
        place = place_at(low, at)
        if place and not lexicon().name_at(plain, at):
            at += place[0]
            continue
        end = 0 if _is_verb(low, at) else _name_from(plain, at) or _small_from(low, at, found)
        if not end:
            at += 1
            continue
        if not (at and low[at - 1] in _NOT_OURS) and low[at] not in _BUILDINGS:
            mention = _with_its_words(words, low, at, end, found[-1].end if found else 0)
            if not (mention.which in _PERSONS and low[end - 1] in _WORN):
                found.append(mention)
            end = max(mention.end, end)
        at = end
    return found


def _small_from(low: Sequence[str], at: int, found: Sequence[PartMention]) -> int:
    """Return where an everyday word ends that is a part here ("it has no glass", "lid gone")."""
    if low[at] not in _SMALL:
        return 0
    before = low[at - 1] if at else ""
    after = low[at + 1] if at + 1 < len(low) else ""
    denied = tuple(low[max(at - 2, 0) : at]) in {("not", "a"), ("not", "any")}
    pointed = before in _POINTING or denied
    listed = bool(found) and before in {"the", ",", "and", "but", "is"}
    joined_on = tuple(low[max(at - 2, 0) : at]) in {("or", "the"), ("and", "the"), ("nor", "the")}
    said = after in {"^", "is", "are", "has", "-", ":", "no", "yes", "none", "'s"}
    if joined_on and found:
        return at + 1
    if said and (pointed or listed or at == 0 or (at == 1 and before == "the")):
        return at + 1
    if pointed and (found or not after or after in ",;.^" or denied):
        return at + 1
    begins = at == 0 and (after == "," or (after in {"", "."} and at + 2 >= len(low)))
    return at + 1 if begins or (listed and before == "," and after in {",", "and"}) else 0


def _is_verb(low: Sequence[str], at: int) -> bool:
    """Tell whether a word is no part's: "all there bar two", "stands in for it"."""
    after = low[at + 1] if at + 1 < len(low) else ""
    before = low[at - 1] if at else ""
    if low[at] == "bar":
        return after in NUMBERS or after in _ONE or after in _CREW
    if low[at] == "spring":
        return before in _SEASON
    if low[at] in _DOINGS and after in _WAYS:
        return before in _BEFORE_VERB
    return low[at] in {"stand", "stands", "drive", "drives", "leads"} and after in {
        "in", "on", "up", "by", "to", "well", "it", "me", "us", "him", "her", "out",
    }  # fmt: skip


def spread(part: PartMention) -> list[PartMention]:
    """Return a part that is named for two sides or positions at once as one for each of them."""
    if "+" not in part.side and "+" not in part.position:
        return [part]
    count = "" if part.count in {"2", "4"} else part.count
    return [
        replace(part, side=side, position=position, count=count)
        for position in part.position.split("+")
        for side in part.side.split("+")
    ]


@lru_cache(maxsize=50_000)
def _settled(low: str) -> str:
    """Return a word as the lexicon has it, where that does not hang on the words around it."""
    plain = singular(low)
    if low in _given_names():
        return f"^{plain}"
    return plain if low == "^" or plain in lexicon().tokens else ""


@lru_cache(maxsize=50_000)
def _begins_name(plain: str) -> bool:
    """Tell whether a part's name may begin with a word as the lexicon has it."""
    return plain[:1].isalpha() and lexicon().known(plain) is not None


def _plain(words: Sequence[Word], at: int) -> str:
    """Return a word as the lexicon has it; a capital within a sentence is no slip of the pen."""
    word = words[at]
    plain = singular(word.low)
    if at and word.capital and not word.text.isupper():
        return f"^{plain}"
    if at + 2 < len(words) and words[at + 1].text == "." and plain.isalpha():
        return lexicon().cut_short(plain) or plain
    return plain


@lru_cache(maxsize=1)
def _given_names() -> frozenset[str]:
    return frozenset(row.words.casefold() for row in load_words("given_name")
                     if not row.meanings["also"])  # fmt: skip


def _name_from(plain: tuple[str, ...], at: int) -> int:
    """Return where the part's name that begins at ``at`` ends, or 0 if none does."""
    lex = lexicon()
    if (
        not plain[at][:1].isalpha()
        or (plain[at] in _NO_NAME and not lex.name_at(plain, at) > 1)
        or (plain[at] == "can" and not lex.name_at(plain, at) > 1)
        or (plain[at] not in lex.tokens and lex.known(plain[at]) is None)
    ):
        return 0
    end = at
    best = 0
    strong = False
    run: list[str] = []
    while end < len(plain) and not _is_verb(plain, end):
        word = plain[end] if plain[end] in lex.tokens else lex.known(plain[end])
        if word is None and plain[end] == "'s" and run and end + 1 < len(plain):
            word = "'s"
        if word is None and run and _SHORT.fullmatch(plain[end]) and not place_at(plain, end):
            word = f"/{plain[end]}"
        if word is None or (word == "'s" and not lex.name_at(plain, at)):
            break
        run.append(word)
        end += 1
        if lex.is_head(word):
            strong = strong or word not in WEAK
            whole = tuple(run) in lex.names.get(run[0], ())
            if (strong and word not in WEAK) or (len(run) > 1 and (whole or strong)) or (
                whole and run[-1] not in WEAK
            ):  # fmt: skip
                best = end
    size = lex.name_at(plain, at)
    if size and (size > 1 or plain[at] not in WEAK):
        best = max(best, at + size)
    return best


def _with_its_words(
    words: Sequence[Word], low: tuple[str, ...], start: int, end: int, after: int
) -> PartMention:
    """Return the mention of a name with the words around it that belong to it."""
    if start - 1 > after and low[start - 1] == "'s" and low[start - 2] in _CREW:
        start -= 2
    end = _noun_behind(words, low, end)
    name_start = start
    donor = build = ""
    spare = False
    while start < end - 1 and low[start] in _DONORS and low[start] not in lexicon().heads:
        donor = low[start]
        start = name_start = start + 1
    side = position = ""
    at = start
    while at > after:
        place = place_before(low, at, after)
        if place:
            length, its_side, its_position = place
            side, position = its_side or side, joined(its_position, position)
            at -= length
            continue
        length = 0 if build else _build_before(low, at, after)
        if length:
            build = " ".join(word.text for word in words[at - length : at])
            at -= length
            continue
        if low[at - 1] in _SPARE and (at - 1 == after or low[at - 2] not in _MODALS):
            spare = True
        elif low[at - 1] in _DONORS:
            donor = low[at - 1]
        elif low[at - 1] in _ADJECTIVES or (low[at - 1] == "hand" and at - 1 > after):
            name_start = name_start if low[at - 1] in _NOT_IN_NAME else at - 1
        else:
            break
        at -= 1
    amount = amount_before(low, at, after)
    stop, behind = _place_behind(low, end, counted=bool(amount.count or amount.of))
    for its_side, its_position in behind:
        side, position = side or its_side, joined(position, its_position)
    name = " ".join(word.text for word in words[name_start:end]).replace(" 's", "'s")
    return PartMention(
        amount.start, stop, name, side, position, amount.count, amount.of, build, amount.every,
        amount.which, spare=spare, donor=donor,
    )  # fmt: skip


def _noun_behind(words: Sequence[Word], low: tuple[str, ...], end: int) -> int:
    """Return where a name ends that goes on with an unknown noun: "clutch slave - seized"."""
    after = low[end + 1] if end + 1 < len(low) else ""
    unknown = (
        end < len(low)
        and low[end].isalpha()
        and low[end] == words[end].text
        and not low[end].endswith(("ing", "ed", "s"))
    )
    if unknown and after in {"^", "-", ":"} and low[end] not in _NO_NOUN and not place_at(low, end):
        return end + 1
    return end


#: What joins words of place to the part before them.
_JOINS = (
    ("(",),
    (",",),
    ("-",),
    (":",),
    ("on", "the"),
    ("at", "the"),
    ("on",),
    ("to", "the"),
    ("upon", "the"),
    ("of", "the"),
)
_BARE = frozenset({"left", "right"})


def _place_behind(
    low: tuple[str, ...], end: int, *, counted: bool
) -> tuple[int, list[tuple[str, str]]]:
    """Return where the words of place behind a part end, and what they say: "guard, LH (front)".

    A place that a further part follows is that part's; "three of eight left" tells no side.
    """
    join = next((join for join in _JOINS if low[end : end + len(join)] == join), ())
    at = end + len(join)
    if not join and counted and low[at : at + 1] and low[at] in _BARE:
        return end, []
    behind: list[tuple[str, str]] = []
    if join == (",",) and low[at : at + 1] == ("near",) and low[at + 1 : at + 2] in {(), (",",)}:
        return at + 1, [("near", "")]
    while at < len(low) and (place := place_at(low, at)):
        behind.append((place[1], place[2]))
        at += place[0]
        while at < len(low) and low[at] == "side":
            at += 1
    if not behind:
        return end, []
    if join == ("(",) and low[at : at + 1] == (")",):
        return at + 1, behind
    plain = tuple(singular(word) for word in low)
    anothers = at < len(low) and (_name_from(plain, at) or low[at] in {"one", "ones", "'s", "hand"})
    no_side = join[-1:] in {("the",), ("on",)} and not any(side for side, _ in behind)
    return (end, []) if anothers or no_side or join == ("(",) else (at, behind)


_MARK = expression(r"(?:\d{1,2}[a-h]?|[ivx]{1,4})\*?")


_AGES = frozenset({"early", "late", "mid", "later", "earlier"})


def _build_before(low: tuple[str, ...], at: int, after: int) -> int:
    """Return how many words before ``at`` name a build: "Mk 1 early", "late", "mark two"."""
    last = low[at - 1]
    if not (last in _AGES or last[:1] == "m" or _MARK.fullmatch(last)):
        return 0
    length = 0
    if at - 1 >= after and low[at - 1] in _AGES:
        length = 1
    before = at - length
    if (
        before - 1 > after
        and low[before - 2] in {"mk", "mark"}
        and _MARK.fullmatch(low[before - 1])
    ):
        length += 2
        if before - 2 > after and low[before - 3] in {"early", "late", "mid"}:
            length += 1
    elif before - 1 >= after and re.fullmatch(r"(?:mk|mark)\d[a-h]?", low[before - 1]):
        length += 1
    return length
