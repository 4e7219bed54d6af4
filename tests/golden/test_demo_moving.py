"""The demo club leaves as an export and is made anew of it: the same answers for any day."""

from __future__ import annotations

import datetime as dt
import functools
import shutil

import pytest

from partmuster.answers.donors import donors
from partmuster.answers.holders import holders
from partmuster.answers.lacks import lacks
from partmuster.moving.export import export_club
from partmuster.moving.rebuild import rebuild_club
from partmuster.runner import import_files
from partmuster.running.words import identifier_of
from partmuster.store.club import Club
from tests.golden.conftest import IMPORTED
from tests.long import some

#: Between the sheets' own days, on the day of import, and later.
DAYS = (dt.date(2026, 3, 31), IMPORTED.date(), dt.date(2027, 1, 31))
MOMENTS = [(day, known_now) for day in DAYS for known_now in (False, True)]
#: In parts lists, in hand-written sheets and by number.
ASKED = ("mudguard lh front", "dynamo", "water pump", "track links")


@pytest.fixture(scope="module")
def exported(demo, tmp_path_factory):
    folder = tmp_path_factory.mktemp("out") / "export"
    export_club(demo[0], folder)
    return folder


@pytest.fixture(scope="module", params=["parquet", "csv"])
def rebuilt(request, exported, tmp_path_factory):
    folder = tmp_path_factory.mktemp("rebuilt")
    source = shutil.copytree(exported, folder / "export")
    if request.param == "csv":
        shutil.rmtree(source / "parquet")
    rebuild_club(source, folder / "club")
    return Club.open(folder / "club")


def answers(club, vocabulary, day, known_now):
    """Return the rows of all answers for a day."""
    asked = {"as_of": day, "known_now": known_now}
    with club.reading() as con:
        identify = identifier_of(con, vocabulary)
        lacking = lacks(con, vocabulary, include_all=True, **asked)
        return {
            "lacks": lacking.rows.rows(),
            "completeness": lacking.completeness.rows(),
            "donors": donors(con, vocabulary, include_all=True, **asked).rows(),
            **{
                words: holders(con, vocabulary, words, identify=identify, **asked).rows()
                for words in ASKED
            },
        }


@pytest.fixture(scope="module")
def answered(demo, vocabulary):
    """The demo club's own answers for a day, worked out once."""
    return functools.cache(lambda day, known_now: answers(demo[0], vocabulary, day, known_now))


def test_each_question_has_an_answer(answered):
    """Equal answers of nothing would prove nothing."""
    assert all(answered(DAYS[2], known_now=False).values())
    assert answered(DAYS[0], known_now=True)["lacks"]
    assert not answered(DAYS[0], known_now=False)["lacks"]


@pytest.mark.parametrize(("day", "known_now"), some(MOMENTS, 3))
def test_the_rebuilt_demo_gives_the_same_answers(answered, vocabulary, rebuilt, day, known_now):
    assert answers(rebuilt, vocabulary, day, known_now) == answered(day, known_now=known_now)


def test_the_demos_sheets_change_nothing_in_the_rebuilt_club(
    demo, demo_sheets, rebuilt, vocabulary
):
    later = IMPORTED + dt.timedelta(days=9)
    report = import_files(rebuilt, demo[1], [demo_sheets], vocabulary, now=later)
    assert {file.outcome for file in report.files} == {"unchanged"}
