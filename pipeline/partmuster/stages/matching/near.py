"""Descriptions that come near a name: misspelt, cut short, or sharing its telling words."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import islice, product
from typing import TYPE_CHECKING, Final

from rapidfuzz import fuzz

from .exact import position_objection
from .tokens import POSITIONS, plain_words, segments

if TYPE_CHECKING:
    from .exact import Description, ExactReader
    from .index import Name, VocabularyIndex

#: Below this the description is said to name nothing known (the contract's own threshold).
UNKNOWN_BELOW: Final = 0.3
_MOST_RERANKED: Final = 12
_WORTH_RANKING: Final = 0.4  # of the best name's covered weight
_WORTH_SAYING: Final = 0.1
_REPAIRED: Final = 0.9  # what a repaired word counts, times its likeness
_LIKELY_ENOUGH: Final = 0.8
_MOST_OF_IT: Final = 2 / 3
_MOST_PARTS: Final = 3
_NO_NUMBERS: Final[frozenset[int]] = frozenset()
_MOST_REPAIRED: Final = 12  # spellings tried for one description
_CUT_SHORT: Final = 0.85
_CUT_AT_WORD: Final = 0.6
_NEAR_CAP: Final = 0.89  # likeness alone is never as sure as a name with a slip of the pen
_POSITION_WEIGHT: Final = 0.3  # of a position word the name lacks: mostly mere location


@dataclass(frozen=True, slots=True)
class NearName:
    """A part the words come near to: how sure, the reasons, and whether something objects."""

    part_id: str
    probability: float
    reasons: tuple[str, ...]
    objection: str = ""


@dataclass(frozen=True, slots=True)
class _Meant:
    """What one word of a description may stand for: a vocabulary word, and how surely."""

    word: str
    strength: float


def near_names(reader: ExactReader, described: Description) -> list[NearName]:
    """Return parts that a description without an exact name comes near to, likeliest first.

    Three kinds of evidence, the best one a part counts: a name with slips of the pen put right,
    a name of which the text is the beginning, and, where neither is likely, shared words.
    """
    sure = [*_put_right(reader, described), *_cut_short(reader.index, described)]
    likely = any(near.probability >= _LIKELY_ENOUGH for near in sure)
    found: dict[str, NearName] = {}
    for near in sure if likely else (*sure, *_alike(reader, described)):
        known = found.get(near.part_id)
        if known is None or near.probability > known.probability:
            found[near.part_id] = near
    ranked = sorted(found.values(), key=lambda near: (-near.probability, near.part_id))
    return _with_margin(ranked[:_MOST_PARTS])


def _put_right(reader: ExactReader, described: Description) -> list[NearName]:
    """Return names that are said once each unknown word is read as a near vocabulary word."""
    index = reader.index
    choices: list[list[tuple[tuple[str, ...], float, str]]] = []
    slips = 0
    tokens = [token for piece in segments(described.rest) for token in piece]
    for token in tokens:
        plain = tuple(plain_words([token]))
        if not plain or all(word in index.idf for word in plain):
            choices.append([(plain, 1.0, "")])
            continue
        if token in reader.fillers:
            continue
        options = [
            (index.glued[word] if word not in index.idf else (word,), likeness,
             f"'{token}' read as {word}")
            for word, likeness in (index.repairs(plain[0]) if len(plain) == 1 else ())
        ]  # fmt: skip
        if options:
            slips += 1
        short = reader.readings(token, tokens)
        options.extend((words, 1.0, note) for words, note in short)
        if not options:
            return []
        choices.append(options)
    if not slips:
        return []
    found: list[NearName] = []
    stated = frozenset(described.stated)
    for form in islice(product(*choices), _MOST_REPAIRED):
        words = [word for words, _, _ in form for word in words]
        notes = tuple(note for *_, note in form if note)
        likeness = math.prod(likeness for _, likeness, _ in form)
        bare = [word for word in words if word not in POSITIONS]
        for kept in dict.fromkeys(((*words, *described.stated), tuple(words), tuple(bare))):
            names = reader.named(list(kept)) if kept else []
            found.extend(
                _judged(index, name, 0.95 * likeness, ("all words of the name", *notes), stated)
                for name in names
            )
            if names:
                break
    return found


def _cut_short(index: VocabularyIndex, described: Description) -> list[NearName]:
    """Return names that begin with the text: lists cut their columns at a fixed width."""
    for written in dict.fromkeys((described.text, described.asides.name)):
        pieces = segments(written)
        if not pieces:
            continue
        tokens = [token for piece in pieces for token in piece]
        # The last word may be cut anywhere, so it is compared as it stands, not as a singular.
        text = " ".join([*plain_words(tokens[:-1]), tokens[-1]])
        if names := index.beginning_with(text):
            return _begun(names, text)
    return []


def _begun(names: list[Name], text: str) -> list[NearName]:
    """Return the names that begin with a text, less sure the more parts begin so."""
    parts = len({name.part_id for name in names})
    found = []
    for name in names:
        at_word = " ".join(name.words).startswith(text + " ")
        sure = (_CUT_AT_WORD if at_word else _CUT_SHORT) / parts
        reasons = (f"cut short: '{name.text}' begins so",)
        found.append(NearName(name.part_id, max(UNKNOWN_BELOW + 0.02, sure), reasons))
    return found


def _alike(reader: ExactReader, described: Description) -> list[NearName]:
    """Return names that share telling words with the text, by a documented monotone map.

    With ``t`` the share of the text's weight that the name covers, ``n`` the share of the name's
    weight that the text covers, ``s`` the token-sort ratio (rapidfuzz, 0 to 1) and ``h`` whether
    the head word (what the thing is) agrees:
    probability = logistic(-7.4 + 3.2 t + 3.8 n + 2.2 s + 1.2 h - 1.5 o), at most 0.89, where o is
    1 if one word is shared that is less than two thirds of the name. Weights were set by hand on
    the labelled lines in tests/bench/cases, so that half the words with another head stays below
    one half.
    """
    index = reader.index
    meant = _meanings(reader, described.words)
    weights = [_weight(index, word, options) for word, options in meant]
    total = sum(weights)
    covered = _covered(index, meant, weights)
    if not covered:
        return []
    least = _WORTH_RANKING * max(covered.values())
    names = index.names
    leading = sorted(
        (-weight / (total + names[number].weight), number, weight)
        for number, weight in covered.items()
        if weight >= least
    )[:_MOST_RERANKED]
    text = " ".join(sorted(described.words))
    heads = _heads(meant)
    words = [{option.word for option in options} for _, options in meant]
    found: dict[str, tuple[float, Name]] = {}
    for _, number, weight in leading:
        name = names[number]
        # Both sides are in sorted order: this is rapidfuzz's token_sort_ratio.
        likeness = fuzz.ratio(text, name.in_order) / 100
        of_name = min(weight / name.weight, 1.0)
        score = -7.4 + 3.2 * min(weight / total, 1.0) + 3.8 * of_name
        score += 2.2 * likeness + 1.2 * (name.head in heads)
        if of_name < _MOST_OF_IT and sum(not own.isdisjoint(name.key) for own in words) == 1:
            score -= 1.5
        probability = min(_NEAR_CAP, 1 / (1 + math.exp(-score)))
        if name.part_id not in found or probability > found[name.part_id][0]:
            found[name.part_id] = (probability, name)
    best = sorted(found.values(), key=lambda pair: (-pair[0], pair[1].part_id))[:_MOST_PARTS]
    stated = frozenset(described.stated)
    return [
        _judged(index, name, probability, _shared(name, meant), stated)
        for probability, name in best
        if probability >= _WORTH_SAYING
    ]


def _covered(
    index: VocabularyIndex, meant: list[tuple[str, list[_Meant]]], weights: list[float]
) -> dict[int, float]:
    """Return, by name number, the weight of the text's words that the name has.

    Names come from the text's more telling words; the others only add to those. Without that a
    word such as "plate" would make hundreds of candidates.
    """
    in_turn = sorted(zip(weights, meant, strict=True), key=lambda pair: -pair[0])
    telling = 0.75 * max((weight for weight, (_, options) in in_turn if options), default=0.0)
    covered: dict[int, float] = {}
    for weight, (_, options) in in_turn:
        strengths: dict[int, float] = {}
        for option in options:
            numbers = index.by_word.get(option.word, _NO_NUMBERS)
            if weight < telling:
                numbers = numbers & covered.keys()
            for number in numbers:
                if option.strength > strengths.get(number, 0.0):
                    strengths[number] = option.strength
        for number, strength in strengths.items():
            covered[number] = covered.get(number, 0.0) + strength * weight
    return covered


def _meanings(reader: ExactReader, words: list[str]) -> list[tuple[str, list[_Meant]]]:
    """Return what each word of a text may stand for; fillers are left out."""
    index = reader.index
    found: list[tuple[str, list[_Meant]]] = []
    for word in words:
        if word in index.idf:
            found.append((word, [_Meant(word, 1.0)]))
            continue
        if word in reader.fillers:
            continue
        options = [_Meant(w, 1.0) for read, _ in reader.readings(word, words) for w in read]
        for near, likeness in index.repairs(word):
            singles = (near,) if near in index.idf else index.glued[near]
            options.extend(_Meant(single, _REPAIRED * likeness) for single in singles)
        found.append((word, options))
    return found


def _heads(meant: list[tuple[str, list[_Meant]]]) -> set[str]:
    """Return what the thing itself may be: the readings of the last word that is no position."""
    for _, options in reversed(meant):
        words = {option.word for option in options}
        if not words & POSITIONS.keys():
            return words
    return set()


def _weight(index: VocabularyIndex, word: str, options: list[_Meant]) -> float:
    known = [index.idf[option.word] for option in options if option.word in index.idf]
    if word in POSITIONS or any(option.word in POSITIONS for option in options):
        return _POSITION_WEIGHT * (known[0] if known else index.rarest)
    return max(known) if known else index.rarest


def _shared(name: Name, meant: list[tuple[str, list[_Meant]]]) -> tuple[str, ...]:
    """Return in words what a name and a text share, and what they do not."""
    shared, lacking, read = [], [], []
    own = set(name.words)
    for word, options in meant:
        hit = next((option for option in options if option.word in own), None)
        if hit is None:
            lacking.append(word)
        else:
            shared.append(hit.word)
            if hit.word != word:
                read.append(f"'{word}' read as {hit.word}")
    missing = [word for word in name.words if word not in shared]
    reasons = [f"shares {', '.join(dict.fromkeys(shared))} with '{name.text}'", *read]
    if lacking:
        reasons.append(f"the name has no {', '.join(lacking)}")
    if missing:
        reasons.append(f"the words lack {', '.join(missing)}")
    return tuple(reasons)


def _judged(
    index: VocabularyIndex, name: Name, probability: float, reasons: tuple[str, ...],
    stated: frozenset[str],
) -> NearName:  # fmt: skip
    objection = position_objection(index, name, stated) if stated else ""
    if objection:
        probability *= 0.5
    return NearName(name.part_id, probability, reasons, objection)


def _with_margin(ranked: list[NearName]) -> list[NearName]:
    """Return candidates with the leading one less sure where the next comes close."""
    if len(ranked) < 2:  # noqa: PLR2004 - a margin needs two
        return ranked
    first, second = ranked[0], ranked[1]
    gap = first.probability - second.probability
    lowered = max(second.probability, first.probability * (1 - 0.25 * max(0.0, 1 - gap / 0.2)))
    return [NearName(first.part_id, lowered, first.reasons, first.objection), *ranked[1:]]
