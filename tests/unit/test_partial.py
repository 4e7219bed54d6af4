"""A newer version that leaves lines out in the manner of a filter or a cut ends nothing unasked."""

from __future__ import annotations

import pytest

HEAD = "What,How many,State,Where is it,Whose\n"
#: Twelve lines; Ivo Larch's three are spread over the sheet.
LINES = (
    "Dynamo,1,good,Barn,Hester Crane",
    "Track guard LH,1,fair,Barn,Hester Crane",
    "Water pump,2,good,Cellar,Ivo Larch",
    "Road wheel,several,poor,Field,Hester Crane",
    "Fuel lift pump,1,NOS,Barn,Bert Oakes",
    "Silencer,1,good,Barn,Hester Crane",
    "Fan belt,3,good,Barn,Ivo Larch",
    "Headlamp,1,good,Field,Hester Crane",
    "Tail lamp,2,fair,Barn,Hester Crane",
    "Battery box,1,good,Barn,Ivo Larch",
    "Tow hook,1,fair,Field,Bert Oakes",
    "Starter motor,1,good,Barn,Hester Crane",
)


def sheet(*lines):
    return HEAD + "".join(f"{line}\n" for line in lines)


def newer(small, before, after, name="spares.csv", **options):
    """Import a sheet and then its newer version; return the report of that and what is held."""
    small.write(name, before)
    small.load()
    small.write(name, after)
    (file,) = small.load(later=1, **options).files
    held = {text for (text,) in small.rows("SELECT description FROM holding")}
    return file, held


def without(*gone):
    return sheet(*(line for line in LINES if line.split(",", maxsplit=1)[0] not in gone))


def test_every_line_of_one_holder_gone_looks_filtered(small):
    file, held = newer(small, sheet(*LINES), without("Water pump", "Fan belt", "Battery box"))
    assert (file.outcome, file.lines_ended, len(held)) == ("partial", 0, 12)
    assert "3 of 12 lines" in file.message
    assert "holder 'ivo larch'" in file.message
    assert "looks filtered" in file.message
    assert "--complete" in file.message


def test_a_confirmed_filter_ends_what_is_left_out(small):
    after = without("Water pump", "Fan belt", "Battery box")
    file, held = newer(small, sheet(*LINES), after, complete=True)
    assert (file.outcome, file.lines_ended, len(held)) == ("new version", 3, 9)


def test_every_line_of_one_place_gone_looks_filtered(small):
    file, held = newer(small, sheet(*LINES), without("Road wheel", "Headlamp", "Tow hook"))
    assert (file.outcome, len(held)) == ("partial", 12)
    assert "place 'field'" in file.message


def test_every_line_of_one_condition_gone_looks_filtered(small):
    file, held = newer(small, sheet(*LINES), without("Track guard LH", "Tail lamp", "Tow hook"))
    assert (file.outcome, len(held)) == ("partial", 12)
    assert "condition 'fair'" in file.message


def test_a_sheet_filtered_to_one_holder_is_asked_about(small):
    parts = ("Dynamo", "Silencer", "Headlamp", "Tail lamp", "Tow hook", "Radiator", "Clutch")
    seven = [f"{what},1,good,Barn,Hester Crane" for what in parts]
    others = ["Fan belt,1,fair,Field,Ivo Larch", "Water pump,1,good,Loft,Bert Oakes",
              "Battery box,1,poor,Shed,Bert Oakes"]  # fmt: skip
    mixed = [*seven[:2], others[0], *seven[2:4], others[1], seven[4], others[2], *seven[5:]]
    file, held = newer(small, sheet(*mixed), sheet(*seven))
    assert (file.outcome, len(held)) == ("partial", 10)
    assert "only lines of holder 'hester crane' are left" in file.message
    assert "looks filtered" in file.message


def test_three_unlike_lines_gone_are_sold(small):
    # of three people, in three conditions, and no place or person loses all its lines
    file, held = newer(small, sheet(*LINES), without("Dynamo", "Water pump", "Tow hook"))
    assert (file.outcome, file.lines_ended, len(held)) == ("new version", 3, 9)


def test_two_lines_of_one_holder_gone_are_sold(small):
    file, held = newer(small, sheet(*LINES), without("Fuel lift pump", "Tow hook"))
    assert (file.outcome, file.lines_ended, len(held)) == ("new version", 2, 10)


def test_a_missing_tail_looks_cut_off(small):
    file, held = newer(small, sheet(*LINES), sheet(*LINES[:9]))
    assert (file.outcome, file.lines_ended, len(held)) == ("partial", 0, 12)
    assert "the last 3 lines" in file.message
    assert "looks cut off" in file.message
    assert "--complete" in file.message


def test_a_short_sheet_that_loses_three_of_four_lines_is_asked_about(small):
    file, held = newer(small, sheet(*LINES[:4]), sheet(LINES[0]))
    assert (file.outcome, len(held)) == ("partial", 4)
    assert "looks cut off" in file.message


@pytest.mark.parametrize("kept", range(4))
def test_a_short_sheet_may_lose_any_three_of_its_four_lines(small, kept):
    file, held = newer(small, sheet(*LINES[:4]), sheet(LINES[kept]))
    assert (file.outcome, len(held)) == ("partial", 4)


def test_a_missing_tail_with_new_lines_after_it_is_a_change(small):
    after = sheet(*LINES[:9], "Radiator,1,poor,Loft,Bert Oakes", "Clutch,1,poor,Loft,Bert Oakes")
    file, held = newer(small, sheet(*LINES), after)
    assert (file.outcome, file.lines_ended, len(held)) == ("new version", 3, 11)


def test_two_lines_missing_at_the_end_are_sold(small):
    file, held = newer(small, sheet(*LINES), sheet(*LINES[:10]))
    assert (file.outcome, file.lines_ended, len(held)) == ("new version", 2, 10)


def workbook(path, sheets):
    from openpyxl import Workbook

    book = Workbook()
    book.remove(book.active)
    for title, lines in sheets.items():
        page = book.create_sheet(title)
        for line in (HEAD.strip(), *lines):
            page.append(line.split(","))
    book.save(path)
    return path.read_bytes()


def test_a_whole_sheet_gone_is_asked_about(small, tmp_path):
    before = workbook(tmp_path / "a.xlsx", {"Barn": LINES[:8], "Loft": LINES[8:10]})
    after = workbook(tmp_path / "b.xlsx", {"Barn": LINES[:8]})
    file, held = newer(small, before, after, name="spares.xlsx")
    assert (file.outcome, file.lines_ended, len(held)) == ("partial", 0, 10)
    assert "the sheet 'Loft' is gone" in file.message


def test_a_renamed_sheet_is_no_missing_one(small, tmp_path):
    before = workbook(tmp_path / "a.xlsx", {"Barn": LINES[:8], "Loft": LINES[8:10]})
    after = workbook(tmp_path / "b.xlsx", {"Barn": LINES[:8], "Attic": LINES[8:10]})
    file, _held = newer(small, before, after, name="spares.xlsx")
    assert file.outcome == "new version"


def test_a_changed_quantity_leaves_nothing_out(small):
    after = sheet(*LINES).replace("Fan belt,3", "Fan belt,1")
    file, held = newer(small, sheet(*LINES), after)
    assert (file.outcome, file.lines_changed, len(held)) == ("new version", 1, 12)
