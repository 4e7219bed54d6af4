"""Standard hardware fits by its specification: what the words of both sides say decides."""

from __future__ import annotations

import pytest

from partmuster.answers.hardware import hardware_fit
from partmuster.answers.hardware_words import hardware_words

WANTED = "bolt 3/8 BSF x 1 1/4"


def required(club, part_id, words, **more):
    club.name("part", words, part_id)
    return club.say(
        "requirement", source=more.pop("source", "parts list"), family="Otter",
        description=words, item_key=words, at_least=4, at_most=4, all_builds=True, **more,
    )  # fmt: skip


def held(club, holder, part_id, words, **more):
    club.name("part", words, part_id)
    given = {"availability": "offered", "service": "unknown", "making": "unknown",
             "grade": "good"} | more  # fmt: skip
    return club.say(
        "holding", source=f"{holder}'s sheet", description=words, item_key=words, at_least=10,
        at_most=10, quantity_text="10", **club.person(holder), **given,
    )  # fmt: skip


def offers(club, part_id="bolt"):
    """Return who offers what: holder to (rank, fit, reason), the best first."""
    rows = club.donors("Otter 1", part_id)
    return {r["source"]: (r["rank"], r["fit"], r["reason"]) for r in rows if r["rank"]}


@pytest.fixture
def otter(club):
    club.vehicle("Otter 1", mark="Mk 1", keeper="Jorunn", aim="runner")
    return club


def lacking(club, part_id="bolt"):
    club.survey("Otter 1", part_id, "missing")


def test_a_lacking_bolt_is_matched_by_thread_and_length(otter):
    required(otter, "bolt", WANTED)
    lacking(otter)
    held(otter, "Ivo", "bolt", "3/8 UNC bolt x 1 1/4")
    held(otter, "Hester", "bolt", 'BOLT, 3/8"-20 BSF X 1.1/4')
    held(otter, "Bert", "bolt", "3/8 BSF bolts 1 1/2 long")
    held(otter, "Nell", "bolt", "bolts")
    found = offers(otter)
    assert found["Hester"] == (1, "as-is", "same specification")
    rank, fit, reason = found["Ivo"]
    assert (rank, fit) == (4, "never")
    assert "55 and 60 degree forms are never interchangeable" in reason
    rank, fit, reason = found["Bert"]
    assert fit == "unknown"
    assert reason == "same size, check duty: length: 1 1/2 in, wanted 1 1/4 in"
    rank, fit, reason = found["Nell"]
    assert fit == "unknown"
    assert "thread not stated of what is offered" in reason


def test_what_never_fits_is_not_offered(otter):
    required(otter, "bolt", WANTED)
    lacking(otter)
    held(otter, "Ivo", "bolt", "3/8 UNC bolt x 1 1/4")
    (row,) = otter.donors("Otter 1", "bolt")
    assert (row["standing"], row["fit"], row["correctness"]) == ("not offered", "never", "unknown")


@pytest.mark.parametrize(
    ("assembly", "duty"), [("steering", "steering"), ("brakes", "brakes"), ("recovery", "lifting")]
)
def test_steering_brakes_and_lifting_ask_for_the_grade(otter, assembly, duty):
    required(otter, "bolt", WANTED, assembly=assembly)
    lacking(otter)
    held(otter, "Hester", "bolt", "3/8 BSF bolt 1 1/4")
    held(otter, "Bert", "bolt", "3/8 BSF bolt 1 1/4 grade S")
    for _, fit, reason in offers(otter).values():
        assert fit == "unknown"
        assert f"{duty}: never on size alone" in reason


def test_a_grade_that_agrees_is_enough_for_steering(otter):
    required(otter, "bolt", f"{WANTED} grade S", assembly="steering")
    lacking(otter)
    held(otter, "Bert", "bolt", "3/8 BSF bolt 1 1/4 grade S")
    assert offers(otter)["Bert"] == (1, "as-is", "same specification; steering: check duty")


def test_a_number_that_agrees_and_a_thread_that_does_not_are_a_dispute(otter):
    more = {"part_number": "OT 77", "part_number_normal": "OT77"}
    required(otter, "bolt", WANTED, **more)
    lacking(otter)
    held(otter, "Ivo", "bolt", "3/8 UNC bolt x 1 1/4", **more)
    _, fit, reason = offers(otter)["Ivo"]
    assert fit == "unknown"
    assert reason.startswith("disputed: same part number, but ")
    assert "degree forms" in reason


def test_a_number_that_agrees_stands_for_what_words_leave_out(otter):
    more = {"part_number": "OT 77", "part_number_normal": "OT77"}
    required(otter, "bolt", WANTED, **more)
    lacking(otter)
    held(otter, "Ivo", "bolt", "bolts", **more)
    assert offers(otter)["Ivo"][1:] == ("as-is", "same part number")


def test_words_without_any_size_are_judged_as_before(otter):
    required(otter, "bolt", "bolt")
    lacking(otter)
    held(otter, "Ivo", "bolt", "bolt", family="Otter", mark="Mk 1")
    assert offers(otter)["Ivo"][1] == "as-is"


def test_a_part_of_its_own_vehicle_goes_by_build_unless_both_say_sizes(otter):
    required(otter, "sprocket-bolt", "sprocket bolt 5/8 UNF x 2 1/2")
    lacking(otter, "sprocket-bolt")
    build = {"family": "Otter", "mark": "Mk 1"}
    held(otter, "Ivo", "sprocket-bolt", "sprocket bolts", **build)
    held(otter, "Bert", "sprocket-bolt", "sprocket bolts 5/8 UNC x 2 1/2", **build)
    found = offers(otter, "sprocket-bolt")
    assert found["Ivo"][1] == "as-is"
    assert found["Bert"][1] == "never"


def test_a_hexagon_bolt_may_be_called_a_bolt(otter):
    required(otter, "bolt-hexagon", "hex bolt 3/8 BSF x 1 1/4")
    lacking(otter, "bolt-hexagon")
    held(otter, "Hester", "bolt", "3/8 BSF bolt 1 1/4")
    held(otter, "Bert", "setscrew", '3/8 BSF setscrew 1 1/4"')
    held(otter, "Nell", "bolt", "bolts")  # says nothing: not shown
    found = offers(otter, "bolt-hexagon")
    assert found["Hester"][1:] == ("as-is", "same specification")
    assert found["Bert"][1] == "unknown"
    assert "threaded to its head" in found["Bert"][2]
    assert "Nell" not in found


def test_a_statement_about_it_comes_before_the_words(otter):
    required(otter, "bolt", WANTED)
    lacking(otter)
    held(otter, "Hester", "bolt", "3/8 BSF bolt 1 1/4", family="Otter", mark="Mk 2")
    otter.fit("bolt", "never", family="Otter", mark="Mk 2", to_family="Otter", to_mark="Mk 1",
              reason="the head fouls the cover")  # fmt: skip
    _, fit, reason = offers(otter)["Hester"]
    assert fit == "never"
    assert "the head fouls the cover" in reason


def test_the_material_of_a_seal_is_its_duty(otter):
    required(otter, "oil-seal", "oil seal 40x62x10 nitrile")
    lacking(otter, "oil-seal")
    held(otter, "Hester", "oil-seal", "seal, oil, 40 x 62 x 10 mm, leather")
    _, fit, reason = offers(otter, "oil-seal")["Hester"]
    assert fit == "unknown"
    assert reason == "same size, check duty: material: leather, wanted nitrile"


@pytest.mark.parametrize(
    ("wanted", "offered", "fit", "reason"),
    [
        (WANTED, "3/8 BSF bolt 1 1/4", "as-is", "same specification"),
        (WANTED, "3/8 UNF bolt 1 1/4", "never", "55 and 60 degree"),
        (WANTED, "3/8 BSF bolt 1 1/2", "unknown", "same size, check duty"),
        (WANTED, "3/8 bolt 1 1/4", "unknown", "thread not stated"),
    ],
)
def test_two_wordings_are_compared_without_a_club(wanted, offered, fit, reason):
    found = hardware_fit(wanted, offered)
    assert found.fit == fit
    assert reason in found.reason


def test_cautions_are_in_plain_words():
    found = hardware_fit(WANTED, f"{WANTED} cadmium plated")
    assert "Do not weld, burn or dry-sand." in found.caution
    assert hardware_fit(WANTED, WANTED).caution == ""


@pytest.mark.parametrize(
    ("description", "remark", "words"),
    [
        ("Bolt", "Size: 3/8 BSF; Length: 1 1/4", "Bolt 3/8 BSF x 1 1/4 long"),
        ("Bolt", "Thread: BSF; Dia: 3/8; Length: 2; bent", "Bolt BSF 3/8 x 2 long"),
        ("Bearing", "Bearing no: 6205; Clearance: C3", "Bearing 6205 C3"),
        ("Bolt 3/8 BSF x 1", "3 of them from Ivo", "Bolt 3/8 BSF x 1"),
        ("Bolt", "3/8 BSF x 1 1/4", "Bolt 3/8 BSF x 1 1/4"),
        ("Bolt", "3 sold to Ivo", "Bolt"),
        ("Bolt", None, "Bolt"),
    ],
)
def test_sizes_may_stand_in_columns_of_their_own(description, remark, words):
    assert hardware_words(description, remark) == words
