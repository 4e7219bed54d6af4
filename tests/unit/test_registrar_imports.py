"""Imports as a registrar meets them: copies in one folder, files that change or go, many files."""

from __future__ import annotations

import pytest

from partmuster.model import PartmusterError

PARTS = ("Dynamo", "Horn", "Radiator", "Silencer", "Magneto", "Water pump", "Fan cowl", "Idler")


def stock(*more, parts=PARTS, holder="Zed Yew"):
    rows = ["What,Qty,Whose", *(f"{part},1,{holder}" for part in (*parts, *more))]
    return "\n".join(rows) + "\n"


def outcomes(report):
    return {file.name: file.outcome for file in report.files}


def test_two_files_of_one_import_that_are_mostly_alike_are_asked_about(small):
    small.write("zed.csv", stock())
    small.write("zed new.csv", stock("Fan belt"))
    report = small.load()
    assert sorted(outcomes(report).values()) == ["asks", "new"]
    assert report.failed
    (asked,) = (file for file in report.files if file.outcome == "asks")
    (new,) = (file for file in report.files if file.outcome == "new")
    assert f"--replaces '{new.name}'" in asked.message
    assert small.load(asked.name, replaces=new.name, later=1).files[0].outcome == "new version"


def test_a_partial_version_is_confirmed_by_saying_that_it_is_complete(small):
    small.write("zed.csv", stock())
    small.load()
    small.write("zed.csv", stock(parts=PARTS[:2]))
    assert outcomes(small.load(later=1)) == {"zed.csv": "partial"}
    (file,) = small.load(later=2).files
    assert (file.outcome, "looks partial" in file.message) == ("unchanged", True)
    (file,) = small.load(later=3, complete=True).files
    assert (file.outcome, file.lines_ended) == ("new version", 6)
    (file,) = small.load(later=4, complete=True).files
    assert (file.outcome, file.message) == ("unchanged", "")


def test_an_import_that_waits_for_a_word_says_so_by_its_exit_code(small):
    small.write("zed.csv", stock())
    assert not small.load().failed
    small.write("zed.csv", stock(parts=PARTS[:2]))
    assert small.load(later=1).failed
    again = small.load(later=2)  # nobody has said yet that it is complete
    assert again.failed
    assert "looks partial" in again.files[0].message
    assert not small.load(later=3, complete=True).failed
    assert not small.load(later=4).failed


def test_a_source_of_its_own_cannot_replace_another(small):
    small.write("zed.csv", stock())
    small.write("cy.csv", stock(parts=("Tail lamp", "Ammeter"), holder="Cy Clay"))
    small.load()
    (file,) = small.load("cy.csv", replaces="zed.csv").files
    assert file.outcome == "failed"
    assert "cy.csv" in file.message
    assert "zed.csv" in file.message


def test_what_is_to_be_replaced_must_be_there_though_the_content_is_known(small):
    small.write("zed.csv", stock())
    small.load()
    (file,) = small.load("zed.csv", replaces="nowhere.csv").files
    assert (file.outcome, "no source 'nowhere.csv'" in file.message) == ("failed", True)


class Meddling:
    """An importer during whose reading something happens to the file."""

    name, version = "meddling", "1"

    def __init__(self, importer, happen):
        self.importer, self.happen = importer, happen

    def sniff(self, source):
        return self.importer.sniff(source)

    def read(self, source):
        yield from self.importer.read(source)
        if source.name == "zed.csv":
            self.happen(source.path)


@pytest.mark.parametrize(
    ("happen", "told"),
    [
        (lambda path: path.unlink(), "went away"),
        (lambda path: path.write_text(stock("Fan belt")), "changed"),
    ],
)
def test_a_file_that_goes_or_changes_while_it_is_read_fails_alone(small, happen, told):
    small.write("zed.csv", stock())
    small.write("other.csv", "What,Qty,Whose\nTail lamp,1,Cy Clay\n")
    small.host.importers[:] = [Meddling(one, happen) for one in small.host.importers]
    report = small.load()
    assert outcomes(report) == {"other.csv": "new", "zed.csv": "failed"}
    assert told in report.files[1].message
    assert small.rows("SELECT description FROM holding") == [("Tail lamp",)]
    hashes = {found for (found,) in small.rows("SELECT content_hash FROM source_version")}
    assert small.club.archive.check_all(hashes) == []


def test_names_may_have_spaces_and_umlauts(small):
    small.write("Mein Ordner ü/größe 1.csv", stock())
    report = small.load()
    assert outcomes(report) == {"Mein Ordner ü/größe 1.csv": "new"}
    assert small.rows("SELECT DISTINCT file FROM line_address") == [("Mein Ordner ü/größe 1.csv",)]


def test_a_folder_within_the_clubs_folder_is_imported_and_the_club_is_not(small):
    small.write("zed.csv", stock())
    small.load()
    papers = small.club.folder / "papers"
    papers.mkdir()
    (papers / "cy.csv").write_text("What,Qty,Whose\nTail lamp,1,Cy Clay\n")
    assert outcomes(small.load(small.club.folder)) == {"papers/cy.csv": "new"}
    with pytest.raises(PartmusterError, match="no file"):
        small.load(small.club.folder / "sources")
