"""A workbook's package (.xlsx, .xlsm): its sheets, styles, rich texts, links and date.

Parts are as ECMA-376 (Office Open XML) names them (FROM-MEMORY). Links to other workbooks are
never followed, macros never run: no part but those named here is opened.
"""

from __future__ import annotations

import datetime as dt
import posixpath
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from partmuster.plugin_api import SourceFile, SourceUnreadableError

from .colours import Colours
from .rich_texts import rich_shared_texts
from .styles import marked_styles
from .zipped import Zipped, damaged, local, open_zip

if TYPE_CHECKING:
    from collections.abc import Iterator
    from xml.etree import ElementTree as ET

    from .looks import Look, Run

_WORKBOOK = "xl/workbook.xml"
_TEXTS = "xl/sharedStrings.xml"


@dataclass(frozen=True, slots=True)
class SheetPart:
    """One sheet of a workbook; ``path`` is None where it has no cells by nature."""

    name: str
    path: str | None
    hidden: bool


@dataclass(slots=True)
class Package:
    """An opened workbook. ``looks``: of cell style numbers; ``rich``: runs of shared texts."""

    zipped: Zipped
    sheets: list[SheetPart] = field(default_factory=list)
    colours: Colours = field(default_factory=lambda: Colours(None, None))
    looks: dict[int, Look] = field(default_factory=dict)
    rich: dict[int, list[Run]] = field(default_factory=dict)
    saved_on: dt.date | None = None

    def linked(self, path: str, kind: str) -> list[str]:
        """Return the parts inside the package that a part links to, of one kind."""
        return [
            target
            for link, target in self.links(path)
            if link.get("Type", "").endswith(f"/{kind}") and target in self.zipped.names
        ]

    def links(self, path: str) -> Iterator[tuple[ET.Element, str]]:
        """Yield a part's links within the package, each with the name of the part meant."""
        folder, name = posixpath.split(path)
        links = f"{folder}/_rels/{name}.rels"
        if links not in self.zipped.names:
            return
        for link in self.zipped.tree(links).iter():
            if local(link.tag) == "Relationship" and link.get("TargetMode") != "External":
                target = posixpath.normpath(posixpath.join("/", folder, link.get("Target", "")))
                yield link, target.lstrip("/")


@contextmanager
def open_package(source: SourceFile) -> Iterator[Package]:
    """Open a workbook, its size and parts looked at first.

    Raises:
        SourceUnreadableError: damaged, locked, no workbook, or too large unpacked.
    """
    with open_zip(source) as zipped:
        if _WORKBOOK not in zipped.names:
            raise SourceUnreadableError(
                "the file is named like a spreadsheet, but holds no workbook of a kind that is "
                "read. Open it in a spreadsheet program and save it as .xlsx."
            )
        package = Package(zipped)
        package.sheets = list(_sheets(package))
        styles = zipped.tree("xl/styles.xml") if "xl/styles.xml" in zipped.names else None
        theme = next(iter(package.linked(_WORKBOOK, "theme")), None)
        package.colours = Colours(styles, zipped.tree(theme) if theme else None)
        if styles is not None:
            package.looks = marked_styles(styles, package.colours)
        if "docProps/core.xml" in zipped.names:
            package.saved_on = _saved_on(zipped.tree("docProps/core.xml"))
        if _TEXTS in zipped.names:
            with zipped.stream(_TEXTS) as stream:
                package.rich = rich_shared_texts(stream, package.colours)
        yield package


def _sheets(package: Package) -> Iterator[SheetPart]:
    links = {link.get("Id", ""): (link, target) for link, target in package.links(_WORKBOOK)}
    for sheet in package.zipped.tree(_WORKBOOK).iter():
        if local(sheet.tag) != "sheet":
            continue
        link_id = next((text for name, text in sheet.items() if name.endswith("}id")), "")
        if link_id not in links:
            raise damaged(f"sheet '{sheet.get('name')}' is missing")
        link, target = links[link_id]
        cells = link.get("Type", "").endswith("/worksheet")
        hidden = sheet.get("state", "visible") != "visible"
        yield SheetPart(sheet.get("name", ""), target if cells else None, hidden)


def _saved_on(properties: ET.Element) -> dt.date | None:
    text = properties.findtext("{*}modified") or ""
    try:
        return dt.date.fromisoformat(text.strip()[:10])
    except ValueError:
        return None
