"""What a publisher gets: one document for one audience, and never a connection."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any, Final

from partmuster.model import PartmusterError, Section, SectionColumn
from partmuster.reading.text import fold
from partmuster_schemas.columns import described
from partmuster_schemas.report import SECTIONS, ReportSection

from . import settling
from .audience import circle, columns_for, rows_for, seen_by
from .figures import figures
from .months import day_words
from .wording import in_words

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Mapping

    import polars as pl

    from partmuster_schemas.columns import Audience
    from partmuster_trade.vocabulary import Vocabulary

    from .audience import Circle
    from .report import Report

#: What stands in the head of a copy.
FOR_WHOM: Final[Mapping[str, str]] = {
    "registrar": "For the registrar: it holds names, words and places. Do not pass it on.",
    "members": "For members: holders by name, no addresses and no storage places.",
    "circulated": "To be passed round: codes and regions only. Ask the registrar who is meant.",
}
LAW: Final = "Local law and licensed practice decide what may be done, and by whom."
_WITHOUT: Final = (
    "Left out of what is offered: parts whose trade is restricted by law in many places (weapon "
    "parts, radioactive instruments, asbestos goods, vessels under pressure)."
)
_HEADINGS: Final = {
    "hand": "side", "value": "now", "lines_read": "read", "opens_into": "stands for",
    "distance_km": "km", "trace": "id",
}  # fmt: skip
_SHARES: Final = ("low", "high", "low_before", "high_before", "change", "probability")
_KINDS: Final = {"BOOLEAN": "yes-no", "DATE": "day", "VARCHAR": "text"}


def section_of(name: str, section: ReportSection, circle: Circle) -> Section:
    """Return a section with the columns that a circle may see."""
    about = described(section.model)
    columns = tuple(
        SectionColumn(
            one, _HEADINGS.get(one, one.replace("_", " ")), about[one]["doc"],
            _kind(name, one, about[one]["type"]),
        )
        for one in columns_for(section.model, circle)
    )  # fmt: skip
    there = {column.name for column in columns}
    chart = section.chart if set(section.chart) <= there else ()
    return Section(name, section.title, section.lead, section.if_empty, columns, chart)


def _kind(section: str, column: str, database_type: str) -> Any:
    if column == "trace":
        return "ids"
    if column in _SHARES and section != "figures":
        return "share"
    return _KINDS.get(database_type, "number")


def as_known(day: dt.date, known_now: bool) -> str:
    """Say of which day a document tells, and by whose knowledge."""
    known = "As is known today of" if known_now else "As the club's records stood on"
    return f"{known} {day_words(day)}"


def file_words(text: str) -> str:
    """Return words as a name of a file has them."""
    return re.sub(r"[^\w]+", "-", fold(text)).strip("-")


class View:
    """A document as one audience sees it: what every ``ClubView`` of the core shares.

    A document says its ``documented`` sections, gives their rows as the registrar sees them, and
    its title; what is left out of both is settled here and in ``audience``, and nowhere else.
    """

    documented: Mapping[str, ReportSection]

    def __init__(
        self, vocabulary: Vocabulary, circle: Circle, club: str, *, restricted_left_out: bool
    ) -> None:
        self.club = club
        self.audience: str = circle.audience
        self._circle = circle
        self._vocabulary = vocabulary
        self._without = (_WITHOUT,) if restricted_left_out else ()
        self._asked: dict[str, pl.DataFrame] = {}

    def sections(self) -> tuple[Section, ...]:
        """Return the sections that the audience may see."""
        return tuple(
            section_of(name, section, self._circle)
            for name, section in self.documented.items()
            if self._circle.may_see(section.audience)
        )

    def ask(self, section: str) -> pl.DataFrame:
        """Return what the audience may see of a section.

        Raises:
            PartmusterError: its document has no such section.
        """
        asked = self.documented.get(section)
        if asked is None or not self._circle.may_see(asked.audience):
            there = ", ".join(one.name for one in self.sections())
            raise PartmusterError(
                f"there is no section '{section}' for {self.audience}. There are: {there}."
            )
        if section not in self._asked:
            rows = seen_by(section, asked.model, self._rows(section), self._circle)
            self._asked[section] = in_words(rows, self._vocabulary)
        return self._asked[section]

    def _rows(self, section: str) -> pl.DataFrame:
        """Return the rows of a section as the registrar sees them, with part ids."""
        raise NotImplementedError

    def _head(self, *sentences: str) -> tuple[str, ...]:
        """Return the head of every copy: for whom, what it tells of, that the law decides."""
        return (FOR_WHOM[self.audience], *sentences, *self._without, LAW)


class MonthlyView(View):
    """The monthly report as one audience sees it: a ``ClubView``.

    ``with_restricted``: a circulated copy also offers parts whose trade is restricted by law in
    many places.
    """

    documented = SECTIONS

    def __init__(
        self,
        report: Report,
        audience: Audience,
        club: str,
        salt: str,
        *,
        with_restricted: bool = False,
    ) -> None:
        self._report = report
        without = audience == "circulated" and not with_restricted
        left_out = settling.restricted_parts(report.vocabulary) if without else frozenset()
        seen = circle(audience, report.now, salt, left_out)
        super().__init__(report.vocabulary, seen, club, restricted_left_out=without)

    @property
    def title(self) -> str:
        """What the document is."""
        return f"Monthly report, {self._report.month.words}"

    @property
    def file_name(self) -> str:
        """How its files are named."""
        known = "-known-now" if self._report.known_now else ""
        return f"{self._report.month}-{self.audience}{known}"

    @property
    def as_of(self) -> dt.date:
        """The last day of the month."""
        return self._report.month.last_day

    @property
    def head(self) -> tuple[str, ...]:
        """For whom it is, of which day, what it is compared with, and that the law decides."""
        then = day_words(self._report.month.before.last_day)
        known = as_known(self.as_of, self._report.known_now)
        if self._report.before is None:
            beside = f"Nothing was known on {then}, so nothing is compared."
        else:
            beside = f"Compared with {then}."
        return self._head(f"{known}. {beside}")

    def _rows(self, section: str) -> pl.DataFrame:
        report = self._report
        if section == "figures":
            seen = frozenset(one.name for one in self.sections())
            return figures(
                seen, self._seen_now, self._seen_before if report.before else None, report.prefix
            )
        if section == "cautions":
            return settling.cautions(report.vocabulary, self._parts_listed())
        return report.rows(section)

    def _seen_now(self, section: str) -> pl.DataFrame:
        return rows_for(section, self._report.rows(section), self._circle)

    def _seen_before(self, section: str) -> pl.DataFrame:
        return rows_for(section, self._report.rows_before(section), self._circle)

    def _parts_listed(self) -> set[str]:
        """Return the ids of all parts that this copy lists."""
        found: set[str] = set()
        for section in self.sections():
            if any(column.name == "part" for column in section.columns):
                rows = self._seen_now(section.name)
                found.update(rows.get_column("part").drop_nulls().unique())
        return found
