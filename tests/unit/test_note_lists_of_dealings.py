"""Lists of what people want, have or keep: under a heading, or behind a colon, in many words."""

from __future__ import annotations

import pytest

from partmuster_plugins.hand_notes.documents import Note, Paragraph
from partmuster_plugins.hand_notes.note import read_note


def _dealt(text):
    """Return "kind availability who: part" of each line; "//" ends a heading, "- " an item."""
    lines = ["Notes by Ivo Larch//", *text.splitlines()]
    paragraphs = tuple(
        Paragraph(line.removesuffix("//").removeprefix("- "), f"line {row}", row,
                  heading=line.endswith("//"), item=line.startswith("- "))
        for row, line in enumerate(lines, 1)
    )  # fmt: skip
    stated, _ = read_note(Note(None, None, paragraphs), "note.txt")
    return [
        " ".join(filter(None, (
            one.statement.kind, one.statement.fields.get("availability"),
            f"{' '.join(one.statement.people)}: {one.statement.fields['description']}",
        )))
        for one in stated
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Maud would very much like: a loudspeaker, a rear number plate lamp.", [
            "want Maud: loudspeaker", "want Maud: number plate lamp"]),
        ("He sent a list of what Toby is still short on: a rotor arm, two track pins", [
            "want Toby: rotor arm", "want Toby: track pins"]),
        ("Hester requires: one fan belt; one dynamo", [
            "want Hester: fan belt", "want Hester: dynamo"]),
        ("Things Wilf will not part with: the horn, and a starter", [
            "holding kept Wilf: horn", "holding kept Wilf: starter"]),
        ("Gwen is getting rid of the following: a magneto, three road wheels", [
            "holding offered Gwen: magneto", "holding offered Gwen: road wheels"]),
    ],
)  # fmt: skip
def test_a_list_behind_a_colon_is_of_what_stands_before_it(text, expected):
    assert _dealt(text) == expected


@pytest.mark.parametrize(
    ("heading", "kind"),
    [
        ("Requests", "want"),
        ("Get, if anybody is at the autojumble", "want"),
        ("Still hunting for", "want"),
        ("Bits that must go", "holding offered"),
        ("On offer to members", "holding offered"),
        ("What I would trade", "holding swap"),
        ("These I shall not part with", "holding kept"),
        ("Clearing out the shed", "holding offered"),
    ],
)
def test_a_heading_tells_what_its_list_is_of(heading, kind):
    made = _dealt(f"{heading}//\n- dynamo\n- starter")
    assert [one.split(": ")[0].removesuffix(" Ivo Larch") for one in made] == [kind, kind]


def test_each_sentence_under_a_heading_may_be_somebody_elses():
    text = "Requests//\nMaud: a dynamo, for number 4. Toby: starter. Hester: two horns."
    assert _dealt(text) == [
        "want Maud: dynamo", "want Toby: starter", "want Hester: horns"]  # fmt: skip


@pytest.mark.parametrize(
    "text",
    [
        "We talked about what is needed: patience, a dynamo and luck would do for a start, he said",
        "The rule is simple: one dynamo, one owner",
        "What I like about her: the horn, the smell, the noise",
    ],
)
def test_other_colons_tell_of_no_dealing(text):
    assert [one for one in _dealt(text) if not one.startswith("want")] == []
