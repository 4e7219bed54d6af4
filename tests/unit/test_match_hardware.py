"""Standard hardware is known by its name, whatever sizes stand around and within it."""

import runpy
from pathlib import Path
from types import SimpleNamespace

import pytest

made = SimpleNamespace(**runpy.run_path(str(Path(__file__).with_name("match_frames.py"))))


@pytest.fixture(scope="module")
def found():
    words = [*NAMED, *ASKED]
    keys = made.items(*({"description": text} for text in words))
    return made.leading(made.matched(keys))


NAMED = {
    "3/8 BSF bolt": "bolt",
    'Bolt, 3/8" Whit. x 2"': "bolt",
    'bolts 3/8 BSF x 1"': "bolt",
    "3/8 B.S.F. bolts, 1 1/4 long, cad plated": "bolt",
    'BOLT, HEX, 3/8"-20 BSF X 1.1/4': "bolt-hexagon",
    "BOLT, HEX, 3/8\"-20 BSF X 1.1/4, 'S'": "bolt-hexagon",
    'hex bolt 3/8 BSF x 1" long, zinc plated': "bolt-hexagon",
    "1/2in. Whit nut": "nut",
    "nut 3/8-24 UNF": "nut",
    "M10x1.25x40 8.8 bolt": "bolt",
    "nyloc nut M8 x 1.25": "nut-self-locking",
    "Nut, castle, 1/2 UNF, LH thread": "nut-castle",
    "spring washers 3/8in": "washer-spring",
    "washers, 3/8, spring": "washer-spring",
    "copper washer 1/2 x 3/4": "washer-copper",
    "ball race 6205": "ball-race",
    "ball bearing 25 x 52 x 15 mm, C3": "ball-race",
    "taper roller bearing 30205": "bearing-taper-roller",
    "oil seal 40x62x10 nitrile": "oil-seal",
    "SEAL, OIL, 1 1/2 x 2 1/4 x 3/8, leather": "oil-seal",
    "split pins 1/8 x 1 1/2": "split-pin",
    "stud 5/16 BSF/UNF x 2 1/2": "stud",
    '1/4" BSP pipe union, male': "pipe-union",
    "cylinder head stud 3/8 BSF x 4 1/2": "cylinder-head-stud",
    "sprocket bolt 5/8 UNF x 2 1/4 grade S": "sprocket-bolt",
}
#: A part, or more than one, may be meant; or the words say more than sizes.
ASKED = (
    "nut or bolt 3/8 BSF",
    "stud extractor 3/8",
    "bolt box 3/8",
    "M10x1.25x40 8.8",
    "6205",
)


@pytest.mark.parametrize(("words", "part"), NAMED.items())
def test_sizes_are_no_part_of_the_name(found, words, part):
    assert (found[words]["target"], found[words]["accepted"]) == (part, True)


@pytest.mark.parametrize("words", ASKED)
def test_what_is_no_plain_name_with_sizes_waits(found, words):
    assert not found[words]["accepted"]
