import datetime as dt
import runpy
import shutil
from pathlib import Path
from types import SimpleNamespace

import polars as pl
import pytest

from partmuster.stages.load import confirm_complete, load, load_versions, recount_reports, rematch
from partmuster.store.club import Club
from partmuster.store.decisions import record_decision

made = SimpleNamespace(**runpy.run_path(str(Path(__file__).parents[1] / "kill" / "small_club.py")))
typed, ready, put, meaning = made.typed, made.ready, made.put, made.meaning

JAN, FEB, MAR = (dt.date(2026, month, 10) for month in (1, 2, 3))


def moment(text):
    return dt.datetime.fromisoformat(text)


T1, T2, T3 = (moment(f"2026-0{month}-20 09:30") for month in (1, 2, 3))


@pytest.fixture(scope="module")
def empty(tmp_path_factory):
    return Club.open(tmp_path_factory.mktemp("empty") / "club", create=True)


@pytest.fixture
def club(empty, tmp_path):
    return Club(shutil.copytree(empty.folder, tmp_path / "club"))


@pytest.fixture
def con(club):
    with club.writing() as con:
        yield con


def holdings(*rows, said_on=JAN, source_id="s1"):
    names = ("description", "at_least", "holder")
    given = [dict(zip(names, (*row, "Bert")[:3], strict=True)) for row in rows]
    return {"holding": typed("holding", given, source_id, said_on)}


def rows_of(con, sql, *values):
    return con.execute(sql, list(values)).fetchall()


def as_of(con, day, known_now=False):
    found = con.execute(
        "SELECT description, at_least FROM holding_as_of(?, ?) ORDER BY ALL", [day, known_now]
    ).fetchall()
    return [(text, int(number)) for text, number in found]


def now(con):
    return as_of(con, None)


# --- history -------------------------------------------------------------------------------------


def test_a_first_version_is_all_new(con):
    report = put(con, holdings(("idler", 2), ("jack", 1)), {"idler": "p1", "jack": "p2"})
    assert (report.outcome, report.lines_new, report.lines_changed) == ("new", 2, 0)
    assert (report.read, report.loaded, report.decision) == (2, 2, 0)
    assert report.kinds == {"holding": 2}
    assert now(con) == [("idler", 2), ("jack", 1)]


def test_the_same_lines_again_change_nothing_but_where_they_stand(con):
    put(con, holdings(("idler", 2), ("jack", 1)), now=T1)
    before = rows_of(con, "SELECT * FROM said_holding ORDER BY line_id")
    report = put(con, holdings(("idler", 2), ("jack", 1)), now=T2, version=2)
    assert (report.lines_new, report.lines_changed, report.lines_ended) == (0, 0, 0)
    assert rows_of(con, "SELECT * FROM said_holding ORDER BY line_id") == before
    assert rows_of(con, "SELECT DISTINCT version FROM line_address") == [(2,)]
    assert rows_of(con, "SELECT count(*) FROM line_origin") == [(4,)]


def test_a_line_added_changed_and_removed_is_all_that_happens(con):
    put(con, holdings(("idler", 2), ("jack", 1), ("lamp", 4)), now=T1)
    report = put(con, holdings(("idler", 2), ("jack", 3), ("pump", 1)), now=T2, version=2)
    assert (report.lines_new, report.lines_changed, report.lines_ended) == (1, 1, 1)
    history = rows_of(
        con,
        "SELECT description, revision, at_least, source_version, recorded_from, recorded_to "
        "FROM said_holding ORDER BY description, revision",
    )
    assert history == [
        ("idler", 1, 2.0, 1, T1, None),
        ("jack", 1, 1.0, 1, T1, T2),
        ("jack", 2, 3.0, 2, T2, None),
        ("lamp", 1, 4.0, 1, T1, T2),
        ("pump", 1, 1.0, 2, T2, None),
    ]


def test_as_of_three_dates_with_what_was_known_then_and_what_is_known_now(con):
    put(con, holdings(("idler", 2), ("lamp", 4), said_on=JAN), now=T1, said_on=JAN)
    put(con, holdings(("idler", 3), said_on=FEB), now=T2, version=2, said_on=FEB)
    put(con, holdings(("idler", 5), ("lamp", 1), said_on=MAR), now=T3, version=3, said_on=MAR)
    # as the records stood at the end of each day: the lists came in ten days after they were made
    assert as_of(con, JAN) == []
    assert as_of(con, T1.date()) == [("idler", 2), ("lamp", 4)]
    assert as_of(con, FEB) == [("idler", 2), ("lamp", 4)]
    assert as_of(con, T2.date()) == [("idler", 3)]
    assert as_of(con, T3.date()) == [("idler", 5), ("lamp", 1)]
    # as it is known today what was so on each day
    assert as_of(con, dt.date(2026, 1, 9), known_now=True) == []
    assert as_of(con, JAN, known_now=True) == [("idler", 2), ("lamp", 4)]
    assert as_of(con, dt.date(2026, 2, 9), known_now=True) == [("idler", 2), ("lamp", 4)]
    assert as_of(con, FEB, known_now=True) == [("idler", 3)]
    assert as_of(con, MAR, known_now=True) == [("idler", 5), ("lamp", 1)]
    assert now(con) == [("idler", 5), ("lamp", 1)]


def test_a_correction_of_the_same_day_leaves_no_two_values_for_it(con):
    put(con, holdings(("idler", 2), said_on=FEB), now=T2, said_on=FEB)
    put(con, holdings(("idler", 3), said_on=FEB), now=T3, version=2, said_on=FEB)
    assert as_of(con, FEB, known_now=True) == [("idler", 3)]
    assert as_of(con, T2.date()) == [("idler", 2)]


def test_a_correction_dated_before_what_it_corrects_leaves_no_two_values_for_any_day(con):
    put(con, holdings(("idler", 1), said_on=JAN), now=T1, said_on=JAN)
    put(con, holdings(("idler", 2), said_on=MAR), now=T2, version=2, said_on=MAR)
    put(con, holdings(("idler", 3), said_on=FEB), now=T3, version=3, said_on=FEB)
    assert as_of(con, JAN, known_now=True) == [("idler", 1)]
    assert as_of(con, FEB, known_now=True) == [("idler", 3)]
    assert as_of(con, MAR, known_now=True) == [("idler", 3)]


def test_a_line_that_comes_back_keeps_its_id(con):
    put(con, holdings(("idler", 2), ("jack", 1)), now=T1)
    before = rows_of(con, "SELECT line_id FROM holding WHERE description = 'idler'")
    put(con, holdings(("jack", 1)), now=T2, version=2)
    report = put(con, holdings(("idler", 2), ("jack", 1)), now=T3, version=3)
    assert report.lines_new == 1
    after = rows_of(con, "SELECT line_id, revision FROM holding WHERE description = 'idler'")
    assert after == [(before[0][0], 2)]


def test_equal_lines_keep_their_ids_when_the_sheet_is_sorted_otherwise(con):
    put(con, holdings(("idler", 2), ("idler", 7), ("idler", 2), ("jack", 1)), now=T1)
    before = rows_of(con, "SELECT line_id, at_least FROM holding ORDER BY ALL")
    assert len(before) == 4
    report = put(con, holdings(("jack", 1), ("idler", 2), ("idler", 2), ("idler", 7)), now=T2,
                 version=2)  # fmt: skip
    assert (report.lines_new, report.lines_changed, report.lines_ended) == (0, 0, 0)
    assert rows_of(con, "SELECT line_id, at_least FROM holding ORDER BY ALL") == before


def test_one_of_several_equal_lines_changed_is_one_line_changed(con):
    put(con, holdings(("idler", 2), ("idler", 7), ("idler", 9)), now=T1)
    report = put(con, holdings(("idler", 9), ("idler", 8), ("idler", 2)), now=T2, version=2)
    assert (report.lines_new, report.lines_changed, report.lines_ended) == (0, 1, 0)
    changed = rows_of(con, "SELECT at_least FROM said_holding WHERE recorded_to IS NOT NULL")
    assert changed == [(7.0,)]


def test_one_more_and_one_less_of_equal_lines(con):
    put(con, holdings(("idler", 2), ("idler", 7)), now=T1)
    more = put(con, holdings(("idler", 2), ("idler", 7), ("idler", 9)), now=T2, version=2)
    assert (more.lines_new, more.lines_changed, more.lines_ended) == (1, 0, 0)
    less = put(con, holdings(("idler", 9), ("idler", 7)), now=T3, version=3)
    assert (less.lines_new, less.lines_changed, less.lines_ended) == (0, 0, 1)
    assert now(con) == [("idler", 7), ("idler", 9)]
    ids = rows_of(con, "SELECT DISTINCT line_id FROM said_holding ORDER BY 1")
    assert [line_id.rsplit(".")[-1] for (line_id,) in ids] == ["1", "2", "3"]


def test_a_version_that_looks_partial_ends_nothing_until_it_is_confirmed(con):
    put(con, holdings(("idler", 2), ("jack", 1)), now=T1)
    report = put(con, holdings(("idler", 3)), now=T2, version=2, ends_missing=False)
    assert (report.outcome, report.lines_ended) == ("partial", 0)
    assert now(con) == [("idler", 3), ("jack", 1)]
    assert rows_of(con, "SELECT version, partial FROM source_version ORDER BY 1") == [
        (1, False), (2, True),
    ]  # fmt: skip
    assert rows_of(con, "SELECT version FROM line_address ORDER BY 1") == [(1,), (2,)]
    assert confirm_complete(con, "s1", 2, FEB, T3) == 1
    assert now(con) == [("idler", 3)]
    assert rows_of(con, "SELECT count(*) FROM source_version WHERE partial") == [(0,)]


def test_a_kind_a_new_version_no_longer_has_is_ended(con):
    want = {"want": typed("want", [{"description": "idler", "holder": "Bert"}])}
    put(con, holdings(("jack", 1)) | want, now=T1)
    report = put(con, holdings(("jack", 1)), now=T2, version=2)
    assert report.lines_ended == 1
    assert rows_of(con, "SELECT count(*) FROM want") == [(0,)]


def test_sources_do_not_touch_each_other(con):
    put(con, holdings(("idler", 2)), now=T1)
    put(con, holdings(("jack", 1), source_id="s2"), now=T2, source_id="s2", name="other.csv")
    assert now(con) == [("idler", 2), ("jack", 1)]


def test_effectivity_belongs_to_the_revision_it_was_said_with(con):
    def version(mark):
        lines = {"requirement": typed("requirement", [
            {"description": "idler", "all_builds": False, "effectivity_text": mark}])}  # fmt: skip
        clause = lines["requirement"].select("line_base", "raw_number").with_columns(
            mark=pl.lit(mark), is_interval=pl.lit(value=False)
        )  # fmt: skip
        return lines, clause

    for number, mark in ((1, "Mk 1"), (2, "Mk 1"), (3, "Mk 2")):
        lines, clause = version(mark)
        put(con, lines, version=number, effectivity=clause)
    found = rows_of(
        con,
        "SELECT r.revision, e.mark, r.recorded_to IS NULL FROM said_requirement r "
        "JOIN effectivity e USING (line_id, revision) ORDER BY 1",
    )
    assert found == [(1, "Mk 1", False), (2, "Mk 2", True)]


# --- outcomes and sums ---------------------------------------------------------------------------


def test_every_raw_line_has_one_outcome_and_the_sum_adds_up(con):
    lines = holdings(("idler", 1), ("thing", 1), ("jack", 1))
    raw = pl.DataFrame({
        "raw_number": [1, 2, 3, 4, 5, 6], "words": list("abcdef"),
        "outcome": ["line", "line", "line", "mending", "not-data", "line"],
        "reason": [None, None, None, "no such day", "a title", None],
    })  # fmt: skip
    mending = pl.DataFrame({
        "raw_number": [4], "line_kind": ["holding"], "field": ["date"], "value": ["31/02"],
        "code": ["no-such-day"], "problem": ["no such day"], "what_to_do": ["write the day"],
    })  # fmt: skip
    doubts = pl.DataFrame({"raw_number": [3, 3], "reason": ["which side?", "which jack?"]})
    report = put(con, lines, {"idler": "p1", "thing": None, "jack": "p2"}, raw=raw,
                 mending=mending, doubts=doubts)  # fmt: skip
    counts = (report.read, report.loaded, report.decision, report.mending, report.not_data)
    assert counts == (6, 1, 3, 1, 1)
    assert rows_of(con, "SELECT outcome, reason FROM raw_line ORDER BY raw_number") == [
        ("loaded", None),
        ("decision", "the part is not identified"),
        ("decision", "which side?; which jack?"),
        ("mending", "no such day"),
        ("not-data", "a title"),
        ("decision", "nothing was read from it"),
    ]
    sums = "lines_read, lines_loaded, lines_decision, lines_mending, lines_not_data"
    assert rows_of(con, f"SELECT {sums} FROM source_version") == [counts]
    assert rows_of(con, "SELECT raw_number, code FROM mending") == [(4, "no-such-day")]


def test_one_unsettled_line_of_a_raw_line_makes_all_of_it_wait(con):
    lines = holdings(("idler", 1), ("thing", 1))
    lines["holding"] = lines["holding"].with_columns(raw_number=pl.lit(1, dtype=pl.Int64))
    report = put(con, lines, {"idler": "p1"})
    assert (report.read, report.decision, report.lines_new) == (1, 1, 2)


@pytest.mark.parametrize("part", ["raw twice", "stray line", "stray doubt"])
def test_frames_that_do_not_fit_each_other_are_refused(con, part):
    version = ready(holdings(("idler", 1)))
    twice = pl.concat([version.raw, version.raw])
    stray = version.lines["holding"].with_columns(raw_number=pl.lit(9, dtype=pl.Int64))
    changes = {
        "raw twice": {"raw": twice},
        "stray line": {"lines": {"holding": stray}, "raw": version.raw},
        "stray doubt": {"doubts": pl.DataFrame({"raw_number": [9], "reason": ["?"]})},
    }[part]
    given = {"lines": version.lines, **changes}
    with pytest.raises(ValueError, match=r"list\.csv"):
        load(con, ready(**given), meaning({}), made.keys_of(version.lines), T1)


def test_a_refused_version_leaves_no_trace(club):
    def fail():
        with club.writing() as con:
            put(con, holdings(("idler", 1)),
                doubts=pl.DataFrame({"raw_number": [9], "reason": ["?"]}))  # fmt: skip

    with pytest.raises(ValueError, match="names raw line 9"):
        fail()
    with club.reading() as con:
        assert rows_of(con, "SELECT count(*) FROM source") == [(0,)]


SURVEY = {"survey": typed("survey", [{"description": "idler", "vehicle": "Otter 3"}], "s2")}
REGISTER = {"vehicle": typed("vehicle", [{"vehicle": "Daisy", "family": "otter",
                                          "club_number": "3"}], "s1")}  # fmt: skip


def test_a_survey_of_an_unknown_vehicle_waits_until_the_register_knows_it(con):
    first = put(con, SURVEY, {"idler": "p1"}, source_id="s2", name="survey.csv", now=T1)
    assert (first.loaded, first.decision) == (0, 1)
    assert rows_of(con, "SELECT topic, subject, lines FROM question") == [
        ("vehicle", "otter 3", 1)
    ]  # fmt: skip
    put(con, REGISTER, name="register.csv", now=T2)
    recount_reports(con, [first], [1])
    assert (first.loaded, first.decision) == (1, 0)
    assert rows_of(con, "SELECT count(*) FROM question WHERE recorded_to IS NULL") == [(0,)]
    assert rows_of(con, "SELECT lines_loaded, lines_decision FROM source_version "
                        "WHERE source_id = 's2'") == [(1, 0)]  # fmt: skip


def test_what_is_still_open_about_a_line_is_told_when_one_thing_is_settled(con):
    put(con, SURVEY, {"idler": None}, source_id="s2", name="survey.csv", now=T1)
    assert rows_of(con, "SELECT reason FROM raw_line") == [("the part is not identified",)]
    rematch(con, meaning({"idler": "p1"}), T2)
    assert rows_of(con, "SELECT outcome, reason FROM raw_line") == [
        ("decision", "the vehicle is not identified")
    ]  # fmt: skip


def test_the_order_of_imports_does_not_matter(empty, tmp_path):
    survey = ready(SURVEY, source_id="s2", name="survey.csv")
    register = ready(REGISTER, name="register.csv")
    states = []
    for number, order in enumerate(((survey, register), (register, survey))):
        club = Club(shutil.copytree(empty.folder, tmp_path / str(number)))
        with club.writing() as con:
            for version in order:
                load(con, version, meaning({"idler": "p1"}), made.keys_of(SURVEY), T1)
            states.append([
                rows_of(con, "SELECT role, key, target, accepted FROM identification_now "
                             "ORDER BY ALL"),
                rows_of(con, "SELECT * FROM source_version ORDER BY ALL"),
                rows_of(con, "SELECT * FROM question WHERE recorded_to IS NULL ORDER BY ALL"),
            ])  # fmt: skip
    assert states[0] == states[1]


def test_several_versions_at_once_are_counted_at_the_end(con):
    reports = load_versions(
        con,
        [ready(SURVEY, source_id="s2", name="survey.csv"), ready(REGISTER, name="register.csv")],
        meaning({"idler": "p1"}),
        made.keys_of(SURVEY),
        T1,
    )
    assert [(r.name, r.loaded, r.decision) for r in reports] == [
        ("survey.csv", 1, 0), ("register.csv", 1, 0),
    ]  # fmt: skip


def test_a_want_needs_no_vehicle_but_a_named_one_must_be_known(con):
    want = {"want": typed("want", [
        {"description": "idler", "holder": "Bert"},
        {"description": "idler", "holder": "Ada", "vehicle": "Otter 9"},
    ])}  # fmt: skip
    report = put(con, want, {"idler": "p1"})
    assert (report.loaded, report.decision) == (1, 1)


# --- what people decide --------------------------------------------------------------------------


def decide(con, number, topic, subject, answer, at=T2, undoes=None):
    record_decision(con, decision_id=f"d{number}", topic=topic, subject=subject, answer=answer,
                    decided_by="Ada", decided_at=at, undoes=undoes)  # fmt: skip


def part_of(con, description):
    return rows_of(
        con,
        "SELECT target, accepted, method FROM identification_now WHERE key = ? ORDER BY rank",
        made.item_key(description),
    )


def test_what_changed_is_concluded_anew_and_the_old_conclusion_is_kept(con):
    put(con, holdings(("idler", 1), ("jack", 1)), {"idler": None, "jack": "p2"}, now=T1)
    assert rematch(con, meaning({"idler": "p1", "jack": "p2"}), T2) == 1
    assert part_of(con, "idler") == [("p1", True, "exact")]
    for day, target in ((T1.date(), None), (T2.date(), "p1")):
        for known_now, wanted in (("false", target), ("true", "p1")):
            sql = f"SELECT target FROM identification_as_of(?, {known_now}) WHERE key = ?"
            assert rows_of(con, sql, day, made.item_key("idler")) == [(wanted,)]
    assert rows_of(con, "SELECT outcome FROM raw_line") == [("loaded",), ("loaded",)]


def test_a_decision_on_a_part_rules_over_the_matcher(con):
    put(con, holdings(("thing", 1)), {"thing": None}, now=T1)
    assert rows_of(con, "SELECT topic, subject, lines FROM question") == [
        ("part", made.item_key("thing"), 1)
    ]  # fmt: skip
    decide(con, 1, "part", made.item_key("thing"), "p7")
    rematch(con, meaning({}), T2)
    assert part_of(con, "thing") == [("p7", True, "decision")]
    rematch(con, meaning({"thing": "p1"}), T3)
    assert part_of(con, "thing") == [("p7", True, "decision")]
    assert rows_of(con, "SELECT outcome FROM raw_line") == [("loaded",)]
    assert rows_of(con, "SELECT recorded_to FROM question") == [(T2,)]


def test_a_word_that_it_is_no_part_settles_the_line(con):
    put(con, holdings(("thing", 1)), {"thing": None}, now=T1)
    decide(con, 1, "part", made.item_key("thing"), "none")
    rematch(con, meaning({"thing": "p1"}), T2)
    assert part_of(con, "thing") == [(None, False, "decision")]
    assert rows_of(con, "SELECT outcome FROM raw_line") == [("loaded",)]


def test_contradictory_decisions_apply_to_nothing_and_come_back_as_a_question(con):
    put(con, holdings(("thing", 1)), {"thing": "p1"}, now=T1)
    decide(con, 1, "part", made.item_key("thing"), "p7")
    rematch(con, meaning({"thing": "p1"}), T2)
    decide(con, 2, "part", made.item_key("thing"), "p8")
    rematch(con, meaning({}), T3)
    assert [accepted for _, accepted, _ in part_of(con, "thing")] == [False]
    assert rows_of(con, "SELECT outcome FROM raw_line") == [("decision",)]
    assert rows_of(con, "SELECT count(*) FROM question WHERE recorded_to IS NULL") == [(1,)]


def test_a_decision_that_is_undone_counts_no_more_and_can_be_brought_back(con):
    put(con, holdings(("thing", 1)), {"thing": None}, now=T1)
    key = made.item_key("thing")
    decide(con, 1, "part", key, "p7", at=T1)
    decide(con, 2, "part", key, None, at=T2, undoes="d1")
    rematch(con, meaning({"thing": None}), T2)
    assert part_of(con, "thing") == [(None, False, "fuzzy")]
    decide(con, 3, "part", key, None, at=T3, undoes="d2")
    rematch(con, meaning({"thing": None}), T3)
    assert part_of(con, "thing") == [("p7", True, "decision")]


def test_a_decision_on_one_line_settles_that_line_alone(con):
    put(con, holdings(("thing", 1, "Bert"), ("thing", 1, "Ada")), {"thing": None}, now=T1)
    [(line_id,)] = rows_of(con, "SELECT line_id FROM holding WHERE holder = 'Ada'")
    decide(con, 1, "part", f"line:{line_id}", "p7")
    rematch(con, meaning({}), T2)
    assert rows_of(con, "SELECT outcome FROM raw_line ORDER BY raw_number") == [
        ("decision",), ("loaded",),
    ]  # fmt: skip
    assert rows_of(con, "SELECT target FROM identification_now WHERE key = ?",
                   f"line:{line_id}") == [("p7",)]  # fmt: skip
    assert rows_of(con, "SELECT lines FROM question WHERE recorded_to IS NULL") == [(1,)]
    decide(con, 2, "part", f"line:{line_id}", None, at=T3, undoes="d1")
    rematch(con, meaning({}), T3)
    assert rows_of(con, "SELECT DISTINCT outcome FROM raw_line") == [("decision",)]


def test_questions_of_a_source_are_asked_once_and_closed_when_it_no_longer_asks(con):
    asked = pl.DataFrame({
        "topic": ["marks"], "subject": ["list.csv|Sheet|N"], "question": ["What does N mean?"],
        "choices": ["missing;fitted"], "lines": [4],
    })  # fmt: skip
    put(con, holdings(("idler", 1)), {"idler": "p1"}, now=T1, questions=asked)
    put(con, holdings(("idler", 2)), {"idler": "p1"}, now=T2, version=2, questions=asked)
    rows = rows_of(con, "SELECT source_id, topic, lines, recorded_from, recorded_to FROM question")
    assert rows == [("s1", "marks", 4, T1, None)]
    put(con, holdings(("idler", 3)), {"idler": "p1"}, now=T3, version=3)
    assert rows_of(con, "SELECT recorded_to FROM question") == [(T3,)]


def test_where_a_line_stands_can_be_told(con):
    version = ready(holdings(("idler", 1), ("jack", 2)), name="sheds/bert.csv")
    load(con, version, meaning({}), made.keys_of(version.lines), T1)
    found = rows_of(
        con,
        "SELECT a.file, a.version, a.row, a.words FROM line_address a JOIN holding h "
        "USING (line_id) WHERE h.description = 'jack'",
    )
    assert found == [("sheds/bert.csv", 1, 2, "row 2")]
