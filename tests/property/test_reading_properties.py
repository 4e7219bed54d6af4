"""What must hold of the readers for any text."""

from __future__ import annotations

import calendar
import datetime as dt

from hypothesis import assume, given
from hypothesis import strategies as st

from partmuster.reading.builds import (
    Clause,
    EffectivityReading,
    SerialInterval,
    read_build,
    read_effectivity,
)
from partmuster.reading.builds_in_words import effectivity_text
from partmuster.reading.conditions import read_condition
from partmuster.reading.dates import find_date, read_date
from partmuster.reading.numbers import (
    collated_number,
    normal_number,
    numbers_in,
    read_part_number,
    read_stock_number,
)
from partmuster.reading.presence import read_presence
from partmuster.reading.quantities import quantity_text, read_quantity
from partmuster.reading.sides import read_side
from partmuster.reading.text import fold, tokens

# Letters that quantity cells are made of, so that odd near-misses come up often.
CELL = st.one_of(
    st.text(max_size=30),
    st.text(alphabet="0123456789 .,/-+x()LRHlrhofnNOSus?~", max_size=16),
)


@given(st.text())
def test_fold_is_idempotent(text):
    assert fold(fold(text)) == fold(text)


@given(st.text())
def test_tokens_are_folded_and_not_empty(text):
    assert all(token and token == fold(token) for token in tokens(text))


@given(CELL)
def test_quantity_never_raises_and_is_a_range(text):
    got = read_quantity(text)
    assert got.text == text
    assert got.at_least >= 0
    assert got.at_most is None or got.at_least <= got.at_most
    if got.per_side:
        assert got.at_least == sum(low for _, low, _ in got.per_side)
    if got.problem:
        assert (got.at_least, got.at_most) == (0, None)


@given(st.integers(0, 9999), st.one_of(st.none(), st.integers(0, 9999)))
def test_quantity_reads_back(at_least, more):
    at_most = None if more is None else at_least + more
    got = read_quantity(quantity_text(at_least, at_most))
    assert (got.at_least, got.at_most, got.problem) == (at_least, at_most, None)


@given(st.dates(dt.date(1900, 1, 1), dt.date(2100, 12, 31)))
def test_iso_dates_read_back(day):
    for text in (day.isoformat(), f"{day.isoformat()} 00:00:00", f"{day:%d %B %Y}"):
        got = read_date(text)
        assert (got.date, got.until, got.problem) == (day, day, None)
    assert read_date(f"{day:%d/%m/%Y}", day_first=True).date == day
    found = find_date(f"list {day.isoformat()}.csv")
    assert found is not None
    assert found.date == day


@given(st.integers(1900, 2099), st.integers(1, 12), st.integers(1, 9))
def test_impossible_dates_are_refused(year, month, beyond):
    day = calendar.monthrange(year, month)[1] + beyond
    for text in (f"{year}-{month:02d}-{day:02d}", f"{day} {calendar.month_abbr[month]} {year}"):
        got = read_date(text)
        assert (got.problem, got.date) == ("impossible-date", None)
    assert read_date(f"{day}/{month}/{year}", day_first=True).date is None


@given(CELL)
def test_dates_never_raise(text):
    got = read_date(text)
    assert got.text == text
    assert got.problem is None or got.date is None
    find_date(text)


# No letter of these words makes a side: l, r, n, o, s, h, p, b and digits are left out.
@given(st.text(alphabet="acdegikmquvwxyzACDEGIKMQ ,.-()", max_size=30))
def test_no_side_without_a_side_word(text):
    got = read_side(text, "GB")
    assert got.side is None


@given(st.text(alphabet="LRHNOS/lrhnos .,&+-()?frtmudga", max_size=24))
def test_sides_never_raise(text):
    got = read_side(text)
    assert got.text == text
    assert not (got.side and got.ambiguous)


@given(st.text(max_size=40))
def test_normal_number_is_idempotent(text):
    assert normal_number(normal_number(text)) == normal_number(text)
    assert collated_number(collated_number(text)) == collated_number(text)
    assert collated_number(text) == collated_number(normal_number(text))


@given(CELL)
def test_numbers_never_raise(text):
    got = read_part_number(text)
    assert got.as_written == text
    assert got.problem is None or got.normal is None
    numbers_in(text)


@given(st.from_regex(r"[1-9]\d{3}-\d{2}-\d{3}-\d{4}", fullmatch=True).filter(str.isascii))
def test_stock_numbers_read_back(text):
    got = read_stock_number(text)
    assert got is not None
    assert got.valid
    assert got.normal == text.replace("-", "")


@given(st.text(max_size=40))
def test_words_never_raise(text):
    assert read_condition(text).text == text
    assert read_presence(text).text == text
    assert read_build(text).text == text
    got = read_effectivity(text)
    assert got.all or got.clauses or got.intervals or got.problem


MARKS = st.one_of(
    st.none(),
    st.tuples(st.integers(1, 12), st.sampled_from(["", "A", "B", "*"])).map(
        lambda pair: f"Mk {pair[0]}{pair[1]}"
    ),
)
CLAUSE = st.builds(
    Clause,
    st.sampled_from([None, "hull", "final-drive", "engine"]),
    MARKS,
    st.sampled_from([None, "early", "mid", "late"]),
).filter(lambda clause: clause.mark or clause.phase)
INTERVAL = st.builds(
    lambda series, first, length, prefix: SerialInterval(
        series, first, None if length is None else first + length, prefix
    ),
    st.sampled_from([None, "hull", "engine", "chassis"]),
    st.integers(100, 99999),
    st.one_of(st.none(), st.integers(0, 500)),
    st.sampled_from([None, "A", "KX"]),
)


@given(st.lists(CLAUSE, max_size=3, unique=True), st.lists(INTERVAL, max_size=2, unique=True))
def test_effectivity_reads_back(clauses, intervals):
    assume(clauses or intervals)
    said = EffectivityReading(
        text="", all=False, clauses=tuple(clauses), intervals=tuple(intervals)
    )
    got = read_effectivity(effectivity_text(said))
    assert (got.clauses, got.intervals, got.problem) == (said.clauses, said.intervals, None)


def marks_of(text, last=9):
    """Return the numbers of the marks for which an effectivity holds, as the answers count."""
    got = read_effectivity(text)
    assert (got.problem, got.doubt, got.intervals) == (None, None, ()), text
    holds = {None: int.__eq__, "onwards": int.__ge__, "up-to": int.__le__, "except": int.__ne__}
    told = [(holds[c.reach], int(c.mark.removeprefix("Mk ")), c.reach) for c in got.clauses]
    return {
        number for number in range(1, last + 1)
        if all(test(number, mark) for test, mark, reach in told if reach == "except")
        and (any(test(number, mark) for test, mark, reach in told if reach != "except")
             or all(reach == "except" for _, _, reach in told))
    }  # fmt: skip


NUMBER = st.integers(2, 8)
MK = st.sampled_from(["Mk ", "mk", "Mk. ", "MARK "])


@given(NUMBER, MK, st.sampled_from(["", "the "]))
def test_marks_are_told_by_every_way_to_say_from_and_to(number, mk, the):
    every, name = set(range(1, 10)), f"{the}{mk}{number}"
    earlier = set(range(1, number))
    for text in (f"before {name}", f"prior to {name}", f"earlier than {name}", f"pre {name}"):
        assert marks_of(text) == earlier, text
    for text in (f"after {name}", f"later than {name}", f"post {name}"):
        assert marks_of(text) == every - earlier - {number}, text
    for text in (f"from {name} on", f"from {name} onwards", f"{name} and above"):
        assert marks_of(text) == every - earlier, text
    for text in (f"up to {name}", f"up to and including {name}", f"{name} and earlier"):
        assert marks_of(text) == earlier | {number}, text


@given(
    st.lists(st.integers(1, 9), min_size=1, max_size=4, unique=True), MK,
    st.sampled_from(["except", "all but", "not", "all except for", "excluding", "not on"]),
    st.sampled_from([" and ", " & ", ", ", " or "]), st.booleans(),
)  # fmt: skip
def test_marks_left_out_are_left_out_all_together(numbers, mk, words, between, again):
    named = between.join(f"{mk if again or not at else ''}{n}" for at, n in enumerate(numbers))
    assert marks_of(f"{words} {named}") == set(range(1, 10)) - set(numbers)
