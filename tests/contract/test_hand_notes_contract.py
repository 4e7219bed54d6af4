"""The shipped contract suite, on the importer of notes in people's own words."""

from __future__ import annotations

import pytest

from partmuster.testing.contract import ImporterContract
from partmuster_plugins.hand_notes.importer import HandNotes
from tests.unit.note_files import docx
from tests.unit.told_by_notes import mail

NOTE = "OTTER 1, N. shed, Sat 12 Apr 2025\n\ndynamo - missing\n\nThe starter sang all night.\n"
PAGE = "<html><body><h1>Otter 1</h1><p>No dynamo.</p></body></html>"


class TestHandNotes(ImporterContract):
    @pytest.fixture
    def importer(self):
        return HandNotes()

    @pytest.fixture
    def samples(self, tmp_path):
        document = docx("<w:p><w:r><w:t>Otter 1. No dynamo.</w:t></w:r></w:p>")
        for name, content in (
            ("note.txt", NOTE), ("note.md", f"# {NOTE}"), ("note.eml", mail(NOTE)),
            ("note.html", PAGE), ("note.docx", document),
        ):  # fmt: skip
            data = content if isinstance(content, bytes) else content.encode()
            (tmp_path / name).write_bytes(data)
        return sorted(tmp_path.glob("note.*"))
