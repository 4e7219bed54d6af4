"""More ways in which members write what goes on what."""

from __future__ import annotations

import pytest

from .test_note_fits import fits


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        # no difference, however it is said
        ("Swivel arms: early or late, no difference whatsoever.",
         ["swivel arms (early) >  (late): as-is"]),
        ("Idlers, Mk 1 early or late, makes no odds, swap them about as you like.",
         ["idlers (Mk 1 early) >  (late): as-is"]),
        ("oil pump - identical, early, late, whoever", ["oil pump (early) >  (late): as-is"]),
        ("Dynamo. Any of them fits any of them, four bolts.", ["dynamo () >  (): as-is"]),
        ("A horn is one size for Otter and Bramble alike.",
         ["horn (Otter) >  (Bramble): as-is"]),
        ("late coil on an early, fine, either way, I swapped mine for a week",
         ["coil (late) >  (early): as-is"]),
        # one way
        ("A late horn drops straight in an early hull, but you can't go back the other way.",
         ["horn (late) > hull (early): one-way"]),
        ("A Mk 2 radiator fits a Mk 1; a Mk 1 radiator on a Mk 2 does not.",
         ["radiator (Mk 2) >  (Mk 1): one-way"]),
        (("Late lid covers an early gearbox lovely. But an early lid on a late gearbox leaves a "
          "hole open, so one direction only."),
         ["lid (late) > gearbox (early): one-way"]),
        # never
        ("Hub caps of a Mk 1 can never be used on this, the thread is opposite.",
         ["hub caps (Mk 1) >  (): never"]),
        ("Mk 2 wheel on a Mk 1 arm? You'll be there till Christmas, don't.",
         ["wheel (Mk 2) > arm (Mk 1): never"]),
        ("dynamo, late into early engine: no chance", ["dynamo (late) > engine (early): never"]),
        ("A thick seal is not to be got into a thin housing by any means.", []),
        ("Early gearbox in a late chassis, no, the lever fouls.",
         ["gearbox (early) > chassis (late): never"]),
        ("None of the late manifolds will go on an early engine.",
         ["manifolds (late) > engine (early): never"]),
        # work
        ("I've had a Mk 2 clutch cover onto a Mk 1 flywheel but you have to open out the holes.",
         ["clutch cover (Mk 2) > flywheel (Mk 1): with-work"]),
        ("selector fork, Mk 2 > Mk 1, ease the bore with a hone. Then yes",
         ["selector fork (Mk 2) >  (Mk 1): with-work"]),
        ("A late spindle will go in the early pump if somebody's careful with a reamer.",
         ["spindle (late) > pump (early): with-work"]),
        # sets
        (("A starter, the early, can be used in a late vehicle provided that both brackets come "
          "with it."), ["starter (early) >  (late): only-as-a-set"]),
        ("Never one piston on its own, always the pair.", ["piston () >  (): only-as-a-set"]),
        ("idler gear: swap it AND its mate, or it howls. Not one alone",
         ["idler gear () >  (): only-as-a-set"]),
    ],
)  # fmt: skip
def test_says_what_goes_on_what_in_more_words(tmp_path, text, expected):
    assert [one.lower() for one in fits(tmp_path, text)] == [one.lower() for one in expected]


@pytest.mark.parametrize(
    "text",
    [
        "Rivets on the late cab go in pairs.",
        "A few would like: an early clip for the bonnet, the kind with the ball.",
        "Late train home, early start, no difference to me.",
        "Never one to complain, always the pair of them laughing.",
        "The early bird fits in a late lunch.",
        "I swapped the dynamo and its bracket, or it howls.",
    ],
)
def test_says_nothing_where_nothing_goes_on_anything(tmp_path, text):
    assert fits(tmp_path, text) == []


def test_reads_findings_in_a_table_in_the_words_of_their_writer(tmp_path):
    table = (
        "| piece | off | onto | my finding |\n|---|---|---|---|\n"
        "| fuel pump | Otter Mk 1 early | Otter Mk 1 late | goes, and comes back again |\n"
        "| idler | Otter Mk 2 | Otter Mk 1 | it goes; a Mk 1 idler on a Mk 2 does not |\n"
        "| starter | Bramble Mk 2 early | Bramble Mk 1 | no. One tooth. Never |\n"
        "| door hinge | late | early | one has to file the knuckle 2 mm |\n"
        "| coupling | Otter Mk 1 | Otter Mk 2 | only with both halves from one source |\n"
    )
    assert fits(tmp_path, table, "table.md") == [
        "fuel pump (Otter Mk 1 early) >  (Otter Mk 1 late): as-is",
        "idler (Otter Mk 2) >  (Otter Mk 1): one-way",
        "starter (Bramble Mk 2 early) >  (Bramble Mk 1): never",
        "door hinge (late) >  (early): with-work",
        "coupling (Otter Mk 1) >  (Otter Mk 2): only-as-a-set",
    ]
