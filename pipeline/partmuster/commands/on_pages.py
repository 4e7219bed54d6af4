"""Where a line stands on its page, in words, and the command that shows it."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from partmuster.host import source_file
from partmuster.store.frames import fetch

from .club import quoted

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from duckdb import DuckDBPyConnection

    from partmuster.host import Host
    from partmuster.store.archive import Archive

#: Lines, and raw lines ("source.version.number"), on pages of newest versions.
_PLACES = """
    SELECT r.source_id || '.' || r.source_version || '.' || r.raw_number AS id, r.raw_number,
        r.page, r.box, v.name, v.content_hash, v.importer, o.line_id
    FROM raw_line r
    JOIN newest_version n ON n.source_id = r.source_id AND n.version = r.source_version
    JOIN source_version v ON v.source_id = r.source_id AND v.version = r.source_version
    LEFT JOIN line_origin o ON o.source_id = r.source_id AND o.source_version = r.source_version
        AND o.raw_number = r.raw_number
    WHERE r.page IS NOT NULL AND (list_contains($1, o.line_id) OR list_contains($1,
        r.source_id || '.' || r.source_version || '.' || r.raw_number))
    ORDER BY r.raw_number DESC
"""


@dataclass(frozen=True, slots=True)
class _Place:
    number: int
    page: int
    box: str | None
    name: str
    content_hash: str
    importer: str


@dataclass(slots=True)
class OnPages:
    """Lines on pages; a page is drawn once, to tell its size."""

    archive: Archive
    plugins: Callable[[], Host]
    _places: dict[str, _Place] = field(default_factory=dict)
    _sizes: dict[tuple[str, int], str] = field(default_factory=dict)
    _host: Host | None = None

    def find(self, con: DuckDBPyConnection, ids: Sequence[str]) -> None:
        """Find where lines and raw lines with these ids stand."""
        for row in fetch(con, _PLACES, [list(ids)]).iter_rows(named=True):
            place = _Place(row["raw_number"], row["page"], row["box"], row["name"],
                           row["content_hash"], row["importer"])  # fmt: skip
            self._places |= {row["id"]: place, row["line_id"]: place}

    def box(self, identifier: str, box: str) -> str:
        """Return a box with the size of its page, where that can be told."""
        place = self._places.get(identifier)
        if place is None or place.box != box:
            return box
        size = self._size(place)
        return f"{box} of {size}" if size else box

    def how_to_see(self, identifier: str) -> str | None:
        """Return the command that shows a line on its page, and where in it."""
        place = self._places.get(identifier)
        if place is None:
            return None
        return f"partmuster proof {quoted(place.name)}, and there #line-{place.number}"

    def _size(self, place: _Place) -> str:
        key = (place.content_hash, place.page)
        if key not in self._sizes:
            self._sizes[key] = ""
            if self.archive.holds(place.content_hash):
                self._host = self._host or self.plugins()
                source = source_file(self.archive.path_of(place.content_hash), place.name)
                drawing = self._host.draw(place.importer, source, place.page)
                if not isinstance(drawing, str):
                    self._sizes[key] = f"{drawing.width:.0f}x{drawing.height:.0f}"
        return self._sizes[key]
