"""A club that imports notes as a user would, and what it then holds of each, as facts."""

from __future__ import annotations

import re
import shutil
import tempfile
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from partmuster.store.club import Club
from partmuster.store.outcomes import PART_OPEN, VEHICLE_OPEN
from partmuster_trade import load_vocabulary

from .figures import measure, partmuster
from .note_readings import CLUB, COUNTRY, said_fact
from .note_scores import KINDS, Fact

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from duckdb import DuckDBPyConnection

#: Lines that stand now, with the outcome of the raw line that says them in the newest version.
_LINES = """
    SELECT s.*, r.outcome, r.reason, r.raw_number
    FROM {kind} s
    JOIN newest_version n USING (source_id)
    JOIN source_version v ON v.source_id = n.source_id AND v.version = n.version
    JOIN line_origin o ON o.line_id = s.line_id AND o.source_id = n.source_id
        AND o.source_version = n.version
    JOIN raw_line r ON r.source_id = n.source_id AND r.source_version = n.version
        AND r.raw_number = o.raw_number
    WHERE v.name = ?
    ORDER BY r.raw_number, s.line_id
"""
_OPEN_RAW = """
    SELECT r.raw_number, r.words, r.outcome, r.reason
    FROM raw_line r
    JOIN newest_version n ON n.source_id = r.source_id AND n.version = r.source_version
    JOIN source_version v ON v.source_id = n.source_id AND v.version = n.version
    WHERE v.name = ? AND r.outcome IN ('decision', 'mending')
"""
_WORDS = {PART_OPEN: "which part it is", VEHICLE_OPEN: "which vehicle it is"}


class ClubOfNotes:
    """A club with register, members and places that took some notes in; in a temporary folder."""

    def __init__(self, paths: Sequence[Path]) -> None:
        self._held = tempfile.TemporaryDirectory(prefix="partmuster-notes-")
        folder = Path(self._held.name)
        self._club = folder / "club"
        init = partmuster("--club", self._club, "init", "--name", "Notes", "--country", COUNTRY)
        measure(init)
        measure(partmuster("--club", self._club, "import", CLUB))
        self._names: dict[Path, str] = {}
        for path in paths:
            copy = folder / "notes" / path.parent.name / path.name
            copy.parent.mkdir(parents=True, exist_ok=True)
            shutil.copyfile(path, copy)
            self._names[path] = f"{path.parent.name}/{path.name}"
        self.report = measure(
            partmuster("--club", self._club, "import", folder / "notes"), allow=(0, 1)
        ).output
        self._parts = {part.part_id: part.name for part in load_vocabulary().parts}

    def facts(self, path: Path) -> list[Fact]:
        """Return what the club holds of a note, and what it asks about it."""
        with Club.open(self._club).reading() as con:
            return list(self._facts(con, self._names[path]))

    def _facts(self, con: DuckDBPyConnection, name: str) -> Iterator[Fact]:
        meant = {
            (role, key): target
            for role, key, target in con.execute(
                "SELECT role, key, target FROM identification_now WHERE accepted"
            ).fetchall()
        }
        told: set[int] = set()
        for kind in KINDS:
            for row in _rows(con, _LINES.format(kind=kind), name):
                told.add(row["raw_number"])
                fact = said_fact(kind, row)
                named = {
                    role: meant.get((role, row[f"{role}_key"]), getattr(fact, role))
                    for role in ("vehicle", "holder")
                    if row.get(f"{role}_key")
                }
                part = meant.get(("part", row.get("item_key")), "")
                asked = "" if row["outcome"] == "loaded" else row["reason"] or row["outcome"]
                yield replace(fact, **named, canonical=self._parts.get(part or "", ""),
                              asked=_WORDS.get(asked, asked))  # fmt: skip
        for row in _rows(con, _OPEN_RAW, name):
            if row["raw_number"] in told:
                continue
            reason, words = row["reason"] or row["outcome"], row["words"] or ""
            # of a statement that waits for a name only its sentence is kept
            names = re.findall(r'"([^"]+)"', reason) if " meant " in reason else []
            yield Fact(vehicle=names[0] if names else "", part=words, told=words, words=words,
                       asked=f"which vehicle or person: {reason}" if names else reason)  # fmt: skip


def _rows(con: DuckDBPyConnection, sql: str, name: str) -> list[dict[str, Any]]:
    found = con.execute(sql, [name])
    columns = [column[0] for column in found.description or ()]
    return [dict(zip(columns, row, strict=True)) for row in found.fetchall()]
