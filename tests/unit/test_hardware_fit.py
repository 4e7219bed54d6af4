"""Whether one piece of standard hardware serves for another, from what words say of both."""

from __future__ import annotations

import pytest

from partmuster_trade.hardware import read_hardware
from partmuster_trade.hardware_fit import compare_hardware


def verdict(wanted, offered, duty=""):
    return compare_hardware(read_hardware(wanted), read_hardware(offered), duty)


BOLT = "3/8 BSF bolt x 1 1/4"


@pytest.mark.parametrize(
    ("wanted", "offered"),
    [
        (BOLT, 'BOLT, 3/8"-20 BSF X 1.1/4'),
        (BOLT, "bolts, 3/8in. B.S.F. by 1.25in. long"),
        (BOLT, "3/8 BSF x 1 1/4 hex bolt"),  # a bolt of which no more is said has a hexagon head
        ("1/2 Whit nut", "NUT, PLAIN, 1/2-12 BSW"),
        ("M10 x 40 bolt 8.8", "bolt M10x40, 8.8"),
        ("split pin 1/8 x 1 1/2", "cotter pin, split, 1/8in x 1.5in"),
        ("6205-C3", "bearing 6205 C3"),
        ("oil seal 40x62x10 nitrile", "seal, oil, 40 x 62 x 10 mm, NBR"),
        ("1/4 BSP union", 'union 1/4" BSP'),
    ],
)
def test_the_same_specification_serves_both_ways(wanted, offered):
    for one, other in ((wanted, offered), (offered, wanted)):
        found = verdict(one, other)
        assert found.result == "same"
        assert found.reason.startswith("same specification")


@pytest.mark.parametrize(
    ("wanted", "offered", "reasons"),
    [
        # same diameter, same 16 threads to the inch, and yet another thread
        ("3/8 BSW bolt x 1", "3/8 UNC bolt x 1",
         ("same pitch is not same thread", "55 and 60 degree", "16 threads to the inch")),
        # at half an inch the pitches differ as well
        ("1/2 BSW bolt x 1", "1/2 UNC bolt x 1", ("12", "13", "55 and 60 degree")),
        (BOLT, "3/8 UNC bolt x 1 1/4", ("20", "16", "55 and 60 degree")),
        (BOLT, "3/8 BSW bolt x 1 1/4", ("20", "16")),
        ("3/8 UNF bolt x 1", "3/8 UNC bolt x 1", ("24", "16")),
        (BOLT, "7/16 BSF bolt x 1 1/4", ("7/16", "3/8")),
        (BOLT, "M10 x 30 bolt", ("BSF", "M10")),
        ("M10x1.25x40 bolt", "M10x1.5x40 bolt", ("1.25", "1.5")),
        ("2BA nut", "10-32 UNF nut", ("BA", "UNF")),
        (BOLT, "3/8-16 bolt x 1 1/4", ("20", "16")),
        ("1/2 UNF nut", "1/2 UNF nut left-hand thread", ("left-hand",)),
        ("3/8 BSF bolt x 1", "3/8 BSF nut", ("bolt", "nut")),
        ("1/4 BSP union", "1/4 NPT union", ("55 and 60 degree",)),
        ("bearing 6205 C3", "bearing 6206 C3", ("6206", "6205")),
        ("oil seal 40x62x10", "oil seal 40x65x10", ("62", "65")),
        ("spring washer 3/8", "spring washer 1/2", ("1/2", "3/8")),
    ],
)  # fmt: skip
def test_another_thread_or_size_never_serves(wanted, offered, reasons):
    for one, other in ((wanted, offered), (offered, wanted)):
        found = verdict(one, other)
        assert found.result == "never"
        for reason in reasons:
            assert reason in found.reason


@pytest.mark.parametrize(
    ("wanted", "offered", "differences"),
    [
        (BOLT, "3/8 BSF bolt x 1 1/2", ("length: 1 1/2 in, wanted 1 1/4 in",)),
        (BOLT + " grade S", BOLT + " grade R", ("grade: R, wanted S",)),
        (BOLT + " grade S", BOLT, ("grade: not stated, wanted S",)),
        (BOLT, BOLT + " grade S", ("grade: S, none stated of what is wanted",)),
        (BOLT + " drilled head", BOLT, ("drilled: not stated, wanted head",)),
        ("bearing 6205 C3", "bearing 6205", ("clearance: not stated, wanted C3",)),
        ("bearing 6205 2RS", "bearing 6205 ZZ",
         ("closure: shielded both sides, wanted sealed both sides",)),
        ("oil seal 40x62x10 nitrile", "oil seal 40x62x10 viton",
         ("material: viton, wanted nitrile",)),
        ("3/8 BSF bolt x 1in", "3/8 BSF setscrew x 1in",
         ("a setscrew is threaded to its head, a bolt is not",)),
        ("1/4 BSF grub screw x 1/2", "1/4 BSF screw x 1/2", ("a screw, wanted a grub screw",)),
        ("1/4 BSP union", "1/4 BSPT union", ("parallel and taper",)),
        ("bearing 6205", "bearing 25 x 52 x 15", ("6205",)),
        ("bolt 3/8 BSF x 1", "bolt 3/8 BSF x 1 waisted", ("not understood: 'waisted'",)),
        ("M10 x 40 bolt", "M10 x 1.5 x 40 bolt", ("M10 alone means a pitch of 1.5 mm",)),
    ],
)  # fmt: skip
def test_same_size_is_not_same_duty(wanted, offered, differences):
    found = verdict(wanted, offered)
    assert found.result == "check"
    assert found.reason.startswith("same size, check duty: ")
    for difference in differences:
        assert difference in found.reason


@pytest.mark.parametrize(
    ("wanted", "offered", "missing"),
    [
        (BOLT, "3/8 bolt x 1 1/4", ("thread not stated",)),
        (BOLT, "bolt", ("thread", "size", "length")),
        (BOLT, "3/8 BSF bolt", ("length not stated",)),
        ("3/8 BSF bolt", "3/8 BSF bolt", ("length not stated",)),
        ("3/8 UNC bolt x 1", "3/8-16 bolt x 1", ("thread not stated", "BSW, UNC")),
        ("3/8 BSF x 1", "3/8 BSF bolt x 1", ("what it is not stated",)),
        (BOLT, "a box of fixings", ("not understood",)),
        ("oil seal 40x62x10", "oil seal 40x62", ("width not stated",)),
        ("bearing 6205", "bearing", ("number or size not stated",)),
        ("bearing 6205", "6206", ("not understood",)),  # a bare number may be any part's
        ("bearing RLS8", "bearing LS10", ("whether LS10 is the size of RLS8",)),
        ("M10 x 40 bolt", "M10x1.25x40 bolt", ("pitch",)),
        (BOLT, "3/8-16 BSF bolt x 1 1/4", ("3/8 BSF has 20 threads to the inch, not 16",)),
    ],
)
def test_what_is_not_stated_is_unknown_and_named(wanted, offered, missing):
    found = verdict(wanted, offered)
    assert found.result == "unknown"
    for word in missing:
        assert word in found.reason


@pytest.mark.parametrize("duty", ["steering", "brakes", "lifting"])
def test_steering_brakes_and_lifting_never_on_size_alone(duty):
    found = verdict(BOLT, BOLT, duty)
    assert found.result == "unknown"
    assert f"{duty}: never on size alone" in found.reason
    assert "grade not stated" in found.reason
    one_sided = verdict(BOLT + " grade S", BOLT, duty)
    assert one_sided.result == "unknown"
    agreed = verdict(BOLT + " grade S", BOLT + " grade S", duty)
    assert agreed.result == "same"
    assert f"{duty}: check duty" in agreed.reason
    # a size that differs is still never
    assert verdict(BOLT, "3/8 UNC bolt x 1 1/4", duty).result == "never"


def test_duty_is_known_from_the_words_as_well():
    found = verdict("steering box bolt 3/8 BSF x 1 1/4", BOLT)
    assert found.result == "unknown"
    assert "steering: never on size alone" in found.reason


@pytest.mark.parametrize(
    ("wanted", "offered", "duty", "caution"),
    [
        (BOLT, BOLT + " cadmium plated", "", "cadmium"),
        (BOLT, BOLT, "lifting", "lifting"),
        ("copper asbestos washer 1/2", "copper washer 1/2", "", "asbestos"),
        (BOLT, BOLT, "", None),
    ],
)
def test_cautions_go_with_the_verdict(wanted, offered, duty, caution):
    assert verdict(wanted, offered, duty).cautions == ((caution,) if caution else ())
