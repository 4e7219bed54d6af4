"""How lines read from notes are held against the true ones."""

from __future__ import annotations

import pytest

from tests.bench.note_scores import Fact, score_note


def fact(**columns):
    return Fact(**columns)


DYNAMO = {"kind": "survey", "vehicle": "otter-2", "part": "dynamo", "presence": "missing"}


def scored(true, got):
    scores = score_note([fact(**one) for one in true], [fact(**one) for one in got])
    sums = {
        kind: (one.true, one.found, one.right, one.predicted, one.asked)
        for kind, one in scores.by_kind.items()
    }
    return {kind: one for kind, one in sums.items() if any(one)}


RIGHT = [
    (DYNAMO, DYNAMO),
    (DYNAMO, {**DYNAMO, "part": "the Dynamos"}),
    ({**DYNAMO, "part": "dyno"}, {**DYNAMO, "canonical": "dyno"}),
    ({**DYNAMO, "side": "near"}, {**DYNAMO, "side": "left", "part": "nearside dynamo"}),
    ({**DYNAMO, "side": "off"}, {**DYNAMO, "side": "right"}),
    (DYNAMO, {**DYNAMO, "service": "unserviceable"}),
    ({**DYNAMO, "sure": "no"}, {**DYNAMO, "sure": "no"}),
    ({"kind": "holding", "holder": "ivo-larch", "part": "carb"},
     {"kind": "holding", "holder": "ivo-larch", "part": "carb", "availability": "kept"}),
    ({"kind": "want", "holder": "ivo-larch", "vehicle": "otter-5", "part": "carb"},
     {"kind": "want", "holder": "ivo-larch", "part": "carb"}),
    ({"kind": "fit", "part": "w/pump", "build": "Mk 2", "to_build": "Mk 1 late", "grade": "as-is"},
     {"kind": "fit", "part": "w/pump", "build": "mk 2", "to_build": "Mk 1 late", "grade": "as-is"}),
    ({"kind": "promise", "holder": "Bert", "vehicle": "otter-2", "part": "seat",
      "stage": "offered"},
     {"kind": "promise", "vehicle": "otter-2", "part": "seats", "stage": "offered"}),
    ({"kind": "history", "vehicle": "otter-2", "told": "came from the brickworks in 1968"},
     {"kind": "history", "vehicle": "otter-2", "told": "it came from the brickworks, 1968"}),
    ({"kind": "feature", "vehicle": "otter-2", "told": "plate riveted", "seen": "no"},
     {"kind": "feature", "vehicle": "otter-2", "told": "plate riveted", "seen": "no"}),
    ({"kind": "lead", "part": "hull", "told": "the quarry still has a hull", "place": "the quarry"},
     {"kind": "lead", "part": "hull", "told": "word is", "place": "quarry"}),
]  # fmt: skip


@pytest.mark.parametrize(("true", "got"), RIGHT)
def test_a_line_is_right_that_says_the_same(true, got):
    assert scored([true], [got]) == {true["kind"]: (1, 1, 1, 1, 0)}


WRONG = [
    (DYNAMO, {**DYNAMO, "presence": "fitted"}),
    (DYNAMO, {**DYNAMO, "vehicle": "otter-3"}),
    (DYNAMO, {**DYNAMO, "side": "left"}),
    (DYNAMO, {**DYNAMO, "sure": "no"}),
    ({**DYNAMO, "service": "serviceable"}, DYNAMO),
    ({"kind": "holding", "holder": "ivo-larch", "part": "carb", "availability": "kept"},
     {"kind": "holding", "holder": "ivo-larch", "part": "carb", "availability": "offered"}),
    ({"kind": "fit", "part": "pump", "build": "Mk 2", "to_build": "Mk 1", "grade": "as-is"},
     {"kind": "fit", "part": "pump", "build": "Mk 2", "to_build": "Mk 1", "grade": "never"}),
    ({"kind": "fit", "part": "pump", "build": "Mk 2", "to_build": "Mk 1", "grade": "as-is"},
     {"kind": "fit", "part": "pump", "build": "Mk 1", "to_build": "Mk 2", "grade": "as-is"}),
    ({"kind": "feature", "vehicle": "otter-2", "told": "plate riveted"},
     {"kind": "feature", "vehicle": "otter-2", "told": "plate riveted", "seen": "no"}),
]  # fmt: skip


@pytest.mark.parametrize(("true", "got"), WRONG)
def test_a_line_that_says_otherwise_is_found_and_not_right(true, got):
    assert scored([true], [got]) == {true["kind"]: (1, 1, 0, 1, 0)}


def test_another_part_is_neither_found_nor_right():
    assert scored([DYNAMO], [{**DYNAMO, "part": "starter"}]) == {"survey": (1, 0, 0, 1, 0)}


def test_each_true_line_is_found_once_and_the_best_counts():
    two = [{**DYNAMO, "part": "dynamo", "presence": "fitted"}, DYNAMO]
    assert scored([DYNAMO], two) == {"survey": (1, 1, 1, 2, 0)}
    sides = [{**DYNAMO, "side": side} for side in ("left", "right")]
    assert scored(sides, sides[::-1]) == {"survey": (2, 2, 2, 2, 0)}


def test_what_is_asked_about_is_counted_apart():
    assert scored([DYNAMO], [{**DYNAMO, "asked": "the part"}]) == {"survey": (1, 0, 0, 0, 1)}


def test_asking_about_a_vehicle_that_nobody_knows_is_right():
    true = {**DYNAMO, "vehicle": "the Stoat?"}
    got = {**DYNAMO, "vehicle": "the stoat", "asked": "the vehicle"}
    assert scored([true], [got]) == {"survey": (1, 1, 1, 0, 0)}
    known = {**DYNAMO, "vehicle": "otter-2", "asked": "the part"}
    assert scored([true], [known]) == {"survey": (1, 0, 0, 0, 1)}


def test_a_note_of_chat_has_nothing_in_it():
    scores = score_note([], [fact(**DYNAMO), fact(**DYNAMO, asked="the part")])
    assert scores.invented == 1
    assert score_note([fact(**DYNAMO)], [fact(**DYNAMO), fact(**DYNAMO)]).invented == 0


def test_days_are_right_as_far_as_the_truth_tells_them():
    true = [{**DYNAMO, "date": "2026-03"}, {**DYNAMO, "part": "starter", "date": "2026-03-04"}]
    got = [{**DYNAMO, "date": "2026-03-09"}, {**DYNAMO, "part": "starter", "date": "2026-03-05"}]
    scores = score_note([fact(**one) for one in true], [fact(**one) for one in got])
    assert (scores.dates, scores.dates_right) == (2, 1)


def test_unseen_notes_are_never_shown(monkeypatch, capsys):
    from tests.bench.__main__ import main

    monkeypatch.setattr("sys.argv", ["bench", "notes", "--rules-only", "--show", "unseen"])
    with pytest.raises(SystemExit) as refused:
        main()
    assert refused.value.code == 2
    shown = capsys.readouterr()
    assert (shown.out, "never shown" in shown.err) == ("", True)
