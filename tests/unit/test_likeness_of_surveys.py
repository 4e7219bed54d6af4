"""Two surveys that say the same of two vehicles are two surveys; of one vehicle they are asked."""

from __future__ import annotations

ROWS = "".join(
    f"{part},{state}\n"
    for part, state in [
        ("Dynamo", "fitted"), ("Horn", "missing"), ("Radiator", "fitted"), ("Bonnet", "fitted"),
        ("Silencer", "missing"), ("Battery", "missing"), ("Windscreen", "fitted"),
    ]
)  # fmt: skip
REGISTER = "Vehicle,Family,Mark\nOtter 3,Otter,Mk 1\nOtter 4,Otter,Mk 1\n"


def survey(vehicle):
    return f"Survey of {vehicle},\nPart,State\n{ROWS}"


def outcomes(report):
    return {file.name: file.outcome for file in report.files}


def test_surveys_of_two_vehicles_in_one_import_are_both_taken(small):
    small.write("register.csv", REGISTER)
    small.write("third.csv", survey("Otter 3"))
    small.write("fourth.csv", survey("Otter 4"))
    report = small.load()
    assert outcomes(report) == {"fourth.csv": "new", "register.csv": "new", "third.csv": "new"}
    assert small.rows("SELECT vehicle, count(*) FROM survey GROUP BY ALL ORDER BY 1") == [
        ("Otter 3", 7), ("Otter 4", 7)]  # fmt: skip


def test_a_survey_of_another_vehicle_is_no_newer_version_of_a_source(small):
    small.write("register.csv", REGISTER)
    small.write("third.csv", survey("Otter 3"))
    small.load()
    small.write("fourth.csv", survey("Otter 4"))
    assert outcomes(small.load("fourth.csv", later=1)) == {"fourth.csv": "new"}


def test_the_same_survey_under_another_name_is_asked_about(small):
    small.write("register.csv", REGISTER)
    small.write("third.csv", survey("Otter 3"))
    small.load()
    small.write("again.csv", survey("Otter 3") + "Glove box,fitted\n")
    assert outcomes(small.load("again.csv", later=1)) == {"again.csv": "asks"}
