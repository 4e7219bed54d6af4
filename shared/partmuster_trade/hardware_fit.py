"""Whether one piece of standard hardware serves for another: by specification, not by vehicle.

Same pitch is not same thread: forms of 55 and 60 degrees are never interchangeable, though UNC and
BSW share a pitch at most sizes. Size is not duty: what differs beside the size is named.
"""

from __future__ import annotations

import functools
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING, Final, Literal

from partmuster_trade.hardware_phrases import cautions_of, hardware_kinds
from partmuster_trade.measures import Measure, plain_number
from partmuster_trade.tables import bundled_rows
from partmuster_trade.threads import all_series, pitch_words, series_with, thread_name, threads_of

if TYPE_CHECKING:
    from collections.abc import Iterator

    from partmuster_trade.hardware import Specification
    from partmuster_trade.hardware_phrases import HardwareKind

Result = Literal["same", "check", "never", "unknown"]

_WIDTH: Final = ("bore", "outside", "width")
#: What makes the duty of a size: column, what it is without words, whether silence of one counts.
_DUTIES: Final = (
    ("grade", "", True), ("drilled", "", True), ("style", "", True), ("material", "", True),
    ("closure", "open", True), ("clearance", "CN", True), ("gender", "", True),
    ("fit_class", "", False), ("finish", "", False),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Verdict:
    """Whether it serves, and why; ``cautions`` are ids of the table of cautions.

    ``same``: the same specification. ``check``: the same size, with differences of duty.
    ``never``: another thread or size. ``unknown``: what is not stated is named.
    """

    result: Result
    reason: str
    cautions: tuple[str, ...] = ()


def compare_hardware(wanted: Specification, offered: Specification, duty: str = "") -> Verdict:
    """Return whether what is offered serves for what is wanted.

    ``duty``: steering, brakes or lifting, where it serves there; then size alone is never enough.
    """
    duty = duty or wanted.duty or offered.duty
    cautions = _cautions(wanted, offered, duty)
    never = list(_never(wanted, offered))
    if never:
        return Verdict("never", "; ".join(never), cautions)
    missing = list(_missing(wanted, offered))
    differences = list(_differences(wanted, offered))
    fastener = any(_kind(spec) and _kind(spec).fastener for spec in (wanted, offered))  # type: ignore[union-attr]
    if duty and fastener and not (wanted.grade and wanted.grade == offered.grade):
        missing.append(_grade_needed(wanted, offered, duty))
        differences = [one for one in differences if not one.startswith("grade")]
    if missing:
        check = f"; check duty: {'; '.join(differences)}" if differences else ""
        return Verdict("unknown", "; ".join(missing) + check, cautions)
    if differences:
        return Verdict("check", f"same size, check duty: {'; '.join(differences)}", cautions)
    graded = f"; {duty}: check duty" if duty else ""
    return Verdict("same", f"same specification{graded}", cautions)


def _kind(spec: Specification) -> HardwareKind | None:
    return hardware_kinds().get(spec.kind)


def _cautions(wanted: Specification, offered: Specification, duty: str) -> tuple[str, ...]:
    found = list(cautions_of("duty", duty)) if duty else []
    for spec in (wanted, offered):
        found += cautions_of("material", spec.material) if spec.material else ()
        found += cautions_of("finish", spec.finish) if spec.finish else ()
    return tuple(dict.fromkeys(found))


# What is never the same


def _never(wanted: Specification, offered: Specification) -> Iterator[str]:
    one, other = _kind(wanted), _kind(offered)
    if one and other and one.group != other.group:
        yield f"{_a(other.kind)} is not {_a(one.kind)}"
        return
    if wanted.problems or offered.problems:
        return  # what contradicts itself proves nothing
    if wanted.series and offered.series:
        yield from _other_thread(wanted, offered)
    elif (reason := _other_pitch(wanted, offered)) and _same_size(wanted, offered):
        yield reason
    if wanted.series == offered.series or not (wanted.series and offered.series):
        yield from _other_size(wanted, offered)
    if wanted.left_hand != offered.left_hand:
        said = ("left-hand", "right-hand")
        this, that = said if offered.left_hand else said[::-1]
        yield f"a {this} thread does not go in place of a {that} one"
    yield from _other_bearing(wanted, offered)
    if wanted.tube and offered.tube and not wanted.tube.same(offered.tube):
        yield f"for {offered.tube} pipe, wanted for {wanted.tube} pipe"
    if wanted.gender and offered.gender and wanted.gender != offered.gender:
        yield f"{offered.gender}, wanted {wanted.gender}"
    if (
        wanted.kind == "circlip"
        and wanted.style
        and offered.style
        and wanted.style != offered.style
    ):
        yield f"{offered.style} circlip, wanted {wanted.style}"


def _other_thread(wanted: Specification, offered: Specification) -> Iterator[str]:
    """Yield why two named threads differ: angle of the form, then pitch."""
    if wanted.series == offered.series:
        if reason := _other_pitch(wanted, offered):
            yield reason
        return
    if {wanted.series, offered.series} == {"BSP", "BSPT"}:
        yield from _other_size(wanted, offered)
        return
    names = [thread_name(spec.series, spec.size) for spec in (offered, wanted)]
    angles = sorted({all_series()[spec.series].angle for spec in (wanted, offered)})
    forms = (
        f"{angles[0].normalize():f} and {angles[1].normalize():f} degree forms "
        "are never interchangeable"
        if len(angles) > 1
        else "they are different threads"
    )
    pitches = [_pitch(spec) for spec in (offered, wanted)]
    if pitches[0] and pitches[0] == pitches[1]:
        yield (
            f"{names[0]} is not {names[1]}: same pitch is not same thread "
            f"({pitches[0]} in both); {forms}"
        )
    elif all(pitches):
        yield f"{names[0]} has {pitches[0]}, {names[1]} {pitches[1]}; {forms}"
    else:
        yield f"{names[0]} is not {names[1]}; {forms}"


def _pitch(spec: Specification) -> str:
    """Return the pitch of a thread in words, stated or from the tables."""
    if spec.tpi or spec.pitch:
        return pitch_words(spec.tpi, spec.pitch)
    found = threads_of(spec.series, spec.size) if spec.series and spec.size else ()
    if not found:
        return ""
    if spec.series in {"M", "BA"}:
        return pitch_words(None, Fraction(found[0].pitch_mm))
    return pitch_words(found[0].tpi, None)


def _other_pitch(wanted: Specification, offered: Specification) -> str:
    """Return why pitches that are stated, or given by the tables, differ."""
    if wanted.pitch and offered.pitch:
        if wanted.pitch == offered.pitch:
            return ""
        return (
            f"{plain_number(offered.pitch)} mm pitch, wanted {plain_number(wanted.pitch)} mm pitch"
        )
    here, there = (spec.tpi or _tpi(spec) for spec in (wanted, offered))
    if not here or not there or here == there or wanted.series == offered.series != "":
        return ""
    return f"{pitch_words(there, None)}, wanted {pitch_words(here, None)}"


def _tpi(spec: Specification) -> Fraction | None:
    if not spec.series or not spec.size or spec.series in {"M", "BA"}:
        return None
    found = threads_of(spec.series, spec.size)
    return found[0].tpi if found else None


def _same_size(wanted: Specification, offered: Specification) -> bool:
    return bool(wanted.size and offered.size and wanted.size.same(offered.size))


def _other_size(wanted: Specification, offered: Specification) -> Iterator[str]:
    if wanted.size and offered.size and not wanted.size.same(offered.size):
        here, there = (thread_name(s.series, s.size) for s in (wanted, offered))
        yield f"{there} is not {here}"
    telling = 3 if wanted.kind == "bearing" else 2
    if wanted.kind == "washer":
        telling = 1
    for name, size, other in zip(_WIDTH[:telling], wanted.sizes, offered.sizes, strict=False):
        if not size.same(other):
            yield f"{name} {other}, wanted {size}"


def _other_bearing(wanted: Specification, offered: Specification) -> Iterator[str]:
    here, there = _bearing_sizes(wanted), _bearing_sizes(offered)
    told = wanted.sizes and offered.sizes  # compared already
    if here and there and not told and not all(map(Measure.same, here, there)):
        names = [spec.number or _sizes_words(spec.sizes) for spec in (offered, wanted)]
        yield (
            f"{names[0]} is not {names[1]}: {_sizes_words(there)} against {_sizes_words(here)} "
            "(bore, outside, width)"
        )


@functools.cache
def _bearings() -> dict[str, tuple[Measure, ...]]:
    return {
        row["number"]: tuple(Measure(Fraction(row[name]), "mm") for name in _WIDTH)
        for row in bundled_rows("bearings.csv")
    }


def _bearing_sizes(spec: Specification) -> tuple[Measure, ...]:
    return spec.sizes or _bearings().get(spec.number, ())


def _sizes_words(sizes: tuple[Measure, ...]) -> str:
    return " x ".join(str(size) for size in sizes)


# What is not stated


def _missing(wanted: Specification, offered: Specification) -> Iterator[str]:
    for whose, spec in (("what is wanted", wanted), ("what is offered", offered)):
        if not spec.kind and not spec.series:
            words = " ".join(spec.unread)
            yield f"{whose} is not understood: '{words}'" if words else f"{whose}: nothing said"
            continue
        yield from (f"{whose}: {problem}" for problem in spec.problems)
        if not spec.kind and not spec.problems:
            yield f"{whose}: what it is not stated"
    for spec, whose in ((wanted, "of what is wanted"), (offered, "of what is offered")):
        if (spec.kind or spec.series) and not spec.problems:
            kind = _kind(spec) or _kind(wanted) or _kind(offered)
            yield from (f"{what} {whose}" for what in _unstated(spec, kind))
    if len(wanted.sizes) != len(offered.sizes) and wanted.sizes and offered.sizes:
        yield "width not stated of both"
    yield from _unsure_pitch(wanted, offered, conventional=False)
    if wanted.number and offered.number and wanted.number != offered.number:
        yield f"nobody has said whether {offered.number} is the size of {wanted.number}"
    elif (wanted.number or offered.number) and wanted.number != offered.number:
        here, there = _bearing_sizes(wanted), _bearing_sizes(offered)
        if (wanted.sizes or offered.sizes) and not (here and there):
            yield f"the size of {wanted.number or offered.number} is not known"


def _unstated(spec: Specification, kind: HardwareKind | None) -> Iterator[str]:
    measured = kind.measured_by if kind else ("thread",)
    if measured == ("thread",):
        if not spec.series:
            yield f"thread not stated{_may_be(spec)}"
        if spec.size is None:
            yield "size not stated"
    elif measured == ("tube",):
        if spec.tube is None:
            yield "size of the pipe not stated"
    elif not (spec.size or spec.sizes or spec.number):
        yield "number or size not stated" if "number" in measured else "size not stated"
    if kind and kind.needs_length and spec.length is None:
        yield "length not stated"


def _may_be(spec: Specification) -> str:
    """Return which threads a size with a pitch may be, in words."""
    if spec.size is None or spec.tpi is None:
        return ""
    names = ", ".join(series_with(spec.size, spec.tpi))
    return (
        f" ({spec.size.figure} with {pitch_words(spec.tpi, None)} may be {names})" if names else ""
    )


def _unsure_pitch(
    wanted: Specification, offered: Specification, *, conventional: bool
) -> Iterator[str]:
    """Yield that one metric size says its pitch and the other none, which means the coarse one."""
    if wanted.series != "M" or offered.series != "M" or not _same_size(wanted, offered):
        return
    stated = wanted.pitch or offered.pitch
    if stated is None or (wanted.pitch and offered.pitch) or wanted.size is None:
        return
    published = threads_of("M", wanted.size)
    coarse = Fraction(published[0].pitch_mm) if published else None
    if (coarse == stated) == conventional:
        name = thread_name("M", wanted.size)
        means = f": {name} alone means a pitch of {plain_number(coarse)} mm" if coarse else ""
        yield f"pitch not stated of both{means}"


def _grade_needed(wanted: Specification, offered: Specification, duty: str) -> str:
    silent = [
        whose
        for whose, spec in (("what is wanted", wanted), ("what is offered", offered))
        if not spec.grade
    ]
    said = (
        f"grade not stated of {' and '.join(silent)}"
        if silent
        else f"grade: {offered.grade}, wanted {wanted.grade}"
    )
    return f"{duty}: never on size alone, {said}: check duty, ask"


# What is of another duty


def _differences(wanted: Specification, offered: Specification) -> Iterator[str]:
    one, other = _kind(wanted), _kind(offered)
    if one and other and one is not other:
        yield one.threaded_to or other.threaded_to or f"{_a(other.kind)}, wanted {_a(one.kind)}"
    if {wanted.series, offered.series} == {"BSP", "BSPT"}:
        yield "parallel and taper thread of one form and pitch"
    yield from _unsure_pitch(wanted, offered, conventional=True)
    yield from _other_duty(wanted, offered)
    yield from _other_width(wanted, offered)
    if bool(wanted.number) != bool(offered.number) and (wanted.sizes or offered.sizes):
        yield f"size of {wanted.number or offered.number} taken from a table"
    words = [" ".join(spec.unread) for spec in (wanted, offered)]
    if words[0] != words[1]:
        yield f"not understood: {', '.join(repr(text) for text in words if text)}"


def _other_duty(wanted: Specification, offered: Specification) -> Iterator[str]:
    if wanted.length and offered.length and not wanted.length.same(offered.length):
        yield f"length: {offered.length}, wanted {wanted.length}"
    for column, plain, silence in _DUTIES:
        here, there = (_said(spec, column, plain) for spec in (wanted, offered))
        if here != there and (silence or (here and there)):
            if not here:
                yield f"{column}: {there}, none stated of what is wanted"
            else:
                yield f"{column}: {there or 'not stated'}, wanted {here}"


def _other_width(wanted: Specification, offered: Specification) -> Iterator[str]:
    pairs = [
        *zip(_WIDTH, wanted.sizes, offered.sizes, strict=False),
        ("across flats", wanted.across_flats, offered.across_flats),
    ]
    for name, size, other in pairs:
        if size and other and not size.same(other):
            yield f"{name}: {other}, wanted {size}"


def _said(spec: Specification, column: str, plain: str) -> str:
    """Return what is said of a column; what is meant where nothing is said counts as silence."""
    value = getattr(spec, column)
    text = " and ".join(value) if isinstance(value, tuple) else str(value)
    kind = _kind(spec)
    if kind and column in {"style", "material"}:
        plain = kind.plain_style if column == "style" else kind.plain_material
    return "" if text == plain else text


def _a(kind: str) -> str:
    return f"an {kind}" if kind[0] in "aeioO" else f"a {kind}"
