"""The walk through the demo club: import, then the questions."""

from __future__ import annotations

import csv
import datetime as dt
import re
import shutil
import tempfile
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

import click

from partmuster.answers.documents.months import read_month
from partmuster.model import PartmusterError
from partmuster.output import short_ids

from .asking import show_donors, show_holders, show_lacks, show_trace
from .building import show_builds
from .club import make_club, vocabulary_of
from .deciding import settle, show_questions
from .fitting import show_explanation
from .importing import run_import
from .reporting import report

if TYPE_CHECKING:
    from collections.abc import Iterator

    from partmuster.host import Host

_CLUB = "Vale of Ashmere Vehicle Club"
_REGISTRAR = "Registrar"
_SHEETS = "ashmere"
#: Sheets that came in later, a folder a month, so that there is a history to report.
_MONTHS = "ashmere_months"
#: When the demo's first sheets came in: before the months that it reports.
_FIRST = dt.datetime(2026, 7, 31, 12)  # noqa: DTZ001 - a club keeps local time
#: What the registrar would say when asked: no sheet of the club.
_ANSWERS = "ashmere_making/answers.csv"


def walk_through(host: Host, keep: Path | None) -> int:
    """Import the demo club, settle what it asks, and ask the questions.

    Returns the exit code. Without ``keep`` the club is gone afterwards.
    """
    if keep is not None and keep.exists() and any(keep.iterdir()):
        raise PartmusterError(f"{keep} is not empty: name a new folder for the demo club")
    samples = _samples()
    with _folder(keep) as club:
        _say(f"The {_CLUB} does not exist: its people, vehicles and places are invented.")
        _step(f"partmuster init --name '{_CLUB}' --country GB")
        make_club(club, _CLUB, "GB")
        _say("One file is a scan of a parts list. To read its three pages takes some seconds each.")
        _step("partmuster import samples/ashmere")
        code = run_import(club, host, [samples / _SHEETS], "table", replaces=None, separate=False,
                          complete=False, again=False, now=_FIRST)  # fmt: skip
        if code:
            return code
        _say("Two sheets have marks and a colour only their writers know. The registrar tells:")
        for question, words, meaning in _answers(club, samples):
            _say(words)
            _step(f"partmuster answer {question} '{meaning}' --by {_REGISTRAR}")
            code = settle(club, host, question, meaning, _REGISTRAR, None, now=_FIRST)
            if code:
                return code
        _say("1. What does Otter 2 lack? It is a hybrid: each assembly has its own list.")
        _step("partmuster lacks 'Otter 2'")
        show_lacks(club, "table", vehicle="Otter 2", include_all=False, as_of=None,
                   known_now=False)  # fmt: skip
        _say("2. Who has a front left mudguard?")
        _step("partmuster holders mudguard lh front")
        show_holders(club, "table", "mudguard lh front", as_of=None, known_now=False)
        _say("3. Where could Otter 1's dynamo come from, without robbing a better vehicle?")
        _step("partmuster donors 'Otter 1' dynamo")
        show_donors(club, "table", vehicle="Otter 1", part="dynamo", include_all=False,
                    as_of=None, known_now=False)  # fmt: skip
        _say("4. What is Otter 7, found without a number? What tells, and what would settle it?")
        _step("partmuster builds 'Otter 7'")
        show_builds(club, "table", "Otter 7")
        _say("5. Why not the fan shroud that Dale offers for Otter 1?")
        _step("partmuster explain 'fan cowl' 'Otter 1'")
        show_explanation(club, "table", "fan cowl", vehicle="Otter 1", as_of=None,
                         known_now=False)  # fmt: skip
        line_id = _survey_line(club)
        _say("How do you know? An identifier from the last column leads to file, sheet and row.")
        _step(f"partmuster trace {short_ids(line_id)}")
        show_trace(club, "table", line_id)
        _say("Two lists disagree about Otter 5's towing eyes: 4 in a sheet, 2 on a scanned page.")
        line_id = _scanned_line(club)
        _step(f"partmuster trace {short_ids(line_id)}")
        show_trace(club, "table", line_id)
        _say("A note of May says that Otter 4's ammeter is gone; the survey of March had seen it.")
        line_id = _of_lack(club, "trace", "Otter 4", "ammeter").rsplit(";", 1)[-1]
        _step(f"partmuster trace {short_ids(line_id)}")
        show_trace(club, "table", line_id)
        _say("What else notes seem to say is asked about first:")
        _step("partmuster questions --topic reading")
        show_questions(club, "table", "reading")
        code = _report_months(club, host, samples)
        if code:
            return code
        _say(_next(keep))
    return 0


def _report_months(club: Path, host: Host, samples: Path) -> int:
    """Import what came in later, month by month, and report; return the exit code."""
    _say("6. Three months go by. Each month's sheets are taken as if they came at its end.")
    for month in sorted((samples / _MONTHS).iterdir()):
        _step(f"partmuster import samples/{_MONTHS}/{month.name}")
        code = run_import(club, host, [month], "table", replaces=None, separate=False,
                          complete=False, again=False, now=_end_of(month.name))  # fmt: skip
        if code:
            return code
    _say("What does the registrar send to the members at the end of October?")
    _step("partmuster report --month 2026-10 --audience members")
    code = report(club, host, "table", month="2026-10", audience="members", forms=(), out=None,
                  section=None, known_now=False, with_restricted=False)  # fmt: skip
    if code:
        return code
    _step("partmuster report --month 2026-10 --audience members --section figures")
    return report(club, host, "table", month="2026-10", audience="members", forms=(), out=None,
           section="figures", known_now=False, with_restricted=False)  # fmt: skip


def _end_of(month: str) -> dt.datetime:
    """Return noon of a month's last day."""
    return dt.datetime.combine(read_month(month).last_day, dt.time(12))


def _answers(club: Path, samples: Path) -> Iterator[tuple[str, str, str]]:
    """Yield each open question about marks, its words, and the meaning the demo's answers give."""
    from partmuster.store.club import Club  # noqa: PLC0415 - loads the database

    with (samples / _ANSWERS).open(encoding="utf-8", newline="") as stream:
        meanings = {(row["sheet"], row["mark"]): row["meaning"] for row in csv.DictReader(stream)}
    with Club.open(club).reading() as con:
        asked = con.execute(
            "SELECT question_id, question, source, subject FROM open_question "
            "WHERE topic = 'marks' ORDER BY subject"
        ).fetchall()
    for question, words, source, subject in asked:
        meaning = meanings.get((source, subject.rsplit("|", 1)[-1]))
        if meaning is not None:
            yield question, words, meaning


def _survey_line(club: Path) -> str:
    """Return the id of the line that says Otter 1's dynamo is missing."""
    return _of_lack(club, "trace", "Otter 1", "dynamo").rsplit(";", 1)[-1]


def _scanned_line(club: Path) -> str:
    """Return the id of the line on a scanned page that disagrees about Otter 5's towing eyes."""
    told = _of_lack(club, "disagrees", "Otter 5", "towing-eye")
    found = re.search(r"requirement-[\w.]+", told)
    if found is None:
        raise PartmusterError("the demo's scanned list was not understood")
    return found[0]


def _of_lack(club: Path, column: str, vehicle: str, part: str) -> str:
    from partmuster.answers.lacks import lacks  # noqa: PLC0415 - loads the database
    from partmuster.store.club import Club  # noqa: PLC0415 - as above

    opened = Club.open(club)
    with opened.reading() as con:
        rows = lacks(con, vocabulary_of(opened), vehicle).rows.to_dicts()
    found = next((row[column] for row in rows if row["part"] == part), None)
    if found is None:
        raise PartmusterError(f"the demo's survey of {vehicle} was not understood")
    return str(found)


def _samples() -> Path:
    """Return the folder of samples: a wheel carries it beside the packages, a checkout at its top.

    Raises:
        PartmusterError: this installation has none.
    """
    place = Path(__file__).resolve()
    for folder in (place.parents[2] / "partmuster_samples", place.parents[3] / "samples"):
        if (folder / _SHEETS).is_dir():
            return folder
    raise PartmusterError("the demo's sheets are missing from this installation")


@contextmanager
def _folder(keep: Path | None) -> Iterator[Path]:
    if keep is not None:
        yield keep
        return
    name = tempfile.mkdtemp(prefix="partmuster-demo-")
    try:
        yield Path(name)
    finally:
        shutil.rmtree(name, ignore_errors=True)


def _next(keep: Path | None) -> str:
    if keep is None:
        return (
            "This club is gone now. To keep one and look round in it:\n"
            "  partmuster demo --keep ashmere\n"
            "For your own sheets:\n"
            "  partmuster --club myclub init --country GB\n"
            "  partmuster --club myclub import FOLDER-OF-SHEETS\n"
            "  partmuster --club myclub lacks"
        )
    return (
        f"The club is kept. Next:\n  export PARTMUSTER_CLUB={keep}\n"
        "  partmuster questions\n  partmuster lacks\n  partmuster donors 'Otter 1'"
    )


def _say(text: str) -> None:
    click.echo(f"\n{text}")


def _step(command: str) -> None:
    click.echo(f"$ {command}")
