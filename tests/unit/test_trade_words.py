"""Units, spellings and general words."""

from __future__ import annotations

import pytest

from partmuster_trade import general_words, pieces, uk_spelling, unit_id
from partmuster_trade.units import all_units


@pytest.mark.parametrize(
    ("word", "unit", "count"),
    [
        ("each", "each", 1),
        ("EA", "each", 1),
        ("No.", "each", 1),
        ("off", "each", 1),
        ("pr", "pair", 2),
        ("Prs.", "pair", 2),
        ("doz", "dozen", 12),
        ("DZ", "dozen", 12),
        ("gross", "gross", 144),
        ("half  dozen", "half-dozen", 6),
        ("HD", "hundred", 100),
        ("set", "set", None),
        ("KT", "kit", None),
        ("BX", "box", None),
        ("ft", "foot", None),
        ("LB", "pound", None),
        ("GL", "gallon", None),
        ("metres", "metre", None),
        ("furlong", None, None),
    ],
)
def test_units(word, unit, count):
    assert (unit_id(word), pieces(word)) == (unit, count)


def test_a_word_belongs_to_one_unit():
    words = [word for unit in all_units().values() for word in unit.words]
    assert len(words) == len(set(words))
    assert all(word == word.casefold() for word in words)


def test_issue_codes_are_words_of_their_unit():
    for unit in all_units().values():
        if unit.issue_code:
            assert unit_id(unit.issue_code) == unit.unit_id
            assert unit.source.startswith(("SOURCE-SEEN", "FROM-MEMORY"))


@pytest.mark.parametrize(
    ("text", "spelt"),
    [
        ("Gray center gage", "grey centre gauge"),
        ("aluminum", "aluminium"),
        ("tire", "tyre"),
        ("carburetter", "carburettor"),
        ("armored", "armoured"),
        ("fender", "fender"),
        ("", ""),
    ],
)
def test_spelling(text, spelt):
    assert uk_spelling(text) == spelt
    assert uk_spelling(uk_spelling(text)) == spelt


def test_general_words_are_of_three_kinds():
    assert {word.kind for word in general_words()} == {"spelling", "vehicle", "side"}
    lorry = next(word for word in general_words() if word.word == "lorry")
    assert "truck" in lorry.names_us
