"""Descriptions that say a name of the vocabulary, once sides, sizes and fillers are set apart."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import lru_cache
from itertools import chain, islice, product
from typing import TYPE_CHECKING, Final, NamedTuple

from partmuster_trade import expand
from partmuster_trade.hardware import hardware_names

from .asides import FILLERS, Asides, Cut, set_apart, state_words
from .plainly import Glance, Seen
from .sides_said import HAND_SIGNS, aside_words, sides_apart, without_side_words
from .tokens import orders, plain, plain_words, segments, split_tokens, word_form

if TYPE_CHECKING:
    from collections.abc import Iterator

    from .index import Name, VocabularyIndex
    from .trust_words import Said

_MOST_FORMS: Final = 32  # expanded forms tried for one description
_REMEMBERED: Final = 300_000
_SEVERAL: Final = 8  # parts called by the same last word
_NEVER_SAID_ALONE: Final = 2  # words from which an open short form is helped by its neighbours


class Hit(NamedTuple):
    """Names that a description says, and how they were come by.

    ``probability`` is for the names alone; ``doubt`` is a reason not to accept, ``left_over``
    are position words that are not part of the form that was found.
    """

    names: tuple[Name, ...]
    probability: float
    reasons: tuple[str, ...] = ()
    doubt: str = ""
    left_over: frozenset[str] = frozenset()


@dataclass(slots=True)
class Description:
    """One description read for matching: what is said exactly, and words for a near match."""

    text: str
    hits: list[Hit] = field(default_factory=list)
    asides: Asides = field(default_factory=lambda: Asides("", (), (), ()))
    rest: str = ""
    stated: tuple[str, ...] = ()
    words: list[str] = field(default_factory=list)


class Level(NamedTuple):
    """One way of reading: orders of raw tokens, positions put back, what that is worth."""

    tokens: list[list[str]]
    positions: tuple[str, ...]
    dropped: frozenset[str]
    fillers: frozenset[str]
    probability: float
    reason: str = ""


class ExactReader:
    """Finds names that are said exactly, over one vocabulary, region and set of families."""

    def __init__(
        self, index: VocabularyIndex, region: str | None, families: tuple[str, ...] = ()
    ) -> None:
        self.index = index
        self.region = region
        self._strange: dict[str, bool] = {}
        self.remembered: dict[tuple[str, bool], Said] = {}  # of ``trust_words``
        self.fillers: frozenset[str] = (
            FILLERS
            | {word for name in families for word in plain_words(split_tokens(name.casefold()))}
            | {word for word in state_words() if word not in index.idf}
        )
        self._glance = Glance(index, self.fillers, lambda token: is_short_form(token, region))
        # "spare wheel, complete" is a spare wheel: words that make names go last.
        names_have = {"spare", "assembly", "assy"}
        self._fillers_in_turn = (
            self.fillers - names_have, self.fillers - {"spare"}, self.fillers,
        )  # fmt: skip

    def read(
        self, text: str, positions: tuple[str, ...] = (), *, sided: bool = False
    ) -> Description:
        """Read one folded description.

        ``positions``: position words stated beside it; ``sided``: a side is known, so side words
        left in the text are no part of the name.
        """
        found = Description(text)
        if not text:
            return found
        whole = orders(segments(text))
        strange = not positions and self._any_strange(whole)
        if not strange and (hit := self._said_at_once(whole, positions, sided=sided)):
            found.hits = [hit]
            found.stated = positions
            return found
        seen = Seen.UNSURE if positions else self._glance.says_no_name(text, whole)
        if seen is Seen.NO_NAME:
            found.rest, found.asides = text, Asides(text, (), (), ())
            found.words = self.index.join_compounds(plain_words(whole[0]))
            return found
        asides = found.asides = set_apart(text)
        rest, positions_said = sides_apart(asides.name)
        found.rest = without_side_words(rest) if sided else rest
        said = [*positions_said]
        doubt = ""
        for note in asides.notes:
            rest, noted = sides_apart(note)
            said += noted
            if any(word in self.index.idf for word in plain_words(split_tokens(rest))):
                doubt = f"the words in brackets ('{note}') may change what is meant"
        found.stated = tuple(dict.fromkeys([*said, *positions]))
        sized = self._without_sizes(text, found.stated)
        levels = chain(self._levels(found, whole, positions), sized)
        for level in () if seen is Seen.SIDED else levels:
            hits = self._look_up(level)
            if hits:
                found.hits = [_doubted(hit, doubt) for hit in hits] if doubt else hits
                break
        if not found.hits:
            tokens = orders(segments(found.rest))[0] if found.rest else []
            found.words = self.index.join_compounds(plain_words(tokens))
        return found

    def _said_at_once(
        self, whole: list[list[str]], positions: tuple[str, ...], *, sided: bool
    ) -> Hit | None:
        """Return a name said as it stands, or once side and position words known are left out.

        Most descriptions are such; the sides were read from the same words before, so a side
        word counts as one only where a side is known.
        """
        none: frozenset[str] = frozenset()
        if not positions:
            level = Level(whole, (), none, none, 0.99)
            if names := self._said_plainly(level):
                return self._hit(level, names, (), settled=True)
        if not (sided or positions):
            return None
        aside = {*positions, *(HAND_SIGNS if sided else ())}
        bare = [[token for token in order if token not in aside] for order in whole]
        for kept, dropped in ((positions, none), ((), frozenset(positions))):
            level = Level(bare, kept, dropped, none, 0.99)
            if names := self._said_plainly(level):
                return self._hit(level, names, (), settled=True)
        return None

    def _levels(
        self, found: Description, whole: list[list[str]], beside: tuple[str, ...]
    ) -> Iterator[Level]:
        """Yield ways of reading, the one that keeps most of the words first."""
        stated = frozenset(found.stated)
        none: frozenset[str] = frozenset()
        if beside:
            yield Level(whole, beside, none, none, 0.99)
        yield Level(whole, (), stated, none, 0.99)
        pieces = [(found.rest, "")]
        for cut in found.asides.cuts:
            if not self._belongs_together(cut):
                head, _ = sides_apart(cut.head)
                pieces.append((head, "what comes with it, or lacks, left aside"))
        for text, reason in pieces:
            tokens = orders(segments(text)) if text else []
            if not tokens or not tokens[0]:
                continue
            worth = 0.99 if not reason else 0.94
            for kept, dropped in dict.fromkeys(((found.stated, none), ((), stated))):
                yield Level(tokens, kept, dropped, none, worth, reason)
                for fillers in self._fillers_in_turn:
                    yield Level(tokens, kept, dropped, fillers, worth - 0.02, reason)

    def _without_sizes(self, text: str, stated: tuple[str, ...]) -> Iterator[Level]:
        """Yield the names of sized hardware: of "bolt, hex, 3/8-20 BSF x 1 1/4" a hex bolt."""
        if not any(map(str.isdigit, text)):
            return
        none: frozenset[str] = frozenset()
        for name in hardware_names(text):
            rest, _ = sides_apart(name)
            if tokens := orders(segments(rest)):
                for kept, dropped in dict.fromkeys(((stated, none), ((), frozenset(stated)))):
                    for fillers in (none, self.fillers):
                        yield Level(tokens, kept, dropped, fillers, 0.97, "its sizes left aside")

    def _belongs_together(self, cut: Cut) -> bool:
        """Whether a cut would part a name: "pin with chain", or "bolt off track guard"."""
        names, known = self.index.names, self.index.by_word
        head = set(plain_words(split_tokens(cut.head)))
        joined_so = known.get(word_form(cut.joined_by), frozenset())
        if any(head <= set(names[number].words) for number in joined_so):
            return True
        tail = set(plain_words(split_tokens(cut.tail))) - self.fillers
        return cut.origin and any(word in known and word.isalpha() for word in tail)

    def _any_strange(self, tokens: list[list[str]]) -> bool:
        """Whether a word stands there that no name has, and that nothing takes out."""
        strange = self._strange
        for token in tokens[0] if tokens else ():
            known = strange.get(token)
            if known is None:
                if len(strange) >= _REMEMBERED:
                    strange.clear()
                known = strange[token] = self._is_strange(token)
            if known:
                return True
        return False

    def _is_strange(self, token: str) -> bool:
        index = self.index
        words = plain(token)
        if all(word in index.idf for word in words) or is_short_form(token, self.region):
            return False
        forms = {token, word_form(token), *words}
        if not (forms.isdisjoint(self.fillers) and forms.isdisjoint(aside_words() | HAND_SIGNS)):
            return False
        return any(
            word not in index.idf
            and word not in index.pairs
            and not index.lexicon.is_piece(word)  # it may be joined to its neighbour
            for word in words
        )

    def _look_up(self, level: Level) -> list[Hit]:
        if self._any_strange(level.tokens):
            return []
        if level.fillers and level.fillers.isdisjoint(map(word_form, level.tokens[0])):
            return []  # nothing to leave out: the level before has tried these words
        if names := self._said_plainly(level):
            return [self._hit(level, names, (), settled=True, left_out=bool(level.fillers))]
        if any(is_short_form(token, self.region) for token in level.tokens[0]):
            return self._expanded(level)
        return []

    def _said_plainly(self, level: Level) -> list[Name]:
        """Return the names that the words of a level make as they stand, in one of its orders."""
        for raw in level.tokens:
            words = [
                word for token in raw
                if not level.fillers or word_form(token) not in level.fillers
                for word in plain(token)
            ]  # fmt: skip
            if words and (names := self.named([*words, *level.positions])):
                return names
        return []

    def _expanded(self, level: Level) -> list[Hit]:
        """Look up with short forms written out, every open reading tried."""
        hits: dict[tuple[str, ...], Hit] = {}
        for raw in level.tokens:
            tokens = [token for token in raw if word_form(token) not in level.fillers]
            choices = [self._choices(token, tokens) for token in tokens]
            for form in islice(product(*choices), _MOST_FORMS):
                words = [word for words, _, _ in form for word in words]
                words = [word for word in words if word not in level.fillers] or words
                names = self.named([*words, *level.positions])
                if not names:
                    continue
                notes = tuple(note for _, note, _ in form if note)
                settled = all(sure for *_, sure in form) or len(words) >= _NEVER_SAID_ALONE
                key = tuple(sorted({name.part_id for name in names}))
                left_out = len(tokens) < len(raw)
                hits.setdefault(
                    key, self._hit(level, names, notes, settled=settled, left_out=left_out)
                )
        return list(hits.values())

    def _choices(self, token: str, tokens: list[str]) -> list[tuple[tuple[str, ...], str, bool]]:
        """Return readings of one token: words, note for the reasons, and whether it is settled."""
        itself = plain(token)
        if not is_short_form(token, self.region):
            return [(itself, "", True)]
        neighbours = [other for other in tokens if other != token]
        expansion = expand(token, neighbours, self.region)
        if expansion.readings in {(token,), (token.upper(),)}:
            expansion = expand(word_form(token), neighbours, self.region)
        choices = [
            (tuple(plain_words(split_tokens(reading.casefold()))), f"{token} = {reading}",
             expansion.settled)
            for reading in expansion.readings
        ]  # fmt: skip
        if all(word in self.index.idf for word in itself):
            choices.insert(0, (itself, "", True))
        return choices

    def readings(self, token: str, tokens: list[str]) -> list[tuple[tuple[str, ...], str]]:
        """Return what a short form may stand for, with a note; nothing for other words."""
        if not is_short_form(token, self.region):
            return []
        return [(words, note) for words, note, _ in self._choices(token, tokens) if note]

    def named(self, words: list[str]) -> list[Name]:
        """Return the names made of these words; in this order where two parts share the words."""
        joined = self.index.join_compounds(words)
        names = self.index.named(tuple(sorted(joined)))
        if len(names) > 1 and len({name.part_id for name in names}) > 1:
            # Word order counts where two parts are named by the same words.
            same_order = [name for name in names if name.words == tuple(joined)]
            return same_order or names
        return names

    def _is_general(self, name: Name) -> bool:
        """Whether a name is one word, by which many other parts are called with a word more."""
        if len(name.words) > 1:
            return False
        others = {
            other.part_id for number in self.index.by_word.get(name.head, ())
            if (other := self.index.names[number]).head == name.head
        }  # fmt: skip
        return len(others) > _SEVERAL

    def _hit(
        self, level: Level, names: list[Name], notes: tuple[str, ...], *,
        settled: bool, left_out: bool = False,
    ) -> Hit:  # fmt: skip
        said = next(
            (name for name in names if self.index.plain[name.part_id] == name.text), names[0]
        )
        reasons = [f"says '{said.text}'", *notes]
        if level.reason:
            reasons.append(level.reason)
        if left_out:
            reasons.append("filler words left out")
        probability = level.probability - (0.02 if notes else 0.0)
        doubt = "" if settled else "a short form with more than one reading stands alone"
        if not doubt and left_out and self._is_general(said):
            doubt = f"'{said.text}' alone may be of anything, and words are left out"
        if doubt:
            probability = 0.6
        return Hit(tuple(names), probability, tuple(reasons), doubt, level.dropped)


@lru_cache(maxsize=100_000)
def is_short_form(token: str, region: str | None) -> bool:
    """Whether the abbreviations give a token (or its singular) any reading but itself."""
    return any(
        expand(form, (), region).readings not in {(form,), (form.upper(),)}
        for form in {token, word_form(token)}
    )


def _doubted(hit: Hit, doubt: str) -> Hit:
    return Hit(hit.names, min(hit.probability, 0.7), hit.reasons, doubt, hit.left_over)
