"""Sides, positions and stations in words; a side is never guessed."""

from __future__ import annotations

import pytest

from partmuster.reading.sides import near_side, read_side

LEFT_RIGHT = {
    "LH": "left",
    "l/h": "left",
    "L.H.": "left",
    "Left": "left",
    "left-hand": "left",
    "LHS": "left",
    "L": "left",
    "(R)": "right",
    "mudguard, L": "left",
    "mudguard (L)": "left",
    "Mudguard - R": "right",
    "R side": "right",
    "R.H. mudguard": "right",
    "MUDGUARD, FRONT, RH": "right",
    "right hand mudguard": "right",
    "right-hand side door": "right",
    "port headlamp": "left",
    "stbd lamp": "right",
    "starboard": "right",
    "N/S mudguard": "near",
    "nearside door": "near",
    "near side": "near",
    "o/s": "off",
    "offside headlamp": "off",
    "front o/s": "off",
    "mudguard o/s": "off",
    "N/S/F wing": "near",
    "OSR": "off",
    "port": "left",
    "port side": "left",
    "vision port": None,
    "PORT, VISION": None,
    "exhaust port gasket": None,
    "mudguard": None,
    "": None,
    "letf mudguard": None,
    "rihgt": None,
    "RHD": None,
    "LHD speedo": None,
    "left hand drive column": None,
    "right angle drive": None,
    "right-angled bracket": None,
    "left over from rebuild": None,
    "left at the shed": None,
    "nut, left hand thread": None,
    "LH thread nut": None,
    "screw, RH, 2BA": None,
    "rivet 1/8 RH": None,
    "STUD, steering box, .010 o/s": None,
    "piston o/s 020": None,
    "the right type": None,
    "upright": None,
    "either side": None,
}


@pytest.mark.parametrize(("text", "side"), LEFT_RIGHT.items())
def test_side(text, side):
    got = read_side(text)
    assert got.side == side
    assert got.ambiguous == ()
    assert got.text == text


AMBIGUOUS = {
    "mudguard RR": "rr",
    "FR lamp": "fr",
    "LR": "lr",
    "mudguard L": "l",
    "seal o/s": "o/s",
    "bolt, left hand": "left hand",
    "not LH": "lh",
    "LH?": "lh",
    "LH or RH?": "lh",
    "L/R": "l/r",
    "LH/RH": "lh/rh",
    "LH mudguard off the RH side": "lh",
    "driver's side mirror": "driver's side",
    "passenger side": "passenger side",
    "2 left": "left",
    "ns clip": "ns",
    "mudguard F/L": "f/l",
    "port ring": "port",
}


@pytest.mark.parametrize(("text", "token"), AMBIGUOUS.items())
def test_left_open(text, token):
    got = read_side(text)
    assert got.side is None
    assert token in [name for name, _ in got.ambiguous]
    assert all(len(readings) > 1 for _, readings in got.ambiguous)


@pytest.mark.parametrize(
    ("text", "count_each"),
    [
        ("LH & RH", 1),
        ("mudguards LH and RH", 1),
        ("L+R", 1),
        ("left & right", 1),
        ("N/S & O/S", 1),
        ("both sides", 1),
        ("one each side", 1),
        ("2 each side", 2),
        ("handed pair", 1),
        ("1 LH, 1 RH", 1),
        ("1 LH 2 RH", None),
    ],
)
def test_both(text, count_each):
    got = read_side(text)
    assert (got.side, got.count_each, got.ambiguous) == ("both", count_each, ())


def test_bare_pair_says_no_side():
    got = read_side("pair of brackets")
    assert (got.side, got.count_each, got.rest) == (None, 1, "brackets")


@pytest.mark.parametrize(
    ("text", "country", "side"),
    [
        ("n/s", "GB", "left"),
        ("o/s", "GB", "right"),
        ("nearside", "US", "right"),
        ("offside", "DE", "left"),
        ("n/s", "jp", "left"),
        ("n/s", "XX", "near"),
        ("n/s", None, "near"),
        ("driver's side (RHD)", None, "right"),
        ("passenger side LHD", None, "right"),
    ],
)
def test_country(text, country, side):
    assert read_side(text, country).side == side


@pytest.mark.parametrize("country", ["GB", "IE", "AU", "NZ", "ZA", "IN", "JP"])
def test_near_side_is_left_where_they_drive_on_the_left(country):
    assert near_side(country) == "left"


@pytest.mark.parametrize(
    ("text", "positions"),
    [
        ("MUDGUARD, upper front LH", ("front", "upper")),
        ("frt", ("front",)),
        ("fwd mount", ("front",)),
        ("aft mount", ("rear",)),
        ("back axle", ("rear",)),
        ("seat back", ()),
        ("back plate", ()),
        ("lwr outer", ("lower", "outer")),
        ("inner tube", ()),
        ("top dead centre mark", ()),
        ("ctr bearing", ("centre",)),
        ("btm hose", ("bottom",)),
        ("rear view mirror", ()),
        ("front wheel drive", ()),
        ("n/s/r lamp", ("rear",)),
        ("inboard", ("inner",)),
    ],
)
def test_positions(text, positions):
    assert read_side(text).positions == positions


@pytest.mark.parametrize(
    ("text", "station"),
    [
        ("road wheel, station 3", "station 3"),
        ("stn. 3", "station 3"),
        ("No. 2 axle", "axle 2"),
        ("axle 2", "axle 2"),
        ("2nd axle", "axle 2"),
        ("bank A", "bank A"),
        ("no 4 cyl", "cylinder 4"),
        ("cyl no. 4", "cylinder 4"),
        ("#4 cylinder", "cylinder 4"),
        ("left bank manifold", "bank left"),
        ("stations 3-5", "station 3-5"),
        ("wheel", None),
    ],
)
def test_station(text, station):
    got = read_side(text)
    assert got.station == station
    assert got.side is None


@pytest.mark.parametrize(
    ("text", "rest"),
    [
        ("MUDGUARD, FRONT, RH", "MUDGUARD"),
        ("L/H upper track guard", "track guard"),
        ("mudguard (L)", "mudguard"),
        ("Road wheel, station 3", "Road wheel"),
        ("LH", ""),
        ("LH only", ""),
        ("screw, RH, 2BA", "screw, RH, 2BA"),
        ("mudguards LH and RH", "mudguards"),
    ],
)
def test_rest(text, rest):
    assert read_side(text).rest == rest
