"""However a list is laid out, imported or changed, its lines are those it says."""

from __future__ import annotations

import datetime as dt
import tempfile
from pathlib import Path

import polars as pl
import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from partmuster.model import Grid
from partmuster.stages.layout import lay_out
from partmuster.stages.normalise import Context, normalise
from partmuster_plugins.spreadsheets.separated import cells_of
from partmuster_trade import load_vocabulary
from tests.long import examples
from tests.unit.conftest import SmallClub

TODAY = dt.date(2026, 11, 20)

#: What a cell of a holding may say, and the headings members put above it.
HOLDING = {
    "description": (
        ["Track guard LH", "Track guard RH", "Mudguard front LH & RH", "Dynamo", "Tail lamp o/s",
         "Sparking plugs", "Thingummy", "Idler", "Headlamp bracket, right hand"],
        ["What", "Item", "Part", "Description", "DESIGNATION", "Part name", "Nomenclature"],
    ),
    "quantity": (
        ["1", "2", "several", "10+", "1 pr", "3 (1 u/s)", "?", "a few"],
        ["Qty", "How many?", "Quantity", "QTY.", "Number held", "Quanity"],
    ),
    "condition": (
        ["good", "poor", "u/s", "NOS", "", "rebuilt"],
        ["Condition", "Cond.", "State", "How good", "Conditon"],
    ),
    "holder": (
        ["Hester Crane", "Ivo Larch", "Gwen Saddler"],
        ["Who has it", "Held by", "Holder", "Who's got it", "IN THE HANDS OF"],
    ),
    "availability": (
        ["yes", "no", "swap", "", "promised"],
        ["For sale", "For sale?", "To go?", "Available"],
    ),
    "date": (
        ["14/02/2026", "2026-03-01", "Feb 2026", "31/02/2026"],
        ["Date", "Date seen", "Last seen", "Date checked", "Updated"],
    ),
}  # fmt: skip
FIELDS = list(HOLDING)
ROWS = st.lists(
    st.tuples(*(st.sampled_from(cells) for cells, _ in HOLDING.values())), min_size=1, max_size=6
)
PLAIN = [headings[0] for _, headings in HOLDING.values()]
HEADINGS = st.tuples(*(st.sampled_from(headings) for _, headings in HOLDING.values()))


@pytest.fixture(scope="module")
def vocabulary():
    return load_vocabulary()


def cells_text(cell):
    return f'"{cell}"' if "," in cell else cell


def text_of(rows):
    return "".join(",".join(map(cells_text, row)) + "\n" for row in rows)


def read_lines(rows, above=()):
    """Return the typed lines, faults and doubts of a table with titles, by row of its body."""
    grid = Grid(cells_of(text_of([*above, *rows]), ","))
    laid_out = lay_out([grid], name="a list.csv")
    context = Context("s", TODAY, lambda texts: {t for t in texts if "bracket" in t}, country="GB")
    typed = normalise(laid_out.lines, context)
    first = len(above) + 1
    lines = {
        kind: sorted(str(row) for row in with_row(frame, laid_out, first).to_dicts())
        for kind, frame in typed.lines.items()
    }
    faults = sorted(with_row(typed.faults, laid_out, first).rows())
    doubts = sorted(with_row(typed.doubts, laid_out, first).rows())
    return lines, faults, doubts


def with_row(frame, laid_out, first):
    """Return a frame by row below the headings, without what follows from where cells stand."""
    rows = laid_out.raw.select("raw_number", pl.col("row") - first)
    return (
        frame.join(rows, on="raw_number", how="left")
        .drop("raw_number", "words", "section", strict=False)
        .select("row", pl.exclude("row"))
    )


@settings(max_examples=examples(25), deadline=None)
@given(ROWS, HEADINGS, st.permutations(range(len(FIELDS))), st.integers(0, 2))
def test_the_order_of_columns_and_the_words_above_them_never_matter(rows, headings, order, titles):
    plain = read_lines([PLAIN, *rows])
    shuffled = [[row[at] for at in order] for row in [headings, *rows]]
    above = [["Vale of Ashmere Vehicle Club"], []][:titles]
    assert read_lines(shuffled, above) == plain
    assert set(plain[0]) <= {"holding"}


@settings(max_examples=examples(20), deadline=None)
@given(ROWS, st.data())
def test_each_row_of_a_list_means_the_same_beside_any_others(rows, data):
    kept = data.draw(st.integers(0, len(rows) - 1))
    alone, _, _ = read_lines([PLAIN, rows[kept]])
    together, _, _ = read_lines([PLAIN, *rows])
    one = [line.replace("'row': 1", "'row': ?") for line in alone.get("holding", [])]
    among = [line.replace(f"'row': {kept + 1}", "'row': ?") for line in together.get("holding", [])]
    assert set(one) <= set(among)


MARKS = ("fitted", "missing", "", "seized", "Y", "2 of 3", "stand-in", "could not see")
SURVEY = st.lists(
    st.tuples(
        st.sampled_from(["Track guard LH", "Track guard RH", "Idler", "Horn", "Silencer"]),
        *(st.sampled_from(MARKS) for _ in range(3)),
    ),
    min_size=2, max_size=6, unique_by=lambda row: row[0],
)  # fmt: skip
VEHICLES = ("Otter 1", "Otter 2", "Otter 4")


def seen(rows):
    """Return what a matrix says by part and vehicle, and how often each mark is asked about."""
    laid_out = lay_out([Grid(cells_of(text_of(rows), ","))], name="survey.csv")
    frame = laid_out.lines.select("description", "vehicle", "presence")
    asked = laid_out.questions.select("topic", "subject", "lines")
    return sorted(frame.rows(), key=str), sorted(asked.rows())


@settings(max_examples=examples(20), deadline=None)
@given(SURVEY, st.permutations(range(3)), st.permutations(range(8)))
def test_a_matrix_says_the_same_whichever_way_its_rows_and_columns_stand(rows, across, down):
    rows = [*rows, ("Mirror", "fitted", "missing", "fitted"), ("Ladder", *["missing"] * 3)]
    plain = seen([("Part", *VEHICLES), *rows])
    places = [at for at in down if at < len(rows)]
    moved = [(rows[at][0], *(rows[at][1 + to] for to in across)) for at in places]
    assert seen([("Part", *(VEHICLES[to] for to in across)), *moved]) == plain
    assert len(plain[0]) == 3 * len(rows)
    marks = sum(cell == "Y" for row in rows for cell in row[1:])
    assert plain[1] == ([("marks", "survey.csv|Y", marks)] if marks else [])


GOOD_ROWS = st.lists(
    st.tuples(
        st.sampled_from(["Track guard LH", "Dynamo", "Idler", "Horn", "Tool box", "Thingummy"]),
        st.sampled_from(["1", "2", "several"]),
        st.sampled_from(["Hester Crane", "Ivo Larch"]),
    ),
    min_size=2, max_size=6,
)  # fmt: skip
SHORT = ("What", "How many", "Who has it")


def held(small, name):
    found = small.rows(
        "SELECT h.line_id, h.description, h.quantity_text, h.holder FROM holding h "
        "JOIN source_sum s ON s.source_id = h.source_id WHERE s.name = ?", name,
    )  # fmt: skip
    return sorted(found, key=str)


def everything(small):
    tables = [table for (table,) in small.rows("SELECT table_name FROM duckdb_tables()")]
    return {table: small.rows(f"SELECT * FROM {table} ORDER BY ALL") for table in tables}


@pytest.fixture(scope="module")
def small(tmp_path_factory, vocabulary):
    return SmallClub(tmp_path_factory.mktemp("club"), vocabulary)


@settings(max_examples=2, deadline=None, phases=[Phase.explicit, Phase.generate])
@given(GOOD_ROWS, st.data())
def test_a_line_added_or_removed_changes_just_that_line(small, rows, data):
    at = data.draw(st.integers(0, len(rows)))
    name = f"shed {len(small.rows('SELECT * FROM source'))}.csv"
    more = [*rows[:at], ("Winch", "1", "Ivo Larch"), *rows[at:]]

    def load(lines, **options):
        small.write(name, text_of([SHORT, *lines]))
        report = small.load(name, separate=True, **options)
        return report, held(small, name)

    _, before = load(rows)
    state = everything(small)
    report, _ = load(rows)
    assert report.files[0].outcome == "unchanged"
    assert everything(small) == state
    _, added = load(more)
    assert [line[1] for line in added if line not in before] == ["Winch"]
    assert [line for line in before if line not in added] == []
    _, after = load(rows, again=True, complete=True)
    assert after == before


@settings(max_examples=2, deadline=None, phases=[Phase.explicit, Phase.generate])
@given(GOOD_ROWS, GOOD_ROWS)
def test_the_order_of_two_lists_never_matters(vocabulary, one, other):
    members = [("Name", "Town", "Country"), ("Hester Crane", "Quillhaven", "GB"),
               ("Ivo Larch", "Ashmere", "US")]  # fmt: skip
    lists = {"a.csv": [SHORT, *one], "b.csv": [SHORT, *other, ("Jack", "1", "Ivo Larch")],
             "members.csv": members}  # fmt: skip
    found = []
    for order in (("members.csv", "a.csv", "b.csv"), ("b.csv", "a.csv", "members.csv")):
        with tempfile.TemporaryDirectory() as folder:
            club = SmallClub(Path(folder), vocabulary)
            for name in order:
                club.write(name, text_of(lists[name]))
                club.load(name, separate=True)
            known = [
                "SELECT words, outcome, reason FROM raw_line",
                "SELECT description, quantity_text, holder, said_on FROM holding",
                "SELECT role, key, target, accepted, reasons FROM identification_now",
            ]
            found.append([sorted(club.rows(sql), key=str) for sql in known])
    assert found[0] == found[1]
