"""What a note says was seen, in short words, for tests of how sentences are read."""

from __future__ import annotations

from partmuster_plugins.hand_notes.documents import Note, Paragraph
from partmuster_plugins.hand_notes.note import read_note

_SHORT = {"serviceable": "good", "unserviceable": "bad"}


def surveys(text: str) -> list[str]:
    """Return the survey lines of a note about Otter 1, each line of the text a paragraph.

    A line reads "SIDE POSITION COUNT PART: PRESENCE SERVICE MAKING"; "(?)" where it is not sure.
    """
    lines = ["Otter 1", *text.splitlines()]
    paragraphs = tuple(
        Paragraph(line.strip(), f"line {row}", row, heading=row == 1)
        for row, line in enumerate(lines, 1)
        if line.strip()
    )
    stated, _ = read_note(Note(None, None, paragraphs), "note.txt")
    return [_in_short(one.statement) for one in stated if one.statement.kind == "survey"]


def _in_short(statement) -> str:
    said = statement.fields
    of = " ".join(
        said[name] for name in ("side", "position", "quantity", "description") if said.get(name)
    )
    service = _SHORT.get(said.get("service", ""), "")
    state = " ".join(filter(None, (said.get("presence"), service, said.get("making"))))
    return f"{of.lower()}: {state}" + ("" if statement.sure else " (?)")
