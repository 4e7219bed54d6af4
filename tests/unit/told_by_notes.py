"""Reads small notes for tests, and shows what they state."""

from __future__ import annotations

from typing import TYPE_CHECKING

from partmuster.host import source_file
from partmuster_plugins.hand_notes.files import read_notes
from partmuster_plugins.hand_notes.note import read_note

if TYPE_CHECKING:
    from pathlib import Path

    from partmuster_plugins.hand_notes.note import Stated


def stated(folder: Path, text: str, name: str = "note.txt") -> list[Stated]:
    """Return what the notes of a file state."""
    path = folder / name
    path.write_text(text, encoding="utf-8")
    found: list[Stated] = []
    for note in read_notes(source_file(path, name)):
        found += read_note(note, name)[0]
    return found


def silent(folder: Path, text: str, name: str = "note.txt") -> list[str]:
    """Return the words that a note's reading names as no data."""
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return [
        words
        for note in read_notes(source_file(path, name))
        for words, *_ in read_note(note, name)[1]
    ]


def surveyed(folder: Path, text: str, name: str = "note.txt") -> list[tuple[str, ...]]:
    """Return vehicle (its candidates with " or " between) and part of each survey statement."""
    return [
        (" or ".join(one.statement.vehicles), one.statement.fields["description"])
        for one in stated(folder, text, name)
        if one.statement.kind == "survey"
    ]


def held(folder: Path, text: str, name: str = "note.txt") -> list[tuple[str, ...]]:
    """Return person and part of each holding and want."""
    return [
        (one.statement.kind, " or ".join(one.statement.people),
         one.statement.fields["description"])
        for one in stated(folder, text, name)
        if one.statement.kind in {"holding", "want"}
    ]  # fmt: skip


def dated(folder: Path, text: str, name: str = "note.txt") -> list[str]:
    """Return the day of each survey statement, as the core will read it."""
    found = []
    for one in stated(folder, text, name):
        if one.statement.kind != "survey":
            continue
        said_on = one.statement.said_on
        found.append(one.statement.fields.get("date") or (said_on.isoformat() if said_on else ""))
    return found


MAIL = """From: Hester Crane <hester@crane.example>
To: Ivo Larch <ivo@larch.example>
Subject: {subject}
Date: Sun, 16 Mar 2025 21:14:08 +0000
Content-Type: text/plain; charset=utf-8

{text}
"""


def mail(text: str, subject: str = "hello") -> str:
    """Return an e-mail from Hester Crane to Ivo Larch."""
    return MAIL.format(text=text, subject=subject)
