"""What is wrong with a file of trade words, said so that a registrar can mend it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing to mend: where it stands, what is wrong and what to do.

    `row` counts as a spreadsheet does, the heading being row 1; 0 means the file as a whole.
    `column` is empty where no single column is at fault, `sheet` where the file has no sheets.
    """

    file: str
    row: int
    column: str
    code: str
    message: str
    sheet: str = ""

    def __str__(self) -> str:
        place = self.file
        if self.sheet:
            place += f", sheet {self.sheet}"
        if self.row:
            place += f", row {self.row}"
        if self.column:
            place += f", column {self.column}"
        return f"{place}: {self.message} [{self.code}]"


class VocabularyError(ValueError):
    """A vocabulary that cannot be used; carries every problem found, not only the first."""

    def __init__(self, problems: Sequence[Problem]) -> None:
        self.problems: tuple[Problem, ...] = tuple(problems)
        super().__init__("\n".join(str(problem) for problem in self.problems))
