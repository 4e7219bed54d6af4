"""How far it is from one place to another."""

from __future__ import annotations

import math
from typing import Final

#: Mean radius R1 of the GRS 80 ellipsoid, in kilometres (FROM-MEMORY, Moritz 2000); also the
#: radius behind the published example that ``tests/reference/test_distance.py`` checks.
EARTH_RADIUS_KM: Final = 6371.0088


def great_circle_km(north_1: float, east_1: float, north_2: float, east_2: float) -> float:
    """Return the great-circle distance in kilometres of two points in degrees (haversine).

    The answers use the SQL macro of the same name; a test holds the two equal.
    """
    half_north = math.radians(north_2 - north_1) / 2
    half_east = math.radians(east_2 - east_1) / 2
    across = math.cos(math.radians(north_1)) * math.cos(math.radians(north_2))
    chord = math.sin(half_north) ** 2 + across * math.sin(half_east) ** 2
    return 2 * EARTH_RADIUS_KM * math.asin(min(1.0, math.sqrt(chord)))
