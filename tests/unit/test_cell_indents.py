"""The indent of a workbook's cells says what belongs under what, as leading blanks do."""

from __future__ import annotations

import openpyxl
from openpyxl.styles import Alignment

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
