"""Parts lists whose quantities are for one of the next higher assembly, against textbook bills.

The statements are problems of operations-management textbooks (seen on four and two pages); their
solutions are not published and are worked by hand here.

Z = 2 A + 4 B; A = 3 C + 4 D; D = 2 E; 50 of Z:
    A 50 x 2 = 100; B 50 x 4 = 200; C 100 x 3 = 300; D 100 x 4 = 400; E 400 x 2 = 800

A = 2 B + 4 C; B = 3 D + 2 E; C = 2 F + 2 E; 100 of A:
    B 100 x 2 = 200; C 100 x 4 = 400; D 200 x 3 = 600; F 400 x 2 = 800
    E 200 x 2 = 400 below B and 400 x 2 = 800 below C, 1,200 in all
"""

from __future__ import annotations

from collections import defaultdict

import pytest

from partmuster_trade import load_vocabulary
from tests.unit.conftest import SmallClub

# Operations-management textbook problem (problem statement seen on 4 pages)
BILL_OF_Z = "50 Z; Z=2A+4B; A=3C+4D; D=2E"
# textbook problem (statement seen on 2 pages), with a component that two others share
BILL_OF_A = "100 A; A=2B+4C; B=3D+2E; C=2F+2E"

BELOW_Z = {"Z": [50], "A": [100], "B": [200], "C": [300], "D": [400], "E": [800]}
BELOW_A = {"A": [100], "B": [200], "C": [400], "D": [600], "E": [400, 800], "F": [800]}

#: What the letters are in the sheets: parts that have no hand.
NAMES = {"Z": "WATER PUMP", "A": "DYNAMO", "B": "MAGNETO", "C": "STARTER MOTOR",
         "D": "FUEL PUMP", "E": "RADIATOR", "F": "CARBURETTOR"}  # fmt: skip


def made_of(bill):
    """Return the whole, how many of it, and what each thing is made of."""
    first, *rest = bill.split("; ")
    count, whole = first.split()
    below = {}
    for statement in rest:
        parent, parts = statement.split("=")
        below[parent] = [(int(part[:-1]), part[-1]) for part in parts.split("+")]
    return whole, int(count), below


def sheet(bill, level):
    """Return the bill as a parts list; ``level`` writes how deep a row and its name are."""
    whole, count, below = made_of(bill)
    rows = ["Quantity per next higher assembly", "Level,Part No,Description,Qty"]

    def add(letter, quantity, depth):
        said, name = level(depth, NAMES[letter])
        rows.append(f"{said},{whole}X {100 + ord(letter)},{name},{quantity}")
        for each, part in below.get(letter, ()):
            add(part, each, depth + 1)

    add(whole, count, 0)
    return "\n".join(rows) + "\n"


LEVELS = {
    "dots": lambda depth, name: ("", ". " * depth + name),
    "figures": lambda depth, name: (str(depth), name),
}


@pytest.fixture(scope="module")
def required(tmp_path_factory):
    """Return what each sheet was read to require: quantities by letter, by sheet."""
    small = SmallClub(tmp_path_factory.mktemp("bills"), load_vocabulary())
    for way, level in LEVELS.items():
        small.write(f"otter {way} z parts list.csv", sheet(BILL_OF_Z, level))
        small.write(f"otter {way} a parts list.csv", sheet(BILL_OF_A, level))
    report = small.load()
    found = defaultdict(lambda: defaultdict(list))
    for source, number, low, high in small.rows(
        "SELECT s.name, r.part_number, r.at_least, r.at_most FROM requirement r "
        "JOIN source s USING (source_id)"
    ):
        assert low == high
        found[source][chr(int(number.split()[1]) - 100)].append(low)
    return report, found


@pytest.mark.parametrize("way", LEVELS)
@pytest.mark.parametrize(("bill", "gross"), [("z", BELOW_Z), ("a", BELOW_A)])
def test_quantities_are_multiplied_down_the_levels(required, way, bill, gross):
    _, found = required
    read = found[f"otter {way} {bill} parts list.csv"]
    assert {letter: sorted(quantities) for letter, quantities in read.items()} == gross


def test_a_component_that_two_share_is_needed_for_both(tmp_path):
    small = SmallClub(tmp_path, load_vocabulary())
    small.write("otter parts list.csv", sheet(BILL_OF_A, LEVELS["dots"]))
    small.write("vehicles.csv", "Vehicle,Family,Aim\nOtter 1,Otter,full original\n")
    small.load()
    lacking = {row["part"]: row["required"] for row in small.lacks("Otter 1").rows.to_dicts()}
    assert lacking["radiator"] == 1200
    assert lacking["carburettor"] == 800
