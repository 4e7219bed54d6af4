"""A club's own parts and words, as members keep a sheet: CSV or workbook, headings of theirs."""

from __future__ import annotations

import pytest
from openpyxl import Workbook

from partmuster_trade import VocabularyError, load_parts, load_vocabulary, vocabulary_files

WORDS = [
    ["Words we use, kept by Gwen Saddler"],
    [],
    ["Part", "Also called", "Region", "Noun first", "Assembly", "Handed", "Remarks"],
    ["dynamo", "gennie; charger thing", "UK"],
    ["dynamo", "jenny", "Australia"],
    ["spark plug", "sparker"],
    ["Driver's Visor", None, None, "VISOR, HINGED"],
    [None, None, None, None],
    ["Map drawer", "chart drawer", "everywhere", "DRAWER, MAP", "Stowage", "no", "Otter only"],
    ["Wading flap", "float flap", None, None, "Hull and fittings", "left and right"],
    ["chart drawer box", None, None, None, "kit", "either way"],
]


def workbook(path, rows, title="Words"):
    book = Workbook()
    sheet = book.worksheets[0]
    sheet.title = title
    for row in rows:
        sheet.append(row)
    book.create_sheet("Other things").append(["Fees", "due"])
    book.save(path)
    return path


def faults(*files):
    with pytest.raises(VocabularyError) as caught:
        load_vocabulary(files)
    return {(p.file, p.sheet, p.row, p.column, p.code) for p in caught.value.problems}


@pytest.fixture
def club(tmp_path):
    return load_vocabulary([workbook(tmp_path / "our words.xlsx", WORDS)])


@pytest.mark.parametrize(
    ("name", "region", "part_id"),
    [
        ("gennie", "UK", "dynamo"),
        ("charger thing", "UK", "dynamo"),
        ("jenny", "AU", "dynamo"),
        ("sparker", "US", "sparking-plug"),
        ("VISOR, HINGED", None, "driving-visor"),
        ("DRAWER, MAP", None, "map-drawer"),
        ("chart drawer", "UK", "map-drawer"),
        ("float flap", None, "wading-flap"),
        ("FLAP, WADING", None, "wading-flap"),
    ],
)
def test_a_members_words_find_the_part(club, name, region, part_id):
    assert [part.part_id for part in club.named(name, region)] == [part_id]


def test_a_name_for_one_region_is_not_understood_in_another(club):
    assert club.named("gennie", "US") == ()


def test_new_parts_of_a_sheet(club):
    assert len(club.parts) == len(load_parts()) + 3
    drawer, flap = club.by_id("map-drawer"), club.by_id("wading-flap")
    assert (drawer.name, drawer.assembly, drawer.handed) == ("Map drawer", "stowage", "same")
    assert (drawer.sort, drawer.source) == ("part", "Otter only")
    assert (flap.assembly, flap.handed) == ("hull", "handed")
    assert club.by_id("chart-drawer-box").handed == "reversible"


def test_semicolons_and_text_files_do_as_well(tmp_path):
    club = tmp_path / "words.csv"
    club.write_text("Part;Also called\ndynamo;gennie\n", encoding="utf-8-sig")
    assert [p.part_id for p in load_vocabulary([club]).named("gennie")] == ["dynamo"]


def test_a_synonym_may_stand_above_the_new_part_it_names(tmp_path):
    rows = [["Part", "Also called", "Assembly", "Handed"], ["map drawer", "charts"],
            ["map drawer", None, "stowage", "no"]]  # fmt: skip
    vocabulary = load_vocabulary([workbook(tmp_path / "w.xlsx", rows)])
    assert [p.part_id for p in vocabulary.named("charts")] == ["map-drawer"]


def test_every_fault_is_told_by_file_sheet_row_and_heading(tmp_path):
    rows = [
        ["Words"],
        ["Part", "Also called", "Said in", "Assembly", "Handed", "Sort", None, "Colour"],
        ["dinamo", "gennie"],
        ["dynamo", "gennie, jenny"],
        ["dynamo", "gennie", "Yorkshire"],
        ["boot", "wellie"],
        [None, "whatsit"],
        ["map drawer", None, "UK", "attic", "no"],
        ["chart drawer", None, None, "stowage", "sideways"],
        ["plan drawer", None, None, "stowage"],
        ["dynamo", "road spring"],
        ["dynamo", None, None, "radio"],
        ["dynamo", "gennie", None, None, None, None, "and so on"],
    ]
    place = ("words.xlsx", "Ours")
    assert faults(workbook(tmp_path / "words.xlsx", rows, "Ours")) == {
        (*place, 2, "Colour", "unknown-column"),
        (*place, 3, "Part", "unknown-part"),
        (*place, 4, "Also called", "comma-in-name"),
        (*place, 5, "Said in", "unknown-word"),
        (*place, 6, "Part", "which-part"),
        (*place, 7, "Part", "empty-cell"),
        (*place, 8, "Assembly", "unknown-assembly"),
        (*place, 9, "Handed", "unknown-word"),
        (*place, 10, "Handed", "empty-cell"),
        (*place, 11, "Also called", "name-taken"),
        (*place, 12, "Assembly", "cannot-change"),
        (*place, 13, "", "too-many-cells"),
    }


def test_a_fault_says_where_and_what_to_do(tmp_path):
    rows = [["Part", "Also called"], ["dinamo", "gennie"]]
    with pytest.raises(VocabularyError) as caught:
        load_vocabulary([workbook(tmp_path / "words.xlsx", rows)])
    assert str(caught.value) == (
        "words.xlsx, sheet Words, row 2, column Part: no part is called 'dinamo': write it as the "
        "vocabulary does, or fill in Assembly and Handed to add it as a new part [unknown-part]"
    )


def test_a_known_part_named_by_a_word_that_means_two_is_asked_back(tmp_path):
    rows = [["Part", "Also called"], ["boot", "wellie"]]
    with pytest.raises(VocabularyError, match="may be dust-boot or luggage-boot"):
        load_vocabulary([workbook(tmp_path / "words.xlsx", rows)])


@pytest.mark.parametrize("content", [b"", b"PK\x03\x04 cut", b"Part,Also called\n"])
def test_a_file_that_is_no_workbook_is_named(tmp_path, content):
    path = tmp_path / "words.xlsx"
    path.write_bytes(content)
    assert faults(path) == {("words.xlsx", "", 0, "", "not-a-workbook")}


def test_a_workbook_with_a_cell_far_away_is_read_quickly_or_refused(tmp_path):
    book = Workbook()
    book.worksheets[0].append(["Part", "Also called"])
    book.worksheets[0].append(["dynamo", "gennie"])
    book.worksheets[0].cell(1_048_576, 16_384, "far")
    book.save(tmp_path / "far.xlsx")
    assert {fault[-1] for fault in faults(tmp_path / "far.xlsx")} == {"too-large"}


def test_the_folders_sheets_are_read_and_others_named(tmp_path):
    for name in ("b.xlsx", "a.csv", "c.ods", "notes.txt", "~$b.xlsx"):
        (tmp_path / name).write_bytes(b"")
    assert [one.name for one in vocabulary_files(tmp_path)] == ["a.csv", "b.xlsx", "c.ods"]
    assert vocabulary_files(tmp_path / "nowhere") == []
    assert ("c.ods", "", 0, "", "other-file-type") in faults(tmp_path / "c.ods")
