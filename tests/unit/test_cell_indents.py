"""The indent of a workbook's cells says what belongs under what, as leading blanks do."""

from __future__ import annotations

import openpyxl
from openpyxl.styles import Alignment

from .sheet_files import document, only_grid
from .test_open_documents import row, style, table, words

LISTED = (
    ("OT 7001", "DYNAMO", 2, 0),
    ("OT 7002", "ARMATURE", 1, 1),
    ("OT 7003", "BUSH", 2, 2),
    ("OT 7004", "PULLEY", 1, 1),
    ("OT 7005", "STARTER MOTOR", 1, 0),
)


def test_indented_cells_belong_under_the_cell_above(small):
    book = openpyxl.Workbook()
    sheet = book.active
    sheet.append(["OTTER PARTS LIST"])
    sheet.append(["Part No", "Description", "Quantity per NHA"])
    for number, name, quantity, indent in LISTED:
        sheet.append([number, name, quantity])
        sheet.cell(sheet.max_row, 2).alignment = Alignment(indent=indent)
    book.save(small.sheets / "otter indented parts list.xlsx")
    small.load()
    found = small.rows(
        "SELECT description, parent_words, at_least FROM said_requirement ORDER BY part_number"
    )
    assert found == [
        ("DYNAMO", None, 2.0), ("ARMATURE", "DYNAMO", 2.0), ("BUSH", "ARMATURE", 4.0),
        ("PULLEY", "DYNAMO", 2.0), ("STARTER MOTOR", None, 1.0),
    ]  # fmt: skip


def test_cells_of_an_open_document_are_set_in_by_the_margin_of_their_style(make_source):
    margins = {"one": "0.353cm", "two": "20pt", "big": "0.42in", "none": "0cm", "high": "10"}
    styles = "".join(
        style(name, f'<style:paragraph-properties fo:margin-left="{margin}"/>')
        for name, margin in margins.items()
    )
    styles += style("child", parent="one") + style(
        "right",
        '<style:paragraph-properties fo:text-align="end" fo:margin-left="0.353cm"/>',
    )
    names = ["one", "two", "big", "none", "high", "child", "right"]
    listed = [row(words("DYNAMO")), *(row(words("BUSH", f'table:style-name="{name}"'))
                                      for name in names)]  # fmt: skip
    grid = only_grid(make_source("list.ods", document(table(*listed), styles=styles)))
    found = grid.cells["1"].to_list()
    assert found == [
        "DYNAMO", "  BUSH", "    BUSH", "      BUSH", "BUSH", "BUSH", "  BUSH", "BUSH",
    ]  # fmt: skip
    assert grid.marks is None or grid.marks.is_empty()
