"""What the numbers in words for hardware are: thread, pitch, length, bore x outside x width."""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction
from typing import TYPE_CHECKING, Final

from partmuster_trade.hardware_reading import numbers_with_places
from partmuster_trade.measures import Measure, plain_number
from partmuster_trade.threads import all_series, thread_name, threads_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from partmuster_trade.hardware_phrases import HardwareKind
    from partmuster_trade.hardware_reading import Item
    from partmuster_trade.hardware_tokens import Token

_FEWEST_SIZES: Final = 2  # bore, outside
_MOST_SIZES: Final = 3  # and width
_FEWEST_TPI: Final = 4
_LONGEST_IN: Final = 12  # a bare whole number beyond is no length in inches
_LONGEST_BA_IN: Final = 3
_NUMBERED: Final = ("UNC", "UNF", "UNEF")
_SMALLEST_BORE_MM: Final = 3
_SMALLEST_OUTSIDE_MM: Final = 6  # 1.5 x 2.25 x .375 can only be inches
_LONG: Final = frozenset({"long", "lg"})


@dataclass(slots=True)
class Found:
    """What the numbers were found to be; ``ends`` is the place where the thread's words end."""

    size: Measure | None = None
    tpi: Fraction | None = None
    pitch: Fraction | None = None
    length: Measure | None = None
    sizes: tuple[Measure, ...] = ()
    tube: Measure | None = None
    across_flats: Measure | None = None
    problems: list[str] = field(default_factory=list)
    ends: int = -1


def read_numbers(items: Sequence[Item], kind: HardwareKind | None, series: str) -> Found:
    """Return what the numbers are, and mark their items as used."""
    found = Found()
    for item in items:
        if item.use in {"tube", "across flats"}:
            measure = _measure(item.tokens[0], metric=False)
            if measure is None:
                item.use = ""
            elif item.use == "tube":
                found.tube = measure
            else:
                found.across_flats = measure
    measured = kind.measured_by if kind else ("thread",)
    if "sizes" in measured and _read_sizes(items, found):
        return found
    if set(measured) & {"thread", "size"}:
        _read_thread(items, series, found)
        if kind is None or kind.needs_length:
            _read_length(items, series, found)
    return found


def _read_sizes(items: Sequence[Item], found: Found) -> bool:
    """Read ``40 x 62 x 10``; the bore must be smaller than the outside."""
    chain: list[int] = []
    for place, _ in numbers_with_places(items):
        linked = chain and place == chain[-1] + 2 and items[place - 1].tokens[0].kind == "x"
        if linked or not chain:
            chain.append(place)
        elif len(chain) == 1:
            chain = [place]
        else:
            break
    numbers = [items[place].tokens[0] for place in chain]
    if not _FEWEST_SIZES <= len(numbers) <= _MOST_SIZES:
        return False
    unit = _unit_of(numbers)
    if unit is None or any(number.unit in {"M", "#", "tpi"} for number in numbers):
        return False
    if numbers[0].value >= numbers[1].value:
        return False
    found.sizes = tuple(Measure(n.value, "in" if unit == "in" else "mm") for n in numbers)
    for place in chain:
        items[place].use = "sizes"
    return True


def _unit_of(numbers: Sequence[Token]) -> str | None:
    """Return the one unit of sizes that belong together; None where it cannot be told."""
    units = {number.unit for number in numbers if number.unit}
    fractions = any("/" in number.text for number in numbers)
    if len(units) > 1 or (fractions and units - {"in"}):
        return None
    if units or fractions:
        return "in" if fractions else units.pop()
    if numbers[1].value < _SMALLEST_OUTSIDE_MM:
        return "in"
    return "mm" if all(number.value >= _SMALLEST_BORE_MM for number in numbers) else None


def _read_thread(items: Sequence[Item], series: str, found: Found) -> None:
    numbers = list(numbers_with_places(items))
    for place, number in numbers:
        if number.unit == "M":
            _read_metric(items, place, found)
            return
    for place, number in numbers:
        if number.unit == "tpi":
            found.tpi = number.value
            items[place].use = "tpi"
    at = _place_of_size(items, series, found)
    if at is None:
        return
    behind = [place for place in (at + 2,) if _linked(items, place) in {"-", "x"}]
    for place in behind:
        said = items[place].number
        closes = place + 1 < len(items) and items[place + 1].says("series")
        dashed = _linked(items, place) == "-"
        if said and said.whole and said.value >= _FEWEST_TPI and (dashed or closes):
            found.tpi = said.value
            items[place].use = "tpi"
    number = items[at].tokens[0]
    found.size = _size(number, series, found)
    if found.size is None and not found.problems:
        return
    items[at].use = "size"
    if found.size is not None:
        _check_tpi(series, found)
    found.ends = max(
        (
            p
            for p, item in enumerate(items)
            if item.use in {"size", "tpi"} or item.says("series") or item.says("fit_class")
        ),
        default=at,
    )


def _place_of_size(items: Sequence[Item], series: str, found: Found) -> int | None:
    """Return where the size stands: before the series (and a pitch), after it, or first of all."""
    places = [place for place, _ in numbers_with_places(items)]
    for named in (place for place, item in enumerate(items) if series and item.says("series")):
        if named - 1 in places:
            last = items[named - 1].number
            pitched = last is not None and last.whole and last.value >= _FEWEST_TPI
            if not _linked(items, named - 1) or named - 3 not in places:
                return named - 1
            return (
                named - 3 if pitched else _diameter_of(items, named - 3, named - 1, series, found)
            )
        if named + 1 in places and not any(place < named for place in places):
            return named + 1
    return places[0] if places else None


def _diameter_of(
    items: Sequence[Item], first: int, last: int, series: str, found: Found
) -> int | None:
    """Return which of ``3/8 x 1 1/4 BSF`` or ``1 1/4 x 3/8 BSF`` is the diameter: the smaller.

    Where the length is first, it may be the diameter of a short one: then nobody can tell.
    """
    one, other = items[first].tokens[0], items[last].tokens[0]
    if one.value <= other.value:
        return first
    sized = threads_of(series, Measure(one.value, "in"))
    if sized and other.value * 2 >= one.value and series not in {"BA", "M"}:
        names = [Measure(token.value, "in").figure for token in (one, other)]
        found.problems.append(f"the diameter may be {names[0]} or {names[1]}")
        return None
    return last


def _linked(items: Sequence[Item], place: int) -> str:
    """Return the connector before a number, where there is another number before that."""
    if not 1 < place < len(items) or items[place].number is None:
        return ""
    kind = items[place - 1].tokens[0].kind
    return kind if kind in {"x", "-"} else ""


def _size(number: Token, series: str, found: Found) -> Measure | None:
    """Return a thread's size with its unit; None where that cannot be told."""
    value, marked = number.value, number.unit
    if series == "BA":
        return Measure(value, "BA") if value.denominator == 1 and marked != "mm" else None
    if marked in {"#", "mm"}:
        return Measure(value, "#" if marked == "#" else "mm")
    in_inches = Measure(value, "in")
    if _may_be_a_count(number, series):
        whole, part = plain_number(Fraction(value // 1)), Measure(value % 1, "in").figure
        found.problems.append(f"{in_inches.figure} may be {whole} of {part}")
        return None
    if marked == "in" or "/" in number.text or value < 1:
        return in_inches
    if series not in _NUMBERED and (series or not found.tpi):
        return in_inches if series else None
    options = _numbered(value, series, found.tpi)
    if len(options) > 1:
        said = plain_number(value)
        found.problems.append(f"{said} may be {' or '.join(str(one) for one in options)}")
    return options[0] if len(options) == 1 else None


def _may_be_a_count(number: Token, series: str) -> bool:
    """Whether ``2 3/8`` is more likely two of 3/8: there is no such size, but one of the part."""
    if "/" not in number.text or number.value < 1 or not series or not all_series()[series].table:
        return False
    whole, part = Measure(number.value, "in"), Measure(number.value % 1, "in")
    return not threads_of(series, whole) and bool(threads_of(series, part))


def _numbered(value: Fraction, series: str, tpi: Fraction | None) -> list[Measure]:
    """Return the sizes that a bare number may be in the Unified series: inches, or a number."""
    return [
        size
        for size in (Measure(value, "in"), Measure(value, "#"))
        if any(
            tpi in {None, thread.tpi}
            for one in ((series,) if series else _NUMBERED)
            for thread in threads_of(one, size)
        )
    ]


def _check_tpi(series: str, found: Found) -> None:
    if not series or found.size is None or found.tpi is None:
        return
    published = {thread.tpi for thread in threads_of(series, found.size)}
    if published and found.tpi not in published:
        name = thread_name(series, found.size)
        right = plain_number(published.pop(), fractions=True)
        said = plain_number(found.tpi, fractions=True)
        found.problems.append(f"{name} has {right} threads to the inch, not {said}")


def _read_metric(items: Sequence[Item], place: int, found: Found) -> None:
    diameter = items[place].tokens[0].value
    found.size = Measure(diameter, "mm")
    items[place].use = "size"
    found.ends = place
    number = items[place + 2].number if _linked(items, place + 2) else None
    if number is None or number.unit not in {"", "mm"}:
        return
    published = {Fraction(one.pitch_mm) for one in threads_of("M", found.size)}
    if number.value in published or number.value <= diameter / 4:
        found.pitch = number.value
        items[place + 2].use = "pitch"
        found.ends = place + 2
        if published and number.value not in published:
            name = thread_name("M", found.size)
            found.problems.append(f"{name} has no pitch of {plain_number(number.value)} mm")


def _read_length(items: Sequence[Item], series: str, found: Found) -> None:
    if found.size is None:
        return
    lengths = {
        place: measure
        for place, number in numbers_with_places(items)
        if (measure := _length(items, place, number, series, found)) is not None
    }
    if len(lengths) == 1:
        ((place, found.length),) = lengths.items()
        items[place].use = "length"


def _length(
    items: Sequence[Item], place: int, number: Token, series: str, found: Found
) -> Measure | None:
    """Return a number as the length, if it can be nothing else."""
    size = found.size
    if size is None or number.unit in {"M", "#", "tpi"}:
        return None
    if number.unit:
        return Measure(number.value, "in" if number.unit == "in" else "mm")
    if "/" in number.text:
        return Measure(number.value, "in")
    directly = place == found.ends + 2 and items[place - 1].tokens[0].kind == "x"
    directly |= place + 1 < len(items) and items[place + 1].text in _LONG
    if size.unit == "mm":
        return Measure(number.value, "mm") if directly and number.value * 2 >= size.value else None
    longest = _LONGEST_BA_IN if series == "BA" else _LONGEST_IN
    if number.value <= longest and (directly or number.value.denominator > 1):
        return Measure(number.value, "in")
    return None


def _measure(number: Token, *, metric: bool) -> Measure | None:
    if number.unit in {"in", "mm"}:
        return Measure(number.value, "in" if number.unit == "in" else "mm")
    if "/" in number.text or (number.value < 1 and not metric):
        return Measure(number.value, "in")
    return Measure(number.value, "mm") if metric else None
