"""How a source's sheets were understood, and putting it right."""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import dataclass
from difflib import get_close_matches
from typing import TYPE_CHECKING

import click
import polars as pl

from partmuster.host import ClaimFailure, source_file
from partmuster.model import Grid, PartmusterError
from partmuster.output import show
from partmuster.running.answering import meaning_of_mark
from partmuster.stages.read import read_source
from partmuster.store.club import Club
from partmuster.store.decisions import Said, record_decisions
from partmuster.store.frames import fetch
from partmuster.tables.colour_names import colour_name
from partmuster.tables.grid import clean
from partmuster.tables.head import NO_HEADINGS
from partmuster.tables.told import COLUMN, column_key, column_names
from partmuster_schemas.text_lines import FIELDS
from partmuster_trade.headings import fold_heading

from .club import say
from .deciding import read_again, tell_contradiction
from .sources import known_source

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from pathlib import Path

    from duckdb import DuckDBPyConnection

    from partmuster.host import Host
    from partmuster.store.sources import KnownVersion

#: So many rows of a sheet are shown as they stand.
_FIRST_ROWS = 6


@dataclass(frozen=True, slots=True)
class Wanted:
    """What a person says of a source's layout, in the words of the command's options."""

    sheet: str | None = None
    kind: str | None = None
    fields: tuple[str, ...] = ()
    marks: tuple[str, ...] = ()
    header_row: str | None = None
    holder: str | None = None
    family: str | None = None
    vehicle: str | None = None
    basis: str | None = None


def show_or_set_layout(
    folder: Path, host: Callable[[], Host], source: str, form: str, *, by: str | None,
    **wanted: str | tuple[str, ...] | None,
) -> int:  # fmt: skip
    """Show what each column was taken for; or keep what a person says and read again.

    ``wanted``: what ``Wanted`` takes. What is said of a sheet holds for sheets of the same
    headings in other sources, so those that it makes read otherwise are read again, too.

    Raises:
        PartmusterError: no such source.
        UsageError: words that are no HEADING=FIELD, or name no heading, field, row or meaning.
    """
    club = Club.open(folder, tell=say)
    told = Wanted(**wanted)  # type: ignore[arg-type]  # options come by name, as the command declares them
    with club.reading() as con:
        known = known_source(con, source)
        frame = _layout(con, known)
        said = _said(con, known, frame, told)
    if not said:
        _show(club, host(), known, frame, form, told.sheet)
        return 0
    if by is None:
        raise click.UsageError("say who decides this: --by NAME")
    now = dt.datetime.now()  # noqa: DTZ005 - a club keeps its own local time
    decided = [
        Said(topic, f"{known.source_id}|{subject}", answer, by) for topic, subject, answer in said
    ]
    with club.writing() as con:
        record_decisions(con, decided, now)
    for one in decided:
        tell_contradiction(club, one.topic, one.subject)
    failed = read_again(club, host(), known)
    with club.reading() as con:
        unheeded = _unheeded(_layout(con, known_source(con, known.source_id)), said)
    for words in unheeded:
        say(f"{known.name}: {words}. Take it back with partmuster undo, see partmuster decisions")
    return 1 if unheeded else failed


def _show(
    club: Club, host: Host, known: KnownVersion, frame: pl.DataFrame, form: str, sheet: str | None
) -> None:
    """Show the first rows of each sheet as they stand, and what each column was taken for.

    CSV and JSON carry the first cells of a column beside it, ``|`` between.
    """
    if sheet is not None:
        frame = frame.filter(pl.col("sheet").fill_null("") == sheet)
    first = _first_rows(club, host, known)
    if form != "table":
        show(_with_cells(frame, first), form)
        return
    for name in frame.get_column("sheet").unique(maintain_order=True):
        rows = first.get(name or "")
        if rows is not None:
            show(rows, form, title=f"{known.name}{f', sheet {name}' if name else ''}")
            click.echo()
    show(frame, form, title="taken for", spare=("table_number", "header_row", "reason"))


def _first_rows(club: Club, host: Host, known: KnownVersion) -> dict[str, pl.DataFrame]:
    """Return the first filled rows of each sheet, read again from the archive, by its name.

    Columns are ``row`` and the filled columns' numbers. Nothing where it cannot be read any more:
    the layout is shown all the same.
    """
    found: dict[str, pl.DataFrame] = {}
    try:
        source = source_file(club.archive.path_of(known.content_hash), known.name)
        importer = host.claim(source)
        batches = (
            [] if isinstance(importer, ClaimFailure) else read_source(importer, source).batches
        )
    except (PartmusterError, OSError) as error:
        say(f"the rows of {known.name} cannot be shown: {error}")
        return found
    for batch in batches:
        if isinstance(batch, Grid) and (batch.sheet or "") not in found:
            cells, columns = clean(batch.cells)
            found[batch.sheet or ""] = cells.select("row", *columns).head(_FIRST_ROWS)
    return found


def _with_cells(frame: pl.DataFrame, first: dict[str, pl.DataFrame]) -> pl.DataFrame:
    """Return the layout with ``first_cells``, the cells of a column in the first rows."""
    texts = []
    for sheet, column in frame.select("sheet", "column").iter_rows():
        rows = first.get(sheet or "")
        name = str(column)
        cells = rows[name].to_list() if rows is not None and name in rows.columns else []
        texts.append(" | ".join(cell or "" for cell in cells) if cells else None)
    return frame.with_columns(pl.Series("first_cells", texts, dtype=pl.String))


def _said(
    con: DuckDBPyConnection, known: KnownVersion, layout: pl.DataFrame, told: Wanted
) -> list[tuple[str, str, str]]:
    """Return (topic, subject, answer) for each thing said, as the layout's own questions name it.

    Raises:
        UsageError: the sheet is not named where there are several, or is not there.
    """
    sheets = layout.get_column("sheet").fill_null("").unique().to_list()
    of_one = told.kind or told.fields or told.marks or told.header_row
    if told.sheet is None and of_one and len(sheets) > 1:
        raise click.UsageError(f"name the sheet with --sheet: {', '.join(sorted(sheets))}")
    if told.sheet is not None and told.sheet not in sheets:
        raise click.UsageError(f"there is no sheet '{told.sheet}': {', '.join(sorted(sheets))}")
    where = told.sheet if told.sheet is not None else (sheets[0] if len(sheets) == 1 else "")
    said: list[tuple[str, str, str]] = []
    if told.kind:
        said.append(("layout", f"{where}|kind", told.kind))
    if told.header_row:
        row = _row(told.header_row)
        _check_row(con, known, where, row)
        said.append(("layout", f"{where}|header-row", row))
    for given in told.fields:
        heading, field = _pair(given, "--field")
        # With another row of headings, its own are known only once the sheet is read again.
        if told.header_row is None:
            heading = _column_meant(layout, where, heading)
        _check_field(field)
        said.append(("layout", f"{where}{COLUMN}{heading}", field))
    for given in told.marks:
        mark, meaning = _pair(given, "--mark")
        said += _mark_said(con, known, where, mark, meaning)
    for name in ("holder", "family", "vehicle", "basis"):
        value = getattr(told, name)
        if value:
            said.append(("layout", f"{told.sheet or ''}|{name}", value))
    return said


def _row(text: str) -> str:
    if text.casefold() == NO_HEADINGS:
        return NO_HEADINGS
    if not text.isdecimal() or int(text) < 1:
        raise click.UsageError(
            f"--header-row takes a row's number or '{NO_HEADINGS}', not '{text}'"
        )
    return str(int(text))


def _mark_said(
    con: DuckDBPyConnection, known: KnownVersion, where: str, mark: str, meaning: str
) -> list[tuple[str, str, str]]:
    """Return what is said of a mark, or of each colour on the sheet that has the name given.

    Raises:
        UsageError: the sign stands nowhere, or nothing was asked about such a colour.
    """
    sort, _, name = mark.casefold().partition(" ")
    if sort not in {"colour", "color", "ink"} or not name:
        _check_sign(con, known, where, mark)
        return [("marks", f"{where}|{mark}", meaning_of_mark(meaning))]
    sort = "ink" if sort == "ink" else "colour"
    asked = con.execute(
        "SELECT subject, arg_max(choices, recorded_from) FROM question WHERE topic = 'marks' "
        "AND starts_with(subject, ?) GROUP BY subject ORDER BY subject",
        [f"{known.source_id}|"],
    ).fetchall()
    found, names = [], set()
    for subject, choices in asked:
        rest = subject.removeprefix(f"{known.source_id}|")
        sheet, _, what = rest.rpartition("|")
        if not what.startswith(f"{sort} ") or (where and sheet != where):
            continue
        code = what.removeprefix(f"{sort} ")
        names.add(colour_name(code))
        if name in {code, colour_name(code)}:
            found.append(("marks", rest, meaning_of_mark(meaning, choices)))
    if not found:
        there = ", ".join(sorted(names)) or "none"
        raise click.UsageError(f"nothing is coloured '{name}' as a code here; what is: {there}")
    return found


def _check_sign(con: DuckDBPyConnection, known: KnownVersion, where: str, mark: str) -> None:
    """Refuse a sign that no cell of the sheet has, or has beside other words.

    Raises:
        UsageError: no cell has it.
    """
    # Signs are told by the case they are written in, or by capitals.
    signs = "|".join(re.escape(form) for form in dict.fromkeys((mark, mark.upper())))
    stands = con.execute(
        "SELECT count(*) FROM raw_line WHERE source_id = ? AND source_version = ? "
        "AND (coalesce(sheet, '') = ? OR ? = '') AND regexp_matches(words, ?)",
        [known.source_id, known.version, where, where, rf"(?:^|[^\w])(?:{signs})(?:$|[^\w])"],
    ).fetchall()
    if not stands[0][0]:
        on = f"sheet '{where}'" if where else known.name
        raise click.UsageError(f"the sign '{mark}' stands nowhere on {on}")


def _pair(given: str, option: str) -> tuple[str, str]:
    name, equals, value = given.partition("=")
    if not equals or not name.strip() or not value.strip():
        raise click.UsageError(f"{option} takes NAME=MEANING, not '{given}'")
    return name.strip(), value.strip()


def _check_row(con: DuckDBPyConnection, known: KnownVersion, sheet: str, row: str) -> None:
    """Refuse a row in which nothing stands.

    Raises:
        UsageError: names the last row.
    """
    filled = {
        number for (number,) in con.execute(
            'SELECT DISTINCT "row" FROM raw_line WHERE source_id = ? AND source_version = ? '
            "AND coalesce(sheet, '') IN (?, '') AND \"row\" IS NOT NULL",
            [known.source_id, known.version, sheet],
        ).fetchall()
    }  # fmt: skip
    if row != NO_HEADINGS and int(row) not in filled:
        where = f"{known.name}, sheet {sheet}," if sheet else known.name
        last = f": its last row is {max(filled)}" if filled else ""
        raise click.UsageError(f"row {row} of {where} holds nothing{last}")


def _column_meant(layout: pl.DataFrame, sheet: str, said: str) -> str:
    """Return what the layout's questions call the column that a person names.

    By its heading, or as "column 2".

    Raises:
        UsageError: there is none so named, or several of one table.
    """
    columns = layout.filter(pl.col("sheet").fill_null("") == sheet)
    names: dict[str, None] = {}
    for _, table in columns.group_by("table_number", maintain_order=True):
        headings = dict(table.select("column", "heading").iter_rows())
        called = column_names(headings)
        names |= dict.fromkeys(called.values())
        alike = [
            number for number, text in headings.items()
            if fold_heading(said) and fold_heading(text or "") == fold_heading(said)
        ]  # fmt: skip
        if len(alike) > 1:
            numbers = " or ".join(f"'column {number}'" for number in alike)
            raise click.UsageError(f"the heading '{said}' stands twice: write {numbers} for it")
        found = [name for number, name in called.items()
                 if number in alike or column_key(said) in {column_key(name), f"column {number}"}
                 ]  # fmt: skip
        if found:
            return found[0]
    raise click.UsageError(f"there is no heading '{said}': {', '.join(names)}")


def _check_field(field: str) -> None:
    """Refuse a field that no line has.

    Raises:
        UsageError: names the fields.
    """
    if field not in FIELDS:
        near = get_close_matches(field, FIELDS, n=4) or FIELDS
        raise click.UsageError(f"there is no field '{field}': {', '.join(near)}")


def _unheeded(layout: pl.DataFrame, said: Sequence[tuple[str, str, str]]) -> list[str]:
    """Return what was said of rows and columns and is not done, in words."""
    told: list[str] = []
    for topic, subject, answer in said:
        sheet, column, name = subject.partition(COLUMN)
        rows = layout.filter(pl.col("sheet").fill_null("").is_in([sheet.partition("|")[0], ""]))
        if topic != "layout":
            continue
        if subject.endswith("|header-row") and answer != NO_HEADINGS:
            if int(answer) not in rows["header_row"].to_list():
                told.append(f"row {answer} is not taken for the headings of a table: they stand "
                            "among its first rows")  # fmt: skip
        elif column:
            found = {
                field
                for _, table in rows.group_by("table_number")
                for called in [column_names(dict(table.select("column", "heading").iter_rows()))]
                for number, field in table.select("column", "field").iter_rows()
                if column_key(name) in {column_key(called[number]), f"column {number}"}
            }  # fmt: skip
            if (None if answer == "remark" else answer) not in found:
                kinds = ", ".join(rows["line_kind"].unique(maintain_order=True))
                told.append(f"column {name} is not taken for {answer}: the lines of this table "
                            f"({kinds}) have no such field, or it is not yet clear what they are"
                            )  # fmt: skip
    return told


def _layout(con: DuckDBPyConnection, known: KnownVersion) -> pl.DataFrame:
    return fetch(
        con,
        'SELECT sheet, table_number, line_kind, header_row, "column", heading, field, reason '
        "FROM layout_taken WHERE source_id = ? AND source_version = ? "
        'ORDER BY sheet, table_number, "column"',
        [known.source_id, known.version],
    )
