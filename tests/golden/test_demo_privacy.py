"""No copy of any form holds what its audience may not see: every private value is hunted for."""

from __future__ import annotations

import re
import zipfile

import pytest

import partmuster_plugins.publishers as built_in
from partmuster.answers.documents.months import read_month
from partmuster.answers.documents.report import Report
from partmuster.answers.documents.vehicle_file import VehicleFile
from partmuster.answers.documents.view import MonthlyView
from partmuster.answers.documents.yard_list import YardList
from partmuster.model import PartmusterError
from partmuster.store.club import Club
from partmuster_schemas import words as w
from partmuster_schemas.columns import AUDIENCES, described
from partmuster_schemas.said import MODELS

CLUB = "Vale of Ashmere Vehicle Club"
#: Shorter words stand in any text.
LEAST = 5
#: What a build is called stands in the words of many lists.
BUILD = re.compile(r"(?:\w+ )?Mk \d(?: (?:early|mid|late))?")


@pytest.fixture(scope="module")
def con(walked):
    assert walked.code == 0, walked.told
    with Club.open(walked.club).reading() as con:
        yield con


@pytest.fixture(scope="module")
def report(con, vocabulary):
    return Report(con, vocabulary, read_month("2026-10"))


def private_values(con, audience, vocabulary):
    """Return every text of the club that is classed for a closer circle than the audience's."""
    names = {name.name.casefold() for part in vocabulary.parts for name in part.names()}
    names |= {one.name.casefold() for one in vocabulary.assemblies()}
    names |= {word.replace("-", " ") for words in vars(w).values() if isinstance(words, tuple)
              for word in words}  # fmt: skip
    names |= {"stand-in", "unserviceable"}
    found, seen = set(), set()
    for kind, model in MODELS.items():
        for column, about in described(model).items():
            if about["type"] != "VARCHAR" or column.endswith(("_key", "_hash", "source_id")):
                continue
            rows = con.execute(f"SELECT DISTINCT {column} FROM said_{kind}").fetchall()
            values = {(f"{kind}.{column}", value.strip()) for (value,) in rows if value}
            if AUDIENCES.index(about["audience"]) >= AUDIENCES.index(audience):
                seen |= {value for _, value in values}  # told elsewhere, as a holder's name is
            else:
                found |= values
    return {
        (where, value)
        for where, value in found
        if len(value) >= LEAST
        and value.casefold() not in names
        and value not in seen
        and not value.isdecimal()
        and not BUILD.fullmatch(value)
    }


def told_in(text, values):
    """Return those of some private values that stand in a text, each with its column."""
    text = text.replace(CLUB, "")
    return [
        one
        for one in sorted(values)
        if re.search(rf"(?<!\w){re.escape(plain(one[1]))}(?!\w)", text)
    ]


def texts_of(path):
    """Return all that stands in a file, in whatever part of it, as plain text."""
    if path.suffix == ".xlsx":
        with zipfile.ZipFile(path) as archive:
            parts = [archive.read(name).decode("utf-8", "replace") for name in archive.namelist()]
        return "\n".join([*archive.namelist(), *parts])
    if path.suffix == ".pdf":
        import pypdfium2

        document = pypdfium2.PdfDocument(path)
        pages = [page.get_textpage().get_text_bounded() for page in document]
        return "\n".join([*pages, str(document.get_metadata_dict())])
    return path.read_text(encoding="utf-8")


def plain(text):
    for sign, word in (("&amp;", "&"), ("&#39;", "'"), ("&quot;", '"'), ("&lt;", "<")):
        text = text.replace(sign, word)
    return re.sub(r"\s+", " ", text)


PUBLISHERS = built_in.partmuster_publishers()


@pytest.mark.parametrize("publisher", PUBLISHERS, ids=lambda one: one.name)
@pytest.mark.parametrize("audience", ["members", "circulated"])
def test_no_private_value_is_in_any_output(con, vocabulary, report, tmp_path, publisher, audience):
    view = MonthlyView(report, audience, CLUB, "salt")
    files = publisher.publish(view, tmp_path)
    text = plain("\n".join(texts_of(path) for path in files) + " ".join(map(str, files)))
    assert audience in text.casefold()
    # the names of families and marks are in what is offered; a vehicle's own name is not
    values = private_values(con, audience, vocabulary)
    assert len(values) > 100
    assert told_in(text, values) == []


@pytest.mark.parametrize("publisher", PUBLISHERS, ids=lambda one: one.name)
def test_the_registrars_copy_has_what_the_others_have_not(report, tmp_path, publisher):
    """The hunt can find: the same forms hold these values where they may."""
    view = MonthlyView(report, "registrar", CLUB, "salt")
    text = plain("\n".join(texts_of(path) for path in publisher.publish(view, tmp_path)))
    for value in ("Wilfred Tansley", "North Shed", "Otter 1", "Gizmo with a brass ear"):
        assert value in text, value


def test_a_circulated_copy_offers_nothing_restricted_unless_told(report):
    view = MonthlyView(report, "circulated", "Club", "salt")
    told = MonthlyView(report, "circulated", "Club", "salt", with_restricted=True)
    parts, all_parts = (set(one.ask("offered").get_column("part")) for one in (view, told))
    assert "brake lining" in all_parts - parts
    assert any("restricted by law" in line for line in view.head)
    assert not any("restricted by law" in line for line in told.head)
    cautions = told.ask("cautions").filter("restricted")
    assert "brake lining" in ", ".join(cautions.get_column("parts"))


def test_a_holder_alone_in_a_region_is_not_told_by_it(report):
    """Tobias Okafor is the only one in the South, Dale Brandt the only one overseas."""
    members = MonthlyView(report, "members", "Club", "salt").ask("offered")
    assert {"South", "Overseas"} <= set(members.get_column("region"))
    view = MonthlyView(report, "circulated", "Club", "salt").ask("offered")
    assert {"South", "Overseas"} & set(view.get_column("region")) == set()
    assert "East" in view.get_column("region")
    assert "holder" not in view.columns
    assert "place" not in members.columns
    assert view.get_column("part").null_count() == 0


def test_codes_are_the_lists_own_or_made_and_stay(report):
    views = [MonthlyView(report, "circulated", "Club", salt).ask("offered") for salt in "aab"]
    codes = [set(view.get_column("code")) for view in views]
    assert codes[0] == codes[1]
    assert {"AV02", "AV04"} <= codes[0]


@pytest.mark.parametrize("document", [VehicleFile, YardList])
def test_what_names_a_vehicle_is_not_for_circulation(con, vocabulary, report, document):
    who, where = ("circulated", "Club", report.month.last_day), (con, vocabulary)
    asked = (*where, "Otter 1", *who) if document is VehicleFile else (*where, *who)
    more = {} if document is VehicleFile else {"vehicle": "Otter 1"}
    with pytest.raises(PartmusterError, match="not for circulation"):
        document(*asked, **more)


@pytest.mark.parametrize("publisher", PUBLISHERS, ids=lambda one: one.name)
def test_members_get_no_place_in_a_vehicle_file_or_yard_list(
    con, vocabulary, report, tmp_path, publisher
):
    day = report.month.last_day
    views = [
        VehicleFile(con, vocabulary, "Otter 2", "members", "Club", day),
        YardList(con, vocabulary, "members", "Club", day, vehicle="Otter 1"),
    ]
    values = private_values(con, "members", vocabulary)
    for view in views:
        text = plain("\n".join(texts_of(one) for one in publisher.publish(view, tmp_path)))
        assert view.title in text
        assert told_in(text, values) == []
