"""What may stand twice: suspected and asked about, never merged unless a person says so.

Items that people decided to be one are conclusions of the role ``item``: the key is a holding's
line id, the target the first of the lines that are one. They are dated like all conclusions.
"""

from __future__ import annotations

import secrets
from typing import TYPE_CHECKING, Any

import polars as pl

from .decided_pairs import (
    DIFFERENT,
    ONE_BY_ONE,
    SAME,
    SAME_ITEM,
    SAME_SHEET,
    SAME_VEHICLE,
    decided,
    groups_of,
    pair_of,
    subject_of,
)
from .decisions import all_standing, record_decision
from .frames import first_row, stage
from .identifications import CONCLUSION_SCHEMA, record_concluded
from .outcomes import ask_staged
from .registered import vehicle_rows, vehicles
from .same_items import find_twins
from .same_sheets import find_sheets_alike, paired_lines
from .same_vehicles import suspected_vehicles

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterable, Mapping, Sequence

    from duckdb import DuckDBPyConnection

    from .decided_pairs import Pair
    from .decisions import Standing

_TOPICS = (SAME_ITEM, SAME_SHEET, SAME_VEHICLE)
_ASKED = {"question_id": pl.String, "topic": pl.String, "subject": pl.String,
          "question": pl.String, "choices": pl.String, "lines": pl.Int64}  # fmt: skip
#: The note of what `import --separate` decides.
SEPARATE = "imported with --separate"


def settle_twice(con: DuckDBPyConnection, now: dt.datetime) -> None:
    """Work out which holdings are one by what people decided, and ask what may be one.

    To be called when names are settled.
    """
    decisions = all_standing(con)
    of_items, of_sheets = (decisions.get(topic, {}) for topic in (SAME_ITEM, SAME_SHEET))
    found = find_twins(con)
    alike = find_sheets_alike(con) if found else []
    joined = decided(of_sheets, SAME)
    pairs: dict[Pair, str] = {
        pair: said.decided_by for pair, said in decided(of_items, SAME).items()
    }
    if found:
        who = ", ".join(sorted({said.decided_by for said in joined.values()}))
        for pair in paired_lines(con, joined):
            pairs.setdefault(pair, who)
    items = groups_of(pairs, decided(of_items, DIFFERENT))
    _record_items(con, items, pairs, now)
    asked = [
        *_about_vehicles(con, decisions.get(SAME_VEHICLE, {})),
        *_about_sheets(con, alike, of_sheets),
    ]
    if found:
        quiet = {pair_of(row["subject"]) for row in asked if row["topic"] == SAME_SHEET}
        asked += _about_items(con, items, of_items, {*quiet, *decided(of_sheets, DIFFERENT)})
    _ask(con, asked, now)


def keep_apart(
    con: DuckDBPyConnection, source_ids: Sequence[str], by: str | None, now: dt.datetime
) -> None:
    """Record of sources that were imported as lists of their own that they are."""
    rows = con.execute(
        "SELECT subject FROM question WHERE topic = ? AND recorded_to IS NULL "
        "AND list_has_any(string_split(subject, '|'), ?) ORDER BY subject",
        [SAME_SHEET, list(source_ids)],
    ).fetchall()
    for (subject,) in rows:
        record_decision(
            con, decision_id=secrets.token_hex(6), topic=SAME_SHEET, subject=subject,
            answer=DIFFERENT, decided_by=by or "who imported it", decided_at=now, note=SEPARATE,
        )  # fmt: skip
    if rows:
        settle_twice(con, now)


def known_pairs(con: DuckDBPyConnection) -> list[tuple[str, str, str, str | None, str | None]]:
    """Return what may be one, what was decided, and numbers that two vehicles carry.

    Each with what it is, how it stands, in words, who decided, and the line or source ids.
    """
    decisions = all_standing(con)
    asked = con.execute(
        "SELECT topic, subject, arg_max(question, recorded_from) FROM question "
        "WHERE list_contains(?, topic) GROUP BY topic, subject",
        [list(_TOPICS)],
    ).fetchall()
    words: dict[tuple[str, str], str] = {(topic, key): said for topic, key, said in asked}
    names = dict(con.execute("SELECT source_id, name FROM source_sum").fetchall())
    rows: list[tuple[str, str, str, str | None, str | None]] = []
    for topic in _TOPICS:
        what = topic.partition("-")[2].replace("sheet", "list")
        standing = decisions.get(topic, {})
        subjects = {subject for its, subject in words if its == topic} | set(standing)
        for subject in sorted(subjects):
            said = standing.get(subject)
            answer = said.answer if said else None
            state = {SAME: "one", DIFFERENT: "two", ONE_BY_ONE: ONE_BY_ONE}.get(
                answer or "", "contradictory" if said else "asked")  # fmt: skip
            told = words.get((topic, subject)) or " and ".join(
                names.get(one, one) for one in pair_of(subject)
            )
            rows.append((what, state, told, said.decided_by if said else None,
                         subject.replace("|", ";")))  # fmt: skip
    rows += [
        ("number", "contradiction", f"{sort} {number} stands on two vehicles: {on}", None, trace)
        for sort, number, on, trace in con.execute(
            "SELECT sort, number, vehicles, trace FROM shared_identity"
        ).fetchall()
    ]
    return rows


def _record_items(
    con: DuckDBPyConnection, items: Sequence[Sequence[str]], pairs: Mapping[Pair, str],
    now: dt.datetime,
) -> None:  # fmt: skip
    """Record which lines are one item; what no longer is one ends."""
    if not items and first_row(
        con, "SELECT 1 FROM identification WHERE role = 'item' AND recorded_to IS NULL LIMIT 1"
    ) is None:  # fmt: skip
        return
    who = {line: by for pair, by in pairs.items() for line in pair}
    rows: list[dict[str, Any]] = [
        {
            "role": "item", "key": line, "rank": 1, "target": lines[0], "probability": 1.0,
            "method": "decision", "accepted": True,
            "reasons": f"one item with {', '.join(one for one in lines if one != line)}; "
                       f"decided by {who[line]}",
        }
        for lines in items for line in lines
    ]  # fmt: skip
    stage(con, "concluded", pl.DataFrame(rows, schema=CONCLUSION_SCHEMA))
    con.execute(
        "UPDATE identification SET recorded_to = ? WHERE role = 'item' AND recorded_to IS NULL "
        "AND key NOT IN (SELECT key FROM concluded)",
        [now],
    )
    record_concluded(con, now)


def _about_items(
    con: DuckDBPyConnection, items: Sequence[Sequence[str]], standing: Mapping[str, Standing],
    quiet: set[Pair],
) -> list[dict[str, Any]]:  # fmt: skip
    """Ask about items that may be one, but for those of sheets of which nobody need be asked.

    ``quiet``: pairs of sources whose items are asked about only where a serial number tells.
    """
    whose = {line: lines[0] for lines in items for line in lines}
    refused = {subject for subject, said in standing.items() if said.answer == DIFFERENT}
    rows = con.execute(
        """
        SELECT t.one, t.other, t.of_one, t.of_other, t.score, t.reasons,
            coalesce(p.name, a.description, a.number) AS called, f.name, g.name,
            a.description, b.description, a.quantity_text, b.quantity_text, a.holder, b.holder
        FROM twin_weighed t
        JOIN sighting a ON a.line_id = t.one
        JOIN sighting b ON b.line_id = t.other
        LEFT JOIN part p ON p.part_id = a.part_id
        JOIN source_sum f ON f.source_id = t.of_one
        JOIN source_sum g ON g.source_id = t.of_other
        ORDER BY t.one, t.other
        """
    ).fetchall()
    asked = []
    for row in rows:
        one, other, of_one, of_other, score, reasons, called, file, other_file = row[:9]
        subject = subject_of(one, other)
        if subject in refused or whose.get(one, one) == whose.get(other, other):
            continue
        if pair_of(subject_of(of_one, of_other)) in quiet and "serial number" not in reasons:
            continue
        sides = sorted((
            (file, _line_in_words(row[9], row[11], row[13])),
            (other_file, _line_in_words(row[10], row[12], row[14])),
        ))  # fmt: skip
        said = " and ".join(f"{words} in {name}" for name, words in sides)
        asked.append(_row(
            SAME_ITEM, subject, f"Is this one {called}, or two: {said}? {reasons} ({score:.0%})",
            2, SAME, DIFFERENT,
        ))  # fmt: skip
    return asked


def _line_in_words(description: str | None, quantity: str | None, holder: str | None) -> str:
    said = f'"{description}"' if description else "a line"
    return ", ".join(filter(None, (said, quantity, holder)))


def _about_sheets(
    con: DuckDBPyConnection, alike: Iterable[tuple[str, str, int, int]],
    standing: Mapping[str, Standing],
) -> list[dict[str, Any]]:  # fmt: skip
    names = dict(con.execute("SELECT source_id, name FROM source_sum").fetchall()) if alike else {}
    asked = []
    for one, other, equal, lines in alike:
        said = standing.get(subject_of(one, other))
        if said is not None and said.answer is not None:
            continue
        first, second = sorted((names[one], names[other]))
        asked.append(_row(
            SAME_SHEET, subject_of(one, other),
            f"Are {first} and {second} one list under two names? {equal} of {lines} lines of the "
            "shorter one stand in both", equal, SAME, DIFFERENT, ONE_BY_ONE,
        ))  # fmt: skip
    return asked


def _about_vehicles(
    con: DuckDBPyConnection, standing: Mapping[str, Standing]
) -> list[dict[str, Any]]:
    called = dict(con.execute(
        "SELECT vehicle_key, min(vehicle) FROM vehicle WHERE vehicle_key IS NOT NULL GROUP BY 1"
    ).fetchall())  # fmt: skip
    suspected = suspected_vehicles(vehicles(vehicle_rows(con), standing), called)
    return [
        _row(SAME_VEHICLE, one.subject, one.question, 2, SAME, DIFFERENT)
        for one in suspected
        if one.subject not in standing or standing[one.subject].answer is None
    ]


def _row(topic: str, subject: str, question: str, lines: int, *choices: str) -> dict[str, Any]:
    return {"question_id": None, "topic": topic, "subject": subject, "question": question,
            "choices": ";".join(choices), "lines": lines}  # fmt: skip


def _ask(con: DuckDBPyConnection, asked: Sequence[dict[str, Any]], now: dt.datetime) -> None:
    """Ask these questions, and close those on the same topics that are asked no more."""
    is_open = first_row(
        con, "SELECT 1 FROM question WHERE recorded_to IS NULL AND list_contains(?, topic) LIMIT 1",
        [list(_TOPICS)],
    )  # fmt: skip
    if not asked and is_open is None:
        return
    stage(con, "asked", pl.DataFrame(asked, schema=_ASKED))
    con.execute(
        "UPDATE asked SET question_id = substr(md5(topic || chr(31) || subject), 1, 10)"
    )  # fmt: skip
    con.execute(
        "UPDATE question SET recorded_to = ? WHERE recorded_to IS NULL "
        "AND list_contains(?, topic) AND question_id NOT IN (SELECT question_id FROM asked)",
        [now, list(_TOPICS)],
    )
    ask_staged(con, now)
