"""Which of a club's vehicles a note's statements are about, by the ways in which one is named."""

from __future__ import annotations

import pytest

from partmuster.host import source_file
from partmuster.model import Lines
from partmuster.stages.choosing import choose
from partmuster.stages.layout import lay_out
from partmuster.stages.normalising.identity import name_key
from partmuster_plugins.hand_notes.files import read_notes
from partmuster_plugins.hand_notes.importer import batches_of
from tests.bench.note_readings import roster

from .told_by_notes import mail

OPEN = "?"
#: Name of the file, text, vehicle of each survey line ("?": it is asked, or nothing tells it).
NAMED = {
    # forms of a name
    "small letters": ("note.txt", "sat morning\n\nnettle next. no dynamo\n", ["bramble-9"]),
    "small letters in a sentence": (
        "note.txt", "went to see nettle at the barn on sunday. no dynamo, no horn\n",
        ["bramble-9", "bramble-9"]),
    "two words in small letters": (
        "note.txt", "had a look at the tin lizard. no dynamo\n", ["otter-14"]),
    "written together": ("note.txt", "OTTER3, Saturday\n\nno dynamo\n", ["otter-3"]),
    "with a hyphen": ("note.txt", "Otter-3, Saturday\n\nno dynamo\n", ["otter-3"]),
    "number in small letters": ("note.txt", "otter no3 sat\n\nno dynamo\n", ["otter-3"]),
    "with a sign": ("note.txt", "Bramble #2\n\nno dynamo\n", ["bramble-8"]),
    "the last word": ("note.txt", "Patience next.\n\nno dynamo\n", ["bramble-12"]),
    "first word and initial": ("note.txt", "Old P: no dynamo\n", ["bramble-12"]),
    "an article": ("note.txt", "A visit to the duchess. No dynamo.\n", ["otter-4"]),
    "only its plate, in a sentence": (
        "note.txt", "I began at the nose of AVC 131 with a mug of tea. No dynamo.\n",
        ["otter-13"]),
    "number and family apart": (
        "note.txt", "the big Bramble at the compound, no. 4 I mean. no dynamo\n", ["bramble-10"]),
    "at the head of a line": (
        "note.md",
        ("# News\n\n- **Nettle**: no dynamo.\n- **Rosalind**: no horn.\n"
         "- **Tin Lizard**: no starter.\n"),
        ["bramble-9", "otter-13", "otter-14"]),
    "at the head of a line, with a dash": (
        "note.txt", "Round the yard\n\nDuchess - no dynamo\nRosalind - no horn\n",
        ["otter-4", "otter-13"]),
    "before a list": (
        "note.txt",
        ("Tin Lizard\n\nShe has no dynamo.\n\nOld Patience instead, it being dry there. "
         "I made a list:\n- horn seized\n- no starter\n"),
        ["otter-14", "bramble-12", "bramble-12"]),
    # whose
    "an owner's, in a heading": (
        "note.md", "# Round-up\n\n## Hester's\n\nno dynamo\n", ["otter-2"]),
    "initials of an owner": (
        "note.md", "# Minutes\n\n(a) *TO's.* No dynamo.\n\n(b) *HC's.* No horn.\n",
        ["otter-3", "otter-2"]),
    "an owner's, of a family": (
        "note.txt", "Gwen's Bramble, Sunday\n\nno dynamo\n", ["bramble-7"]),
    "without its sign": ("note.txt", "gwens bramble, sunday\n\nno dynamo\n", ["bramble-7"]),
    "an owner of three": ("note.txt", "Ivo's, Sunday\n\nno dynamo\n", [OPEN]),
    "the one of her family": (
        "note.txt", "Nell's Bramble has no dynamo.\n\nNell's Otter has no horn.\n",
        ["bramble-12", "otter-14"]),
    "mine": (
        "note.eml", mail("Mine has no dynamo.").replace("Hester Crane", "Gwen Saddler"),
        ["bramble-7"]),
    "my own, of a family": (
        "note.eml", mail("My bramble has no dynamo.").replace("Hester Crane", "Rupert Foy"),
        ["bramble-8"]),
    "on mine": (
        "note.txt", "Gwen Saddler, 1 May 2025\n\nOn mine there is no dynamo.\n", ["bramble-7"]),
    "mine, in messages below names": (
        "note.txt",
        ("The lot of us, 1 May 2026\n\nGwen 18:40\nmine has no dynamo\nToby 18:42\n"
        "mine: no horn\nGwen 18:45\nthats mine\n"),
        ["bramble-7", "otter-3"]),
    # a family alone
    "family in a note about one": (
        "note.md", "# Duchess\n\nThe Otter has no dynamo.\n", ["otter-4"]),
    "family beside its owner": (
        "note.txt", "Spent Sunday at Toby's.\n\nThe Otter has no dynamo.\n", ["otter-3"]),
    "family beside an owner of two": (
        "note.txt", "Spent Sunday at Ivo's.\n\nThe Otter has no dynamo.\n", [OPEN]),
    "family that the title's is not": (
        "note.md", "# Bramble 2\n\nThe Otter has no dynamo.\n", [OPEN]),
    "family of the writer": (
        "note.eml", mail("The Otter has no dynamo."), ["otter-2"]),
    # how near
    "the paragraph's": (
        "note.txt",
        ("A day out\n\nOtter 3 was in the yard. The dynamo is missing. She has no horn.\n\n"
        "Bramble 2 stood behind. The starter is missing.\n"),
        ["otter-3", "otter-3", "bramble-8"]),
    "the paragraph before": (
        "note.txt",
        "A day out\n\nOtter 3 was there. The dynamo is missing.\n\nThe horn is missing too.\n",
        ["otter-3", "otter-3"]),
    "words that are no names passed over": (
        "note.md", "# Otter 3\n\n## Lower Deck\n\nNo dynamo.\n\n## Odds\n\nNo horn.\n",
        ["otter-3", "otter-3"]),
    "a person passed over": (
        "note.md", "# Otter 3\n\nBea had a look. No dynamo.\n", ["otter-3"]),
    "a place passed over": (
        "note.md", "# Otter 3\n\nIn the Drill Hall. No dynamo.\n", ["otter-3"]),
    "one that the club does not know stops": (
        "note.md", "# Otter 3\n\n## Otter 27\n\nNo dynamo.\n", [OPEN]),
    "a stranger's stops": (
        "note.md", "# Otter 3\n\nJorunn's Otter has no dynamo.\n", [OPEN]),
    "only beside": (
        "note.md", "# Otter 3\n\nUnlike Rosalind she has no dynamo. No horn off Nettle either.\n",
        ["otter-3", "otter-3"]),
    "the only one named": (
        "note.txt",
        "Sunday, wet\n\nNo dynamo. No horn.\n\nThat is all, and Otter 3 is locked up again.\n",
        ["otter-3", "otter-3"]),
    "named only as where it goes": (
        "note.txt", "Sunday, wet\n\nNo dynamo.\n\nBring the spanner for Otter 3.\n", [OPEN]),
    "the file's name": ("nettle_june.txt", "Sunday, wet\n\nNo dynamo.\n", ["bramble-9"]),
    "the file's name, among others": (
        "hester_on_tin_lizard_june.txt", "Sunday, wet\n\nNo dynamo.\n", ["otter-14"]),
    "two in the title, one in the file's name": (
        "otter3_notes.md", "# Otter 3 and Otter 2, side by side\n\nNo dynamo.\n", ["otter-3"]),
    "what it is called": (
        "note.txt", "# Otter 3\n\nMy brother has one. We call it the Heifer. She has no dynamo.\n",
        [OPEN]),
    "a line that only names it": (
        "note.txt", "Number 5\nno dynamo\n\nNUMBER 6 down the bottom\nno horn\n",
        ["otter-5", "otter-6"]),
    "looked at, in small letters, below a title": (
        "note.eml", mail("had old patience up on blocks. no dynamo.", "Bramble 2 and all that"),
        ["bramble-12"]),
    "a letter and a number over a list": (
        "note.txt", "Bramble 4\n- no dynamo\n\nDuchess\n- no horn\n\nMarks, B4\n- no starter\n",
        ["bramble-10", "otter-4", "bramble-10"]),
    "a subject with more words": (
        "note.eml", mail("No dynamo.", "What I found on the Duchess last Sunday"), ["otter-4"]),
}  # fmt: skip


@pytest.fixture(scope="module")
def names():
    return roster()


def about(path, names):
    """Return the vehicle that each survey line of a file is taken to be about."""
    source = source_file(path, path.name)
    batches = [one for one in batches_of(read_notes(source), source) if isinstance(one, Lines)]
    if not batches:
        return []
    found = []
    for row in choose(lay_out(batches).lines, names, path.name).lines.to_dicts():
        known = names.of("vehicle", name_key(row["vehicle"] or ""))
        if row["kind"] in {None, "survey"}:
            sure = row["kind"] and known.state == "known" and known.ids
            found.append(known.ids[0] if sure else OPEN)
    return found


@pytest.mark.parametrize("case", NAMED)
def test_the_vehicle_that_is_meant(tmp_path, names, case):
    file, text, vehicles = NAMED[case]
    path = tmp_path / file
    path.write_text(text, encoding="utf-8")
    assert about(path, names) == vehicles
