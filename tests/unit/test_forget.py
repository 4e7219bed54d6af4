"""A member asks to be forgotten: the name goes from every file, the parts stay."""

from __future__ import annotations

import datetime as dt
import io
import re
import shutil
import subprocess
import sys
import unicodedata
import zipfile

import pytest

from partmuster.model import PartmusterError
from partmuster.moving.forget import forget, plan_forgetting
from partmuster.store.club import Club
from tests.unit import lived_in
from tests.unit.conftest import SmallClub

NAME = "Hester Crane"
WHEN = dt.datetime(2026, 12, 10, 9, 30)  # noqa: DTZ001 - a club keeps local time
NOTICE = "the words were removed on 2026-12-10 at a person's request"
#: Sheets beside those of ``lived_in``: a list of her own, and what others write of her.
HERS = """What,Qty,Where,Whose
Radiator,1,Sallowfield Yard,Hester Crane
Clutch plate,several,Crane's shed,"Crane, Hester"
"""
OTHERS = """What,Qty,Where,Whose,Notes
Magneto,2,Thornwick,Ivo Larch,"from HESTER  CRANE, ring 01632 960111"
Idler,1,Thornwick,Ivo Larch,no relation of Hester Cranemore
Ammeter,4,Thornwick,Ivo Larch,ask Hester
"""
PLACES = """Place,Keeper,Latitude,Longitude,Address
Sallowfield Yard,Hester Crane,51.5,-1.2,1 Sallow Lane
Thornwick,Ivo Larch,52.5,-1.7,2 Thorn Lane
"""
#: What must not be found in any file of the club afterwards.
GONE = ("hester crane", "crane, hester", "hester  crane", "hester_crane", "01632 960111",
        "hester@ashmere", "sallowfield yard", "sallow lane", "crane's shed", "51.5")  # fmt: skip


def workbook(lines):
    from openpyxl import Workbook

    book = Workbook()
    for line in lines:
        book.active.append(line)
    stream = io.BytesIO()
    book.save(stream)
    return stream.getvalue()


@pytest.fixture(scope="module")
def lived(tmp_path_factory, vocabulary):
    small = SmallClub(tmp_path_factory.mktemp("lived"), vocabulary)
    lived_in.live_in(small)
    small.write("hester_crane spares.csv", HERS)
    small.write("others.csv", OTHERS)
    small.write("places.csv", PLACES)
    small.write("packed.xlsx", workbook([["What", "Qty", "Whose"], ["Horn", 1, "Bert Oakes"],
                                         ["Fan cowl", 2, "hester crane"]]))  # fmt: skip
    small.write("berts.xlsx", workbook([["What", "Qty", "Whose"], ["Silencer", 3, "Bert Oakes"]]))
    small.load(later=12)
    return small


@pytest.fixture
def club(lived, tmp_path):
    """A copy of the club, asked as ``lived`` is."""
    other = object.__new__(SmallClub)
    copy = Club(shutil.copytree(lived.club.folder, tmp_path / "club"))
    other.__dict__.update(lived.__dict__, club=copy)
    return other


@pytest.fixture(scope="module")
def forgotten(lived, tmp_path_factory):
    """A club that has forgotten her, with the report."""
    other = object.__new__(SmallClub)
    copy = Club(shutil.copytree(lived.club.folder, tmp_path_factory.mktemp("new") / "club"))
    other.__dict__.update(lived.__dict__, club=copy)
    other.report = forget(copy, NAME, by="Registrar", now=WHEN)
    return other


def contents(folder):
    """Yield name and bytes of every file, and of every file inside a ZIP."""
    for path in folder.rglob("*"):
        if path.is_file():
            yield path.name, path.read_bytes()
            if zipfile.is_zipfile(path):
                with zipfile.ZipFile(path) as archive:
                    for name in archive.namelist():
                        yield name, archive.read(name)


def found_in(folder, texts=GONE):
    """Return which texts are in which files, whatever their case, also as UTF-16.

    Hester Cranemore is another person.
    """
    return {
        (text, name)
        for name, whole in contents(folder)
        for data in [whole.lower().replace(b"hester cranemore", b"")]
        for text in texts
        if text in name.lower() or text.encode() in data or text.encode("utf-16-le") in data
    }


def test_the_name_is_everywhere_before(lived):
    """The search below finds what is there."""
    assert {text for text, _ in found_in(lived.club.folder)} == set(GONE)


def test_no_file_of_the_club_holds_the_name_afterwards(forgotten):
    assert found_in(forgotten.club.folder) == set()


def test_nothing_but_the_club_is_left_in_its_folder(forgotten):
    assert sorted(path.name for path in forgotten.club.folder.iterdir()) == [
        "club.duckdb", "lock", "sources", "vocabulary",
    ]  # fmt: skip


def test_no_value_of_any_row_holds_the_name_afterwards(forgotten):
    values = "\n".join(
        str(value)
        for rows in lived_in.tables(forgotten.club).values()
        for row in rows
        for value in row
    ).lower()
    assert "hester cranemore" in values  # another person
    values = values.replace("hester cranemore", "")
    assert [text for text in GONE if text in values] == []
    assert "hester-crane" not in values


def pseudonym(small):
    return small.report.pseudonym


def test_a_pseudonym_stands_for_the_person(forgotten):
    assert re.fullmatch(r"member [0-9a-f]{4}", pseudonym(forgotten))
    people = {row[0] for row in forgotten.rows("SELECT DISTINCT holder FROM said_holding")}
    assert pseudonym(forgotten) in people
    assert {"Ivo Larch", "Bert Oakes"} < people


COMPARED = (
    "part", "hand", "position", "quantity", "at_least", "condition", "availability", "match",
    "said_on", "trace", "state", "lacking", "fit", "correctness", "standing", "vehicle",
    "assembly", "aim", "required", "had", "low", "high",
)  # fmt: skip


def figures(rows):
    return sorted(tuple((name, str(row[name])) for name in COMPARED if name in row) for row in rows)


@pytest.mark.parametrize(("day", "known_now"), lived_in.MOMENTS)
def test_the_figures_stay_as_they_were(lived, forgotten, day, known_now):
    before, after = (lived_in.answers(small, day, known_now) for small in (lived, forgotten))
    for name, rows in before.items():
        assert figures(after[name]) == figures(rows), name


def test_who_had_the_dynamo_is_still_one_person(lived, forgotten):
    day = lived_in.DAYS[1]
    before = [row["holder"] for row in lived.holders("dynamo", as_of=day).to_dicts()]
    after = [row["holder"] for row in forgotten.holders("dynamo", as_of=day).to_dicts()]
    expected = [pseudonym(forgotten) if name == NAME else name for name in before]
    assert sorted(after) == sorted(expected)


def test_all_her_names_mean_one_person_still(forgotten):
    targets = forgotten.rows(
        "SELECT DISTINCT i.target FROM said_holding h JOIN identification_now i "
        "ON i.role = 'holder' AND i.key = h.holder_key AND i.accepted "
        "WHERE h.description IN ('Radiator', 'Dynamo', 'Fan cowl') AND h.holder LIKE 'member%'"
    )
    assert targets == [(pseudonym(forgotten).replace(" ", "-"),)]


def test_contacts_and_places_of_hers_are_gone(forgotten):
    rows = forgotten.rows(
        "SELECT holder, town, phone, email, address, region, country FROM said_holder "
        "WHERE holder LIKE 'member%'"
    )
    assert rows == [(pseudonym(forgotten), None, None, None, None, "East", "GB")]
    rows = forgotten.rows(
        "SELECT place, address, latitude, longitude FROM said_place WHERE keeper LIKE 'member%'"
    )
    assert [row[1:] for row in rows] == [(None, None, None)]
    assert rows[0][0].endswith(pseudonym(forgotten))
    assert forgotten.rows(
        "SELECT address, latitude FROM said_place WHERE keeper = 'Ivo Larch'"
    ) == [("2 Thorn Lane", 52.5)]


def test_lines_of_others_stay(lived, forgotten):
    sql = (
        "SELECT * FROM said_holding WHERE holder = 'Ivo Larch' AND description <> 'Magneto' "
        "ORDER BY ALL"
    )
    assert forgotten.rows(sql) == lived.rows(sql) != []
    assert forgotten.rows("SELECT words FROM raw_line WHERE words LIKE '%Cranemore%'")


def test_what_others_say_of_her_loses_its_words_and_keeps_its_figures(forgotten):
    [(holder, at_least, words, remark)] = forgotten.rows(
        "SELECT holder, at_least, words, remark FROM said_holding WHERE description = 'Magneto'"
    )
    assert (holder, at_least, words) == ("Ivo Larch", 2.0, NOTICE)
    assert pseudonym(forgotten) in remark


def test_trace_says_that_the_words_were_removed(forgotten):
    from partmuster.answers.trace import trace

    with forgotten.club.reading() as con:
        [(line_id,)] = con.execute(
            "SELECT line_id FROM said_holding WHERE description = 'Radiator'"
        ).fetchall()
        [row] = {(row["words"], row["sheet"], row["row"]) for row in trace(con, line_id).to_dicts()}
    assert row == (NOTICE, None, 2)


def test_what_was_done_is_on_record_without_the_name(forgotten):
    rows = forgotten.rows("SELECT * EXCLUDE (forgotten_id) FROM forgotten ORDER BY ALL")
    assert rows
    assert {row[:3] for row in rows} == {(pseudonym(forgotten), WHEN, "Registrar")}
    counted = forgotten.rows("SELECT sum(lines), sum(raw_lines) FROM forgotten")
    assert counted == [(forgotten.report.lines, forgotten.report.raw_lines)]
    assert forgotten.report.lines > 5
    named = forgotten.rows(
        "SELECT DISTINCT v.name FROM forgotten f JOIN source_version v "
        "ON v.source_id = f.source_id AND v.version = f.source_version ORDER BY 1"
    )
    assert [name for (name,) in named] == sorted([
        "members.csv", "others.csv", "packed.xlsx", "places.csv", "register.csv", "spares.csv",
        f"{pseudonym(forgotten)} spares.csv",
    ])  # fmt: skip


def test_sheets_that_name_her_leave_the_archive_and_others_stay(lived, forgotten):
    kept = {path.name for path in (forgotten.club.folder / "sources").glob("??/*")}
    removed = {row for (row,) in forgotten.rows("SELECT content_hash FROM forgotten")} - {None}
    before = {path.name for path in (lived.club.folder / "sources").glob("??/*")}
    assert kept == before - removed
    names = dict(lived.rows("SELECT content_hash, name FROM source_version"))
    # the newer spares.csv does not name her
    assert sorted(names[one] for one in kept) == [
        "berts.xlsx", "otter parts.csv", "seen.csv", "spares.csv",
    ]  # fmt: skip


def test_a_removed_content_is_not_taken_again_unasked(forgotten, tmp_path):
    other = object.__new__(SmallClub)
    copy = Club(shutil.copytree(forgotten.club.folder, tmp_path / "club"))
    other.__dict__.update(forgotten.__dict__, club=copy)
    report = other.load("others.csv", later=30)
    assert report.files[0].outcome == "unchanged"
    assert "removed at a person's request" in report.files[0].message
    assert "--again" in report.files[0].message
    assert found_in(copy.folder) == set()
    assert other.load("others.csv", later=31, again=True).files[0].outcome == "new version"
    assert "hester  crane" in {text for text, _ in found_in(copy.folder)}
    assert other.load("others.csv", later=32).files[0].message == ""


def test_the_club_is_used_on(forgotten, tmp_path):
    from partmuster.runner import rematch

    other = object.__new__(SmallClub)
    copy = Club(shutil.copytree(forgotten.club.folder, tmp_path / "club"))
    other.__dict__.update(forgotten.__dict__, club=copy, sheets=tmp_path)
    days = lived_in.DAYS[1], None
    before = [lived_in.answers(other, day) for day in days]
    rematch(copy, other.host, other.vocabulary, now=WHEN + dt.timedelta(days=1))
    assert [lived_in.answers(other, day) for day in days] == before
    (tmp_path / "new.csv").write_text("What,Qty,Whose\nTow hook,1,Bert Oakes\n")
    assert other.load("new.csv", later=40).files[0].outcome == "new"
    assert found_in(copy.folder) == set()


def test_a_removed_sheet_cannot_be_read_again_and_that_is_said(forgotten):
    from partmuster.runner import import_archived
    from partmuster.store.sources import current_version

    with forgotten.club.reading() as con:
        known = current_version(con, "others.csv")
    report = import_archived(forgotten.club, forgotten.host, [known], forgotten.vocabulary)
    assert report.files[0].outcome == "failed"
    assert "removed" in report.files[0].message


def test_an_export_of_it_can_be_rebuilt(forgotten, tmp_path):
    from partmuster.moving.export import export_club
    from partmuster.moving.rebuild import rebuild_club

    report = export_club(forgotten.club, tmp_path / "out")
    assert len(report.missing) > 3
    rebuild_club(tmp_path / "out", tmp_path / "new")
    assert lived_in.tables(Club.open(tmp_path / "new")) == lived_in.tables(forgotten.club)


def test_a_plan_changes_nothing_and_counts(lived, forgotten):
    before = {path: path.read_bytes() for path in lived.club.folder.rglob("*") if path.is_file()}
    plan = plan_forgetting(lived.club, NAME)
    after = {path: path.read_bytes() for path in lived.club.folder.rglob("*") if path.is_file()}
    assert after == before
    assert (plan.lines, plan.raw_lines) == (forgotten.report.lines, forgotten.report.raw_lines)
    assert sorted(plan.files) == sorted([
        "members.csv", "others.csv", "packed.xlsx", "places.csv", "register.csv", "spares.csv",
        "hester_crane spares.csv",
    ])  # fmt: skip
    assert plan.places == ["Crane's shed", "Sallowfield Yard"]
    assert plan.names[0] == NAME
    assert plan.alone["Hester"] > 0  # rows that may mean her, or somebody else


def test_words_that_also_mean_her_are_removed_where_told(club):
    assert found_in(club.club.folder, ("ask hester",)) != set()
    forget(club.club, NAME, by="Registrar", also=["Hester"], now=WHEN)
    assert found_in(club.club.folder, ("hester",)) == set()
    assert club.rows("SELECT words, at_least FROM said_holding WHERE description = 'Ammeter'") == [
        (NOTICE, 4.0)
    ]


def test_who_asks_for_herself_is_not_named_as_the_one_who_decided(club):
    report = forget(club.club, NAME, by="hester crane", now=WHEN)
    assert club.rows("SELECT DISTINCT decided_by FROM forgotten") == [(report.pseudonym,)]
    assert found_in(club.club.folder) == set()


def test_what_she_decided_stays_decided(club):
    with club.club.writing() as con:
        con.execute("UPDATE decision SET decided_by = 'Hester Crane', note = 'my own, H.C.'")
    report = forget(club.club, NAME, by="Registrar", now=WHEN)
    rows = club.rows("SELECT DISTINCT decided_by, note FROM decision WHERE answer IS NOT NULL")
    assert rows == [(report.pseudonym, None)]


def test_a_build_that_was_set_stays_set_without_her_name(small):
    from partmuster.store.decisions import record_decision

    small.load(small.write("register.csv", HER_OTTER))
    with small.club.writing() as con:
        for number, (vehicle, assembly, note) in enumerate(SET):
            record_decision(
                con, topic="build", subject=f"{vehicle}|{assembly}", answer="Mk 2 early",
                decided_by="Registrar", decided_at=WHEN, decision_id=f"{number:012x}", note=note,
            )  # fmt: skip
    before = builds_set(small)
    report = forget(small.club, NAME, by="Registrar", now=WHEN)
    assert "hester" not in " ".join(map(str, small.rows("SELECT * FROM decision"))).casefold()
    assert builds_set(small) == before
    [(vehicle,)] = small.rows(
        "SELECT vehicle_id FROM vehicles_as_of(NULL, true) WHERE vehicle_id LIKE '%otter-9'"
    )
    assert (f"{vehicle}|hull",) in small.rows("SELECT subject FROM decision")
    notes = {note for (note,) in small.rows("SELECT note FROM decision")}
    assert notes == {f"{report.pseudonym} looked", None, "as the plate says"}


HER_OTTER = """Vehicle,Family,Mark,Owner
Hester Crane Otter 9,Otter,Mk 1,Hester Crane
Otter 2,Otter,Mk 2,Ivo Larch
"""
#: Vehicle, assembly, why.
SET = (("hester-crane-otter-9", "hull", "Hester Crane looked"),
       ("hester-crane-otter-9", "engine", None),
       ("otter-2", "hull", "as the plate says"))  # fmt: skip


def builds_set(small):
    """Return how many builds are set for vehicles that there are, by assembly."""
    return small.rows(
        "SELECT assembly, count(*) FROM builds_set_as_of(NULL, true) b "
        "WHERE vehicle_id IN (SELECT vehicle_id FROM vehicles_as_of(NULL, true)) "
        "GROUP BY 1 ORDER BY 1"
    )


def test_what_was_mended_and_told_of_her_goes_too(club):
    with club.club.writing() as con:
        con.execute(
            "INSERT INTO mended SELECT source_id, source_version, raw_number, 'phone', '0163', "
            "'0170 1', false, 's|phone|1' FROM raw_line WHERE words LIKE 'Hester Crane | A1%'"
        )
        con.execute(
            "INSERT INTO decision SELECT * REPLACE ('x' || decision_id AS decision_id, "
            "'layout' AS topic, 's||holder' AS subject, 'A1' AS answer) FROM decision LIMIT 1"
        )
    report = forget(club.club, NAME, by="Registrar", now=WHEN)
    assert club.rows("SELECT field, stood, put FROM mended") == [("phone", None, None)]
    [(answer,)] = club.rows("SELECT answer FROM decision WHERE topic = 'layout'")
    assert answer.startswith(report.pseudonym)  # A1 is her code


def test_pseudonyms_are_stable_and_differ(club, tmp_path):
    other = Club(shutil.copytree(club.club.folder, tmp_path / "other"))
    with club.club.writing() as con:
        con.execute("INSERT INTO setting VALUES ('pseudonym-salt', 'fixed')")
    with other.writing() as con:
        con.execute("INSERT INTO setting VALUES ('pseudonym-salt', 'fixed')")
    hers = forget(club.club, NAME, by="Registrar", now=WHEN).pseudonym
    assert forget(other, "HESTER CRANE", by="Registrar", now=WHEN).pseudonym == hers
    berts = forget(club.club, "Bert Oakes", by="Registrar", now=WHEN).pseudonym
    assert berts != hers
    assert found_in(club.club.folder, (*GONE, "bert oakes", "millbeck")) == set()
    assert {row[0] for row in club.rows("SELECT DISTINCT pseudonym FROM forgotten")} == {
        hers,
        berts,
    }


@pytest.mark.parametrize("name", ["Nobody Known", "", "  ", "-"])
def test_who_is_not_known_is_refused(lived, name):
    with pytest.raises(PartmusterError):
        plan_forgetting(lived.club, name)


def test_a_name_that_means_two_people_is_refused(small):
    small.write("members.csv", "Name,Known as\nAnn Lee,Annie\nAnna Lind,Annie\n")
    small.load()
    with pytest.raises(PartmusterError, match="Annie"):
        plan_forgetting(small.club, "Annie")


def test_names_with_accents_in_any_spelling_go(small):
    small.write("spares.csv", "What,Qty,Whose,Notes\nDynamo,1,Zoë Müller,\n"
                "Horn,1,Ivo Larch,ask zoe muller or ZOE\u0308 MU\u0308LLER\n")  # fmt: skip
    small.load()
    forget(small.club, "Zoë Müller", by="Registrar", now=WHEN)
    tables = lived_in.tables(small.club)
    values = unicodedata.normalize("NFKD", str(tables)).encode("ascii", "ignore").decode().lower()
    assert "said_holding" in values
    assert "zoe" not in values
    assert "muller" not in values


#: Each line: a program that is killed at one step of forgetting.
KILLED = """
import os, sys
from pathlib import Path
import partmuster.moving.forget as module
from partmuster.store import club as clubs, disk
from partmuster.store.archive import Archive
step, folder = sys.argv[1], Path(sys.argv[2])
def die(*_args, **_more):
    os._exit(9)
def after(function, times=1):
    left = [times]
    def run(*args, **more):
        result = function(*args, **more)
        left[0] -= 1
        if not left[0]:
            die()
        return result
    return run
if step == "in the copy":
    module.insert_rows = after(module.insert_rows, 5)
elif step == "before the swap":
    clubs.swap_in = die
elif step == "after the swap":
    clubs.swap_in = after(clubs.swap_in)
elif step == "first file removed":
    Archive.remove = after(Archive.remove)
elif step == "third file removed":
    Archive.remove = after(Archive.remove, 3)
module.forget(clubs.Club.open(folder), "Hester Crane", by="Registrar")
os._exit(0)
"""


@pytest.mark.parametrize(
    "step", ["in the copy", "before the swap", "after the swap", "first file removed",
             "third file removed"],
)  # fmt: skip
def test_killed_at_any_step_the_club_has_forgotten_or_has_not(lived, club, step):
    done = subprocess.run([sys.executable, "-c", KILLED, step, str(club.club.folder)], check=False)
    assert done.returncode == 9
    opened = Club.open(club.club.folder)
    if step in ("in the copy", "before the swap"):
        assert lived_in.tables(opened) == lived_in.tables(lived.club)
        hashes = [row for (row,) in lived.rows("SELECT content_hash FROM source_version")]
        assert opened.archive.check_all(hashes) == []
        forget(opened, NAME, by="Registrar", now=WHEN)
    assert found_in(opened.folder) == set()
    with opened.writing():
        pass
    assert sorted(path.name for path in opened.folder.iterdir()) == [
        "club.duckdb", "lock", "sources", "vocabulary",
    ]  # fmt: skip


def test_a_source_that_is_called_otherwise_now_is_told(lived):
    plan = plan_forgetting(lived.club, NAME)
    assert plan.sources == {"hester_crane spares.csv": f"{plan.pseudonym} spares.csv"}


def test_sheets_that_could_not_be_removed_are_told_and_removed_later(club, monkeypatch):
    from partmuster.store.archive import Archive
    from partmuster.store.errors import ReadOnlyClubError

    def refuse(_self, _content_hash):
        raise ReadOnlyClubError("this archive may not be written to")

    told = []
    monkeypatch.setattr(Archive, "remove", refuse)
    report = forget(Club(club.club.folder, tell=told.append), NAME, by="Registrar", now=WHEN)
    assert report.left == [f"sources/{one[:2]}/{one}" for one in report.contents]
    assert "asked to be removed" in told[0]
    monkeypatch.undo()
    assert found_in(Club.open(club.club.folder).folder) == set()


def test_other_files_that_name_her_are_told(club):
    (club.club.folder / "notes.txt").write_text("Hester Crane rang")
    (club.club.vocabulary / "names.txt").write_text("as Hester Crane calls it")
    report = forget(club.club, NAME, by="Registrar", now=WHEN)
    assert report.left == ["notes.txt"]
    words = (club.club.vocabulary / "names.txt").read_text()
    assert words == f"as {report.pseudonym} calls it"


def test_a_workbook_of_the_clubs_words_stays_a_workbook_and_other_text_keeps_its_letters(club):
    import openpyxl
    from openpyxl.comments import Comment

    words = club.club.vocabulary
    book = openpyxl.Workbook()
    book.active.append(["Part", "Also called"])
    book.active.append(["dynamo", "Hester Crane's gennie"])
    book.active["A2"].comment = Comment("says Hester Crane", "Hester Crane")
    book.properties.creator = "Hester Crane"
    book.save(words / "ours.xlsx")
    (words / "more.csv").write_bytes(
        "Part,Also called\r\nradiator,Kühler (Hester Crane)".encode("cp1252")
    )
    (words / "wide.csv").write_bytes("Part,Also called\nhorn,Hester Crane’s".encode("utf-16"))
    report = forget(club.club, NAME, by="Registrar", now=WHEN)
    assert report.left == []
    assert found_in(club.club.folder) == set()
    kept = openpyxl.load_workbook(words / "ours.xlsx").active
    assert kept["B2"].value == f"{report.pseudonym}'s gennie"
    assert kept["A2"].comment.text == f"says {report.pseudonym}"
    text = (words / "more.csv").read_bytes().decode("cp1252")
    assert text == f"Part,Also called\r\nradiator,Kühler ({report.pseudonym})"
    assert f"horn,{report.pseudonym}’s" in (words / "wide.csv").read_bytes().decode("utf-16")


@pytest.mark.parametrize("name", ["old.ods", "broken.xlsx", "Hester Crane.csv"])
def test_a_vocabulary_file_that_cannot_be_changed_stays_and_is_told(club, name):
    content = b"Hester Crane"
    (club.club.vocabulary / name).write_bytes(content)
    report = forget(club.club, NAME, by="Registrar", now=WHEN)
    assert report.left == [f"vocabulary/{name}"]
    assert (club.club.vocabulary / name).read_bytes() == content
    assert not list(club.club.vocabulary.glob("*.making"))
