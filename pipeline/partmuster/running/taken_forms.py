"""Forms under way, of whatever kind: whose they are, what they said, and what is told of it."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, Protocol

from partmuster.model import PartmusterError, Problem

if TYPE_CHECKING:
    from partmuster.forms.kinds import FilledForm

    from .report import FormReport


class Filled(Protocol):
    """What one row of a form says: where, and the words there."""

    @property
    def row(self) -> int: ...  # noqa: D102 - as in a sheet
    @property
    def cell(self) -> str: ...  # noqa: D102 - as above
    @property
    def put(self) -> str | None: ...  # noqa: D102 - as above


@dataclass(slots=True)
class TakenForm:
    """A form under way: what it says, and the report of it. What ``said`` holds is its kind's."""

    report: FormReport
    sheet: str = ""
    said: list[Any] = field(default_factory=list)

    def tell(self, answer: Filled, code: str, problem: str, what_to_do: str) -> None:
        """Report an answer that cannot be applied."""
        self.report.problems.append(
            Problem(code, problem, what_to_do, self.report.name, self.sheet, answer.row,
                    answer.cell, answer.put)
        )  # fmt: skip


def check_club(name: str, form: FilledForm, own: str | None) -> None:
    """Refuse another club's form.

    Raises:
        PartmusterError: it was made for another club.
    """
    if form.stamp.club != own:
        named = f" ({form.stamp.club_name})" if form.stamp.club_name else ""
        raise PartmusterError(
            f"{name}: this form was made for another club{named}. Nothing of it was taken: make "
            f"one here with partmuster {form.stamp.form} --workbook FILE.xlsx"
        )


def no_name(form: FilledForm) -> str:
    """Say that nobody's name stands on a form."""
    return f"nobody's name stands in {form.name_cell} of the sheet '{form.sheet}'"
