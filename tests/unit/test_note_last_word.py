"""What a note says later of one dealing is put together with what it said before that day."""

from __future__ import annotations

from .told_by_notes import stated


def dealings(tmp_path, text):
    """Return kind, part and how it stands of each holding, want and promise of a note."""
    return sorted(
        (one.statement.kind, one.statement.fields["description"],
         one.statement.fields.get("stage") or one.statement.fields.get("availability", ""))
        for one in stated(tmp_path, f"Spares meeting, 1 May 2025\n\n{text}\n")
        if one.statement.kind in {"holding", "want", "promise"}
    )  # fmt: skip


def test_a_promise_stands_as_it_was_told_last(tmp_path):
    text = "Gwen offered Toby a header tank. He said yes. Nell changed her mind about the coil."
    assert dealings(tmp_path, text) == [
        ("promise", "coil", "withdrawn"), ("promise", "header tank", "agreed"),
    ]  # fmt: skip


def test_what_was_promised_and_is_collected_is_held_no_more(tmp_path):
    text = "Toby can have Gwen's spare header tank. Toby picked up the header tank from Gwen."
    assert dealings(tmp_path, text) == [("promise", "header tank", "collected")]


def test_a_holding_is_offered_if_a_later_sentence_says_so(tmp_path):
    text = "Gwen has a spare carb. Anyone can have it."
    assert dealings(tmp_path, text) == [("holding", "carb", "offered")]


def test_a_part_named_within_anothers_name_is_another_part(tmp_path):
    text = "Gwen has a spare magneto, not for sale. Gwen has a magneto coupling for sale."
    assert dealings(tmp_path, text) == [
        ("holding", "magneto", "kept"), ("holding", "magneto coupling", "offered"),
    ]  # fmt: skip
