"""The same list again: under a dated or copied name, or without a column that it had."""

from __future__ import annotations

import pytest

HEAD = "What,How many,State,Where is it,Whose\n"
PARTS = ("Dynamo", "Water pump", "Silencer", "Fan belt", "Headlamp", "Tail lamp", "Tow hook")


def sheet(first=1, head=HEAD):
    return head + "".join(f"{part},{first + n},good,Barn,Hester Crane\n"
                          for n, part in enumerate(PARTS))  # fmt: skip


@pytest.mark.parametrize(("before", "after"), [
    ("spares 2025-01-10.csv", "spares 2026-03-01.csv"),
    ("Spares March 2025.csv", "Spares Oct 26.csv"),
    ("spares.csv", "spares (1).csv"),
    ("spares.csv", "Spares - new.csv"),
    ("spares.csv", "Copy of spares v2.csv"),
    ("spares_20250110.csv", "spares_final_20260301.csv"),
])  # fmt: skip
def test_a_list_counted_again_under_a_like_name_is_asked_about(small, before, after):
    small.write(before, sheet())
    small.load()
    (path,) = [small.write(after, sheet(5))]
    (file,) = small.load(path, later=1).files
    assert file.outcome == "asks"
    assert f"--replaces '{before}'" in file.message
    (file,) = small.load(path, later=1, replaces=before).files
    assert (file.outcome, file.lines_changed) == ("new version", len(PARTS))


def test_two_counts_of_a_list_in_one_import_are_asked_about(small):
    small.write("spares 2025.csv", sheet())
    small.write("spares 2026.csv", sheet(5))
    files = small.load().files
    assert sorted(file.outcome for file in files) == ["asks", "new"]


@pytest.mark.parametrize("other", ["shed 2.csv", "crane.csv"])
def test_lists_under_names_of_their_own_that_count_otherwise_stand_beside_each_other(small, other):
    small.write("shed 1.csv", sheet())
    small.load()
    (file,) = small.load(small.write(other, sheet(5)), later=1).files
    assert file.outcome == "new"


def test_a_like_name_over_other_things_is_a_list_of_its_own(small):
    small.write("spares 2025.csv", sheet())
    small.load()
    after = "".join([HEAD, *(f"{part},1,poor,Field,Ivo Larch\n" for part in PARTS)])
    (file,) = small.load(small.write("spares 2026.csv", after), later=1).files
    assert file.outcome == "new"


def test_a_column_that_is_gone_is_told(small):
    small.write("spares.csv", sheet())
    small.load()
    lines = [",".join(line.split(",")[:1] + line.split(",")[2:]) for line in sheet().splitlines()]
    small.write("spares.csv", "\n".join(lines) + "\n")
    (file,) = small.load(later=1).files
    assert file.outcome == "new version"
    assert "'How many' (quantity)" in file.message
    assert "counts no longer" in file.message


def test_a_renamed_or_moved_column_is_not_gone(small):
    small.write("spares.csv", sheet())
    small.load()
    small.write("spares.csv", sheet(head="Item,Qty,Condition,Location,Owner\n"))
    (file,) = small.load(later=1).files
    assert (file.outcome, file.message) == ("new version", "")


def test_a_sheet_read_otherwise_says_so_and_calls_no_column_gone(small):
    small.write("spares.csv", sheet())
    small.load()
    small.write("spares.csv", "Wanted\n" + sheet())
    (file,) = small.load(later=1, complete=True).files
    assert file.outcome == "new version"
    assert "quantity" not in file.message
