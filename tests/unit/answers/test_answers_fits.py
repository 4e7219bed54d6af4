"""What can serve in place of a part, along chains of statements: worked by hand."""

from __future__ import annotations

import datetime as dt

import pytest

from partmuster.answers.parts import UnknownPartError

JUNE = dt.date(2026, 6, 1)


def goes(club, of, on, grade="as-is", part="magneto", **more):
    """Say that a part of one build goes on another: "Mk 2", or "Bramble Mk 2 late"."""
    return club.fit(part, grade, **of_build(of, ""), **of_build(on, "to_"), **more)


def of_build(words, before):
    """Return the columns of a build in words."""
    words = words.split()
    said = {"family": "Otter"} if not words or words[0] in ("Mk", "early", "late") else {
        "family": words.pop(0)}  # fmt: skip
    if words and words[0] == "Mk":
        said["mark"] = " ".join(words[:2])
        words = words[2:]
    if words:
        said["phase"] = words[0]
    return {before + name: value for name, value in said.items()}


def found(club, part="magneto", on="Otter Mk 1", **more):
    """Return {build: fit} of what is said to serve, or not, for a part at a build."""
    return {row["build"]: row["fit"] for row in club.fits(part, on, **more)}


def one(club, build, part="magneto", on="Otter Mk 1", **more):
    rows = [row for row in club.fits(part, on, **more) if row["build"] == build]
    assert len(rows) == 1, rows
    return rows[0]


def lack(club, part="magneto", mark="Mk 1", *, clauses=({"mark": "Mk 1"},), **more):
    """Say a vehicle that lacks one part, seen missing; return the requirement."""
    club.vehicle("Otter 1", "Otter", mark, aim="full-original")
    number = more.pop("number", None)
    superseded_by = more.pop("superseded_by", None)
    line = club.requirement(part, 1, *clauses, number=number, superseded_by=superseded_by, **more)
    club.survey("Otter 1", part, "missing", side=more.get("side"))
    return line


def offers(club):
    return {row["source"]: row for row in club.donors(as_of=JUNE) if row["rank"]}


# chains


def test_two_statements_as_is_make_a_chain_that_is_as_is_both_ways(club):
    first, second = goes(club, "Mk 3", "Mk 2"), goes(club, "Mk 2", "Mk 1")
    row = one(club, "Otter Mk 3")
    assert (row["fit"], row["derived"], row["correctness"]) == ("as-is", True, "correct")
    assert row["chain"] == "Otter Mk 3 > Otter Mk 2 > Otter Mk 1"
    assert row["trace"].split(";") == [first, second]
    back = one(club, "Otter Mk 1", on="Otter Mk 3")
    assert (back["fit"], back["chain"]) == ("as-is", "Otter Mk 1 > Otter Mk 2 > Otter Mk 3")
    direct = one(club, "Otter Mk 2")
    assert (direct["derived"], direct["chain"]) == (False, "Otter Mk 2 > Otter Mk 1")


@pytest.mark.parametrize(
    ("first", "second", "fit"),
    [
        ("as-is", "one-way", "one-way"),
        ("one-way", "as-is", "one-way"),
        ("one-way", "with-work", "with-work"),
        ("with-work", "only-as-a-set", "only-as-a-set"),
        ("only-as-a-set", "one-way", "only-as-a-set"),
        ("with-work", "with-work", "unknown"),
    ],
)
def test_a_chain_is_as_good_as_its_worst_link(club, first, second, fit):
    goes(club, "Mk 3", "Mk 2", first)
    goes(club, "Mk 2", "Mk 1", second)
    row = one(club, "Otter Mk 3")
    assert (row["fit"], row["chain"]) == (fit, "Otter Mk 3 > Otter Mk 2 > Otter Mk 1")


def test_one_way_runs_one_way_along_a_chain_too(club):
    goes(club, "Mk 3", "Mk 2", "one-way")
    goes(club, "Mk 2", "Mk 1", "one-way")
    assert found(club, on="Otter Mk 1") == {"Otter Mk 2": "one-way", "Otter Mk 3": "one-way"}
    assert found(club, on="Otter Mk 3") == {"Otter Mk 2": "never"}
    assert one(club, "Otter Mk 2", on="Otter Mk 3")["reason"].startswith("not the other way")


def test_work_of_all_links_adds_up_and_more_than_one_is_unknown(club):
    goes(club, "Mk 3", "Mk 2", "with-work", work="ream the bush", alters="part", can_be_undone=True)
    goes(club, "Mk 2", "Mk 1", "with-work", work="drill the bracket", alters="vehicle",
         can_be_undone=False)  # fmt: skip
    row = one(club, "Otter Mk 3")
    assert (row["fit"], row["work"]) == ("unknown", "ream the bush; drill the bracket")
    assert "more than one link with work" in row["reason"]
    assert (row["alters"], row["can_be_undone"]) == ("both", False)
    near = one(club, "Otter Mk 2")
    assert (near["fit"], near["alters"], near["can_be_undone"]) == ("with-work", "vehicle", False)


def test_work_is_not_said_to_be_undoable_where_nobody_says_so_of_a_link(club):
    goes(club, "Mk 3", "Mk 2", "with-work", work="ream the bush")
    goes(club, "Mk 2", "Mk 1", "one-way")
    row = one(club, "Otter Mk 3")
    assert (row["alters"], row["can_be_undone"]) == (None, None)


def test_companions_of_all_links_are_collected(club):
    goes(club, "Mk 3", "Mk 2", "only-as-a-set", companions_text="its bracket")
    goes(club, "Mk 2", "Mk 1", "only-as-a-set", companions_text="its belt")
    assert one(club, "Otter Mk 3")["companions"] == "its bracket; its belt"


def test_the_shortest_chain_of_the_best_grade_counts(club):
    goes(club, "Mk 4", "Mk 1", "with-work")
    goes(club, "Mk 5", "Mk 4", "as-is")
    goes(club, "Mk 5", "Mk 3", "as-is")
    goes(club, "Mk 3", "Mk 2", "as-is")
    goes(club, "Mk 2", "Mk 1", "as-is")
    row = one(club, "Otter Mk 5")
    assert (row["fit"], row["chain"]) == (
        "as-is",
        "Otter Mk 5 > Otter Mk 3 > Otter Mk 2 > Otter Mk 1",
    )


def test_what_is_said_of_two_builds_stands_before_what_is_derived(club):
    goes(club, "Mk 3", "Mk 1", "with-work", work="shim")
    goes(club, "Mk 3", "Mk 2")
    goes(club, "Mk 2", "Mk 1")
    row = one(club, "Otter Mk 3")
    assert (row["fit"], row["derived"]) == ("with-work", False)


def test_rings_are_harmless(club):
    goes(club, "Mk 1", "Mk 2", "one-way")
    goes(club, "Mk 2", "Mk 3", "one-way")
    goes(club, "Mk 3", "Mk 1", "one-way")
    assert found(club, on="Otter Mk 1") == {"Otter Mk 3": "one-way", "Otter Mk 2": "never"}


def test_other_parts_serve_along_a_chain(club):
    club.fit(
        "lorry-radiator", "with-work", to_part="radiator", to_family="Bramble", work="brackets"
    )
    goes(club, "Bramble", "Otter", part="radiator")
    (derived,) = (r for r in club.fits("radiator", "Otter Mk 1") if r["part"] == "lorry-radiator")
    assert (derived["fit"], derived["work"]) == ("with-work", "brackets")
    assert derived["chain"] == "lorry radiator > Bramble > Otter"
    assert derived["correctness"] == "goes on, not correct for it"


# never, doubt and contradiction


def test_a_sure_never_overrides_a_chain(club):
    goes(club, "Mk 3", "Mk 2")
    goes(club, "Mk 2", "Mk 1")
    line = goes(club, "Mk 3", "Mk 1", "never", reason="shaft is longer")
    row = one(club, "Otter Mk 3")
    assert (row["fit"], row["reason"], row["trace"]) == ("never", "shaft is longer", line)
    assert row["derived"] is False
    assert found(club) == {"Otter Mk 2": "as-is", "Otter Mk 3": "never"}


def test_a_sure_never_takes_its_link_out_of_every_chain(club):
    goes(club, "Mk 3", "Mk 2")
    goes(club, "Mk 2", "Mk 1")
    goes(club, "Mk 2", "Mk 1", "never")
    assert found(club) == {"Otter Mk 2": "never"}


def test_a_never_between_the_source_and_a_part_on_the_way_breaks_the_chain(club):
    goes(club, "Mk 4", "Mk 3")
    goes(club, "Mk 3", "Mk 2")
    goes(club, "Mk 2", "Mk 1")
    goes(club, "Mk 4", "Mk 2", "never")
    assert found(club) == {"Otter Mk 2": "as-is", "Otter Mk 3": "as-is"}


def test_a_chain_round_what_never_goes_is_still_found(club):
    goes(club, "Mk 4", "Mk 3")
    goes(club, "Mk 3", "Mk 2")
    goes(club, "Mk 2", "Mk 1")
    goes(club, "Mk 5", "Mk 1")
    goes(club, "Mk 6", "Mk 5")
    goes(club, "Mk 3", "Mk 6")
    goes(club, "Mk 4", "Mk 2", "never")
    assert one(club, "Otter Mk 4")["chain"] == (
        "Otter Mk 4 > Otter Mk 3 > Otter Mk 6 > Otter Mk 5 > Otter Mk 1"
    )


def test_what_never_serves_is_no_link_of_a_longer_chain(club):
    goes(club, "Mk 3", "Mk 2")
    goes(club, "Mk 2", "Mk 1")
    goes(club, "Mk 4", "Mk 3")
    goes(club, "Mk 3", "Mk 1", "never")
    assert "Otter Mk 4" not in found(club)


def test_a_hedged_never_marks_a_dispute_of_the_link_and_all_that_uses_it(club):
    goes(club, "Mk 3", "Mk 2")
    goes(club, "Mk 2", "Mk 1")
    goes(club, "Mk 2", "Mk 1", "never", sure=False, reason="or so I heard")
    for build in ("Otter Mk 2", "Otter Mk 3"):
        row = one(club, build)
        assert row["fit"] == "unknown"
        assert "or so I heard" in row["disputed"]
    assert one(club, "Otter Mk 3")["chain"] == "Otter Mk 3 > Otter Mk 2 > Otter Mk 1"


def test_a_hedged_never_disputes_a_chain_it_speaks_against(club):
    goes(club, "Mk 3", "Mk 2")
    goes(club, "Mk 2", "Mk 1")
    goes(club, "Mk 3", "Mk 1", "never", sure=False, reason="or so I heard")
    row = one(club, "Otter Mk 3")
    assert (row["fit"], row["chain"]) == ("unknown", "Otter Mk 3 > Otter Mk 2 > Otter Mk 1")
    assert "or so I heard" in row["disputed"]


def test_a_hedged_link_is_shown_and_makes_what_is_derived_unknown(club):
    goes(club, "Mk 3", "Mk 2")
    goes(club, "Mk 2", "Mk 1", sure=False)
    assert one(club, "Otter Mk 2")["fit"] == "as-is"
    for build in ("Otter Mk 2", "Otter Mk 3"):
        assert "said with doubt" in one(club, build)["reason"]
    assert one(club, "Otter Mk 3")["fit"] == "unknown"


def test_statements_that_contradict_each_other_are_shown_with_both_sources(club):
    first = goes(club, "Mk 2", "Mk 1", "as-is", source="Ann's fits", words="drops straight in",
                 said_by="Ann")  # fmt: skip
    second = goes(club, "Mk 2", "Mk 1", "with-work", source="Bea's fits", words="needs a shim",
                  said_by="Bea", said_on=JUNE)  # fmt: skip
    row = one(club, "Otter Mk 2")
    assert row["fit"] == "with-work"  # the later statement
    assert all(words in row["disputed"] for words in ("as-is", "drops straight in", "Ann"))
    assert set(row["trace"].split(";")) == {first, second}


def test_a_sure_never_against_another_statement_is_told_with_both(club):
    goes(club, "Mk 2", "Mk 1", "as-is", words="drops straight in")
    goes(club, "Mk 2", "Mk 1", "never", reason="flange has six bolts")
    row = one(club, "Otter Mk 2")
    assert (row["fit"], row["reason"]) == ("never", "flange has six bolts")
    assert "drops straight in" in row["disputed"]


def test_what_nobody_has_said_anything_of_is_not_listed(club):
    club.vehicle("Otter 1", mark="Mk 1")
    goes(club, "Mk 2", "Mk 3")
    assert club.fits("magneto", "Otter Mk 1") == []


# whole ranges, numbers, hands


def test_a_statement_about_a_whole_range_holds_for_each_build_the_club_knows(club):
    for number, phase in enumerate(("early", "mid", "late")):
        club.vehicle(f"Otter {number}", mark="Mk 2", phase=phase)
    club.vehicle("Otter 4", mark="Mk 3", phase="late")
    goes(club, "late", "Mk 1", part="track-guard")
    goes(club, "Bramble Mk 1", "Mk 2", part="track-guard", grade="one-way")
    row = one(club, "Bramble Mk 1", part="track-guard")
    assert row["chain"] == "Bramble Mk 1 > Otter Mk 2 late > Otter Mk 1"
    rows = club.connect().execute(
        "SELECT on_mark, on_phase FROM fit_closure(['track-guard'], NULL, false) "
        "WHERE for_mark = 'Mk 1' AND on_family = 'otter' AND grade = 'as-is'"
    ).fetchall()  # fmt: skip
    assert {("Mk 2", "late"), ("Mk 3", "late")} <= set(rows)
    assert not {("Mk 2", "early"), ("Mk 2", "mid")} & set(rows)


def test_marks_without_a_family_are_of_one_family(club):
    club.vehicle("Otter 1", mark="Mk 1")
    club.vehicle("Bramble 1", "Bramble", "Mk 1")
    club.fit("magneto", "one-way", mark="Mk 2", to_mark="Mk 1", words="Mk 2 replaces Mk 1")
    goes(club, "Bramble Mk 1", "Otter Mk 2")
    row = one(club, "Bramble Mk 1")
    assert (row["chain"], row["fit"]) == ("Bramble Mk 1 > Otter Mk 2 > Otter Mk 1", "one-way")
    assert row["disputed"] is None
    assert found(club, on="Bramble Mk 1") == {"Bramble Mk 2": "one-way", "Otter Mk 2": "as-is"}


def test_a_range_that_speaks_of_a_build_serves_its_other_builds_through_it(club):
    goes(club, "Mk 1", "Otter")
    club.vehicle("Otter 1", mark="Mk 3")
    lack(club, mark="Mk 2", clauses=({"mark": "Mk 2"},))
    club.holding("Ann", "magneto", family="Otter", mark="Mk 3")
    assert offers(club)["Ann"]["fit"] == "as-is"


def test_a_loose_part_without_a_build_is_served_by_statements_for_any_build_only(club):
    lack(club)
    club.holding("Ann", "magneto")
    goes(club, "Mk 3", "Mk 2")
    goes(club, "Mk 2", "Mk 1")
    assert (offers(club)["Ann"]["fit"], offers(club)["Ann"]["reason"]) == (
        "unknown", "build not stated")  # fmt: skip


def test_a_later_number_takes_the_place_of_an_earlier_one_along_the_chain(club):
    lack(club, number="OT100", superseded_by="OT-200")
    club.requirement("magneto", 1, {"mark": "Mk 7"}, number="OT200", superseded_by="OT 300",
                     remark="use until exhausted")  # fmt: skip
    club.holding("Ann", "magneto", number="OT200")
    club.holding("Bea", "magneto", number="OT300")
    club.holding("Col", "magneto", number="OT400")
    got = offers(club)
    assert {who: row["fit"] for who, row in got.items()} == {
        "Ann": "one-way", "Bea": "one-way", "Col": "unknown"}  # fmt: skip
    assert "OT300 > OT200 > OT100" in got["Bea"]["reason"]
    assert "until exhausted" in got["Bea"]["reason"]
    assert got["Ann"]["correctness"] == "goes on, not correct for it"


def test_an_earlier_number_does_not_take_the_place_of_the_one_that_superseded_it(club):
    lack(club, number="OT200")
    club.requirement("magneto", 1, {"mark": "Mk 7"}, number="OT100", superseded_by="OT200")
    club.holding("Ann", "magneto", number="OT100")
    assert offers(club)["Ann"]["fit"] == "never"


def test_until_it_is_used_up_the_earlier_number_is_not_refused(club):
    lack(club, number="OT200")
    club.requirement("magneto", 1, {"mark": "Mk 7"}, number="OT100", superseded_by="OT200",
                     remark="use until exhausted")  # fmt: skip
    club.holding("Ann", "magneto", number="OT100")
    assert offers(club)["Ann"]["fit"] == "unknown"


def test_a_statement_about_numbers_says_nothing_of_other_numbers(club):
    lack(club, number="OT100")
    club.holding("Ann", "magneto", number="OT200")
    club.holding("Bea", "magneto", number="OT999")
    club.fit("magneto", "one-way", part_number="OT 200", part_number_normal="OT200",
             to_part="magneto", to_part_number="OT100")  # fmt: skip
    assert {who: row["fit"] for who, row in offers(club).items()} == {
        "Ann": "one-way", "Bea": "unknown"}  # fmt: skip


def test_a_number_and_a_build_meet_where_the_list_gives_the_number_for_the_build(club):
    lack(club, number="OT100", superseded_by="OT200")
    club.requirement("magneto", 1, {"mark": "Mk 2"}, number="OT200")
    goes(club, "Bramble Mk 1", "Mk 2")
    club.holding("Ann", "magneto", family="Bramble", mark="Mk 1")
    row = offers(club)["Ann"]
    assert row["fit"] == "one-way"
    assert "Bramble Mk 1 > Otter Mk 2 > OT200 > OT100" in row["reason"]


def test_a_chain_keeps_the_hand(club):
    lack(club, "track-guard", side="left")
    goes(club, "Mk 3", "Mk 2", part="track-guard")
    goes(club, "Mk 2", "Mk 1", part="track-guard")
    club.holding("Ann", "track-guard", family="Otter", mark="Mk 3", side="right")
    club.holding("Bea", "track-guard", family="Otter", mark="Mk 3", side="left")
    club.holding("Col", "track-guard", family="Otter", mark="Mk 3")
    got = offers(club)
    assert {who: row["fit"] for who, row in got.items()} == {"Bea": "as-is", "Col": "unknown"}
    assert "hand not stated: ask" in got["Col"]["reason"]


def test_a_chain_changes_the_hand_where_a_statement_names_both(club):
    lack(club, "track-guard", side="left")
    goes(club, "Mk 3", "Mk 2", part="track-guard")
    goes(club, "Mk 2", "Mk 1", "with-work", part="track-guard", side="right", to_side="left")
    club.holding("Ann", "track-guard", family="Otter", mark="Mk 3", side="right")
    club.holding("Bea", "track-guard", family="Otter", mark="Mk 3", side="left")
    got = offers(club)
    assert {who: row["fit"] for who, row in got.items()} == {"Ann": "with-work", "Bea": "unknown"}
    assert got["Bea"]["reason"] == "nobody has said"


def test_hands_are_kept_through_a_part_that_has_none(club):
    lack(club, "track-guard", side="left")
    club.fit("tray", "with-work", to_part="track-guard", to_family="Otter")
    club.fit("mudguard", "as-is", to_part="tray")
    club.holding("Ann", "mudguard", side="right", position="front")
    club.holding("Bea", "mudguard", side="left", position="front")
    assert list(offers(club)) == ["Bea"]


# donors


def test_donors_say_what_is_derived_and_where_every_link_stands(club):
    requirement = lack(club)
    first, second = goes(club, "Mk 3", "Mk 2", "one-way"), goes(club, "Mk 2", "Mk 1")
    holding = club.holding("Ann", "magneto", family="Otter", mark="Mk 3")
    row = offers(club)["Ann"]
    assert (row["fit"], row["correctness"]) == ("one-way", "goes on, not correct for it")
    assert "derived: Otter Mk 3 > Otter Mk 2 > Otter Mk 1" in row["reason"]
    assert row["trace"].split(";") == [requirement, "survey-003", holding, first, second]


def test_what_the_list_says_stands_before_what_is_derived(club):
    lack(club, clauses=({"mark": "Mk 1"}, {"mark": "Mk 3"}))
    goes(club, "Mk 3", "Mk 2", "with-work")
    goes(club, "Mk 2", "Mk 1")
    club.holding("Ann", "magneto", family="Otter", mark="Mk 3")
    row = offers(club)["Ann"]
    assert (row["fit"], row["reason"]) == ("as-is", "one parts-list line covers both")


def test_an_offer_that_needs_a_companion_names_who_has_it(club):
    lack(club, "idler")
    goes(club, "Mk 2", "Mk 1", "only-as-a-set", part="idler",
         companions_text="with its track adjuster")  # fmt: skip
    club.holding("Ann", "idler", family="Otter", mark="Mk 2")
    club.holding("Bea", "track-adjuster", family="Otter", mark="Mk 2")
    club.holding("Col", "track-adjuster", availability="kept")
    said = offers(club)["Ann"]["companions"]
    assert said.startswith("with its track adjuster")
    assert "track adjuster: Bea" in said
    assert "Col (kept)" in said


def test_a_companion_that_nobody_has_is_said_to_be_wanting(club):
    lack(club, "belt")
    club.holding("Ann", "belt", family="Otter", mark="Mk 1")
    assert "bracket: nobody in the club is known to have one" in offers(club)["Ann"]["companions"]


def test_a_mated_part_comes_with_its_mate_from_the_same_source_only(club):
    lack(club, "crown-wheel")
    club.holding("Ann", "crown-wheel", family="Otter", mark="Mk 1")
    club.holding("Ann", "pinion", family="Otter", mark="Mk 1")
    club.holding("Bea", "crown-wheel", family="Otter", mark="Mk 1")
    club.holding("Col", "pinion", family="Otter", mark="Mk 1")
    got = offers(club)
    assert (got["Ann"]["fit"], got["Ann"]["standing"]) == ("only-as-a-set", "offered")
    assert "pinion from the same source, which has it" in got["Ann"]["companions"]
    assert (got["Bea"]["fit"], got["Bea"]["standing"]) == ("unknown", "ask first")
    assert "is not known to have it" in got["Bea"]["companions"]
    assert "Ann" not in got["Bea"]["companions"]
    assert "Col" not in got["Bea"]["companions"]


def test_the_list_names_a_mated_set_as_well(club):
    lack(club, "magneto", mated_set="drive set")
    club.requirement("bracket", 1, {"mark": "Mk 1"}, mated_set="drive set")
    club.holding("Ann", "magneto", family="Otter", mark="Mk 1")
    said = offers(club)["Ann"]
    assert said["fit"] == "unknown"
    assert "bracket from the same source" in said["companions"]


# on a vehicle, by hand, in words


def test_a_vehicle_is_asked_for_by_the_build_of_the_assembly(club):
    club.vehicle("Otter 1", mark="Mk 1")
    club.build("Otter 1", "engine", "Mk 3")
    goes(club, "Mk 2", "Mk 1")
    goes(club, "Mk 4", "Mk 3")
    assert found(club, on="Otter 1") == {"Otter Mk 4": "as-is"}


def test_what_the_list_gives_for_the_build_comes_first_and_is_correct(club):
    line = club.requirement("magneto", 1, {"mark": "Mk 1"}, {"mark": "Mk 2"}, number="OT100")
    goes(club, "Mk 3", "Mk 1", "with-work")
    first, second = club.fits("magneto", "Otter Mk 1")
    assert (first["build"], first["fit"], first["correctness"]) == (
        "Otter Mk 1, Otter Mk 2", "as-is", "correct")  # fmt: skip
    assert first["reason"] == "the parts list has it for this build: OT100"
    assert first["trace"] == line
    assert (second["build"], second["fit"]) == ("Otter Mk 3", "with-work")


def test_words_that_name_no_build_are_refused(club):
    club.vehicle("Otter 1", mark="Mk 1")
    for words in ("Otter Mk 1 and Mk 2", "Heron Mk 1"):
        with pytest.raises(UnknownPartError.__base__):
            club.fits("magneto", words)


def test_as_of_and_known_now_limit_the_statements(club):
    club.vehicle("Otter 1", mark="Mk 1")
    goes(club, "Mk 2", "Mk 1", said_on=JUNE)
    assert found(club, as_of=dt.date(2026, 5, 1)) == {}
    assert found(club, as_of=JUNE) == {"Otter Mk 2": "as-is"}


# explain


def test_explain_tells_of_each_holding_and_statement_why_yes_and_why_no(club):
    lack(club)
    goes(club, "Mk 2", "Mk 1", "one-way")
    goes(club, "Bramble Mk 1", "Mk 2")
    never = goes(club, "Mk 5", "Mk 1", "never", reason="flange has six bolts")
    club.holding("Ann", "magneto", family="Otter", mark="Mk 2")
    club.holding("Bea", "magneto", family="Otter", mark="Mk 5", availability="kept")
    club.holding("Col", "magneto", family="Otter", mark="Mk 6")
    rows = {row["from"]: row for row in club.explain("magneto", as_of=JUNE)}
    assert (rows["Ann"]["verdict"], rows["Ann"]["chain"]) == ("one-way", "Otter Mk 2 > Otter Mk 1")
    assert (rows["Bea"]["verdict"], rows["Bea"]["standing"]) == ("never", "not offered")
    assert "flange has six bolts" in rows["Bea"]["why"]
    assert never in rows["Bea"]["trace"].split(";")
    assert (rows["Col"]["verdict"], rows["Col"]["why"]) == ("unknown", "nobody has said")
    bramble = rows["any Bramble Mk 1"]
    assert (bramble["verdict"], bramble["chain"]) == (
        "one-way", "Bramble Mk 1 > Otter Mk 2 > Otter Mk 1")  # fmt: skip


def test_explain_answers_for_a_part_that_is_not_lacking_too(club):
    club.vehicle("Otter 1", mark="Mk 1", aim="full-original")
    club.requirement("magneto")
    club.survey("Otter 1", "magneto", "fitted")
    club.holding("Ann", "magneto", family="Otter", mark="Mk 1")
    (row,) = club.explain("magneto", as_of=JUNE)
    assert (row["from"], row["verdict"]) == ("Ann", "as-is")


def test_explain_says_where_the_lists_do_not_have_the_part(club):
    club.vehicle("Otter 1", mark="Mk 1")
    (row,) = club.explain("magneto", as_of=JUNE)
    assert row["from"] is None
    assert row["verdict"] == "unknown"
    assert "no parts list or survey" in row["why"]
