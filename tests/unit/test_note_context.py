"""What a note is about as it goes on: vehicle, writer, day; and how sure its words are."""

from __future__ import annotations

import pytest

from partmuster_plugins.hand_notes.documents import Note, Paragraph
from partmuster_plugins.hand_notes.note import read_note

from .told_by_notes import dated, held, mail, silent, stated, surveyed

ABOUT = {
    "a title with place and day": (
        "OTTER 1, N. shed, Sat 12 Apr 2025\n\nno dynamo\n", ["OTTER 1"]),
    "a line of its own": ("R. Foy - 3.5.25\n\nBramble 2\nno dynamo\n", ["Bramble 2"]),
    "a number written out": ("Otter Six, 1 May 2025\n\nNo dynamo.\n", ["Otter 6"]),
    "a registration behind the name": (
        "NETTLE (AVC 903) - arrival report\n\nNo dynamo.\n", ["NETTLE (AVC 903)"]),
    "only a registration": ("AVC 903, 1 May 2025\n\nNo dynamo.\n", ["AVC 903"]),
    "a club number": ("No. 7, seen 1 May 2025\n\nNo dynamo.\n", ["No. 7"]),
    "headings": (
        "# Visit, 1 May 2025\n\n## Otter 1\n\n- no dynamo\n\n## Otter 2\n\n- no starter\n",
        ["Otter 1", "Otter 2"]),
    "headings that name no vehicle": (
        "# Otter 1\n\n## Outside\n\n- no dynamo\n\n## Engine bay\n\n- no starter\n",
        ["Otter 1", "Otter 1"]),
    "a letter for a name": (
        "# Yard\n\n## Hulk A\n\nNo dynamo.\n\n## Hulk B\n\nNo starter.\n", ["Hulk A", "Hulk B"]),
    "openings of paragraphs": (
        ("Round the compound, 1 May 2025\n\nOtter 1. No dynamo.\n\nNow Nettle. No starter.\n\n"
        "Over to No. 7 next. No horn.\n\nOtter 3: no radiator.\n"),
        ["Otter 1", "Nettle", "No. 7", "Otter 3"]),
    "it is carried on": (
        "Walk round\n\nOtter 1. No dynamo.\n\nNo starter either.\n", ["Otter 1", "Otter 1"]),
    "in passing, for that sentence": (
        "# Otter 1\n\nNo dynamo. Otter 2 has no starter. No horn.\n",
        ["Otter 1", "Otter 2", "Otter 1"]),
    "back to the title's": (
        "# Otter 1\n\nNo dynamo.\n\nOtter 2 has no starter.\n\nNo horn.\n",
        ["Otter 1", "Otter 2", "Otter 1"]),
    "somebody's vehicle": ("Wilf's Otter, 1 May 2025\n\nNo dynamo.\n", ["Wilf's Otter"]),
    "a Roman number": (
        "Round the yard\n\nBadger III - wet\n- no dynamo\n\nBadger IV\n- no horn\n",
        ["Badger III", "Badger IV"]),
    "my own": (
        "A note by Gwen Saddler, 1 May 2026\n\nMy Otter has no dynamo.\n",
        ["Gwen Saddler's Otter"]),
    "a day is no number": ("Viewing 13 May 2025, at Nettle\n\nNo dynamo.\n", [""]),
    "something of it": ("# Otter 1\n\nOtter 2's mate has been. No dynamo.\n", ["Otter 1"]),
    "each item of a list": (
        "# Visit\n\n- Otter 2's dynamo is missing\n- no starter\n", ["Otter 2", ""]),
    "a heading that is no name": (
        "# Otter 1\n\n## Provenance, for the curious\n\n- no dynamo\n", ["Otter 1"]),
    "small letters": ("at the barn w Nell. tin lizard. no dynamo\n", ["tin lizard"]),
    "a message's 'yours'": (
        mail("Your Otter has no dynamo."), ["Ivo Larch's Otter"]),
    "a line of one word": (
        "10.5.26 Stoat 1\nno dynamo\n\n24.5.26 Weasel\nno lamps\n", ["Stoat 1", "Weasel"]),
    "an item's first word": (
        "Meeting\n\n1. Stoat 1. The dynamo is missing.\n2. Weasel. The horn is missing.\n",
        ["Stoat 1", "Weasel"]),
    "the next one": (
        "# A walk\n\nStoat 1. No dynamo. The next one along is Bertha: no horn.\n",
        ["Stoat 1", "Bertha"]),
    "the X at a place": ("A card\n\nThe Ferret at Oxtarn has no dynamo.\n", ["Ferret"]),
    "a lady's vehicle": (
        "At the show\n\nMrs Pike's Weasel: no hood.\n", ["Mrs Pike's Weasel"]),
    "his vehicle": (
        "A note, 1 May 2026\n\nI rang Fred. His Stoat has no dynamo.\n", ["Fred's Stoat"]),
    "a text is no title": (
        ("At the show\n\nA fine day. I saw Stoat 1 and had tea with the owner of it.\n\n"
        "# Weasel 2\n\nNo horn.\n"), ["Weasel 2"]),
    "texts in small letters": (
        ("Texts from Ivo, 19 Apr 2026\n\n07:12 morning all\n07:13 otter 6 has no dynamo\n"
        "07:15 starter is missing\n07:21 bramble 5 now\n07:24 no horn\n08:44 6 has no radiator\n"),
        ["otter 6", "otter 6", "bramble 5", "otter 6"]),
    "reported in a meeting": (
        ("# Minutes\n\n1. RF reported on Bramble 2: no dynamo. The starter is missing.\n"
        "2. MP drew attention to the Duchess: no horn.\n3. No quorum.\n"),
        ["Bramble 2", "Bramble 2", "Duchess"]),
    "with regard to": (
        "Dear Mrs. Crane,\n\nI write with regard to Rosalind.\n\nShe has no dynamo.\n",
        ["Rosalind"]),
    "a greeting": (mail("Hiya Mrs P!!\n\nNo dynamo.", "TIN LIZARD!!! (a report)"), ["TIN LIZARD"]),
    "for his own": (
        "# Otter 1\n\nFred may have it for his Stoat. No dynamo.\n", ["Otter 1"]),
    "digits and figures": ("# Otter 1\n\nThe digits 88 are on it. No dynamo.\n", ["Otter 1"]),
    "a letterhead": (
        "Wendover Mill,\nWendover.\n9 June 2026\n\nDear Mrs. Pettifer,\n\nOtter 3 has no horn.\n",
        ["Otter 3"]),
    "fields at the head": (
        "# AVC 701, again\n\nInspector: T. Okafor.\n\nScope: engine.\n\nThe dynamo is missing.\n",
        ["AVC 701"]),
    "two people in the title": (
        "## Dunwater Garage, 10 October 2026 (Nell + Gwen)\n\nThe dynamo is missing.\n", [""]),
    "a place behind a room": (
        "MINUTES of the meeting held in the Reading Room, Oxtarn, 13 May 2026\n\nNo horn.\n",
        [""]),
    "only where it came from": (
        "# Otter 1\n\nA slow drive over from Otter 5. No starter.\n", ["Otter 1"]),
    "only where it goes": ("# Otter 1\n\nThis is for Otter 2. No starter.\n", ["Otter 1"]),
    "only like it": ("# Otter 1\n\nA bit like Duchess. No starter.\n", ["Otter 1"]),
    "sections of a table": (
        ("# Minutes\n\n| Vehicle | Said |\n|---|---|\n| Otter 2 | No dynamo. |\n"
        "| Bramble 5 | No horn. No starter. |\n"),
        ["Otter 2", "Bramble 5", "Bramble 5"]),
    "a chat": (
        ("Ivo - messages - 5 July 2025\n\n09:12 Ivo: at the barn. Otter 3. no dynamo\n"
        "09:13 Toby: oh\n09:14 Ivo: no starter\n"), ["Otter 3", "Otter 3"]),
}  # fmt: skip


@pytest.mark.parametrize("case", ABOUT)
def test_which_vehicle_a_note_is_about(tmp_path, case):
    text, vehicles = ABOUT[case]
    name = "note.eml" if text.startswith("From:") else "note.txt"
    assert [vehicle for vehicle, _ in surveyed(tmp_path, text, name)] == vehicles


def test_a_title_offers_every_name_that_may_be_the_vehicles(tmp_path):
    assert surveyed(tmp_path, "Duchess, Oxtarn, 1 May 2025\n\nNo dynamo.\n") == [
        ("Duchess or Oxtarn", "dynamo")
    ]


@pytest.mark.parametrize("subject", ["Nettle's return", "Re: RE: Fw: Nettle", "Nettle: the list"])
def test_a_mails_subject_names_the_vehicle(tmp_path, subject):
    assert surveyed(tmp_path, mail("No dynamo.", subject), "note.eml") == [("Nettle", "dynamo")]


def test_a_file_name_names_the_vehicle(tmp_path):
    text = "Well now.\n\nNo dynamo.\n"
    for name in ("walk_round_otter_6.txt", "otter 6 notes.txt", "2025-05-01 Otter6.txt"):
        assert [one.lower() for one, _ in surveyed(tmp_path, text, name)] == ["otter 6"], name


def test_a_person_with_a_vehicles_name_is_asked_about_by_two_readings(tmp_path):
    [one] = stated(tmp_path, "Wilf, 1 May 2025\n\nEdna has a dynamo.\n")
    readings = [
        (line.kind, line.fields.get("holder"), line.fields.get("vehicle"),
         line.fields.get("presence"))
        for [line] in one.readings()
    ]  # fmt: skip
    assert readings == [("holding", "Edna", None, None), ("survey", None, "Edna", "fitted")]


def test_the_notes_own_title_settles_that_a_name_is_the_vehicles(tmp_path):
    [one] = stated(tmp_path, "# Rosalind, a visit\n\nRosalind has no dynamo.\n")
    assert (one.statement.kind, one.statement.vehicles) == ("survey", ("Rosalind",))


WRITERS = {
    "a mail's sender": (mail("I have a dynamo."), "note.eml", "Hester Crane"),
    "a signature": ("Hello all,\n\nI have a dynamo.\n\nYours,\nWilf\n", "note.txt", "Wilf"),
    "initials at the end": ("Hello all,\n\nI have a dynamo.\n\nP.W.\n", "note.txt", "P.W."),
    "a name behind a dash": ("I have a dynamo.\n\n- Gwen Saddler\n", "note.txt", "Gwen Saddler"),
    "a line at the head": ("W.T. bk 14\n\nI have a dynamo.\n", "note.txt", "W.T."),
    "a name in the title": (
        "R. Foy - 3.5.25 - Dunwater\n\nI have a dynamo.\n", "note.txt", "R. Foy"),
    "from": ("Postcard from Gwen, 1 May 2025\n\nI have a dynamo.\n", "note.txt", "Gwen"),
    "by": ("# Stall, by P. Wendover\n\nI have a dynamo.\n", "note.txt", "P. Wendover"),
    "a field at the head": ("# Check\n\nBy: Prue Halloran (volunteers)\n\nI have a dynamo.\n",
                            "note.txt", "Prue Halloran"),
    "me in brackets": ("Present: Toby, Gwen, me (Nell)\n\nI have a dynamo.\n", "note.txt", "Nell"),
    "speaking": (
        "DUCHESS. 1 May 2025. Hester speaking.\n\nI have a dynamo.\n", "note.txt", "Hester"),
    "it's": ("right its ivo its saturday\n\nI have a dynamo.\n", "note.txt", "ivo"),
    "the file's name": ("I have a dynamo.\n", "hester_to_ivo.txt", "hester"),
    "a letter's end in one line": (
        "Dear Tansley,\n\nI have a dynamo.\n\nWith regards, yours sincerely, P. Wendover\n",
        "note.txt", "P. Wendover"),
    "a letter's end with more behind it": (
        "Dear Madam,\n\nI have a dynamo.\n\nYours truly,\n\nPiers Wendover\n\nP.S. It rains.\n",
        "note.txt", "Piers Wendover"),
    "not who wrote a letter that came": (
        "Minutes of May. A letter had come from Brandt.\n\nI have a dynamo.\n", "note.txt", ""),
    "a title in brackets": (
        "Dear Madam,\n\nI have a dynamo.\n\nYours faithfully,\n(Mrs.) Constance Ebdon\n",
        "note.txt", "Constance Ebdon"),
    "a letter's end": ("Dear Mrs Pettifer,\n\nI have a dynamo.\n\nYours sincerely,\nEdith Marlow\n",
                       "note.txt", "Edith Marlow"),
    "a message's": ("[23/08/2025, 14:02] Gwen S: I have a dynamo\n", "note.txt", "Gwen S"),
    "a speaker's line": ("1 May 2025\n\nToby: I have a dynamo\nNell: nice\n", "note.txt", "Toby"),
}  # fmt: skip


@pytest.mark.parametrize("case", WRITERS)
def test_who_i_is(tmp_path, case):
    text, name, writer = WRITERS[case]
    assert held(tmp_path, text, name) == [("holding", writer, "dynamo")]


def test_he_and_she_are_the_last_of_their_sort(tmp_path):
    text = "# A visit\n\nGwen came, and Wilf did. She has a dynamo. He has a starter.\n"
    assert held(tmp_path, text) == [
        ("holding", "Gwen", "dynamo"), ("holding", "Wilf", "starter"),
    ]  # fmt: skip


def test_she_is_the_vehicle_where_no_woman_was_named(tmp_path):
    text = "# Otter 1\n\nWilf came round. She has no dynamo.\n"
    assert surveyed(tmp_path, text) == [("Otter 1", "dynamo")]


def test_those_present_are_people(tmp_path):
    text = "# Meeting\n\nPresent: Al, Cyd and Bea.\n\nStoat 1. No horn. Cyd has a dynamo.\n"
    [_, one] = stated(tmp_path, text)
    assert (one.statement.kind, one.statement.people) == ("holding", ("Cyd",))
    assert one.statement.otherwise == ()


def test_you_is_the_one_a_mail_is_written_to(tmp_path):
    assert held(tmp_path, mail("You have a dynamo."), "note.eml") == [
        ("holding", "Ivo Larch", "dynamo")
    ]


DAYS = {
    "the title": ("OTTER 1, Sat 12 Apr 2025\n\nno dynamo\n", ["2025-04-12"]),
    "a day and a year apart": (
        "Rimside, 25 October. Notes for the autumn number, 2026.\n\nOtter 1 has no dynamo.\n",
        ["2026-10-25"]),
    "a month": ("# Otter 1\n\nMay 2025, in the wet\n\nNo dynamo.\n", ["2025-05"]),
    "a field at the head": ("# Otter 1\n\nDate: 11 January 2026\n\nNo dynamo.\n", ["2026-01-11"]),
    "a diary": (
        ("OTTER 2 - my book for 2025\n\n3 Mar. Rain. No dynamo.\n\n9 Mar. (Sunday) No starter.\n\n"
        "The horn is missing.\n\nMay 4. No radiator.\n"),
        ["2025-03-03", "2025-03-09", "2025-03-09", "2025-05-04"]),
    "a diary with days on their own lines": (
        "Otter 2, 2026\n\nSunday 4 Jan\nNo dynamo.\n\nSat 17 Jan.\nNo starter.\n",
        ["2026-01-04", "2026-01-17"]),
    "seen on another day": (
        "# Otter 1, 29 Apr 2025\n\nI looked in on Sunday, no dynamo. No starter.\n\nNo horn.\n",
        ["2025-04-27", "2025-04-27", "2025-04-29"]),
    "said to have been so": (
        "# Otter 1, 29 Apr 2025\n\nOn Feb 3rd there was no dynamo. No starter now.\n",
        ["2025-02-03", "2025-04-29"]),
    "in a month": ("# Otter 1, 29 Apr 2025\n\nIn March there was no dynamo.\n", ["2025-03"]),
    "a doubt stays one": ("# Otter 1, 3/5/25\n\nNo dynamo.\n", ["3/5/25"]),
    "another date tells the order": (
        "# Otter 1, 3/5/25\n\nNo dynamo.\n\nPS written 28/5/25, late\n", ["2025-05-03"]),
    "a day of the week in a title": ("Sun 10 May 2026\n\nOtter 1, Sunday, no dynamo\n",
                                     ["2026-05-10"]),
    "the file's name": ("# Otter 1\n\nNo dynamo.\n", []),
}  # fmt: skip


@pytest.mark.parametrize("case", [one for one in DAYS if one != "the file's name"])
def test_the_day_of_a_statement(tmp_path, case):
    text, days = DAYS[case]
    assert dated(tmp_path, text) == days


def test_the_day_in_the_files_name(tmp_path):
    text = "# Otter 1\n\nNo dynamo.\n"
    assert dated(tmp_path, text, "otter_1_2025-04-12.txt") == ["2025-04-12"]


def test_a_mails_day_is_its_heads(tmp_path):
    assert dated(tmp_path, mail("Otter 1 has no dynamo."), "note.eml") == ["2025-03-16"]


LISTS = {
    "missing": ("Missing:\n- dynamo\n- starter\n",
                [("survey", "missing", "dynamo"), ("survey", "missing", "starter")]),
    "still to find": ("## Still to find\n\n- dynamo\n- starter, any make\n",
                      [("want", "", "dynamo"), ("want", "", "starter")]),
    "wanted": ("Wanted:\n\ndynamo\n", [("want", "", "dynamo")]),
    "for sale": ("## For sale\n\n- dynamo\n", [("holding", "offered", "dynamo")]),
    "swaps": ("Swaps:\n- dynamo\n", [("holding", "swap", "dynamo")]),
    "keeping": ("Spares (keeping):\n- dynamo\n", [("holding", "kept", "dynamo")]),
    "what is there": ("What's there:\n- dynamo\n", [("survey", "fitted", "dynamo")]),
    "off and in the shed": ("Off and in the shed:\n- dynamo\n",
                            [("survey", "off-and-kept", "dynamo")]),
    "both of it": ("Missing:\n- dynamo\n- headlamp (both)\n",
                   [("survey", "missing", "dynamo"), ("survey", "missing", "headlamp")]),
    "an item says otherwise": ("Missing:\n- dynamo\n- starter is there\n",
                               [("survey", "missing", "dynamo"), ("survey", "fitted", "starter")]),
    "it ends with the list": ("Missing:\n- dynamo\n\nThe weather was fine and the horn was loud.\n",
                              [("survey", "missing", "dynamo")]),
    "a table of states": (
        "| Part | State |\n|---|---|\n| dynamo | missing |\n| starter | there |\n",
        [("survey", "missing", "dynamo"), ("survey", "fitted", "starter")]),
}  # fmt: skip


@pytest.mark.parametrize("case", LISTS)
def test_headings_give_their_items_what_they_say(tmp_path, case):
    text, lines = LISTS[case]
    found = [
        (one.statement.kind,
         one.statement.fields.get("presence") or one.statement.fields.get("availability") or "",
         one.statement.fields["description"])
        for one in stated(tmp_path, f"Otter 1, 1 May 2025\n\n{text}")
    ]  # fmt: skip
    assert found == lines


def test_a_list_of_people_gives_each_his_own(tmp_path):
    text = (
        "# Wanted, May 2025\n\n- **Ivo Larch** - dynamo\n- Gwen: starter\n\n"
        "| Who | Has | Needs |\n|---|---|---|\n| Rupert | horn | radiator |\n"
        "| Nell | - | ammeter |\n"
    )
    assert held(tmp_path, text) == [
        ("want", "Ivo Larch", "dynamo"), ("want", "Gwen", "starter"),
        ("holding", "Rupert", "horn"), ("want", "Rupert", "radiator"), ("want", "Nell", "ammeter"),
    ]  # fmt: skip


@pytest.mark.parametrize("mark", ["ditto", "do.", '"', "same", "same again", "likewise"])
def test_a_ditto_says_the_same_of_another_part(tmp_path, mark):
    text = f"Otter 1, 1 May 2025\n\ndynamo - missing\nstarter - {mark}\n"
    found = [one.statement.fields for one in stated(tmp_path, text)]
    assert [(one["description"], one["presence"]) for one in found] == [
        ("dynamo", "missing"), ("starter", "missing"),
    ]  # fmt: skip


SURE = {
    "No dynamo.": (True, True, ""),
    "I think there is no dynamo.": (False, True, ""),
    "No dynamo, I think.": (False, True, ""),
    "Probably no dynamo.": (False, True, ""),
    "No dynamo?": (False, True, ""),
    "It looks like there is no dynamo.": (False, True, ""),
    "No dynamo by the look of it.": (False, True, ""),
    "There is no dynamo, or so the vicar says.": (True, False, "the vicar"),
    "My neighbour reckons there is no dynamo.": (False, False, "My neighbour"),
    "There is supposed to be no dynamo.": (False, False, ""),
    "If memory serves there is no dynamo.": (False, True, ""),
    "No dynamo as far as I could see.": (False, True, ""),
    "Not sure, but no dynamo.": (False, True, ""),
    "There may be no dynamo.": (False, True, ""),
    "Wilf says there is no dynamo.": (True, False, "Wilf"),
    "Wilf told me there is no dynamo.": (True, False, "Wilf"),
    "According to Wilf there is no dynamo.": (True, False, "Wilf"),
    "There is no dynamo, Wilf says.": (True, False, "Wilf"),
    "There is no dynamo, according to Wilf.": (True, False, "Wilf"),
    "I'm told there is no dynamo.": (True, False, ""),
    "I'm told by Wilf there is no dynamo.": (True, False, "Wilf"),
    "Apparently there is no dynamo.": (True, False, ""),
    "There is no dynamo, apparently.": (True, False, ""),
    "Wilf reported no dynamo.": (True, False, "Wilf"),
    "Wilf thinks there is no dynamo.": (False, False, "Wilf"),
    "Mrs Marlow says there is no dynamo.": (True, False, "Mrs Marlow"),
    "The man at the gate says there is no dynamo.": (True, False, "The man at the gate"),
    "Wilf rang: no dynamo.": (True, False, "Wilf"),
}


@pytest.mark.parametrize("sentence", SURE)
def test_how_sure_and_whose_word_it_is(tmp_path, sentence):
    [one] = stated(tmp_path, f"Otter 1, 1 May 2025\n\n{sentence}\n")
    statement = one.statement
    assert statement.fields["presence"] == "missing"
    assert (statement.sure, statement.first_hand, statement.said_by) == SURE[sentence]


@pytest.mark.parametrize(
    "sentence",
    [
        "Is there no dynamo?", "Has anybody got a dynamo?", "Who has the dynamo?",
        "I wonder whether the dynamo is missing.", "If the dynamo is missing, tell me.",
        "I wish the dynamo was there.", "I hope the dynamo is there.",
        "We will look whether the dynamo is fitted.", "Must get the dynamo fitted.",
        "The dynamo ought to be fitted by Easter.", "Next month the dynamo will be fitted.",
        "Let us say the dynamo is missing.", "If wishes were dynamos we'd all have one.",
        "Do not forget the dynamo.", "Remember: the dynamo must not be missing.",
        "Somebody should check that the dynamo is there.",
        "Unless the dynamo is missing we start at ten.", "Suppose the dynamo is missing.",
    ],
)  # fmt: skip
def test_questions_wishes_and_plans_say_nothing(tmp_path, sentence):
    assert stated(tmp_path, f"Otter 1, 1 May 2025\n\n{sentence}\n") == []


def test_a_hedge_reaches_no_further_than_its_clause(tmp_path):
    text = "Otter 1, 1 May 2025\n\nProbably no dynamo, but the starter is there.\n"
    found = [one.statement for one in stated(tmp_path, text)]
    assert [(one.fields["description"], one.sure) for one in found] == [
        ("dynamo", False), ("starter", True),
    ]  # fmt: skip


def test_a_sentence_that_names_a_part_and_says_nothing_is_told(tmp_path):
    text = "Otter 1, 1 May 2025\n\nNo dynamo.\n\nThe starter sang all night.\n\nTea at four.\n"
    assert silent(tmp_path, text) == ["The starter sang all night."]
    assert len(surveyed(tmp_path, text)) == 1


def test_a_quoted_paragraph_says_nothing_of_its_own(tmp_path):
    assert surveyed(tmp_path, mail("> No dynamo on Otter 1.\n\nNo starter.", "Otter 1"),
                    "note.eml") == [("Otter 1", "starter")]  # fmt: skip


@pytest.mark.parametrize(
    ("text", "who"),
    [
        ("H. Crane has four spring shackles to give away.", "Crane"),
        ("Hester Crane is after a dynamo.", "Hester Crane"),
        ("Mrs Hood can spare a magneto.", "Mrs Hood"),
        ("GS has two dynamos, both for sale.", "GS"),
    ],
)
def test_a_surname_that_is_a_word_of_the_trade(text, who):
    lines = [Paragraph("Swaps, May 2026", "line 1", 1), Paragraph(text, "line 2", 2)]
    said, _ = read_note(Note(None, None, tuple(lines)), "note.txt")
    assert [one.statement.people[:1] for one in said] == [(who,)]
    assert "crane" not in {one.statement.fields["description"].lower() for one in said}
