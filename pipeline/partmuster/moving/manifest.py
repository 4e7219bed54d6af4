"""The list that goes with every export and backup: what is there, of which club, with hashes."""

from __future__ import annotations

import datetime as dt
import json
from typing import TYPE_CHECKING, Any

from partmuster import __version__
from partmuster.model import PartmusterError
from partmuster.store.migrations import current_version
from partmuster.store.settings import GENERATION, read_settings

from .whole import is_safe_name

if TYPE_CHECKING:
    from pathlib import Path

    from duckdb import DuckDBPyConnection

MANIFEST = "manifest.json"
EXPORT, BACKUP = "partmuster export", "partmuster backup"


def about_club(con: DuckDBPyConnection, form: str) -> dict[str, Any]:
    """Return what a manifest says of the club as it is: names, versions, dates."""
    settings = read_settings(con)
    [(last,)] = con.execute("SELECT max(recorded_from) FROM source_version").fetchall()
    return {
        "format": form,
        "format_version": 1,
        "program_version": __version__,
        "schema_version": current_version(),
        "club_name": settings.get("club-name"),
        "generation": int(settings.get(GENERATION) or 0),
        "made": dt.datetime.now().isoformat(timespec="seconds"),  # noqa: DTZ005 - a club keeps its own local time
        "last_recorded": last.isoformat(timespec="seconds") if last else None,
    }


def manifest_text(manifest: dict[str, Any]) -> str:
    """Return a manifest as it is written."""
    return json.dumps(manifest, indent=1, ensure_ascii=False) + "\n"


def read_manifest(text: str, form: str, where: Path) -> dict[str, Any]:
    """Return a manifest that this program can go by.

    Raises:
        PartmusterError: it is none, of another format or schema, or names a file outside.
    """
    try:
        manifest = json.loads(text)
    except ValueError:
        manifest = None
    if not isinstance(manifest, dict) or manifest.get("format") != form:
        raise PartmusterError(f"{where}: the file {MANIFEST} is damaged, or this is no {form}.")
    for part, kind in (("tables", dict), ("files", dict), ("generation", int)):
        if not isinstance(manifest.get(part), kind):
            raise PartmusterError(f"{where}: the file {MANIFEST} is damaged at '{part}'.")
    for name, entry in manifest["files"].items():
        if not is_safe_name(name):
            raise PartmusterError(f"{where}: {MANIFEST} lists a file outside: '{name}'.")
        if not isinstance(entry, dict) or not _is_entry(entry):
            raise PartmusterError(f"{where}: the file {MANIFEST} is damaged at '{name}'.")
    return manifest


def _is_entry(entry: dict[str, Any]) -> bool:
    return isinstance(entry.get("sha256"), str) and isinstance(entry.get("size"), int)
