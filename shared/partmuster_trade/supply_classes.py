"""Federal supply classes of vehicle parts, and the country codes of stock numbers."""

from __future__ import annotations

import functools
from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING

from partmuster_trade.tables import bundled_rows

if TYPE_CHECKING:
    from collections.abc import Mapping


@dataclass(frozen=True, slots=True)
class SupplyClass:
    """A four-digit class; `code` 2530 lies in `group` 25. Titles are as published."""

    code: str
    group: str
    group_title: str
    title: str
    source: str
    note: str


@dataclass(frozen=True, slots=True)
class CountryCode:
    """The two digits after the class in a stock number: the country that gave the number."""

    code: str
    country: str
    source: str


@functools.cache
def supply_classes() -> Mapping[str, SupplyClass]:
    """Return all classes by their four digits."""
    return MappingProxyType(
        {
            row["class"]: SupplyClass(
                row["class"],
                row["group"],
                row["group_title"],
                row["title"],
                row["source"],
                row["note"],
            )
            for row in bundled_rows("supply_classes.csv")
        }
    )


@functools.cache
def country_codes() -> Mapping[str, CountryCode]:
    """Return the country codes by their two digits; a code not listed is unknown, not wrong."""
    return MappingProxyType(
        {row["code"]: CountryCode(**row) for row in bundled_rows("country_codes.csv")}
    )


def title(code: str) -> str | None:
    """Return the title of a class, or None for a class not listed."""
    found = supply_classes().get(code)
    return found.title if found else None


def group(code: str) -> str | None:
    """Return the title of the group that a class lies in, or None for a class not listed."""
    found = supply_classes().get(code)
    return found.group_title if found else None


def country(code: str) -> str | None:
    """Return the country of a stock number's country code, or None if it is not listed."""
    found = country_codes().get(code)
    return found.country if found else None
