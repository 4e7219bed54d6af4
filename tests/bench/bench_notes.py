"""How well hand notes are read: seen ones, which the rules were tuned on, and unseen ones."""

from __future__ import annotations

import re
import sys
import time
from contextlib import suppress
from typing import TYPE_CHECKING

from partmuster.stages.read import read_source
from partmuster_trade import load_vocabulary

from .figures import Figure
from .note_readings import NOTES, ByRules, notes_of, roster
from .note_scores import KINDS, Scores, score_note

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from pathlib import Path

    from .note_readings import Note
    from .note_scores import Fact

_PRECISION = 0.95
_RECALL = {"survey": 0.85}
_OTHER_RECALL = 0.8
_SPEED = 200
_FEW = 8  # notes of each folder in a small run
_UNSEEN = "unseen"
_SEEN = "seen"
FOLDERS = (_SEEN, _UNSEEN)


def run(*, small: bool, rules_only: bool = False, show: str | None = None) -> list[Figure]:
    """Return the figures; with ``show`` print what of the seen notes was missed or is false."""
    names = roster()
    notes = {folder: notes_of(NOTES / folder, names) for folder in FOLDERS}
    if show is not None:
        notes = {show: notes[show]}
    if small:
        notes = {folder: some[:_FEW] for folder, some in notes.items()}
    read, figures = _rules(notes, timed=show is None) if rules_only else _club(notes)
    for folder, some in notes.items():
        scores = Scores()
        for note in some:
            scores.add(_scored(note, read(note.path), shown=show is not None))
        sys.stdout.write(table(folder, scores) + "\n")
        figures += _figures(folder, scores, judged=folder == _UNSEEN and not small)
    return figures


def _scored(note: Note, got: Sequence[Fact], *, shown: bool) -> Scores:
    scores = score_note(note.true, got)
    if shown and scores.wrong:
        sys.stdout.write(f"\n{note.path.name}\n" + "\n".join(scores.wrong) + "\n")
    return scores


def _rules(
    notes: dict[str, list[Note]], *, timed: bool
) -> tuple[Callable[[Path], list[Fact]], list[Figure]]:
    from partmuster_plugins.hand_notes.importer import HandNotes

    paths = [note.path for some in notes.values() for note in some]
    facts = ByRules(HandNotes(), roster(), load_vocabulary()).all_facts(paths)
    return facts.__getitem__, [_speed(paths)] if timed else []


def _club(notes: dict[str, list[Note]]) -> tuple[Callable[[Path], list[Fact]], list[Figure]]:
    from .note_club import ClubOfNotes

    paths = [note.path for some in notes.values() for note in some]
    club = ClubOfNotes(paths)
    return club.facts, [_speed(paths)]


def _speed(paths: Sequence[Path]) -> Figure:
    """Return how many notes the importer alone reads in a second of one processor."""
    from partmuster.host import source_file
    from partmuster.model import SourceUnreadableError
    from partmuster_plugins.hand_notes.importer import HandNotes

    importer = HandNotes()

    def read(path: Path) -> None:
        with suppress(SourceUnreadableError):  # told when it is scored
            read_source(importer, source_file(path))

    for path in paths[:1]:  # what is loaded once is no note's
        read(path)
    started = time.process_time()
    for path in paths:
        read(path)
    took = time.process_time() - started
    started = time.process_time()
    for path in paths:
        re.split(r"(?<=[.!?])\s+|\n+", path.read_bytes().decode("utf-8", "replace"))
    plain = time.process_time() - started
    return Figure("notes read in a second", len(paths) / max(took, 1e-6), "notes/s", _SPEED,
                  "higher", "the same text split by a plain regex",
                  len(paths) / max(plain, 1e-6))  # fmt: skip


def _figures(folder: str, scores: Scores, *, judged: bool) -> list[Figure]:
    figures = []
    for kind in KINDS:
        one = scores.by_kind[kind]
        least = _RECALL.get(kind, _OTHER_RECALL)
        has = bool(one.true or one.predicted)
        figures += [
            Figure(f"{folder}: {kind} precision", one.precision, "", _PRECISION, "higher",
                   judged=judged and bool(one.predicted)),
            Figure(f"{folder}: {kind} recall", one.recall, "", least, "higher",
                   judged=judged and has),
            Figure(f"{folder}: {kind} recall, once what waits is said to be so",
                   one.recall_asked, ""),
        ]  # fmt: skip
    figures.append(Figure(f"{folder}: facts invented in chat", scores.invented, "lines", 0, "equal",
                          judged=folder == _UNSEEN))  # fmt: skip
    shares = (
        ("dates right", scores.dates_right, scores.dates),
        ("other columns right", scores.others_right, scores.others),
    )
    for name, right, of in shares:
        figures.append(Figure(f"{folder}: {name}", right / of if of else 1.0, ""))
    return figures


def table(folder: str, scores: Scores) -> str:
    """Return the sums of each kind as a table."""
    headings = ("true", "found", "right", "taken", "asked", "wait", "w. right", "precision",
                "recall", "with wait")  # fmt: skip
    lines = [f"{folder:<10}" + "".join(f" {one:>9}" for one in headings)]
    rows = [(kind, scores.by_kind[kind]) for kind in KINDS]
    rows += [("all", scores.total()), ("(no kind)", scores.by_kind[""])]
    lines += [
        f"{kind:<10} {one.true:>9} {one.found:>9} {one.right:>9} {one.predicted:>9} "
        f"{one.asked:>9} {one.waiting:>9} {one.waiting_right:>9} {one.precision:>9.3f} "
        f"{one.recall:>9.3f} {one.recall_asked:>9.3f}"
        for kind, one in rows
    ]
    return "\n".join(lines)
