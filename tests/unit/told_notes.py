"""Notes whose statements are given as they were read, for tests of what becomes of them."""

from __future__ import annotations

import json

import polars as pl

from partmuster.plugin_api import Claim, Lines
from partmuster_schemas.text_lines import text_line_schema


class ToldNotes:
    """Reads `.told` files: a JSON list with one object a text line."""

    name = "told-notes"
    version = "1"

    def sniff(self, source):
        return Claim(0.9) if source.suffix == ".told" else None

    def read(self, source):
        rows = json.loads(source.path.read_text(encoding="utf-8"))
        schema = text_line_schema()
        names = list(dict.fromkeys(name for row in rows for name in row))
        yield Lines(pl.DataFrame(rows, schema={name: schema[name] for name in names}))


def with_notes(small):
    """Return a small club that takes told notes."""
    small.host.importers.append(ToldNotes())
    return small


def write_note(small, name, *lines):
    """Write a note; a line without words is given some, one without a number is a statement."""
    rows = [{"raw_number": at, "words": f"statement {at}", **line} for at, line in
            enumerate(lines, 1)]  # fmt: skip
    return small.write(f"{name}.told", json.dumps(rows))
