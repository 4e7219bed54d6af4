"""Great-circle distances against published figures; the macro and the function agree."""

from __future__ import annotations

from importlib import resources

import duckdb
import pytest

from partmuster.answers.places import EARTH_RADIUS_KM, great_circle_km

KM_PER_MILE = 1.609344  # international mile, exact by definition (1959)


@pytest.fixture(scope="module")
def con():
    sql = resources.files("partmuster_schemas").joinpath("sql/answers_1_items.sql").read_text()
    with duckdb.connect() as con:
        for statement in con.extract_statements(sql):
            if "great_circle_km" in statement.query:
                con.execute(statement)
        yield con


def in_sql(con, *points):
    return con.execute("SELECT great_circle_km(?, ?, ?, ?)", points).fetchone()[0]


# SOURCE-SEEN: PyPI pages of haversine 1.0.2 and 2.x, Lyon to Paris, R = 6371.0088 km.
LYON_PARIS = (45.7597, 4.8422, 48.8567, 2.3508), 392.2172595594006
# SOURCE-SEEN: geopy 2.5.0, docstring of distance.py, great circle from Newport to Cleveland in
# miles; its radius is 6371.009 km.
NEWPORT_CLEVELAND = (41.49008, -71.312796, 41.499498, -81.695391), 536.997990696 * KM_PER_MILE
# FROM-MEMORY: Rosetta Code, Haversine formula, Nashville to Los Angeles with R = 6372.8 km.
NASHVILLE_LOS_ANGELES = (36.12, -86.67, 33.94, -118.40), 2887.2599506
# FROM-MEMORY: Aviation Formulary (E. Williams), Los Angeles to New York, 0.623585 radians.
LOS_ANGELES_NEW_YORK = (33.95, -118.4, 40 + 38 / 60, -(73 + 47 / 60)), 0.623585


@pytest.mark.parametrize(
    ("published", "factor", "tolerance"),
    [
        (LYON_PARIS, 1, 1e-9),
        (NEWPORT_CLEVELAND, 6371.009 / EARTH_RADIUS_KM, 1e-6),
        (NASHVILLE_LOS_ANGELES, 6372.8 / EARTH_RADIUS_KM, 1e-6),
        (LOS_ANGELES_NEW_YORK, 1 / EARTH_RADIUS_KM, 1e-6),
    ],
)
def test_published_distances(con, published, factor, tolerance):
    points, expected = published
    for km in (great_circle_km(*points), in_sql(con, *points)):
        assert km * factor == pytest.approx(expected, abs=tolerance)


@pytest.mark.parametrize(
    "points",
    [(0, 0, 0, 180), (90, 0, -90, 0), (51.5, 0, 51.5, 0), (-41.32, 174.81, 40.96, -5.5),
     (10, 179.9, 10, -179.9)],
)  # fmt: skip
def test_macro_and_function_agree_also_at_the_far_side(con, points):
    assert in_sql(con, *points) == pytest.approx(great_circle_km(*points), abs=1e-9)


def test_a_place_without_coordinates_has_no_distance(con):
    assert in_sql(con, 1.0, 1.0, None, 1.0) is None
