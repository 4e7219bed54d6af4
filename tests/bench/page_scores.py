"""How well the rows read from a page agree with those that are true."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, TypeAlias

from rapidfuzz import fuzz, process
from rapidfuzz.distance import Levenshtein

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

Cells: TypeAlias = "Sequence[str]"

#: A row that is read is one of the true ones if at least so alike, in hundredths.
_LEAST_ALIKE = 50
_USABLE_ALIKE = 90
#: A row with so many cells filled says that there is a part.
_A_PART = 3


@dataclass
class Score:
    """Sums over pages."""

    rows: int = 0
    cells: int = 0
    cells_right: int = 0
    rows_right: int = 0
    letters: int = 0
    letters_wrong: int = 0
    in_columns: int = 0
    invented: int = 0
    usable: int = 0
    numbers_right: int = 0
    wrong_flagged: int = 0
    right_flagged: int = 0
    right_mended: int = 0
    headings: int = 0
    pages: int = 0
    wrong: list[str] = field(default_factory=list)

    def __add__(self, other: Score) -> Score:
        return Score(
            **{
                name: getattr(self, name) + getattr(other, name)
                for name in self.__dataclass_fields__
            }
        )

    @property
    def numbers_wrong(self) -> int:
        return self.rows - self.numbers_right

    def share(self, name: str, of: str = "rows") -> float:
        """Return a sum in hundredths of another."""
        whole = getattr(self, of)
        return 100 * getattr(self, name) / whole if whole else 0.0


def score(
    truth: Sequence[Cells],
    read: Sequence[Cells],
    names: Sequence[str],
    doubted: set[tuple[int, int]] = frozenset(),  # type: ignore[assignment]
    no_rows: Sequence[str] = (),
    mended: set[tuple[int, int]] = frozenset(),  # type: ignore[assignment]
) -> Score:
    """Return how true rows were read; ``names`` of their columns tell number and quantity.

    ``no_rows``: titles and headings of the page, which are no invented rows.
    """
    columns = _columns(truth, read)
    rows = _matched(truth, read)
    told = Score(rows=len(truth), pages=1)
    for at, want in enumerate(truth):
        row = rows.get(at)
        cells = read[row] if row is not None else []
        got = [_cell(cells, column) for column in columns]
        told.cells += len(want)
        right = [_plain(a) == _plain(b) for a, b in zip(want, got, strict=True)]
        told.cells_right += sum(right)
        told.rows_right += all(right)
        told.letters += sum(map(len, want))
        told.letters_wrong += sum(
            Levenshtein.distance(a, b) for a, b in zip(want, got, strict=True)
        )
        elsewhere = [cell for n, cell in enumerate(cells) if n not in columns]
        told.in_columns += row is not None and not any(elsewhere) and (
            [bool(cell) for cell in got] == [bool(cell) for cell in want]
        )  # fmt: skip
        if not all(right):
            told.wrong.append(f"{' | '.join(want)}  ->  {' | '.join(got)}")
        if "part_no" in names:
            number = columns[list(names).index("part_no")]
            said, is_read = (dict(zip(names, cells, strict=True)) for cells in (want, got))
            _score_number(told, said, is_read, flagged=(row, number) in doubted)
            told.right_mended += is_read["part_no"] == said["part_no"] and (row, number) in mended
    matched = set(rows.values())
    told.invented = sum(
        n not in matched and sum(map(bool, cells)) >= _A_PART and not _is_one(cells, no_rows)
        for n, cells in enumerate(read)
    )
    return told


def _score_number(
    told: Score, want: Mapping[str, str], got: Mapping[str, str], *, flagged: bool
) -> None:
    right = got["part_no"] == want["part_no"]
    told.numbers_right += right
    told.right_flagged += right and flagged
    told.wrong_flagged += not right and flagged
    told.usable += (
        right
        and got["qty"] == want["qty"]
        and fuzz.ratio(got["description"], want["description"]) >= _USABLE_ALIKE
    )


def _is_one(cells: Cells, of: Sequence[str]) -> bool:
    words = " ".join(filter(None, cells))
    return any(fuzz.ratio(words, one) >= _LEAST_ALIKE for one in of)


def _plain(cell: str) -> str:
    """Return a cell without spaces, of which print has as many as it likes."""
    return "".join(cell.split())


def _cell(cells: Cells, column: int | None) -> str:
    return cells[column] if column is not None and column < len(cells) else ""


def _matched(truth: Sequence[Cells], read: Sequence[Cells]) -> dict[int, int]:
    """Return which row was read for each true one: the most alike first, one to one."""
    alike = process.cdist(
        [" ".join(filter(None, row)) for row in truth],
        [" ".join(filter(None, row)) for row in read],
        scorer=fuzz.ratio,
    )
    pairs = sorted(
        ((float(alike[a, b]), -abs(a - b), a, b) for a in range(len(truth))
         for b in range(len(read)) if alike[a, b] >= _LEAST_ALIKE), reverse=True,
    )  # fmt: skip
    rows: dict[int, int] = {}
    taken: set[int] = set()
    for *_, a, b in pairs:
        if a not in rows and b not in taken:
            rows[a] = b
            taken.add(b)
    return rows


def _columns(truth: Sequence[Cells], read: Sequence[Cells]) -> list[int | None]:
    """Return which column that was read is each true one, by what stands in it."""
    wide, found = len(truth[0]), max(map(len, read), default=0)
    if wide == found:
        return list(range(wide))
    rows = _matched(truth, read)
    columns: list[int | None] = []
    for column in range(wide):
        alike = [
            sum(fuzz.ratio(truth[a][column], _cell(read[b], n)) for a, b in rows.items())
            for n in range(found)
        ]
        columns.append(alike.index(max(alike)) if alike else None)
    return columns
