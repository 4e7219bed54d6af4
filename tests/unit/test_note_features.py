"""What members write of marks, castings, plates and construction: a clause a feature, no states."""

from __future__ import annotations

import pytest

from .told_by_notes import stated

HEAD = "Otter 3, 5 May 2025\n\n"


def features(tmp_path, text):
    """Return the features of a note on Otter 3: the words, "not seen", another vehicle, hedge."""
    told = []
    for one in stated(tmp_path, HEAD + text):
        if one.statement.kind != "feature":
            continue
        words = one.statement.fields["feature"]
        words += " / not seen" * (one.statement.fields.get("status") == "no")
        words += " / unsure" * (not one.statement.sure)
        about = one.statement.vehicles[:1]
        words += f" / {about[0]}" if about and about[0] != "Otter 3" else ""
        told.append(words)
    return told


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        # marks and what is read on them
        ("The bulkhead is stamped HX 44 on the left.",
         ["The bulkhead is stamped HX 44 on the left"]),
        ("There's a casting number on the block, 4471.",
         ["There is a casting number on the block, 4471"]),
        ("foundry mark like an anchor on the tow hook",
         ["foundry mark like an anchor on the tow hook"]),
        ('Somebody has scratched "Alf 1951" into the dash.',
         ['Somebody has scratched "Alf 1951" into the dash']),
        ("Data plate on the scuttle reads MODEL C, NO. 212.",
         ["Data plate on the scuttle reads MODEL C, NO. 212"]),
        ("A brass tag on the magneto is dated 6/43.", ["A brass tag on the magneto is dated 6/43"]),
        ("head date code B3 48", ["head date code B3 48"]),
        ("Yellow paint shows under the green on the toolbox lid.",
         ["Yellow paint shows under the green on the toolbox lid"]),
        # how it is made
        ("The rear plate is welded, not riveted.", ["The rear plate is welded, not riveted"]),
        ("Engine deck is in two pieces.", ["Engine deck is in two pieces"]),
        ("The front hubs are cast and the back ones pressed.",
         ["The front hubs are cast and the back ones pressed"]),
        ("The filler neck is square instead of round.",
         ["The filler neck is square instead of round"]),
        # counted
        ("The sprocket has 15 teeth.", ["The sprocket has 15 teeth"]),
        ("Radiator grille: six ribs, not five", ["Radiator grille: six ribs, not five"]),
        ("There are two rows of rivets along the sill.",
         ["There are two rows of rivets along the sill"]),
        # two in a sentence, and another vehicle to compare
        ("The bonnet has five louvres, and the dash is stamped K 12.",
         ["The bonnet has five louvres", "the dash is stamped K 12"]),
        ("The hatch has three hinges; Otter 5's has two.",
         ["The hatch has three hinges", "Otter 5's has two / Otter 5"]),
        ("The bonnet has six louvres, where Otter 5's has eight.",
         ["The bonnet has six louvres", "where Otter 5's has eight / Otter 5"]),
        # looked for and not there
        ("Looked for a data plate. None.", ["Looked for a data plate. None / not seen"]),
        ("I could find no casting date anywhere on the block.",
         ["I could find no casting date anywhere on the block / not seen"]),
        ("No holes for the stowage bin, and there never were any.",
         ["No holes for the stowage bin, and there never were any / not seen"]),
        ("I looked hard for a weld along the nose and there isn't one.",
         ["I looked hard for a weld along the nose and there is not one / not seen"]),
        # hedged
        ("I think the nose plate is riveted, not welded.",
         ["I think the nose plate is riveted, not welded / unsure"]),
    ],
)  # fmt: skip
def test_tells_a_feature_in_the_notes_own_words(tmp_path, text, expected):
    assert features(tmp_path, text) == expected


@pytest.mark.parametrize(
    "text",
    [
        "The radiator is cracked and the hose is missing.",
        "Both bolts are gone from the left track guard.",
        "Somebody has welded a tin lid over the hatch.",
        "Drop arm snapped, held on by two bolts.",
        "Ivo says I can have his spare dynamo.",
        "The bracket needs two holes drilled.",
        "No dynamo, no starter.",
        "Three of eight road wheels left.",
        "The door is bolted back on at last.",
        "Is the bonnet riveted or welded?",
        "Must look whether the nose is riveted.",
        "The exhaust is rusted through and welded up with rust.",
        "He marked the tea cups with a star so nobody takes his.",
        "Bolted the carb on and drilled out the stud.",
        "The box is marked and on the shelf.",
        "I counted two seats and three periscopes.",
    ],
)
def test_says_nothing_of_states_work_and_talk(tmp_path, text):
    assert features(tmp_path, text) == []


def test_names_the_part_that_has_the_feature(tmp_path):
    found = stated(
        tmp_path, HEAD + "The left sprocket is stamped 1948. Its cap is brass, not steel."
    )
    said = [one.statement.fields for one in found if one.statement.kind == "feature"]
    assert said[0]["description"] == "sprocket"
    assert said[0]["side"] == "left"
