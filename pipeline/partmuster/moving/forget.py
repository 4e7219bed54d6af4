"""Forgetting a person: names, contacts, places and words go from database and archive.

What they held stays with a pseudonym, so that figures keep their sense. The database is written
anew without the words and swapped in, since a file that is only changed keeps old bytes.
"""

from __future__ import annotations

import datetime as dt
import hashlib
import hmac
import secrets
import shutil
import tempfile
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import polars as pl

from partmuster.model import PartmusterError
from partmuster.store import forgetting
from partmuster.store.copying import attach, fresh_database, insert_rows
from partmuster.store.frames import first_row, shaped, stage
from partmuster.store.lock import Patience
from partmuster.store.settings import GENERATION, generation, put_setting
from partmuster_schemas.columns import polars_schema
from partmuster_schemas.ddl import table_models
from partmuster_schemas.records import Forgotten

from .changes import Changes, changes_for, rows_with_word_alone
from .looking import file_names
from .own_words import can_be_rewritten, rewrite
from .rows import SALT
from .who import find_person, written
from .whole import DATABASE, SOURCES, VOCABULARY, files_in, no_progress

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from duckdb import DuckDBPyConnection

    from partmuster.store.club import Club

    from .person import Person

#: Files of a club's folder that are its own, not somebody's notes.
_OWN = (DATABASE, "lock", "forgetting.json")


@dataclass(slots=True)
class Forgetting:
    """What is removed, or would be.

    ``names`` and ``places`` as they were written; ``files``: sheets that name the person, which
    leave the archive; ``lines``, ``raw_lines``: whose words go; ``renamed``: rows in which only a
    name is replaced; ``alone``: rows by word of the name that stands alone there and may mean
    somebody else; ``words``: files of the club's vocabulary; ``left``: other files in the folder
    that name the person; ``sources``: those called otherwise from now on, old name and new;
    ``contents``: hashes of ``files``.
    """

    pseudonym: str
    names: list[str]
    places: list[str]
    files: list[str]
    lines: int
    raw_lines: int
    renamed: int
    alone: dict[str, int]
    words: list[str]
    left: list[str]
    sources: dict[str, str] = field(default_factory=dict)
    contents: list[str] = field(default_factory=list)


def plan_forgetting(
    club: Club,
    name: str,
    *,
    also: Sequence[str] = (),
    progress: Callable[[str, int, int], None] = no_progress,
) -> Forgetting:
    """Return what forgetting a person would remove; nothing is changed.

    ``also``: further words that mean the person wherever they stand.

    Raises:
        PartmusterError: nobody goes by the name, or several do.
    """
    with club.reading() as con:
        person, _salt = _person(con, "main", name, also)
        changes = changes_for(con, "main", person, _notice(dt.date.today()))  # noqa: DTZ011 - a club keeps its own local time
        return _forgetting(con, "main", club, person, changes, progress)


def forget(
    club: Club,
    name: str,
    *,
    by: str,
    also: Sequence[str] = (),
    now: dt.datetime | None = None,
    progress: Callable[[str, int, int], None] = no_progress,
) -> Forgetting:
    """Forget a person; return what was removed.

    Killed at any moment, the club has forgotten or has not; what is left to be removed from the
    archive is removed when the club is opened next.

    Raises:
        PartmusterError: nobody goes by the name, or several do; or the club cannot be written.
    """
    now = now or dt.datetime.now()  # noqa: DTZ005 - a club keeps its own local time
    with (
        club.rewriting() as (old, made),
        tempfile.TemporaryDirectory(prefix="partmuster-forgetting-") as scratch,
        fresh_database(made) as con,
    ):
        con.execute("SET temp_directory = ?", [scratch])
        attach(con, old, "old", club.folder, Patience(club.wait, club.tell, club.folder))
        person, salt = _person(con, "old", name, also)
        changes = changes_for(con, "old", person, _notice(now.date()))
        done = _forgetting(con, "old", club, person, changes, progress)
        for table in table_models():
            insert_rows(con, table, _without(con, table, changes))
        number = generation(con)
        put_setting(con, GENERATION, str(number + 1))
        put_setting(con, SALT, salt)
        forgotten_id = _record(con, changes, done, person.name_without(by), now)
        _rewrite_vocabulary(club, done, person)
        # Pages that were read are read again when they are asked for.
        shutil.rmtree(club.cache, ignore_errors=True)
        forgetting.begin(club.folder, forgotten_id, done.contents)
    club.open(club.folder, wait=club.wait, tell=club.tell)  # removes what is to go from the archive
    done.left += [f"{SOURCES}/{one[:2]}/{one}" for one in done.contents if club.archive.holds(one)]
    return done


def _person(
    con: DuckDBPyConnection, schema: str, name: str, also: Sequence[str]
) -> tuple[Person, str]:
    """Return the person a name means, with a pseudonym, and the salt of pseudonyms.

    The pseudonym follows from the name and the salt, so that it stays the same within the club.
    """
    held = first_row(con, f"SELECT value FROM {schema}.setting WHERE name = ?", [SALT])  # noqa: S608  (own names)
    salt = str(held[0]) if held else secrets.token_hex(16)

    def pseudonym(key: str) -> str:
        digest = hmac.new(salt.encode(), key.encode(), hashlib.sha256).hexdigest()
        return f"member {digest[:4]}"

    return find_person(con, schema, name, also, pseudonym), salt


def _notice(day: dt.date) -> str:
    return f"the words were removed on {day} at a person's request"


def _forgetting(
    con: DuckDBPyConnection,
    schema: str,
    club: Club,
    person: Person,
    changes: Changes,
    progress: Callable[[str, int, int], None],
) -> Forgetting:
    """Return what the changes come to, with the files that name the person.

    Raises:
        PartmusterError: nothing names them.
    """
    found = Forgetting(
        pseudonym=person.pseudonym,
        names=written(con, schema, person.keys),
        places=sorted(written(con, schema, person.places)),
        files=[],
        lines=changes.lines.total(),
        raw_lines=changes.raw_lines.total(),
        renamed=changes.renamed,
        alone={
            word.capitalize(): rows
            for word in person.keys[0].split()
            if len(word) > 2  # noqa: PLR2004 - no initials
            and word not in person.also
            and (rows := rows_with_word_alone(con, schema, word, changes))
        },
        words=[],
        left=[],
    )
    _look_into_files(con, schema, club, person, changes, found, progress)
    found.sources = {
        name: person.without(name)
        for (name,) in con.execute(
            f"SELECT DISTINCT name FROM {schema}.source_version ORDER BY 1"  # noqa: S608  (own names)
        ).fetchall()
        if person.is_named(name)
    }
    if not changes.rows and not found.contents and not found.words:
        raise PartmusterError(
            f"nobody in the club's records is called '{person.keys[0]}', and no sheet names them"
        )
    return found


def _look_into_files(
    con: DuckDBPyConnection,
    schema: str,
    club: Club,
    person: Person,
    changes: Changes,
    found: Forgetting,
    progress: Callable[[str, int, int], None],
) -> None:
    """Find the archived sheets and other files that name the person.

    A sheet of which a line changes names them, and so does what is found in its bytes.
    """
    versions = con.execute(
        f"SELECT source_id, version, name, content_hash FROM {schema}.source_version "  # noqa: S608  (own names)
        "ORDER BY name, version"
    ).fetchall()
    archived = {file.name: file for file in club.archive.folder.glob("??/*")}
    names_them: dict[str, bool] = {}
    for number, (name, file) in enumerate(sorted(archived.items())):
        progress(name[:12], number, len(archived))
        names_them[name] = file_names(file, person)
    for source_id, version, _name, content_hash in versions:
        if (source_id, version) in changes.versions:
            names_them[content_hash] = True
        elif names_them.get(content_hash):
            changes.versions.add((source_id, version))
    found.contents = sorted(name for name, does in names_them.items() if does)
    found.files = sorted({name for *_, name, one in versions if names_them.get(one)})
    for file in files_in(club.folder):
        name = file.relative_to(club.folder).as_posix()
        if name in _OWN or name.startswith((f"{SOURCES}/", DATABASE)):
            continue
        if person.is_named(name) or file_names(file, person):
            own = name.startswith(f"{VOCABULARY}/") and can_be_rewritten(file, person)
            (found.words if own else found.left).append(name)


def _without(con: DuckDBPyConnection, table: str, changes: Changes) -> str:
    """Return the SELECT of a table's rows, in their order, with the changed ones in their place."""
    changed = changes.rows.get(table)
    if changed is None:
        return f"SELECT * FROM old.{table}"  # noqa: S608  (own names)
    stage(con, "changed_rows", changed)
    columns = ", ".join(
        f'CASE WHEN c.r IS NULL THEN t."{name}" ELSE c."{name}" END AS "{name}"'
        for name in polars_schema(table_models()[table])
    )
    return (
        f"SELECT {columns} FROM (SELECT rowid AS r, * FROM old.{table}) t "  # noqa: S608  (own names)
        "LEFT JOIN changed_rows c USING (r) ORDER BY t.r"
    )


def _record(
    con: DuckDBPyConnection, changes: Changes, done: Forgetting, by: str, now: dt.datetime
) -> str:
    """Record what was removed, a row a version; return the id of the request."""
    hashes = {
        (source_id, version): content_hash
        for source_id, version, content_hash in con.execute(
            "SELECT source_id, version, content_hash FROM main.source_version"
        ).fetchall()
    }
    concerned = {version: hashes[version] for version in changes.versions if version in hashes}
    unknown = sorted(set(done.contents) - set(concerned.values()))
    forgotten_id = secrets.token_hex(6)
    rows = [
        {"source_id": version[0], "source_version": version[1], "content_hash": content_hash,
         "lines": changes.lines[version], "raw_lines": changes.raw_lines[version]}
        for version, content_hash in sorted(concerned.items())
    ] + [{"content_hash": name, "lines": 0, "raw_lines": 0} for name in unknown]  # fmt: skip
    common = {"forgotten_id": forgotten_id, "pseudonym": done.pseudonym, "forgotten_at": now,
              "decided_by": by}  # fmt: skip
    frame = pl.DataFrame([row | common for row in rows or [{"lines": 0, "raw_lines": 0}]])
    stage(con, "recorded", shaped(frame, polars_schema(Forgotten)))
    con.execute("INSERT INTO main.forgotten BY NAME SELECT * FROM recorded")
    return forgotten_id


def _rewrite_vocabulary(club: Club, done: Forgetting, person: Person) -> None:
    """Put the pseudonym into the club's own vocabulary files; what cannot be changed is told."""
    kept = [name for name in done.words if not rewrite(club.folder / name, person)]
    done.words = [name for name in done.words if name not in kept]
    done.left += kept
