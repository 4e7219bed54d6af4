"""A comment on what stands beside one vehicle is about that vehicle alone."""

from __future__ import annotations

import openpyxl
from openpyxl.comments import Comment


def test_a_comment_on_a_vehicles_own_remark_stays_with_it(small):
    book = openpyxl.Workbook()
    sheet = book.active
    for row in (
        ["Part", "Otter 3", "Remarks", "Otter 4", "Remarks"],
        ["Dynamo", "fitted", "worn", "missing", "robbed"],
        ["Horn", "missing", None, "fitted", "loud"],
    ):
        sheet.append(row)
    sheet["E2"].comment = Comment("ask Hester", "a member")
    path = small.sheets / "two otters.xlsx"
    book.save(path)
    small.load()
    remarks = dict(
        small.rows("SELECT vehicle, remark FROM said_survey WHERE description = 'Dynamo'")
    )
    assert remarks["Otter 3"] == "worn"
    assert "robbed" in remarks["Otter 4"]
    assert "ask Hester" in remarks["Otter 4"]
