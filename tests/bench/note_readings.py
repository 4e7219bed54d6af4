"""Lines read from notes as facts to be scored: of an importer alone, or as a club holds them."""

from __future__ import annotations

import csv
import datetime as dt
import sys
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

import polars as pl

from partmuster.model import Lines, SourceFile, SourceUnreadableError
from partmuster.reading.dates import find_date
from partmuster.running.matching import HandedParts
from partmuster.stages.choosing import choose
from partmuster.stages.layout import lay_out
from partmuster.stages.normalise import Context, normalise_several
from partmuster.stages.normalising.identity import name_key
from partmuster.stages.read import read_source
from partmuster.store.known_names import KnownNames
from partmuster.store.registered import HOLDER_COLUMNS, VEHICLE_COLUMNS
from partmuster_plugins.hand_notes.plain_words import ASKED

from .note_scores import KINDS, Fact, true_facts

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence

    from partmuster.hooks import Importer
    from partmuster.stages.normalise import Normalised
    from partmuster_trade import Vocabulary

NOTES = Path(__file__).parents[1] / "golden" / "notes"
CLUB = NOTES / "club"
COUNTRY = "GB"
_TRUTH = ".facts.csv"
#: Readings that only hold if the club knows their name are none that a person is asked about.
_FURTHER = "^(?:near|else|or) "
_BY_ROLE = {"vehicle": "vehicle_key", "holder": "holder_key"}
_NAMED_BY_VEHICLE = ("survey", "feature", "history", "promise", "want")


@dataclass(frozen=True, slots=True)
class Note:
    """A note with its true lines."""

    path: Path
    true: tuple[Fact, ...]


def notes_of(folder: Path, names: KnownNames) -> list[Note]:
    """Return the notes of a folder that have true lines, by name."""
    found = []
    for path in sorted(folder.iterdir()):
        truth = path.with_name(path.name.removesuffix(path.suffix) + _TRUTH)
        if not path.name.endswith(_TRUTH) and truth.exists():
            facts = true_facts(truth, lambda role, name: meant_by(names, role, name))
            found.append(Note(path, tuple(facts)))
    return found


def meant_by(names: KnownNames, role: str, name: str | None) -> str:
    """Return the id of what a name surely means, or the name."""
    known = names.of(role, name_key(name)) if name and name_key(name) else None
    return known.ids[0] if known and known.state == "known" and known.ids else name or ""


def roster(folder: Path = CLUB) -> KnownNames:
    """Return the names of the club that the notes are about, from its register and members."""
    columns = {
        "vehicle_key": "Vehicle", "family": "Family", "club_number": "No.", "mark": "Mark",
        "phase": "Phase", "civil_number": "Registration", "owner_key": "Owner",
        "keeper_key": "Kept by", "place_key": "Where", "holder_key": "Name", "code": "Code",
        "known_as": "Known as",
    }  # fmt: skip

    def rows(file: str, wanted: Iterable[str]) -> Iterator[dict[str, Any]]:
        with (folder / file).open(encoding="utf-8-sig", newline="") as opened:
            for row in csv.DictReader(opened):
                said = {name: row.get(columns.get(name, "")) or None for name in wanted}
                yield {
                    name: name_key(text) if text and name.endswith("_key") else text
                    for name, text in said.items()
                }

    return KnownNames(
        list(rows("register.csv", VEHICLE_COLUMNS)), list(rows("members.csv", HOLDER_COLUMNS))
    )


class ByRules:
    """Reads notes with an importer alone: no club, no parts; names compared with the roster."""

    def __init__(self, importer: Importer, names: KnownNames, vocabulary: Vocabulary) -> None:
        self._importer, self._names = importer, names
        self._handed = HandedParts(vocabulary, COUNTRY)

    def facts(self, path: Path) -> list[Fact]:
        """Return what is read of a note."""
        return self.all_facts([path])[path]

    def all_facts(self, paths: Sequence[Path]) -> dict[Path, list[Fact]]:
        """Return what is read of notes; they are typed together, which is quicker by far."""
        read = [(path, lines) for path in paths if (lines := self._lines(path)).height]
        chosen = [choose(lines, self._names, path.name).lines for path, lines in read]
        waiting = [set(_numbers(lines.filter(pl.col("kind").is_null()))) for lines in chosen]
        apart = [
            lines.filter(
                pl.col("raw_number").is_in(list(numbers))
                & ~pl.col("choice").fill_null("").str.contains(_FURTHER)
            ).with_columns(choice=pl.lit(None, pl.String))
            for (_, lines), numbers in zip(read, waiting, strict=True)
        ]
        contexts = [self._context(path) for path, _ in read]
        sure = normalise_several(list(zip(chosen, contexts, strict=True)))
        open_ones = normalise_several(list(zip(apart, contexts, strict=True)))
        found: dict[Path, list[Fact]] = {path: [] for path in paths}
        for at, (path, _) in enumerate(read):
            asked = dict.fromkeys(waiting[at], "which vehicle or person")
            found[path] = [
                *self._typed(sure[at], chosen[at], {}),
                *_once_each_statement(self._typed(open_ones[at], apart[at], asked)),
            ]
        return found

    def _lines(self, path: Path) -> pl.DataFrame:
        with path.open("rb") as file:
            source = SourceFile(path, path.name, path.stat().st_size, file.read(4096))
        try:
            batches = read_source(self._importer, source).batches
        except SourceUnreadableError as fault:
            sys.stderr.write(f"not read: {fault}\n")
            batches = []
        return lay_out([one for one in batches if isinstance(one, Lines)]).lines

    def _typed(
        self, typed: Normalised, lines: pl.DataFrame, asked: Mapping[int, str]
    ) -> Iterator[Fact]:
        doubts = dict(typed.doubts.select("raw_number", "reason").iter_rows()) | dict(asked)
        for kind in KINDS:
            frame = typed.lines.get(kind)
            for row in frame.to_dicts() if isinstance(frame, pl.DataFrame) else ():
                yield self._fact(kind, row, doubts.get(row["raw_number"]) or "")
        told: dict[int, dict[str, Any]] = {row["raw_number"]: row for row in lines.to_dicts()}
        for number in _numbers(typed.faults):
            faults = typed.faults.filter(pl.col("raw_number") == number).get_column("problem")
            line = told[number]
            yield Fact(
                kind=line["kind"] or "", part=line["description"] or "",
                vehicle=line["vehicle"] or "", told=line["feature"] or line["statement"] or "",
                asked="; ".join(faults.to_list()), words=line["words"] or "",
                rule=line["rule"] or "",
            )  # fmt: skip

    def _fact(self, kind: str, row: Mapping[str, Any], asked: str) -> Fact:
        waits = "yes" if asked == ASKED else ""
        asked = "" if waits else asked
        fact = replace(said_fact(kind, row), waits=waits)
        meant = {}
        for role, column in _BY_ROLE.items():
            known = self._names.of(role, row[column]) if row.get(column) else None
            if known is None:
                continue
            if role == "vehicle" and kind in _NAMED_BY_VEHICLE and known.state != "known":
                asked = "; ".join(filter(None, (asked, "which vehicle it is")))
            if known.state == "known" and known.ids:
                meant[role] = known.ids[0]
        return replace(fact, asked=asked, **meant)

    def _context(self, path: Path) -> Context:
        found = find_date(path.stem)
        stated = found.date if found else None
        return Context(
            source_id=path.name, today=dt.datetime.now(dt.UTC).date(), handed=self._handed,
            same=self._handed.same, stated_on=stated, stated_basis="file-name", country=COUNTRY,
        )  # fmt: skip


def _numbers(frame: pl.DataFrame) -> list[int]:
    return frame.get_column("raw_number").unique().to_list()


def _once_each_statement(facts: Iterable[Fact]) -> list[Fact]:
    """Return of statements with several readings those that name a vehicle, or else the first.

    A reading that asks of a vehicle is what the truth may have, too; the others are no more lines.
    """
    by_words: dict[tuple[str, str], Fact] = {}
    for fact in facts:
        key = fact.words, fact.vehicle
        by_words.setdefault(key, fact)
    return list(by_words.values())


def said_fact(kind: str, row: Mapping[str, Any]) -> Fact:
    """Return a typed line as a fact, in the words of the true ones."""

    def text(*names: str) -> str:
        return " ".join(str(row[name]) for name in names if row.get(name) not in (None, ""))

    def known(name: str, *but: str) -> str:
        return "" if row.get(name) in (None, "unknown", *but) else str(row[name])

    told = {"feature": text("feature", "feature_value"), "history": text("statement", "conclusion"),
            "lead": text("statement")}  # fmt: skip
    return Fact(
        kind=kind, vehicle=text("vehicle"), holder=text("holder"), part=text("description"),
        side=text("side"), position=text("position"), count=_count(row),
        of=_number(row, "of_total"),
        presence=text("presence"), service=known("service"), making=known("making"),
        availability=known("availability"), build=text("family", "mark", "phase"),
        to_part=text("to_description"), to_build=text("to_family", "to_mark", "to_phase"),
        grade=text("fit_grade"), stage=text("stage"), place=text("place"),
        told=told.get(kind, ""), seen="no" if row.get("seen") is False else "",
        sure="" if row["sure"] else "no", first_hand="" if row["first_hand"] else "no",
        said_by=text("said_by"), date=text("said_on"), words=text("words"), rule=text("rule"),
    )  # fmt: skip


def _count(row: Mapping[str, Any]) -> str:
    if not row.get("quantity_text"):
        return ""
    least = _number(row, "at_least")
    return least if row.get("at_most") is not None else f"{least or 0}+"


def _number(row: Mapping[str, Any], name: str) -> str:
    value = row.get(name)
    return "" if value is None else f"{value:g}"
