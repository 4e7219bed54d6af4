"""A club leaves in open formats, and a club made anew from them gives the same answers."""

from __future__ import annotations

import csv
import functools
import hashlib
import json
import shutil

import polars as pl
import pytest

from partmuster.model import PartmusterError
from partmuster.moving.export import export_club
from partmuster.moving.rebuild import rebuild_club
from partmuster.store.club import Club
from partmuster.store.migrations import current_version
from partmuster_schemas.columns import described
from partmuster_schemas.ddl import table_models
from tests.unit import lived_in
from tests.unit.conftest import SmallClub


@pytest.fixture(scope="module")
def lived(tmp_path_factory, vocabulary):
    return lived_in.live_in(SmallClub(tmp_path_factory.mktemp("lived"), vocabulary))


@pytest.fixture(scope="module")
def exported(lived, tmp_path_factory):
    folder = tmp_path_factory.mktemp("out") / "export"
    export_club(lived.club, folder)
    return folder


@pytest.fixture
def copied(exported, tmp_path):
    return shutil.copytree(exported, tmp_path / "export")


def same_but_for(lived, club):
    """Return a club to be asked as ``lived`` is."""
    other = object.__new__(SmallClub)
    other.__dict__.update(lived.__dict__, club=club)
    return other


@pytest.fixture(scope="module", params=["parquet", "csv"])
def rebuilt(request, lived, exported, tmp_path_factory):
    folder = tmp_path_factory.mktemp("rebuilt")
    source = shutil.copytree(exported, folder / "export")
    if request.param == "csv":
        shutil.rmtree(source / "parquet")
    rebuild_club(source, folder / "club")
    return same_but_for(lived, Club.open(folder / "club"))


def test_the_dynamo_was_hesters_and_is_ivos(lived):
    """The club the other tests rely on has a history."""
    first, second = (
        {row["holder"] for row in lived.holders("dynamo", as_of=day).to_dicts()}
        for day in lived_in.DAYS[1:3]
    )
    assert (first, second) == ({"Hester Crane", "Bert Oakes"}, {"Ivo Larch", "Bert Oakes"})
    assert lived.rows("SELECT count(*), count(undoes) FROM decision") == [(3, 1)]
    assert lived.rows("SELECT count(*) FROM mending") != [(0,)]


@pytest.fixture(scope="module")
def answered(lived):
    """What the club as it was answers, asked once a day."""
    return functools.cache(functools.partial(lived_in.answers, lived))


@pytest.mark.parametrize(("day", "known_now"), lived_in.MOMENTS)
def test_a_rebuilt_club_gives_the_same_answers(answered, rebuilt, day, known_now):
    assert lived_in.answers(rebuilt, day, known_now) == answered(day, known_now)


def test_a_rebuilt_club_traces_every_line_as_before(lived, rebuilt):
    assert lived_in.traces(rebuilt) == lived_in.traces(lived) != []


def test_a_rebuilt_club_has_the_same_rows_files_and_words(lived, rebuilt):
    assert lived_in.tables(rebuilt.club) == lived_in.tables(lived.club)
    assert rebuilt.club.archive.check_all(
        row for (row,) in rebuilt.rows("SELECT content_hash FROM source_version")
    ) == []  # fmt: skip
    assert (rebuilt.club.vocabulary / "README.txt").read_text(encoding="utf-8") == "ours"


def test_a_rebuilt_club_is_used_on(rebuilt):
    before = lived_in.tables(rebuilt.club)
    report = rebuilt.load(later=20)
    assert {file.outcome for file in report.files} == {"unchanged"}
    assert lived_in.tables(rebuilt.club) == before


def test_every_table_is_there_in_both_formats_with_all_columns(exported):
    for table, model in table_models().items():
        frame = pl.read_parquet(exported / "parquet" / f"{table}.parquet")
        assert frame.columns == list(described(model)), table
        with (exported / "csv" / f"{table}.csv").open(encoding="utf-8-sig", newline="") as stream:
            rows = list(csv.reader(stream))
        assert rows[0] == frame.columns
        assert len(rows) == frame.height + 1


def test_types_are_exact_in_parquet(exported):
    frame = pl.read_parquet(exported / "parquet" / "said_holding.parquet")
    assert frame.schema["recorded_from"] == pl.Datetime("us")
    assert frame.schema["said_on"] == pl.Date
    assert frame.schema["at_least"] == pl.Float64
    assert frame.schema["revision"] == pl.Int32


def test_what_could_be_a_formula_is_text_in_the_csv(exported):
    with (exported / "csv" / "raw_line.csv").open(encoding="utf-8-sig", newline="") as stream:
        cells = [cell for row in csv.reader(stream) for cell in row]
    with (exported / "csv" / "said_holding.csv").open(encoding="utf-8-sig", newline="") as stream:
        cells += [row["remark"] for row in csv.DictReader(stream)]
    assert not [cell for cell in cells if cell.startswith("=")]
    assert any(cell.startswith("'=ask Hester") for cell in cells)


def test_the_manifest_tells_what_is_there(lived, exported):
    manifest = json.loads((exported / "manifest.json").read_text(encoding="utf-8"))
    assert manifest["audience"] == "registrar"
    assert manifest["schema_version"] == current_version()
    rows = lived.rows("SELECT count(*) FROM said_holding")[0][0]
    assert manifest["tables"]["said_holding"]["rows"] == rows
    assert manifest["last_recorded"].startswith("2026-11-30")
    listed = {name: entry["sha256"] for name, entry in manifest["files"].items()}
    there = {
        file.relative_to(exported).as_posix(): hashlib.sha256(file.read_bytes()).hexdigest()
        for file in exported.rglob("*")
        if file.is_file() and file not in (exported / "manifest.json", exported / "README.txt")
    }
    assert listed == there
    assert any(name.startswith("sources/") for name in there)


def test_the_readme_says_what_an_apostrophe_means_and_how_to_rebuild(exported):
    text = (exported / "README.txt").read_text(encoding="utf-8")
    for words in ("apostrophe", "partmuster", "rebuild", "manifest.json", "registrar"):
        assert words in text


def test_an_export_without_the_archive_can_be_rebuilt(lived, tmp_path):
    export_club(lived.club, tmp_path / "out", with_archive=False)
    assert not (tmp_path / "out" / "sources").exists()
    rebuild_club(tmp_path / "out", tmp_path / "club")
    club = same_but_for(lived, Club.open(tmp_path / "club"))
    assert lived_in.answers(club) == lived_in.answers(lived)


SECRETS = ("01632", "ashmere.example", "Sallowfield Yard", "ask Hester", "seen it myself")


def everything_in(folder):
    """Return all texts and all file names of an export, those inside Parquet too."""
    texts = [path.name for path in folder.rglob("*")]
    for path in folder.rglob("*"):
        if path.suffix == ".parquet":
            texts += [str(value) for row in pl.read_parquet(path).rows() for value in row]
        elif path.is_file():
            texts.append(path.read_text(encoding="utf-8"))
    return "\n".join(texts)


@pytest.mark.parametrize("audience", ["members", "circulated"])
def test_an_export_for_others_leaves_out_what_is_not_for_them(lived, tmp_path, audience):
    export_club(lived.club, tmp_path / "out", audience=audience)
    found = everything_in(tmp_path / "out")
    assert [secret for secret in SECRETS if secret in found] == []
    assert ("Hester Crane" in found) == (audience == "members")
    assert not (tmp_path / "out" / "sources").exists()
    assert not (tmp_path / "out" / "vocabulary").exists()
    assert "cannot be made" in (tmp_path / "out" / "README.txt").read_text(encoding="utf-8")
    with pytest.raises(PartmusterError, match=audience):
        rebuild_club(tmp_path / "out", tmp_path / "club")


def test_the_secrets_are_in_the_registrars(exported):
    shutil.copytree(exported, exported.parent / "plain", ignore=shutil.ignore_patterns("sources"))
    found = everything_in(exported.parent / "plain")
    assert [secret for secret in SECRETS if secret not in found] == []


def test_the_archive_goes_to_the_registrar_only(lived, tmp_path):
    with pytest.raises(PartmusterError, match="registrar"):
        export_club(lived.club, tmp_path / "out", audience="members", with_archive=True)
    assert not (tmp_path / "out").exists()


def test_a_folder_that_holds_something_is_refused(lived, tmp_path):
    (tmp_path / "out").mkdir()
    (tmp_path / "out" / "mine.txt").write_text("mine")
    with pytest.raises(PartmusterError, match="not empty"):
        export_club(lived.club, tmp_path / "out")
    assert [path.name for path in tmp_path.rglob("*")] == ["out", "mine.txt"]


def test_an_export_that_breaks_off_leaves_nothing(lived, tmp_path):
    def progress(_name, done, _of):
        if done > 5:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        export_club(lived.club, tmp_path / "out", progress=progress)
    assert list(tmp_path.iterdir()) == []


def refused(folder, tmp_path):
    """Return the words with which a rebuild is refused; nothing may be left of it."""
    with pytest.raises(PartmusterError) as raised:
        rebuild_club(folder, tmp_path / "club")
    assert [path.name for path in tmp_path.iterdir()] == ["export"]
    return str(raised.value)


def test_an_edited_file_is_named(copied, tmp_path):
    file = copied / "parquet" / "decision.parquet"
    file.write_bytes(file.read_bytes()[:-1] + b"x")
    words = refused(copied, tmp_path)
    assert "parquet/decision.parquet" in words
    assert "changed" in words


def test_a_missing_file_is_named(copied, tmp_path):
    (copied / "parquet" / "decision.parquet").unlink()
    words = refused(copied, tmp_path)
    assert "parquet/decision.parquet" in words
    assert "missing" in words


def test_an_edited_csv_is_named_beside_parquet_too(copied, tmp_path):
    with (copied / "csv" / "said_holding.csv").open("ab") as file:
        file.write(b"\n")
    assert "csv/said_holding.csv was changed" in refused(copied, tmp_path)


def test_an_edited_csv_is_named_where_only_that_is_there(copied, tmp_path):
    shutil.rmtree(copied / "parquet")
    file = copied / "csv" / "said_holding.csv"
    file.write_text(file.read_text(encoding="utf-8").replace("Ivo", "Eve"), encoding="utf-8")
    assert "csv/said_holding.csv" in refused(copied, tmp_path)


def test_an_edited_sheet_of_the_archive_is_named(copied, tmp_path):
    file = next(copied.glob("sources/??/*"))
    file.write_bytes(b"other")
    assert file.name in refused(copied, tmp_path)


def edit_manifest(folder, **changes):
    file = folder / "manifest.json"
    manifest = json.loads(file.read_text(encoding="utf-8"))
    file.write_text(json.dumps(manifest | changes), encoding="utf-8")


def test_an_export_of_another_schema_is_refused(copied, tmp_path):
    edit_manifest(copied, schema_version=99)
    words = refused(copied, tmp_path)
    assert "99" in words
    assert "manifest.json" in words


def test_a_manifest_that_lists_a_file_outside_is_refused(copied, tmp_path):
    file = copied / "manifest.json"
    manifest = json.loads(file.read_text(encoding="utf-8"))
    manifest["files"]["../club.duckdb"] = {"sha256": "0" * 64, "size": 1}
    file.write_text(json.dumps(manifest), encoding="utf-8")
    assert "../club.duckdb" in refused(copied, tmp_path)


@pytest.mark.parametrize("text", ["", "{", "[]", '{"format": "something else"}'])
def test_a_manifest_that_is_none_is_named(copied, tmp_path, text):
    (copied / "manifest.json").write_text(text)
    assert "manifest.json" in refused(copied, tmp_path)


@pytest.mark.parametrize(
    "change", [{"tables": []}, {"files": 3}, {"tables": {}}, {"files": {"csv/part.csv": 1}},
               {"files": {"csv/part.csv": {"sha256": 1, "size": "x"}}}],
)  # fmt: skip
def test_a_manifest_with_other_contents_is_refused(copied, tmp_path, change):
    edit_manifest(copied, **change)
    assert "manifest.json" in refused(copied, tmp_path)


def test_a_manifest_that_counts_otherwise_is_refused(copied, tmp_path):
    tables = json.loads((copied / "manifest.json").read_text(encoding="utf-8"))["tables"]
    for rows in (7, "x", None):
        tables["said_holding"]["rows"] = rows
        edit_manifest(copied, tables=tables)
        assert "said_holding" in refused(copied, tmp_path)


def test_a_folder_that_is_no_export_is_refused(tmp_path):
    (tmp_path / "export").mkdir()
    assert "manifest.json" in refused(tmp_path / "export", tmp_path)


def test_a_club_is_not_overwritten(lived, exported):
    with pytest.raises(PartmusterError, match="not empty"):
        rebuild_club(exported, lived.club.folder)


def test_an_empty_folder_may_become_the_club(exported, tmp_path):
    (tmp_path / "club").mkdir()
    rebuild_club(exported, tmp_path / "club")
    assert Club.open(tmp_path / "club").file.is_file()
    assert [path.name for path in tmp_path.iterdir()] == ["club"]


#: Texts that formats of tables have trouble with.
NASTY = ("=1+1", "", None, 'a"b\n c\r\n,d\r', "NULL", "null", "'=x", "''=x", "'x", "-", "-5", "@a",
         "\t=x", "\r", "\n", "  =x", "\ufeff=", "x" * 3_000_000, " lead", "trail ", "#", "'", '"',
         '""', "\\", "\\N", "\x1b[31m", "\u202e", "é", "🛠", "nul\x00inside")  # fmt: skip


@pytest.mark.parametrize("without", ["csv", "parquet"])
def test_every_text_comes_back_as_it_was(small, tmp_path, without):
    small.write("spares.csv", "What,Qty,Whose\nDynamo,1,Ivo Larch\n")
    small.load()
    with small.club.writing() as con:
        for number, text in enumerate(NASTY):
            con.execute(
                "INSERT INTO setting (name, value) VALUES (?, ?)", [f"nasty-{number:02d}", text]
            )
    export_club(small.club, tmp_path / "out")
    shutil.rmtree(tmp_path / "out" / without)
    rebuild_club(tmp_path / "out", tmp_path / "new")
    with Club.open(tmp_path / "new").reading() as con:
        rows = con.execute(
            "SELECT value FROM setting WHERE name LIKE 'nasty-%' ORDER BY name"
        ).fetchall()
    assert tuple(value for (value,) in rows) == NASTY
