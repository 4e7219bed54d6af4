"""What speaks for and against a part that a description comes near to, in figures."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING, Final

from rapidfuzz import fuzz

from .exact import position_objection
from .trust_words import Aligned, Said, aligned, head_of, lead_words, words_beside

if TYPE_CHECKING:
    from collections.abc import Sequence

    from .candidates import Item
    from .exact import Description
    from .index import Name, VocabularyIndex

#: What is measured of a description and a part, in the order of the model's weights.
FEATURES: Final = (
    "one", "of_text", "of_name", "whole", "text_all_said", "name_all_said", "other_thing",
    "known_over", "unknown_over", "head", "slip", "weakest", "short", "letters", "assembly",
    "other_assembly", "supply_class", "other_supply_class", "listed", "objected", "abroad",
    "words", "lead", "begins", "other_head",
)  # fmt: skip
_ALL: Final = 0.999
_MOST_NAMES: Final = 40  # of one part; a club's own vocabulary may have any number
_MANY_WORDS: Final = 4


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
    """Return the name of a part that a description comes nearest to, laid beside it."""
    names = names_of(index).get(part_id, [])[:_MOST_NAMES]
    laid = [aligned(index, said, name) for name in names]
    return max(
        laid,
        key=lambda one: (one.worth, one.name.region in {"any", region}, -one.name.number),
        default=None,
    )


def features(
    index: VocabularyIndex,
    item: Item,
    described: Description,
    laid: Aligned,
    region: str | None,
) -> list[float]:
    """Return what speaks for and against the part of a name; see ``FEATURES``."""
    name, part = laid.name, index.parts[laid.name.part_id]
    heads = heads_of(index)
    over = laid.over
    weight_over = sum(one.weight for one in over)
    whole = weight_over + sum(index.idf.get(word, 1.0) for _, word, *_ in laid.pairs) or 1.0
    known_over = sum(one.weight for one in over if one.options) / whole
    unknown_over = sum(one.weight for one in over if not one.options) / whole
    matched = [word for _, word, *_ in laid.pairs]
    ways = [how for *_, how in laid.pairs]
    said_text = " ".join(sorted(word for word, *_ in laid.pairs))
    name_text = " ".join(sorted((*matched, *laid.lacking)))
    lead = lead_words(described.text)
    said_in = {word for word, *_ in laid.pairs}
    over_in = any(one.word in lead for one in over)
    assembly, supply_class = item.assembly, item.supply_class
    return [
        1.0,
        laid.of_text,
        laid.of_name,
        float(laid.of_text > _ALL and laid.of_name > _ALL),
        float(not over),
        float(not laid.lacking),
        float(any(word in heads for one in over for word in one.options)),
        known_over,
        unknown_over,
        float(name.head in matched),
        sum(how in {"slip", "bones"} for how in ways) / max(len(ways), 1),
        1.0 - min((strength for _, _, strength, _ in laid.pairs), default=0.0),
        sum(how in {"short", "cut"} for how in ways) / max(len(ways), 1),
        fuzz.ratio(said_text, name_text) / 100,
        float(bool(assembly) and assembly == part.assembly),
        float(bool(assembly) and assembly != part.assembly),
        float(bool(supply_class) and supply_class == part.supply_class),
        float(bool(supply_class) and supply_class != part.supply_class),
        float(part.part_id in item.family_parts),
        float(bool(described.stated and position_objection(index, name, described.stated))),
        float(name.region not in {"any", region} and region is not None),
        min(len(name.words), _MANY_WORDS) / _MANY_WORDS,
        float(bool(lead) and not laid.lacking and said_in <= set(lead) and not over_in),
        float(next((word in said_in for word in lead if word not in words_beside()), False)),
        float(head_of(lead) in {one.word for one in over}),
    ]
