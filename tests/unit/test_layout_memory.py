"""What was told of one sheet's layout holds for sheets with the same headings."""

from __future__ import annotations

import pytest

from partmuster.commands.deciding import settle, undo_decision

HEADINGS = "Thing,Puzzle,Vexed\n"
HALE = f"{HEADINGS}Dynamo,3 off,b\nSilencer,1 off,b\n"
CRANE = f"{HEADINGS}Horn,2 off,c\nBonnet,1 off,a\n"


def kinds(small):
    return dict(
        small.rows(
            "SELECT DISTINCT v.name, l.line_kind FROM layout_taken l JOIN source_sum v "
            "ON v.source_id = l.source_id AND v.version = l.source_version"
        )
    )


def reasons(small, name):
    return small.rows(
        "SELECT l.field, l.reason FROM layout_taken l JOIN source_sum v ON "
        "v.source_id = l.source_id AND v.version = l.source_version WHERE v.name = ? "
        'ORDER BY l."column"', name
    )  # fmt: skip


def asked(small, name, what="kind"):
    found = small.rows(
        "SELECT q.question_id FROM open_question q JOIN source_sum v "
        "ON starts_with(q.subject, v.source_id) WHERE v.name = ? AND q.topic = 'layout' "
        "AND ends_with(q.subject, ?)", name, f"|{what}"
    )  # fmt: skip
    return [one for (one,) in found]


def tell(small, name, answer, what="kind"):
    (question,) = asked(small, name, what)
    assert settle(small.club.folder, small.host, question, answer, "Registrar", None) == 0
    return small.rows("SELECT decision_id FROM decision ORDER BY decided_at DESC LIMIT 1")[0][0]


@pytest.fixture
def two(small):
    small.write("hale.csv", HALE)
    small.write("crane.csv", CRANE)
    small.load()
    assert kinds(small) == {"hale.csv": "unknown", "crane.csv": "unknown"}
    return small


def test_a_sheet_of_the_same_headings_is_read_as_told_for_the_other(two):
    tell(two, "hale.csv", "want")
    assert kinds(two) == {"hale.csv": "want", "crane.csv": "want"}
    assert asked(two, "crane.csv") == []
    assert all("as told for hale.csv" in reason for _, reason in reasons(two, "crane.csv"))
    assert not any("as told for" in reason for _, reason in reasons(two, "hale.csv"))


def test_a_later_sheet_is_read_so_too(small):
    small.write("hale.csv", HALE)
    small.load()
    tell(small, "hale.csv", "want")
    small.write("crane.csv", CRANE)
    small.load("crane.csv", later=1)
    assert kinds(small)["crane.csv"] == "want"


def test_undo_takes_it_back(two):
    decision = tell(two, "hale.csv", "want")
    assert undo_decision(two.club.folder, two.host, decision, "Registrar") == 0
    assert kinds(two) == {"hale.csv": "unknown", "crane.csv": "unknown"}
    assert len(asked(two, "crane.csv")) == 1


def test_sheets_told_otherwise_of_the_same_headings_tell_nothing(small):
    for name, text in (("hale.csv", HALE), ("crane.csv", CRANE)):
        small.write(name, text)
    small.load("hale.csv")
    tell(small, "hale.csv", "want")
    small.load("crane.csv", later=1)
    by_layout(small, "crane.csv", kind="holding")
    small.write("larch.csv", f"{HEADINGS}Radiator,1 off,b\n")
    small.load("larch.csv", later=2)
    assert kinds(small) == {"hale.csv": "want", "crane.csv": "holding", "larch.csv": "unknown"}
    assert len(asked(small, "larch.csv")) == 1


def test_a_title_of_its_own_counts_before(small):
    small.write("hale.csv", "Part,Qty\nDynamo,3\nSilencer,1\n")
    small.load()
    by_layout(small, "hale.csv", kind="want")
    small.write("crane.csv", "Spares held by A. Crane\nPart,Qty\nHorn,2\nBonnet,1\n")
    small.write("larch.csv", "Part,Qty\nHorn,2\nRadiator,1\n")
    small.load("crane.csv", "larch.csv", later=1)
    assert kinds(small) == {"hale.csv": "want", "crane.csv": "holding", "larch.csv": "want"}


def test_whose_it_is_and_what_marks_mean_is_never_carried_over(small):
    matrix = "Part,Otter 1,Otter 2\nDynamo,{0},{1}\nHorn,{1},{0}\n"
    small.write("hale.csv", matrix.format("N", "fitted"))
    small.write("crane.csv", matrix.format("N", "missing"))
    small.load()
    by_layout(small, "hale.csv", marks=("N=missing",), holder="B. Hale")
    (open_now,) = small.rows(
        "SELECT count(*) FROM open_question q JOIN source_sum v ON "
        "starts_with(q.subject, v.source_id) WHERE q.topic = 'marks' AND v.name = 'crane.csv'"
    )  # fmt: skip
    assert open_now == (1,)


def test_a_field_told_for_a_column_is_known_in_the_other(two):
    by_layout(two, "hale.csv", kind="want", fields=("Thing=description", "Vexed=condition"))
    assert [field for field, _ in reasons(two, "crane.csv")] == ["description", None, "condition"]


def test_headings_that_nobody_knew_are_known_once_told(small):
    headings = "Zorb,Puzzle,Vexed\n"
    small.write("hale.csv", f"{headings}Dynamo,3 off,b\nSilencer,1 off,b\n")
    small.write("crane.csv", f"{headings}Horn,2 off,c\nBonnet,1 off,a\n")
    small.load()
    by_layout(small, "hale.csv", kind="want", header_row="1", fields=("Zorb=description",))
    assert kinds(small) == {"hale.csv": "want", "crane.csv": "want"}
    assert small.rows("SELECT count(*) FROM want") == [(4,)]


def by_layout(small, source, **said):
    from partmuster.commands.layout import show_or_set_layout

    return show_or_set_layout(
        small.club.folder, lambda: small.host, source, "table", **{"by": "Registrar", **said}
    )
