"""Short forms: settled by what stands beside them, or left open with every reading."""

from __future__ import annotations

import pytest

from partmuster_trade import expand
from partmuster_trade.abbreviations import MEASURES, OTHERWISE, all_abbreviations


@pytest.mark.parametrize(
    ("token", "neighbours", "reading"),
    [
        ("RH", ["mudguard"], "right hand"),
        ("R.H.", [], "right hand"),
        ("R/H", ["door"], "right hand"),
        ("RH", ["1/4", "screw"], "round head"),
        ("RH", ["SCRS"], "round head"),
        ("RH", ["thread"], "right hand"),
        ("RHD", [], "right-hand drive"),
        ("RHD", ["RIV"], "round head"),
        ("LH", ["screw"], "left hand"),
        ("O/S", ["door"], "off side"),
        ("o/s", ["main", "bearing"], "oversize"),
        ("o/s", ["piston,", ".020"], "oversize"),
        ("O/S", [".020"], "oversize"),
        ("U/S", ["starter"], "unserviceable"),
        ("u/s", ["shells", ".010"], "undersize"),
        ("N/S", ["mirror"], "near side"),
        ("REG", ["voltage"], "regulator"),
        ("REG", ["number"], "registration"),
        ("M", ["bolt"], "metric"),
        ("M", ["hose"], "metre"),
        ("FT", ["6"], "foot"),
        ("FT", ["CAP"], "fuel tank"),
        ("HT", ["bolt"], "high tensile"),
        ("HT", ["lead"], "high tension"),
        ("RAD", ["hose"], "radiator"),
        ("RAD", ["arm"], "radius"),
        ("IN", ["1/2"], "inch"),
        ("IN", ["manifold"], "inlet"),
        ("C/W", ["bracket"], "complete with"),
        ("ASSY", [], "assembly"),
        ("assy.", [], "assembly"),
        ("G/BOX", [], "gearbox"),
        ("MUDGD", ["FRONT"], "mudguard"),
        ("NOS", [], "new old stock"),
        ("DIST", ["cap"], "distributor"),
        ("DIST", ["piece"], "distance"),
    ],
)
def test_settled(token, neighbours, reading):
    found = expand(token, neighbours)
    assert (found.readings, found.settled) == ((reading,), True)
    assert found.reason


@pytest.mark.parametrize(
    ("token", "neighbours", "readings"),
    [
        ("O/S", ["handle"], {"off side", "oversize", "outside", "out of stock", "outstanding"}),
        ("O/S", ["front", "wheel", "bearing"], {"off side", "oversize"}),
        ("U/S", ["shell"], {"unserviceable", "undersize"}),
        ("RH", ["track", "adjusting", "screw"], {"right hand", "round head"}),
        ("M", [], {"metre", "metric"}),
        ("L", ["mudguard"], {"left", "length", "litre"}),
        ("RR", ["wheel"], {"rear", "right rear", "return roller"}),
        ("GR", ["paint"], {"grey", "green"}),
        ("NP", [], {"not procurable", "nickel plated", "number plate"}),
    ],
)
def test_left_open(token, neighbours, readings):
    found = expand(token, neighbours)
    assert set(found.readings) == readings
    assert not found.settled


def test_a_token_not_known_gives_itself():
    found = expand("Sprongle")
    assert (found.readings, found.settled) == (("Sprongle",), True)


def test_spelling_alone_is_no_doubt_and_the_region_spells_it():
    assert expand("carb", region="US").readings == ("carburetor",)
    assert expand("carb", region="UK").readings == ("carburettor",)
    assert expand("carb").readings == ("carburettor",)


def test_order_of_neighbours_does_not_matter():
    assert expand("O/S", ["bearing", ".020", "front"]) == expand(
        "O/S", [".020", "front", "bearing"]
    )


def test_every_rule_points_to_a_reading_of_its_row():
    for row in all_abbreviations():
        readings = {*row.expansions, *row.other_readings}
        for reading, words in row.context:
            assert reading in readings, row.abbr
            assert words, row.abbr
            assert all(w == w.lower() for w in words), row.abbr
            assert {w for w in words if w.startswith("#")} <= MEASURES, row.abbr


def test_a_row_has_one_otherwise_at_most():
    for row in all_abbreviations():
        assert sum(OTHERWISE in words for _, words in row.context) <= 1, row.abbr


def test_rows_with_several_readings_are_marked_ambiguous():
    for row in all_abbreviations():
        if len({*row.expansions, *row.other_readings}) > 1:
            assert row.ambiguous, row.abbr


def test_every_rule_settles_by_its_own_words_unless_two_rules_share_them():
    for row in all_abbreviations():
        for reading, words in row.context:
            for word in sorted(words - MEASURES - {OTHERWISE}):
                found = expand(row.abbr, [word])
                assert reading in found.readings, (row.abbr, word)


def test_each_short_form_stands_once_for_a_region():
    keys = [(row.abbr, row.region) for row in all_abbreviations()]
    assert len(keys) == len(set(keys))
    assert all(row.abbr == row.abbr.upper() for row in all_abbreviations())
