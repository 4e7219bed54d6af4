"""Holds a club to what sheets say, written down by hand beside them: see golden/ordinary."""

from __future__ import annotations

import csv
import re
from collections import defaultdict

from partmuster_schemas.said import MODELS


def raw_lines(small):
    """Return outcome and number of each raw line by file, sheet, row and column."""
    rows = small.rows(
        'SELECT v.name, r.sheet, r."row", r."column", r.outcome, r.raw_number, r.source_id '
        "FROM raw_line r JOIN source_sum v ON v.source_id = r.source_id "
        "AND v.version = r.source_version"
    )
    return {(name, sheet or "", row, column): rest for name, sheet, row, column, *rest in rows}


def said_lines(small):
    """Return the lines of each raw line as dicts, with their kind and accepted part."""
    found = defaultdict(list)
    with small.club.reading() as con:
        parts = dict(
            con.execute(
                "SELECT key, target FROM identification_now WHERE accepted AND role = 'part'"
            ).fetchall()
        )
        for kind in MODELS:
            result = con.execute(
                f"SELECT s.*, o.raw_number FROM said_{kind} s JOIN line_origin o "
                "ON o.line_id = s.line_id AND o.source_version = s.source_version "
                "WHERE s.recorded_to IS NULL"
            )
            names = [column[0] for column in result.description]
            for row in result.fetchall():
                line = dict(zip(names, row, strict=True))
                line["kind"], line["part"] = kind, parts.get(line.get("item_key"))
                found[line["source_id"], line["raw_number"]].append(line)
    return found


def shown(value):
    if value is None:
        return "-"
    return f"{value:g}" if isinstance(value, float) else str(value)


def expected(folder, name):
    """Return (outcome, what each line says) by sheet, row and column."""
    found = {}
    with (folder / "expected" / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            at, column = (int(row[key]) if row[key] else None for key in ("row", "column"))
            place = row["sheet"], at, column
            _, says = found.setdefault(place, (row["outcome"], []))
            if row["says"]:
                pieces = re.split(r"; (?=[a-z_]+=)", row["says"])
                says.append(dict(piece.split("=", 1) for piece in pieces))
    return found


def differences(wanted, got):
    """Return what differs between the lines wanted and those found, best matched first."""
    if len(wanted) != len(got):
        return [f"{len(got)} lines, not {len(wanted)}"]
    left, wrong = list(got), []
    for one in wanted:

        def unlike(line, one=one):
            return {name: shown(line.get(name)) for name, value in one.items()
                    if shown(line.get(name)) != value}  # fmt: skip

        nearest = min(left, key=lambda line: len(unlike(line)))
        left.remove(nearest)
        wrong += [f"{name} is {value}, not {one[name]}" for name, value in unlike(nearest).items()]
    return wrong


def wrong_in(small, raw, said, folder, name):
    """Return what the lines of one sheet say otherwise than is written beside it."""
    wanted = expected(folder, name)
    got_places = {place[1:] for place in raw if place[0] == name}
    wrong = [f"{place}: {'not there' if place in wanted else 'not expected'}"
             for place in sorted(got_places ^ set(wanted), key=str)]  # fmt: skip
    for place, (outcome, says) in wanted.items():
        if place not in got_places:
            continue
        got, number, source = raw[name, *place]
        if got != outcome:
            wrong.append(f"{place}: {got}, not {outcome}")
        elif outcome == "mending":
            codes = {code for (code,) in small.rows(
                "SELECT code FROM mending WHERE source_id = ? AND raw_number = ? "
                "AND value IS NOT NULL AND what_to_do IS NOT NULL", source, number)}  # fmt: skip
            wrong += [f"{place}: {codes}" for one in says if one["code"] not in codes]
        elif says:
            wrong += [f"{place}: {text}" for text in differences(says, said[source, number])]
    return wrong


def assert_adds_up(report, raw):
    """Hold the sum of each file to the raw lines that there are of it."""
    assert not report.failed
    for file in report.files:
        assert file.adds_up
        assert file.read == len([place for place in raw if place[0] == file.name])


def assert_again_changes_nothing(small, sheets):
    """Import a folder of sheets once more; every row of every table must be as before."""
    tables = [t for (t,) in small.rows("SELECT table_name FROM duckdb_tables()")]
    before = {t: small.rows(f"SELECT * FROM {t} ORDER BY ALL") for t in tables}
    report = small.load(sheets, later=1)
    assert {file.outcome for file in report.files} == {"unchanged"}
    assert {t: small.rows(f"SELECT * FROM {t} ORDER BY ALL") for t in tables} == before
