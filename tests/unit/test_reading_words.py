"""Condition, availability, presence, role, aim and fit words."""

from __future__ import annotations

import pytest

from partmuster.reading.availability import read_availability
from partmuster.reading.conditions import read_condition
from partmuster.reading.phrases import phrase_tokens
from partmuster.reading.presence import read_presence
from partmuster.reading.roles import read_aim, read_grade, read_role
from partmuster.reading.states import read_states
from partmuster_schemas import words as closed
from partmuster_trade.words import TABLES, WordsError, load_words

CONDITION = {
    "serviceable": ("serviceable", "unknown", "unknown"),
    "u/s": ("unserviceable", "unknown", "unknown"),
    "U/S.": ("unserviceable", "unknown", "unknown"),
    "unserviceable": ("unserviceable", "unknown", "unknown"),
    "seized": ("unserviceable", "unknown", "unknown"),
    "Knackered": ("unserviceable", "unknown", "poor"),
    "NOS": ("unknown", "original", "new-old-stock"),
    "N.O.S.": ("unknown", "original", "new-old-stock"),
    "new old stock, boxed": ("unknown", "original", "new-old-stock"),
    "new": ("serviceable", "unknown", "new"),
    "good used": ("unknown", "unknown", "good"),
    "good": ("unknown", "unknown", "good"),
    "good to fair": ("unknown", "unknown", "fair"),
    "fair/poor": ("unknown", "unknown", "poor"),
    "needs work": ("unserviceable", "unknown", "poor"),
    "scrap": ("unserviceable", "unknown", "scrap"),
    "repro": ("unknown", "new-made", "unknown"),
    "copy of original": ("unknown", "new-made", "unknown"),
    "made up from plate": ("unknown", "adapted", "unknown"),
    "fabricated": ("unknown", "adapted", "unknown"),
    "off another make": ("unknown", "other-original", "unknown"),
    "original, good": ("unknown", "original", "good"),
    "original but cracked": ("unserviceable", "original", "unknown"),
    "not original": ("unknown", "unknown", "unknown"),
    "not seized": ("unknown", "unknown", "unknown"),
    "working": ("serviceable", "unknown", "unknown"),
    "not working": ("unserviceable", "unknown", "unknown"),
    "rebuilt": ("serviceable", "unknown", "good"),
    "needs rebuild": ("unserviceable", "unknown", "unknown"),
    "as new": ("unknown", "unknown", "good"),
    "new seals needed": ("unserviceable", "unknown", "unknown"),
    "cracked - beyond repair": ("unserviceable", "unknown", "scrap"),
    "": ("unknown", "unknown", "unknown"),
}


@pytest.mark.parametrize(("text", "expected"), CONDITION.items())
def test_condition(text, expected):
    got = read_condition(text)
    assert (got.service, got.making, got.grade) == expected
    assert got.problem is None
    assert not got.hedged
    assert got.ambiguous == ()


@pytest.mark.parametrize("text", ["seized?", "probably seized", "good, untested", "looks good"])
def test_condition_hedged(text):
    assert read_condition(text).hedged


@pytest.mark.parametrize(
    ("text", "token"),
    [("US", "us"), ("2 nos", "nos"), ("bearing .010 u/s", "u/s")],
)
def test_condition_left_open(text, token):
    got = read_condition(text)
    assert (got.service, got.grade) == ("unknown", "unknown")
    assert token in [name for name, _ in got.ambiguous]


@pytest.mark.parametrize(
    ("text", "scheme", "service", "grade"),
    [
        ("A", "supply", "serviceable", "unknown"),
        ("F", "supply", "unserviceable", "unknown"),
        ("s", "supply", "unserviceable", "scrap"),
        ("H", "supply", "unserviceable", "scrap"),
        ("K", "supply", "unknown", "unknown"),
        ("1", "disposal", "serviceable", "good"),
        ("4", "disposal", "serviceable", "good"),
        ("8", "disposal", "unserviceable", "fair"),
        ("X", "disposal", "unserviceable", "scrap"),
    ],
)
def test_condition_codes(text, scheme, service, grade):
    got = read_condition(text, scheme)
    assert (got.service, got.grade, got.problem) == (service, grade, None)


@pytest.mark.parametrize(
    ("text", "scheme", "problem"),
    [
        ("A", None, "code-without-scheme"),
        ("4", None, "code-without-scheme"),
        ("I", "supply", "unknown-code"),
        ("0", "disposal", "unknown-code"),
        ("serviceable, seized", None, "contradictory-words"),
        ("wibble", None, "not-understood"),
    ],
)
def test_condition_problems(text, scheme, problem):
    got = read_condition(text, scheme)
    assert (got.problem, got.service) == (problem, "unknown")


PRESENCE = {
    "fitted": "fitted",
    "yes": "fitted",
    "Present": "fitted",
    "\u2713": "fitted",
    "\u2714": "fitted",
    "OK": "fitted",
    "fitted, seized": "fitted",
    "cracked": "fitted",
    "repro fitted": "fitted",
    "missing": "missing",
    "gone": "missing",
    "no": "missing",
    "none": "missing",
    "not there": "missing",
    "\u2717": "missing",
    "2 missing": "missing",
    "3 of 8 missing": "missing",
    "all missing": "missing",
    "3 of 8": "fitted",
    "4": "fitted",
    "off, in shed": "off-and-kept",
    "removed and kept": "off-and-kept",
    "missing - have it in the shed": "off-and-kept",
    "away for repair": "away-for-repair",
    "at the rewinders": "away-for-repair",
    "stand-in": "stand-in",
    "made up": "stand-in",
    "missing, dummy fitted": "stand-in",
    "wrong one fitted": "stand-in",
    "n/a": "not-there-to-be-fitted",
    "not on this mark": "not-there-to-be-fitted",
    "could not see": "could-not-be-seen",
    "couldn't get to it": "could-not-be-seen",
    "under water": "could-not-be-seen",
    "?": "not-looked-at",
    "": "not-looked-at",
    "n/c": "not-looked-at",
    "not checked": "not-looked-at",
}


@pytest.mark.parametrize(("text", "presence"), PRESENCE.items())
def test_presence(text, presence):
    got = read_presence(text)
    assert (got.presence, got.ambiguous) == (presence, False)
    assert got.text == text


@pytest.mark.parametrize("mark", ["Y", "N", "x", "X", "/", "-", "1", "0", "\u00d7", "*"])
def test_single_marks_are_asked(mark):
    got = read_presence(mark)
    assert (got.presence, got.ambiguous, got.mark) == (None, True, mark)


@pytest.mark.parametrize("text", ["off", "removed", "not fitted", "fitted, missing", "wibble"])
def test_presence_left_open(text):
    got = read_presence(text)
    assert (got.presence, got.ambiguous, got.mark) == (None, True, None)


def test_presence_details():
    seized = read_presence("fitted but seized")
    assert (seized.service, seized.making) == ("unserviceable", "unknown")
    assert read_presence("made up, owner happy with it").accepted_stand_in
    assert not read_presence("made up").accepted_stand_in
    some = read_presence("3 of 8 missing").quantity
    assert (some.at_least, some.of_total) == (3, 8)
    assert read_presence("fitted").quantity is None
    assert read_presence("missing I think").hedged
    assert read_presence("one cracked").quantity.at_least == 1
    assert read_presence("repro fitted").making == "new-made"


@pytest.mark.parametrize(
    ("text", "availability"),
    [
        ("for sale", "offered"),
        ("available", "offered"),
        ("FS", "offered"),
        ("will sell", "offered"),
        ("swap", "swap"),
        ("swap only", "swap"),
        ("would swap for a dynamo", "swap"),
        ("not for sale", "kept"),
        ("NFS", "kept"),
        ("keeping", "kept"),
        ("for own vehicle", "kept"),
        ("own use", "kept"),
        ("promised to K. Alder", "promised"),
        ("reserved", "promised"),
        ("spare", "unknown"),
        ("surplus", "unknown"),
        ("ask", "unknown"),
        ("not available", "kept"),
        ("", "unknown"),
    ],
)
def test_availability(text, availability):
    got = read_availability(text)
    assert (got.availability, got.problem) == (availability, None)


def test_availability_doubt():
    assert read_availability("surplus to requirements").surplus
    assert not read_availability("for sale").surplus
    assert read_availability("might sell").hedged
    assert read_availability("for sale, promised").problem == "contradictory-words"
    assert read_availability("wibble").problem == "not-understood"


@pytest.mark.parametrize(
    ("text", "role"),
    [
        ("complete", "kept-whole"),
        ("kept whole", "kept-whole"),
        ("under restoration", "under-restoration"),
        ("being restored", "under-restoration"),
        ("Restoration project", "under-restoration"),
        ("hulk", "hulk"),
        ("wreck", "hulk"),
        ("breaking", "breaking"),
        ("being broken for spares", "breaking"),
        ("parts vehicle", "breaking"),
        ("on loan", "on-loan"),
        ("on loan to another club", "on-loan"),
        ("", None),
    ],
)
def test_role(text, role):
    got = read_role(text)
    assert (got.role, got.problem) == (role, None)


def test_role_doubt():
    assert read_role("wibble").problem == "not-understood"
    assert read_role("hulk, not for breaking").role == "hulk"
    assert read_role("hulk, under restoration").problem == "contradictory-words"


@pytest.mark.parametrize(
    ("text", "aim", "target"),
    [
        ("as found", "as-found", None),
        ("oily rag", "as-found", None),
        ("static display", "static-display", None),
        ("Static", "static-display", None),
        ("runner", "runner", None),
        ("running and driving", "runner", None),
        ("full original", "full-original", None),
        ("full original, as left the works", "full-original", "as left the works"),
        ("full original to 1944", "full-original", "1944"),
        ("full original as served 1951", "full-original", "as served 1951"),
        ("", None, None),
    ],
)
def test_aim(text, aim, target):
    got = read_aim(text)
    assert (got.aim, got.target, got.problem) == (aim, target, None)


def test_aim_doubt():
    assert read_aim("static now, runner later").problem == "contradictory-words"
    assert read_aim("wibble").problem == "not-understood"


@pytest.mark.parametrize(
    ("text", "grade"),
    [
        ("as is", "as-is"),
        ("interchangeable", "as-is"),
        ("straight swap", "as-is"),
        ("one way", "one-way"),
        ("one way only", "one-way"),
        ("with work", "with-work"),
        ("needs drilling", "with-work"),
        ("drill flange for two more bolts", "with-work"),
        ("only as a set", "only-as-a-set"),
        ("as a set only", "only-as-a-set"),
        ("never", "never"),
        ("does not fit", "never"),
        ("won't fit", "never"),
        ("not interchangeable", "never"),
        ("looks right but is not", "never"),
        ("fits", "unknown"),
        ("replacement", "unknown"),
        ("unknown", "unknown"),
        ("?", "unknown"),
        ("", "unknown"),
    ],
)
def test_grade(text, grade):
    got = read_grade(text)
    assert (got.grade, got.problem) == (grade, None)


def test_grade_details():
    assert read_grade("drill flange for two more bolts").work == "drill flange for two more bolts"
    assert read_grade("as is").work is None
    assert read_grade("never, I think").hedged
    assert read_grade("as is, never").problem == "contradictory-words"
    assert read_grade("wibble").problem == "not-understood"


ALLOWED = {
    "service": closed.SERVICES,
    "making": closed.MAKINGS,
    "grade": closed.CONDITION_GRADES,
    "presence": closed.PRESENCES,
    "availability": closed.AVAILABILITIES,
    "role": closed.ROLES,
    "aim": closed.AIMS,
    "fit_grade": closed.GRADES,
}


@pytest.mark.parametrize("table", sorted(TABLES))
def test_word_tables_use_the_contracts_words(table):
    rows = load_words(table)
    assert rows
    seen = set()
    for row in rows:
        assert row.source, row.words
        of = {"note_role": "role", "note_told": "told"}.get(table)
        part = row.meanings[of] if of else None  # a word may play several
        key = (row.words, row.meanings.get("scheme"), row.meanings.get("reading"), part)
        assert key not in seen, row.words
        seen.add(key)
        for column, value in row.meanings.items():
            if (table, value) == ("note_deal", "wanted"):  # looked for, and so no holding's word
                continue
            if column in ALLOWED and value and part is None:
                assert value in ALLOWED[column], (table, row.words, column)


@pytest.mark.parametrize(
    "table", sorted(set(TABLES) - {"condition_code", "note_role", "note_told", "quantity", "unit"})
)
def test_a_phrase_means_one_thing_in_a_table(table):
    meanings = {}
    for row in load_words(table):
        if table == "side_context":
            continue
        said = meanings.setdefault(phrase_tokens(row.words), row)
        assert dict(said.meanings) == dict(row.meanings), (table, said.words, row.words)


def test_unknown_table_is_named():
    with pytest.raises(WordsError, match="no table of words 'wibble'"):
        load_words("wibble")


@pytest.mark.parametrize(
    ("text", "states"),
    [
        ("3 (1 u/s)", [("2 fitted", None), ("1 unserviceable", None)]),
        ("1 off, 1 away", [("1 off and kept", None), ("1 away", None)]),
        ("LH only", [("fitted", "lh")]),
        ("LH ok, RH missing", [("ok", "lh"), ("missing", "rh")]),
        ("left fitted, right missing", [("fitted", "left"), ("missing", "right")]),
        ("2 (both u/s)", [("2 unserviceable", None)]),
        ("2 good 1 poor", [("2 good", None), ("1 poor", None)]),
        ("LH & RH fitted", [("fitted", "lh"), ("fitted", "rh")]),
        # Not to be taken apart: a side alone, one that remains, what is not understood.
        ("RH", [("RH", None)]),
        ("one left", [("one left", None)]),
        ("left behind", [("left behind", None)]),
        ("2 off", [("2 off", None)]),
        ("fitted, LH cracked", [("fitted, LH cracked", None)]),
        ("fitted - seized", [("fitted - seized", None)]),
    ],
)
def test_survey_cells_come_apart(text, states):
    assert [(state.words, state.side) for state in read_states(text)] == states


@pytest.mark.parametrize(
    ("text", "rest"),
    [
        ("missing, see shed 2", "see shed 2"),
        ("fitted - seized", ""),
        ("off, in shed 2", "in shed 2"),
        ("both missing", ""),
    ],
)
def test_what_is_not_understood_of_a_survey_cell_is_kept(text, rest):
    assert read_presence(text).rest == rest


@pytest.mark.parametrize(
    "words", ["was there in 2019", "was fitted", "used to be there", "had been fitted in 1944",
              "there in 2019"],
)  # fmt: skip
def test_what_was_there_once_is_not_said_to_be_there(words):
    reading = read_presence(words)
    assert reading.presence is None
    assert reading.problem == "says-what-was"


@pytest.mark.parametrize(
    ("words", "presence"),
    [("missing, was there in 2019", None), ("was missing, now fitted", None),
     ("fitted 2019", "fitted"), ("was rusty, is there now", "fitted"), ("missing", "missing")],
)  # fmt: skip
def test_the_past_beside_the_present(words, presence):
    assert read_presence(words).presence == presence


@pytest.mark.parametrize(
    ("remark", "availability"),
    [("seized, will free", "unknown"), ("no glass", "unknown"), ("Sold?: no", "unknown"),
     ("no worries", "unknown"), ("for sale, no glass", "offered"), ("not for sale", "kept"),
     ("free to collector", "offered")],
)  # fmt: skip
def test_a_remark_offers_and_keeps_nothing_in_passing(remark, availability):
    assert read_availability(remark, in_passing=True).availability == availability
