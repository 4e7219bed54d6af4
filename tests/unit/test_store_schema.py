import duckdb
import pytest

from partmuster.store.club import Club
from partmuster.store.migrations import (
    CONFIG,
    build_new,
    migrations,
    refresh_views,
    views_sql,
)
from partmuster_schemas import write_sql
from partmuster_schemas.answers import ANSWERS
from partmuster_schemas.columns import described
from partmuster_schemas.ddl import table_models
from partmuster_schemas.words import KINDS


def test_no_migration_is_due():
    assert write_sql.next_migration() == ""


def test_migrations_are_numbered_without_a_gap():
    assert [step.number for step in migrations()] == list(range(1, len(migrations()) + 1))


@pytest.fixture(scope="module")
def tables(tmp_path_factory):
    club = Club.open(tmp_path_factory.mktemp("schema") / "club", create=True)
    with club.reading() as con:
        rows = con.execute(
            "SELECT table_name, column_name, data_type, is_nullable "
            "FROM duckdb_columns() WHERE NOT internal AND table_name IN "
            "(SELECT table_name FROM duckdb_tables()) ORDER BY table_name, column_index"
        ).fetchall()
    found = {}
    for table, column, kind, nullable in rows:
        found.setdefault(table, {})[column] = (kind, nullable)
    return found


def test_a_new_club_has_the_models_tables(tables):
    assert sorted(tables) == sorted(table_models())


@pytest.mark.parametrize("table", sorted(table_models()))
def test_a_table_has_the_models_columns(tables, table):
    wanted = {
        name: (spec["type"], spec["nullable"])
        for name, spec in described(table_models()[table]).items()
    }
    assert tables[table] == wanted


@pytest.mark.parametrize("kind", KINDS)
def test_each_kind_has_a_view_for_now_and_a_macro_for_a_day(kind):
    assert f"CREATE VIEW {kind} AS" in views_sql()
    assert f"CREATE MACRO {kind}_as_of(day, known_now)" in views_sql()


def test_views_and_macros_are_those_that_are_written_though_made_in_another_order():
    found = []
    for make in (refresh_views, lambda con: con.execute(views_sql())):
        with duckdb.connect() as con:
            for step in migrations():
                con.execute(step.sql)
            make(con)
            found.append(views_and_macros(con))
    assert found[0] == found[1]


def views_and_macros(con):
    """Return the text of each that is no part of the database program."""
    return con.execute(
        "SELECT function_name, macro_definition FROM duckdb_functions() "
        "WHERE NOT internal AND macro_definition IS NOT NULL "
        "UNION ALL SELECT view_name, sql FROM duckdb_views() WHERE NOT internal ORDER BY ALL"
    ).fetchall()


def test_an_answer_is_asked_by_the_columns_of_its_model(tmp_path):
    """Its view is made before what works it out: a column of another type would end it."""
    file = tmp_path / "club.duckdb"
    build_new(file)
    asked = [name for name in ANSWERS if name not in {"trace", "fits", "explain", "build_evidence"}]
    with duckdb.connect(str(file), read_only=True, config=CONFIG) as con:
        for name in asked:
            told = {name: spec["type"] for name, spec in described(ANSWERS[name]).items()}
            whom = "NULL, NULL, " if name == "donors" else ""
            for question in (name, f"{name}_as_of({whom}DATE '2026-01-01', true)"):
                found = con.execute(f"FROM {question}")
                assert {one[0]: str(one[1]) for one in found.description} == told
                assert found.fetchall() == []
        made = {row[0] for row in con.execute("SELECT view_name FROM duckdb_views()").fetchall()}
        assert made >= set(asked)
