"""Workbooks made part by part, for what no program writes on request."""

from __future__ import annotations

import io
import zipfile

import openpyxl

from partmuster.model import Grid
from partmuster_plugins.spreadsheets.importer import Spreadsheets
from tests.golden.make_marked_sheets import SPACES

MAIN = 'xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"'
OFFICE = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
PACKAGE = "http://schemas.openxmlformats.org/package/2006/relationships"


def read(source):
    return list(Spreadsheets().read(source))


def only_grid(source):
    [grid] = [batch for batch in read(source) if isinstance(batch, Grid)]
    return grid


def marks_of(source, *sorts):
    """Return the marks of a file's only grid, of all or some sorts."""
    rows = only_grid(source).marks.rows()
    return [row for row in rows if not sorts or row[2] in sorts]


def workbook(sheet_data, prefix="", **parts):
    """Return a workbook's bytes: one sheet with the XML given, other parts openpyxl's or given.

    Parts are named by their last name without ending (``styles``, ``theme1``), or by a path.
    """
    plain, out = io.BytesIO(), io.BytesIO()
    openpyxl.Workbook().save(plain)
    space = MAIN.replace("xmlns=", f"xmlns:{prefix[:-1]}=") if prefix else MAIN
    space += f' xmlns:r="{OFFICE}"'
    parts = {"sheet1": f"<{prefix}worksheet {space}>{sheet_data}</{prefix}worksheet>"} | parts
    with zipfile.ZipFile(plain) as old, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as new:
        for info in old.infolist():
            stem = info.filename.rpartition("/")[2].partition(".")[0]
            given = parts.pop(stem, None)
            new.writestr(info.filename, old.read(info) if given is None else given)
        for path, text in parts.items():
            assert "/" in path, path
            new.writestr(path, text)
    return out.getvalue()


def links(**targets):
    """Return a part of links: kind to target."""
    inner = "".join(
        f'<Relationship Id="rId{number}" Type="{OFFICE}/{kind}" Target="{target}"/>'
        for number, (kind, target) in enumerate(targets.items(), start=1)
    )
    return f'<Relationships xmlns="{PACKAGE}">{inner}</Relationships>'


SHEET_LINKS = "xl/worksheets/_rels/sheet1.xml.rels"
MANIFEST = '<m:manifest xmlns:m="urn:oasis:names:tc:opendocument:xmlns:manifest:1.0"/>'
ODS = "application/vnd.oasis.opendocument.spreadsheet"


def document(tables, styles="", kind=ODS, **parts):
    """Return an open document's bytes."""
    out = io.BytesIO()
    content = (
        f"<office:document-content {SPACES}><office:automatic-styles>{styles}"
        f"</office:automatic-styles><office:body><office:spreadsheet>{tables}"
        "</office:spreadsheet></office:body></office:document-content>"
    )
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("mimetype", kind)
        listed = {"META-INF/manifest.xml": MANIFEST, "content.xml": content}
        for path, text in (listed | parts).items():
            archive.writestr(path, text)
    return out.getvalue()
