"""Which files an import takes, and under which names."""

from __future__ import annotations

from typing import TYPE_CHECKING

from partmuster.model import PartmusterError

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from pathlib import Path

#: Left beside documents by office programs and systems; never anybody's sheet.
_LITTER = frozenset({"thumbs.db", "desktop.ini"})


def find_files(paths: Sequence[Path], club_folder: Path) -> list[tuple[Path, str]]:
    """Return the files to import with the names they go by, in order of name.

    A file goes by its own name, a file in a folder by its path within that folder. Hidden files,
    lock files of office programs and the club's own database and archive are left out.

    Raises:
        PartmusterError: a path does not exist, or two files would go by one name.
    """
    found: dict[str, Path] = {}
    for path in paths:
        if not path.exists():
            raise PartmusterError(f"{path}: there is no such file or folder")
        for file, name in _files_of(path, club_folder):
            other = found.setdefault(name, file)
            if other.resolve() != file.resolve():
                raise PartmusterError(
                    f"{other} and {file} would both go by the name '{name}': "
                    "import them one folder at a time"
                )
    return [(found[name], name) for name in sorted(found)]


def _files_of(path: Path, club_folder: Path) -> Iterator[tuple[Path, str]]:
    if not path.is_dir():
        yield path, path.name
        return
    club = club_folder.resolve()
    own = {club / "sources", club / "vocabulary", club / "club.duckdb"}
    for file in sorted(path.rglob("*")):
        parts = file.relative_to(path).parts
        littered = any(part.startswith((".", "~$")) for part in parts)
        if littered or file.name.lower() in _LITTER or not file.is_file():
            continue
        resolved = file.resolve()
        if resolved in own or not own.isdisjoint(resolved.parents):
            continue
        if resolved.parent == club and resolved.name.startswith(("club.duckdb", "lock")):
            continue
        yield file, "/".join(parts)
