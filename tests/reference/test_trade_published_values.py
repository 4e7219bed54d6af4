"""Trade data against published values; what was only remembered is not held to be true here."""

from __future__ import annotations

import pytest

from partmuster_trade import condition_code, condition_codes, definitions
from partmuster_trade.abbreviations import all_abbreviations, expand
from partmuster_trade.cautions import all_cautions, caution
from partmuster_trade.supply_classes import country, country_codes, group, supply_classes, title

SEEN = "SOURCE-SEEN"

# Titles as seen in stored lists A (a parts broker's page of class titles), B and D (tables of
# classes in public database dumps); list C is left out, for it holds errors.
TITLES = {
    "2350": "Combat, Assault, and Tactical Vehicles, Tracked",  # B
    "2510": "Vehicular Cab, Body, and Frame Structural Components",  # A+B
    "2520": "Vehicular Power Transmission Components",  # A+B
    "2530": "Vehicular Brake, Steering, Axle, Wheel, and Track Components",  # A+B
    "2540": "Vehicular Furniture and Accessories",  # A+B
    "2590": "Miscellaneous Vehicular Components",  # A+B
    "2610": "Tires and Tubes, Pneumatic, Except Aircraft",  # A+B
    "2630": "Tires, Solid and Cushion",  # A+B
    "2805": "Gasoline Reciprocating Engines, Except Aircraft; and Components",  # A+B
    "2815": "Diesel Engines and Components",  # A+B
    "2910": "Engine Fuel System Components, Nonaircraft",  # A+B
    "2920": "Engine Electrical System Components, Nonaircraft",  # A+B
    "2930": "Engine Cooling System Components, Nonaircraft",  # A+B
    "2940": "Engine Air and Oil Filters, Strainers, and Cleaners, Nonaircraft",  # A+B
    "2990": "Miscellaneous Engine Accessories, Nonaircraft",  # A+B
    "3110": "Bearings, Antifriction, Unmounted",  # A+B
    "4730": "Hose, Pipe, Tube, Lubrication, and Railing Fittings",  # A+B
    "5305": "Screws",  # A+B+D
    "5306": "Bolts",  # A+B+D
    "5310": "Nuts and Washers",  # A+B+D
    "5315": "Nails, Machine Keys, and Pins",  # A+B+D
    "5330": "Packing and Gasket Materials",  # A+B+D
    "5340": "Hardware, Commercial",  # A+B
    "5365": "Bushings, Rings, Shims, and Spacers",  # A+B+D
    "5930": "Switches",  # A+B+D
    "6220": "Electric Vehicular Lights and Fixtures",  # A+B
    "6620": "Engine Instruments",  # A+B
}


@pytest.mark.parametrize(("code", "published"), TITLES.items())
def test_class_titles(code, published):
    assert supply_classes()[code].source.startswith(SEEN)
    assert title(code) == published


def test_a_class_lies_in_the_group_of_its_first_two_digits():
    assert len(supply_classes()) == 223
    for code, found in supply_classes().items():
        assert len(code) == 4
        assert code.isdigit()
        assert found.group == code[:2]
        assert found.source.startswith((SEEN, "FROM-MEMORY"))
    assert group("2530") == "Vehicular Equipment Components"  # A+B
    assert title("0000") is None
    assert group("0000") is None


# The AC/135 brochure's stock-number page, and the CodSP-3 list as copied by gov.br (CASLODE).
COUNTRIES = {"12": "Germany", "14": "France", "20": "Canada", "21": "Canada", "66": "Australia"}


@pytest.mark.parametrize(("code", "published"), COUNTRIES.items())
def test_country_codes(code, published):
    assert country_codes()[code].source.startswith(SEEN)
    assert country(code) == published


def test_stock_number_page_of_the_brochure():
    # AC/135 brochure insert: 00 the United States, 99 the United Kingdom
    assert country("00").startswith("United States")
    assert country("99") == "United Kingdom"
    assert country_codes()["99"].source.startswith(SEEN)
    assert country("97") is None
    assert all(len(code) == 2 and code.isdigit() for code in country_codes())


def test_condition_codes_seen():
    # Disposition services' "Condition Codes" page, A to F in full
    for letter in "ABCD":
        assert condition_code("supply", letter).title.startswith("Serviceable")
    for letter in "EF":
        assert condition_code("supply", letter.lower()).title.startswith("Unserviceable")
    # work requirement NMWR 9-2815-220, table 2
    assert condition_code("supply", "H").title == "Unserviceable (condemned)"
    # a federal property manual, section 20, quoting FAR 45.606-5
    assert condition_code("disposal", "4").title == "Used - good"
    assert condition_code("disposal", "A") is None
    assert len({(c.scheme, c.code) for c in condition_codes()}) == len(condition_codes()) == 29


def test_definitions_keep_their_documents():
    assert len(definitions()) == 20
    assert all(d.document and d.source for d in definitions())
    direct = next(d for d in definitions() if d.term.startswith("interchangeability /"))
    assert direct.source == SEEN
    assert direct.relation == "direct (two-way)"


def test_cautions_defer_to_an_authority():
    assert len(all_cautions()) == 30
    for found in all_cautions().values():
        assert found.text
        assert found.authority
        assert found.source.startswith((SEEN, "FROM-MEMORY"))
    assert "blow" in caution("asbestos").text  # the HSE motor vehicle repair page


@pytest.mark.parametrize(
    ("abbr", "reading"),
    [
        # Army TM 55-4920-400-13, group assembly parts list abbreviations
        ("AR", "as required"),
        ("QTY", "quantity"),
        ("NHA", "next higher assembly"),
        ("STL", "steel"),
        ("SPDT", "single pole double throw"),
        # Aeronautical Engineer's Data Book, table 12.2
        ("CHAM", "chamfer"),
        ("DRG", "drawing"),
        ("LH", "left hand"),
        ("PCD", "pitch circle diameter"),
    ],
)
def test_published_short_forms(abbr, reading):
    row = next(row for row in all_abbreviations() if row.abbr == abbr)
    assert row.source.startswith(SEEN)
    assert expand(abbr).readings == (reading,)


def test_no_unseen_short_form_is_passed_off_as_seen():
    for row in all_abbreviations():
        assert row.source.startswith((SEEN, "FROM-MEMORY", "common practice")), row.abbr
