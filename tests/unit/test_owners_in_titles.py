"""Whose list it is, by its titles and the names of sheet and file; unsure is nobody: asked."""

from __future__ import annotations

import pytest

from partmuster.tables.titles import stated_in


@pytest.mark.parametrize(
    ("title", "holder"),
    [
        ("Hank Pruitt - parts on hand (Ohio)", "Hank Pruitt"),
        ("Sharon Mulga's gear", "Sharon Mulga"),
        ("BARN - Edna Moss", "Edna Moss"),
        ("Stuff belonging to K. Aird", "K. Aird"),
        ("My bits (Olwen Tarrant)", "Olwen Tarrant"),
        ("What I've got: Olwen Tarrant", "Olwen Tarrant"),
        ("parts_list_edna_moss", "Edna Moss"),
        ("hester_crane_stock_2026-05-01", "Hester Crane"),
        ("stock-olwen-tarrant", "Olwen Tarrant"),
        ("Edna Moss", "Edna Moss"),
        ("EDNA MOSS SPARES", "Edna Moss"),
        ("Kit Rowe parts", "Kit Rowe"),
        ("Edna J. Moss, spares", "Edna J. Moss"),
        ("Mr Rowe - things in the loft", "Mr Rowe"),
        ("Spares list (K Aird)", "K Aird"),
        ("E. J. Aird's hoard", "E. J. Aird"),
        ("Stock of Hester Crane, June 2026", "Hester Crane"),
        ("Spares - B. Hale", "B. Hale"),
        ("Bert's shed", "Bert"),
        ("Stock sheet / Rupert Foy / updated 3 May 2026", "Rupert Foy"),
        ("Bruce Wattle's Ute Bits", "Bruce Wattle"),
        ("Inventory | Hank Pruitt | Garage", "Hank Pruitt"),
    ],
)
def test_a_plain_name_is_whose_list_it_is(title, holder):
    assert stated_in([title]).holder == holder


@pytest.mark.parametrize(
    "title",
    [
        "Aird spares 2026",
        "Otter spares",
        "Bramble Stores",
        "Stock List Of Ashmere Shed",
        "Ashmere Green - stock",
        "Otter Three Spares",
        "Front Mudguard",
        "Hull Parts",
        "Jack Stands",
        "Rod Ends - stock",
        "Mark Two - spares",
        "Compiled by Kit Rowe",
        "Spares - list typed by Kit Rowe",
        "Edna & Ivor Moss - spares",
        "Spares for Ada Finch",
        "U Bolt - stock",
        "D Shed - stock",
        "Virginia Beach - stock",
        "Driver's parts",
        "Maker's stock",
        "North Yorkshire - spares",
        "March April - stock",
        "Newsletter editor: Kit Rowe",
        "Checked by B. Hale",
        "Box 3",
        "New Old Stock",
    ],
)
def test_what_may_be_no_owner_is_asked_about(title):
    assert stated_in([title]).holder is None


def test_two_names_are_nobody_s_list():
    assert stated_in(["Edna Moss - spares", "Kit Rowe - stock"]).holder is None


def test_the_question_whose_list_names_file_and_sheet(small):
    small.write("odds and ends.csv", "Part,Qty,Condition\nDynamo,1,good\nHorn,2,fair\n")
    small.load()
    asked = [text for (text,) in small.rows("SELECT question FROM open_question")]
    assert [text for text in asked if "odds and ends.csv" in text and "list" in text]


def test_the_question_whose_list_names_the_sheet_of_a_workbook(small):
    from openpyxl import Workbook

    book = Workbook()
    book.active.title = "Shelves"
    for row in (["Part", "Qty", "Condition"], ["Dynamo", 1, "good"], ["Horn", 2, "fair"]):
        book.active.append(row)
    book.save(small.sheets / "odds.xlsx")
    small.load()
    asked = [text for (text,) in small.rows("SELECT question FROM open_question")]
    assert [text for text in asked if "odds.xlsx" in text and "'Shelves'" in text]
