"""Numbered SQL migrations, applied to a copy that is then swapped in.

A new club is an empty file with all migrations applied. Views and macros are not migrated: they
are made anew whenever their text has changed.
"""

from __future__ import annotations

import hashlib
import re
import shutil
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import TYPE_CHECKING

import duckdb

from partmuster_schemas.answers import ANSWERS
from partmuster_schemas.columns import described

from .disk import swap_in, sync_file
from .errors import ClubDamagedError, ClubTooNewError, plain_error
from .settings import GENERATION, SCHEMA_VERSION, VIEWS_HASH, put_setting, read_settings

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from pathlib import Path

    from duckdb import DuckDBPyConnection

#: No extension is ever fetched from a network.
CONFIG: dict[str, str | bool | int | float | list[str]] = {
    "autoinstall_known_extensions": False,
    "autoload_known_extensions": False,
    # This step of planning grows with the square of a plan: of 12 seconds of processor time that
    # the view `lacks` took on an empty club it was 8.
    "disabled_optimizers": "projection_pullup",
}
#: What asks the macro of an answer for all that it gives, and is no more than that.
_ASKED_BY = (
    r"CREATE OR REPLACE (?:VIEW {name}|MACRO {name}_as_of\(day, known_now\)) AS(?: TABLE)?\s+"
    r"SELECT \* FROM {name}_of\([^()]*\);"
)
#: A macro that works something out of a day's records alone.
_OF_A_DAY = re.compile(
    r"^CREATE OR REPLACE MACRO (\w+)\(day, known_now\) AS TABLE\b.*?;\n(?=\n|--|CREATE|\Z)",
    re.MULTILINE | re.DOTALL,
)
#: A view that only asks a macro, which must be whole by then.
_ASKS = re.compile(r"^CREATE OR REPLACE VIEW \w+ AS SELECT \* FROM \w+\([^()]*\);\n", re.MULTILINE)
_MAKING = ".making"
_BEFORE = ".before"


@dataclass(frozen=True, slots=True)
class Migration:
    """One numbered step from a schema version to the next."""

    number: int
    sql: str


@cache
def migrations() -> tuple[Migration, ...]:
    """Return all migrations in order; their numbers run from 1 without a gap."""
    found = tuple(
        Migration(int(name[:4]), text)
        for name, text in _sql_files()
        if re.fullmatch(r"\d{4}_\w+\.sql", name)
    )
    if [step.number for step in found] != list(range(1, len(found) + 1)):
        raise ValueError(f"migrations are not numbered 1, 2, 3 ...: {[m.number for m in found]}")
    return found


@cache
def views_sql() -> str:
    """Return the SQL of all views and macros: the base ones first, then the answers'."""
    texts = [(name != "views.sql", name, text) for name, text in _sql_files()]
    return "\n".join(text for _, name, text in sorted(texts) if not name[0].isdigit())


@cache
def views_hash() -> str:
    """Return the hash that tells whether a club's views are the ones of this program."""
    return hashlib.sha256(views_sql().encode()).hexdigest()[:16]


def current_version() -> int:
    """Return the schema version this program writes."""
    return len(migrations())


def check_version(settings: dict[str, str | None], folder: Path) -> int:
    """Return the schema version of a club's settings.

    Raises:
        ClubDamagedError: there is none.
        ClubTooNewError: it is newer than this program.
    """
    text = settings.get(SCHEMA_VERSION)
    if text is None or not text.isdigit():
        raise ClubDamagedError(
            f"the file club.duckdb in {folder} is a database but not a club. Name another folder."
        )
    if int(text) > current_version():
        raise ClubTooNewError(
            f"the club in {folder} was written by a newer version of partmuster (its records are "
            f"of version {text}, this program knows {current_version()}). Update partmuster on "
            "this computer; nothing was changed."
        )
    return int(text)


def build_new(file: Path) -> None:
    """Make an empty club aside and put it in its place."""
    clear_leftovers(file)
    made = file.with_name(file.name + _MAKING)
    try:
        with duckdb.connect(str(made), config=CONFIG) as con:
            con.execute("BEGIN")
            _apply(con, migrations())
            put_setting(con, GENERATION, "0")
            con.execute("COMMIT")
            con.execute("CHECKPOINT")
        swap_in(made, file)
    except BaseException:
        clear_leftovers(file)  # of a full disk it would keep the room that is wanted
        raise


def upgrade(file: Path, steps: Sequence[Migration] | None = None) -> None:
    """Bring an older club to the newest schema: on a copy, swapped in when it is finished.

    The caller holds the writers' lock. The club as it was is kept beside it until the new one
    has been opened.

    Raises:
        ClubDamagedError: the upgraded club cannot be opened; the old one is put back.
    """
    clear_leftovers(file)
    with duckdb.connect(str(file), config=CONFIG) as con:
        version = check_version(read_settings(con), file.parent)
        con.execute("CHECKPOINT")  # the log beside the file would be taken for the new file's
    todo = [step for step in (steps or migrations()) if step.number > version]
    made = file.with_name(file.name + _MAKING)
    shutil.copyfile(file, made)
    with duckdb.connect(str(made), config=CONFIG) as con:
        con.execute("BEGIN")
        _apply(con, todo)
        con.execute("COMMIT")
        con.execute("CHECKPOINT")
    before = file.with_name(file.name + _BEFORE)
    shutil.copyfile(file, before)
    sync_file(before)
    swap_in(made, file)
    try:
        with duckdb.connect(str(file), read_only=True, config=CONFIG) as con:
            read_settings(con)
    except duckdb.Error as error:
        swap_in(before, file)
        raise plain_error(error, file.parent) or error from error
    before.unlink()


def made_aside(file: Path) -> Path:
    """Return where a new file for the club is made before it takes the place of the old one."""
    return file.with_name(file.name + _MAKING)


def clear_leftovers(file: Path) -> None:
    """Delete what a killed upgrade or rewriting left; the club's own file is always whole."""
    for ending in (_MAKING, _MAKING + ".wal", _MAKING + _MAKING, _BEFORE):
        file.with_name(file.name + ending).unlink(missing_ok=True)


def refresh_views(con: DuckDBPyConnection) -> None:
    """Make all views and macros anew, inside the caller's transaction."""
    old = con.execute(
        "SELECT 'VIEW', view_name FROM duckdb_views() WHERE NOT internal "
        "UNION SELECT CASE function_type WHEN 'table_macro' THEN 'MACRO TABLE' ELSE 'MACRO' END, "
        "function_name FROM duckdb_functions() "
        "WHERE NOT internal AND function_type IN ('macro', 'table_macro')"
    ).fetchall()
    for kind, name in old:
        con.execute(f'DROP {kind} "{name}"')
    for sql in _in_making_order():
        con.execute(sql)
    put_setting(con, VIEWS_HASH, views_hash())


@cache
def _in_making_order() -> tuple[str, ...]:
    """Return the SQL of all views and macros in the order in which they are made soonest.

    A view is planned when it is made, and so is a macro that only asks another. What an answer is
    asked by (``lacks``, ``lacks_as_of``) is therefore made while nothing but its columns stands in
    the place of the macro that works it out (``lacks_of``): a new club took a second longer.

    Planning ends where it meets a parameter by itself, so each macro of a day is first made as no
    more than that, and itself before those that it asks: a new club took another second.
    """
    rest, asking, columns = views_sql(), [], []
    for name, model in ANSWERS.items():
        works_out = re.search(rf"MACRO ({name}_of\([^)]*\))", rest)
        asked_by = re.findall(_ASKED_BY.format(name=name), rest)
        if works_out is None or not asked_by:
            continue
        nothing = ", ".join(
            f'CAST(NULL AS {spec["type"]}) AS "{column}"'
            for column, spec in described(model).items()
        )
        columns.append(f"CREATE MACRO {works_out[1]} AS TABLE SELECT {nothing};")
        asking += asked_by
        for sql in asked_by:
            rest = rest.replace(sql, "")
    of_a_day = [(found[1], found[0]) for found in _OF_A_DAY.finditer(rest)]
    rest = _OF_A_DAY.sub("", rest)
    stand_ins = [
        f"CREATE MACRO {name}(day, known_now) AS TABLE SELECT day;" for name, _ in of_a_day
    ]
    made = [sql for _, sql in reversed(of_a_day)]
    return (*stand_ins, *columns, *asking, _ASKS.sub("", rest), *made, *_ASKS.findall(rest))


def _apply(con: DuckDBPyConnection, steps: Sequence[Migration]) -> None:
    for step in steps:
        con.execute(step.sql)
        put_setting(con, SCHEMA_VERSION, str(step.number))
    refresh_views(con)


def _sql_files() -> Iterator[tuple[str, str]]:
    folder = resources.files("partmuster_schemas") / "sql"
    for file in sorted(folder.iterdir(), key=lambda entry: entry.name):
        if file.name.endswith(".sql"):
            yield file.name, file.read_text(encoding="utf-8")
