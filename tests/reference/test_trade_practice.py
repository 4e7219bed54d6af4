"""Facts of the trade, in an invented family, that the answers must get right.

Each is common practice, no source: joining went from riveting to welding within one production run;
an early and a late plate of one name, cut differently, do not interchange; a longer early side
piece and a shorter late one cannot be exchanged; a cover changes with the heavier rollers beneath
it; early lower bodies were finished with late upper ones at the works; service and depot changes
show by rougher welds than the works'; a made-up plate of two sheets with baffles is a stand-in; a
suitable truck engine lets a runner run.
"""

from __future__ import annotations

import json

import pytest
from click.testing import CliRunner

from partmuster.cli import main

SHEETS = {
    "register.csv": """Vehicle,Family,Mark,Phase,Owner,What it is,Aim,Superstructure
Badger 1,Badger,Mk 1,early,Ann Cole,under restoration,runner,Mk 1 late
Badger 2,Badger,Mk 1,early,Bo Fenn,under restoration,full original,
""",
    "badger parts list.csv": """Badger parts list,,,
Assembly,Description,Qty,Used on
Hull,Hull rear plate,1,Mk 1 early
,Hull rear plate,1,Mk 1 late
,"Hull side plate, LH",1,Mk 1 early
,"Hull side plate, LH",1,Mk 1 late
,Engine deck,1,Mk 1 early
,Engine deck,1,Mk 1 late
Running gear,Return roller,6,
Engine,Engine,1,
,Magneto,1,
""",
    "badger hulls.csv": """Badger hulls: how to tell them,,,
Hull,,,
Feature,Mk 1 early,Mk 1 late,Can be changed later
Sides riveted,always,never,
Sides welded,never,always,
Glacis in two pieces,always,rarely,
Stowage rail at the rear,never,usual,yes
""",
    "from the works.csv": """Family,Assembly,Mark,Phase,Left the works with
Badger,Superstructure,Mk 1,late,hull Mk 1 early
""",
    "seen.csv": """Vehicle,Assembly,What was seen,Seen,By,Date,Remarks
Badger 1,Hull,Sides riveted,yes,Ann Cole,2 May 2026,
Badger 1,Hull,Glacis in two pieces,yes,Ann Cole,2 May 2026,
Badger 2,Hull,Sides riveted,yes,Bo Fenn,2 May 2026,
Badger 2,Hull,Glacis in two pieces,yes,Bo Fenn,2 May 2026,
Badger 2,Hull,Stowage rail at the rear,yes,Bo Fenn,2 May 2026,"rough welds, a depot change"
""",
    "fits.csv": """From part,From build,To part,To build,Grade,Work,With,Why,Who says,Date
Hull rear plate,Badger Mk 1 late,Hull rear plate,Badger Mk 1 early,never,,,cut differently below,Ann Cole,2026-04-01
Hull rear plate,Badger Mk 1 early,Hull rear plate,Badger Mk 1 late,never,,,cut differently below,Ann Cole,2026-04-01
"Hull side plate, LH",Badger Mk 1 late,"Hull side plate, LH",Badger Mk 1 early,never,,,the late one is shorter,Ann Cole,2026-04-01
Engine deck,Badger Mk 1 late,Engine deck,Badger Mk 1 early,only as a set,,Return roller,the angle changed with the heavier rollers beneath it,Ann Cole,2026-04-01
""",  # noqa: E501 - one row a line
    "survey.csv": """Vehicle,Part,State,Remarks,Date
Badger 1,Engine,stand-in,a truck engine that runs well,2026-05-02
Badger 2,Engine,missing,,2026-05-02
Badger 2,Hull rear plate,stand-in,made up of two 3 mm sheets with baffles,2026-05-02
Badger 2,"Hull side plate, LH",missing,,2026-05-02
Badger 2,Engine deck,missing,,2026-05-02
""",
    "spares.csv": """Part,Qty,For,Available,Holder,Date
Hull rear plate,1,Badger Mk 1 late,for sale,Cy Marsh,2026-05-01
"Hull side plate, LH",1,Badger Mk 1 late,for sale,Cy Marsh,2026-05-01
Engine deck,1,Badger Mk 1 late,for sale,Cy Marsh,2026-05-01
Return roller,6,Badger Mk 1 late,for sale,Di Holt,2026-05-01
""",
}


@pytest.fixture(scope="module")
def club(tmp_path_factory):
    """A club of these sheets."""
    folder = tmp_path_factory.mktemp("badgers")
    sheets = folder / "sheets"
    sheets.mkdir()
    for name, text in SHEETS.items():
        (sheets / name).write_text(text, encoding="utf-8")
    for command in (["init", "--name", "Badger Club", "--country", "GB"], ["import", str(sheets)]):
        result = CliRunner().invoke(main, ["--club", str(folder / "club"), *command])
        assert result.exit_code == 0, result.output
    return folder / "club"


def ask(club, *command):
    """Return the rows of an answer."""
    result = CliRunner().invoke(main, ["--club", str(club), *command, "--format", "json"])
    assert result.exit_code == 0, result.output
    return json.loads(result.stdout)


def told(club, vehicle, assembly):
    """Return the build of an assembly that an answer puts first, with where it comes from."""
    row = next(row for row in ask(club, "builds", vehicle) if row["assembly"] == assembly)
    return row["build"], row["standing"]


def offers(club, vehicle, part):
    """Return what fits of a part on a vehicle, by who offers it."""
    rows = ask(club, "donors", vehicle, part)
    return {row["source"]: (row["fit"], row["reason"]) for row in rows}


def test_joining_tells_the_builds_of_one_run_apart(club):
    assert told(club, "Badger 1", "hull") == ("Mk 1 early", "told by features")


def test_a_depot_change_with_rough_welds_is_not_taken_for_a_feature_of_the_later_build(club):
    assert told(club, "Badger 2", "hull") == ("Mk 1 early", "told by features")


def test_an_early_lower_body_finished_with_a_late_upper_one_is_a_hybrid_from_the_works(club):
    shown = CliRunner().invoke(main, ["--club", str(club), "builds", "Badger 1"])
    assert "hybrid from the works" in shown.stdout.lower()


@pytest.mark.parametrize(
    ("part", "why"),
    [("hull rear plate", "cut differently"), ("hull side plate lh", "the late one is shorter")],
)
def test_plates_of_one_name_that_do_not_interchange_are_refused_with_the_reason(club, part, why):
    fit, reason = offers(club, "Badger 2", part)["Cy Marsh"]
    assert fit == "never"
    assert why in reason


def test_a_cover_that_changed_with_the_rollers_beneath_goes_only_with_them(club):
    (row,) = ask(club, "donors", "Badger 2", "engine deck")
    assert row["fit"] == "only-as-a-set"
    assert "roller" in row["companions"].lower()
    assert "Di Holt" in row["companions"]  # who has the others


def test_a_made_up_plate_is_a_stand_in_and_the_plate_is_still_wanted(club):
    states = {row["part"]: row["state"] for row in ask(club, "lacks", "Badger 2")}
    assert states["hull-rear-plate"] == "stand-in"


def test_a_truck_engine_lets_a_runner_run_and_closes_no_want_for_an_original(club):
    runner = {row["part"]: row["state"] for row in ask(club, "lacks", "Badger 1")}
    original = {row["part"]: row["state"] for row in ask(club, "lacks", "Badger 2")}
    assert "engine" not in runner
    assert "magneto" not in runner
    assert original["engine"] == "missing"
