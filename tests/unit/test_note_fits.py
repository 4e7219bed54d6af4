"""What members write of what goes on what: a line for each way, none for what is only asked."""

from __future__ import annotations

import pytest

from .told_by_notes import stated


def fits(tmp_path, text, name="note.txt"):
    """Return the fit lines of a note: part (build) > part (build): how."""
    told = []
    for one in stated(tmp_path, text, name):
        if one.statement.kind != "fit":
            continue
        said = one.statement.fields
        side = f" {said['side']}" if said.get("side") else ""
        hedge = "" if one.statement.sure else ", unsure"
        start, end = (
            " ".join(filter(None, (said.get(f"{of}family"), said.get(f"{of}build"))))
            for of in ("", "to_")
        )
        told.append(
            f"{said.get('description', '').lower()}{side} ({start}) > "
            f"{said.get('to_description', '').lower()} ({end}): {said['fit_grade']}{hedge}"
        )
    return told


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        # a verb, and where it goes
        ("A Mk 2 late dynamo goes straight on a Mk 1 early.",
         ["dynamo (Mk 2 late) >  (Mk 1 early): as-is"]),
        ("The late radiator won't fit an early hull, the outlets are on the other side.",
         ["radiator (late) > hull (early): never"]),
        ("The starter off a Mk 1 will bolt up to a Mk 2 if you shorten the bracket by an inch.",
         ["starter (Mk 1) >  (Mk 2): with-work"]),
        ("mk2 water pump drops straight into a mk1, no alteration",
         ["water pump (mk2) >  (mk1): as-is"]),
        ("Bramble headlamps can't be used on an Otter.",
         ["headlamps (Bramble) >  (Otter): never"]),
        ("You can put a late fuel tank in an early one but you'll have to drill two new holes.",
         ["fuel tank (late) >  (early): with-work"]),
        ("Don't try to fit a Mk 1 clutch plate to a Mk 2, the splines are different.",
         ["clutch plate (Mk 1) >  (Mk 2): never"]),
        ("I have fitted a Mk 2 late carb to a Mk 1 late manifold with no trouble at all.",
         ["carb (Mk 2 late) > manifold (Mk 1 late): as-is"]),
        # terse, with a verdict
        ("Mk 1 dynamo onto Mk 2 - no chance", ["dynamo (Mk 1) >  (Mk 2): never"]),
        ("Early silencer in a late: yes, once you have opened out the flange",
         ["silencer (Early) >  (late): with-work"]),
        ("Fuel pump: late onto early is fine, early onto late no",
         ["fuel pump (late) >  (early): one-way"]),
        ("Oil cooler, Mk 1 to Mk 2: straight swap.", ["oil cooler (Mk 1) >  (Mk 2): as-is"]),
        ("Mk 2 w/pump OK on Mk 1 late, useless on Mk 1 early",
         ["w/pump (Mk 2) >  (Mk 1 late): as-is", "w/pump (Mk 2) >  (Mk 1 early): never"]),
        # ways back
        ("A late gear lever fits an early box, but not the other way round.",
         ["gear lever (late) > box (early): one-way"]),
        ("The Mk 2 horn replaces the Mk 1. The reverse is not true.",
         ["horn (Mk 2) >  (Mk 1): one-way"]),
        ("An early dynamo fits a late engine and vice versa.",
         ["dynamo (early) > engine (late): as-is"]),
        # what is the same everywhere
        ("Oil filters are the same on every Bramble.",
         ["oil filters (Bramble) >  (Bramble): as-is"]),
        ("Any Otter battery box fits any other.",
         ["battery box (Otter) >  (Otter): as-is"]),
        ("Track pins are interchangeable between the Mk 1 and the Mk 2.",
         ["track pins (Mk 1) >  (Mk 2): as-is"]),
        ("Wiper motor: same for all the marks.", ["wiper motor () >  (): as-is"]),
        # sets
        ("The crown wheel only goes with its own pinion.",
         ["crown wheel () >  (): only-as-a-set"]),
        ("Brake shoes: as a set or not at all.", ["brake shoes () >  (): only-as-a-set"]),
        ("A Mk 2 carb will go on a Mk 1 only with the Mk 2 manifold.",
         ["carb (Mk 2) >  (Mk 1): only-as-a-set"]),
        # numbers
        ("2210-4B replaces 2210-4.", ["2210-4b () > 2210-4 (): as-is"]),
        ("Seal 2210-4 is superseded by 2210-4B, and there's no going back.",
         ["2210-4b () > seal 2210-4 (): one-way"]),
        # hands
        ("Door handles are handed, a left one will not do for a right.",
         ["door handles left () >  (): never"]),
        # hedged
        ("I think a late exhaust would fit an early manifold.",
         ["exhaust (late) > manifold (early): as-is, unsure"]),
        # a question and its answer
        ("Is a Mk 1 dynamo a straight swap for a Mk 2? No, never.",
         ["dynamo (Mk 1) >  (Mk 2): never"]),
        ("Will a Bramble coil work on an Otter? Yes, no bother.",
         ["coil (Bramble) >  (Otter): as-is"]),
        # corrections
        ("Someone told me any Otter carb fits any other. It doesn't.", []),
        ("Mk 1 seats fit a Mk 2. They don't, I tried it last week.",
         ["seats (Mk 1) >  (Mk 2): never"]),
    ],
)  # fmt: skip
def test_says_what_goes_on_what(tmp_path, text, expected):
    assert fits(tmp_path, text) == expected


@pytest.mark.parametrize(
    "text",
    [
        "Is the Mk 2 dynamo a straight swap for the Mk 1?",
        "Does anybody know if a late door fits an early one?",
        "Otter 3 has a Mk 2 gearbox in it.",
        "The dynamo goes back on next month.",
        "Fitted the new dynamo to Otter 2 on Sunday.",
        "The late Mr Dunn went to the early show in the bus.",
        "I would like a Mk 2 carb to go on my Mk 1.",
        "We go on to the next item, the late train home.",
        "The tow hook goes on the front, the spare on the rear.",
        "Got a Mk 1 late exhaust for a Mk 2? No? Pity.",
    ],
)
def test_says_nothing_of_what_is_asked_or_not_about_builds(tmp_path, text):
    assert fits(tmp_path, text) == []


def test_reads_a_table_of_what_goes_on_what(tmp_path):
    table = (
        "| Part | From | Onto | Result | Tried by |\n|---|---|---|---|---|\n"
        "| dynamo | Mk 2 | Mk 1 | straight swap | Ivo |\n"
        "| starter | Mk 1 | Mk 2 | no, teeth differ | me |\n"
        "| clutch lever | Bramble | Otter | drill one hole | me |\n"
    )
    assert fits(tmp_path, table, "table.md") == [
        "dynamo (Mk 2) >  (Mk 1): as-is",
        "starter (Mk 1) >  (Mk 2): never",
        "clutch lever (Bramble) >  (Otter): with-work",
    ]


def test_keeps_the_work_the_reason_and_what_must_go_with_it(tmp_path):
    [work] = stated(tmp_path, "A late dynamo fits an early engine if you slot the bracket.")
    assert "slot the bracket" in work.statement.fields["work"]
    [never] = stated(
        tmp_path, "A late door will not go on an early body because the hinges differ."
    )
    assert never.statement.fields["reason"] == "the hinges differ"
    [as_set] = stated(tmp_path, "A Mk 2 carb will go on a Mk 1 only with the Mk 2 manifold.")
    assert "manifold" in as_set.statement.fields["companions"]
