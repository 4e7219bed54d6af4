"""What speaks for and against a part that a description comes near to, in figures."""

from __future__ import annotations

import math
from functools import lru_cache
from typing import TYPE_CHECKING, Final

from rapidfuzz import fuzz

from .sides_said import position_objection
from .tokens import POSITIONS
from .trust_phrase import joined, other_things, phrase_of
from .trust_words import Aligned, Said, aligned, head_of, lead_words, words_beside

if TYPE_CHECKING:
    from collections.abc import Sequence

    from .candidates import Item
    from .exact import Description
    from .index import Name, VocabularyIndex
    from .near import NearName

#: What is measured of a description and a part, in the order of the model's weights.
FEATURES: Final = (
    "one", "of_text", "of_name", "whole", "text_all_said", "name_all_said", "other_thing",
    "known_over", "unknown_over", "head", "slip", "weakest", "short", "letters", "assembly",
    "other_assembly", "supply_class", "other_supply_class", "listed", "objected", "abroad",
    "words", "lead", "begins", "other_head", "core_met", "over_core_known", "over_core_unknown",
    "over_behind", "over_remark", "head_met", "heads_agree", "head_over_known", "head_over_unknown",
    "head_behind", "all_behind", "no_core", "foreign", "joined", "lacks", "lacks_place",
    "nearness", "runs", "turned",
)  # fmt: skip
_ALL: Final = 0.999
_HARDLY: Final = 0.005
_MOST_NAMES: Final = 40  # of one part; a club's own vocabulary may have any number
_MOST_LAID: Final = 3
_MANY_WORDS: Final = 4
_SLIPS: Final = frozenset({"slip", "bones"})
_SHORTS: Final = frozenset({"short", "cut"})


@lru_cache(maxsize=8)
def names_of(index: VocabularyIndex) -> dict[str, list[Name]]:
    """Return the names of each part."""
    found: dict[str, list[Name]] = {}
    for name in index.names:
        found.setdefault(name.part_id, []).append(name)
    return found


@lru_cache(maxsize=8)
def heads_of(index: VocabularyIndex) -> frozenset[str]:
    """Return the words that say what a thing is: the last of some part's own name."""
    return frozenset(name.head for name in index.names)


def best_aligned(
    index: VocabularyIndex, said: Sequence[Said], part_id: str, region: str | None
) -> Aligned | None:
    """Return the name of a part that a description comes nearest to, laid beside it.

    Laying a name beside words takes longest, so only those that share most are laid there.
    """
    names = names_of(index).get(part_id, ())[:_MOST_NAMES]
    if len(names) > _MOST_LAID:
        options = frozenset([option for one in said for option in one.options])
        names = sorted(
            names,
            key=lambda name: len(name.words) - 2 * len(options.intersection(name.words)),
        )[:_MOST_LAID]
    best: Aligned | None = None
    worth: tuple[float, bool, int] | None = None
    for name in names:
        one = aligned(index, said, name)
        own = (one.worth, name.region in {"any", region}, -name.number)
        if worth is None or own > worth:
            best, worth = one, own
    return best


def features(
    index: VocabularyIndex,
    item: Item,
    described: Description,
    laid: Aligned,
    region: str | None,
    near: NearName | None = None,
) -> list[float]:
    """Return what speaks for and against the part of a name; see ``FEATURES``."""
    name, part = laid.name, index.parts[laid.name.part_id]
    heads = heads_of(index)
    idf = index.idf
    over = laid.over
    matched: list[str] = []
    said_in: list[str] = []
    weakest, slips, shorts, weight_met = 2.0, 0, 0, 0.0
    for word, met, strength, how in laid.pairs:
        said_in.append(word)
        matched.append(met)
        weight_met += idf.get(met, 1.0)
        weakest = min(weakest, strength)
        slips += how in _SLIPS
        shorts += how in _SHORTS
    weight_over = known_over = unknown_over = 0.0
    other_thing = False
    for one in over:
        weight_over += one.weight
        if one.options:
            known_over += one.weight
            other_thing = other_thing or not heads.isdisjoint(one.options)
        else:
            unknown_over += one.weight
    whole = weight_over + weight_met or 1.0
    pairs = max(len(matched), 1)
    said_text = " ".join(sorted(said_in))
    name_text = " ".join(sorted((*matched, *laid.lacking)))
    lead = lead_words(described.text)
    words_over = [one.word for one in over]
    assembly, supply_class = item.assembly, item.supply_class
    first = next((word for word in lead if word not in words_beside()), None)
    return [
        1.0,
        laid.of_text,
        laid.of_name,
        float(laid.of_text > _ALL and laid.of_name > _ALL),
        float(not over),
        float(not laid.lacking),
        float(other_thing),
        known_over / whole,
        unknown_over / whole,
        float(name.head in matched),
        slips / pairs,
        1.0 - (weakest if matched else 0.0),
        shorts / pairs,
        fuzz.ratio(said_text, name_text) / 100,
        float(bool(assembly) and assembly == part.assembly),
        float(bool(assembly) and assembly != part.assembly),
        float(bool(supply_class) and supply_class == part.supply_class),
        float(bool(supply_class) and supply_class != part.supply_class),
        float(part.part_id in item.family_parts),
        float(bool(described.stated and position_objection(index, name, described.stated))),
        float(name.region not in {"any", region} and region is not None),
        min(len(name.words), _MANY_WORDS) / _MANY_WORDS,
        float(
            bool(lead)
            and not laid.lacking
            and set(said_in) <= set(lead)
            and not any(word in lead for word in words_over)
        ),
        float(first in said_in),
        float(head_of(lead) in words_over),
        *_by_phrase(index, described, laid),
        _log_odds(near.probability) if near else 0.0,
        near.runs if near else 0.0,
        float(phrase_of(described.text).turned),
    ]


def _by_phrase(index: VocabularyIndex, described: Description, laid: Aligned) -> list[float]:
    """Return what speaks for a name by what each word of the text does: see ``trust_phrase``."""
    phrase = phrase_of(described.text)
    core = _joined(index, phrase.core)
    behind = _joined(index, tuple(sorted(phrase.behind))) - core
    heads = _joined(index, (phrase.head,)) if phrase.head else frozenset()
    name, idf = laid.name, index.idf
    met_core = over_known = over_unknown = over_behind = over_remark = 0.0
    said_in = {word for word, *_ in laid.pairs}
    head_met = heads_agree = head_behind = False
    all_behind = True
    for word, met, _, _ in laid.pairs:
        weight = idf.get(met, 1.0)
        if word in behind:
            head_behind = head_behind or met == name.head
        else:
            all_behind = False
            met_core += weight if word in core else 0.0
        if word in heads:
            head_met = True
            heads_agree = heads_agree or met == name.head
    head_known = head_unknown = False
    for one in laid.over:
        if one.word in core:
            if one.options:
                over_known += one.weight
            else:
                over_unknown += one.weight
        elif one.word in behind:
            over_behind += one.weight
        else:
            over_remark += one.weight
        if one.word in heads:
            head_known, head_unknown = bool(one.options), not one.options
    whole = met_core + over_known + over_unknown or 1.0
    lacks = sum([idf.get(word, 1.0) for word in laid.lacking if word not in POSITIONS])
    return [
        met_core / whole, over_known / whole, over_unknown / whole, min(over_behind / 20, 1.0),
        min(over_remark / 20, 1.0), float(head_met), float(heads_agree), float(head_known),
        float(head_unknown), float(head_behind), float(all_behind), float(not core),
        float(any(word in other_things() and word not in said_in for word in phrase.core)),
        float(phrase.joined),
        lacks / (name.weight or 1.0), float(any(word in POSITIONS for word in laid.lacking)),
    ]  # fmt: skip


@lru_cache(maxsize=4_000)
def _joined(index: VocabularyIndex, words: tuple[str, ...]) -> frozenset[str]:
    return joined(index.join_compounds, words)


def _log_odds(probability: float) -> float:
    kept = min(max(probability, _HARDLY), 1 - _HARDLY)
    return math.log(kept / (1 - kept))
