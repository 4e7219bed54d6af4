"""What must hold of the reader of hardware words, and of the comparison, for any words."""

from __future__ import annotations

from fractions import Fraction

from hypothesis import given, settings
from hypothesis import strategies as st

from partmuster_trade.hardware import Specification, read_hardware, write_hardware
from partmuster_trade.hardware_fit import compare_hardware
from partmuster_trade.measures import Measure
from partmuster_trade.threads import all_series, all_threads

OF_TABLE = {table: name for name, one in all_series().items() for table in one.table}
THREADED = ("bolt", "setscrew", "stud", "nut", "union", "elbow", "plug", "grease nipple")
WITH_LENGTH = ("bolt", "setscrew", "stud")


@st.composite
def threaded(draw):
    """A bolt, nut or fitting of a published thread, with any of what may be said of it."""
    thread = draw(st.sampled_from(all_threads()))
    kind = draw(st.sampled_from(THREADED))
    series = OF_TABLE[thread.series]
    eighths = draw(st.integers(4, 64))
    length = None
    if kind in WITH_LENGTH:
        if series == "M":
            length = Measure(Fraction(int(thread.measure.value) + eighths), "mm")
        else:
            length = Measure(Fraction(eighths, 8), "in")
    bolted = kind in {"bolt", "setscrew"}
    return Specification(
        kind=kind,
        series=series,
        size=thread.measure,
        tpi=thread.tpi if series not in {"M", "BA"} and draw(st.booleans()) else None,
        pitch=Fraction(thread.pitch_mm) if series == "M" and draw(st.booleans()) else None,
        length=length,
        left_hand=draw(st.booleans()),
        grade=draw(st.sampled_from(["", "R", "S", "8.8", "10.9", "SAE 5", "high tensile"])),
        style=draw(st.sampled_from(["", "hexagon", "countersunk", "socket head"]))
        if bolted
        else "",
        drilled=draw(st.sampled_from([(), ("head",), ("shank",), ("head", "shank")])),
        material=draw(st.sampled_from(["", "brass", "stainless"])),
        finish=draw(st.sampled_from(["", "cadmium", "zinc"])),
        duty=draw(st.sampled_from(["", "steering", "brakes"])),
    )


@st.composite
def sized(draw):
    """A bearing or a seal by its sizes or number."""
    bore = draw(st.integers(4, 120))
    outside, width = bore + draw(st.integers(4, 90)), draw(st.integers(3, 40))
    sizes = tuple(Measure(Fraction(n), "mm") for n in (bore, outside, width))
    if draw(st.booleans()):
        material = draw(st.sampled_from(["", "nitrile", "viton", "leather"]))
        return Specification(kind="oil seal", sizes=sizes, material=material)
    number = draw(st.sampled_from(["", "6205", "30205", "LM11749/10", "RLS8"]))
    return Specification(
        kind="bearing",
        style=draw(st.sampled_from(["", "ball", "roller", "taper roller"])),
        number=number,
        sizes=() if number else sizes,
        closure=draw(st.sampled_from(["", "sealed both sides", "shielded both sides"])),
        clearance=draw(st.sampled_from(["", "C3", "C2"])),
    )


SPECIFICATIONS = st.one_of(threaded(), sized())
WORDS = st.one_of(
    st.text(max_size=40),
    st.text(alphabet="0123456789 ./-x\"'mMBSFUNCbolt,#", max_size=30),
    SPECIFICATIONS.map(write_hardware),
)


@settings(deadline=None)
@given(SPECIFICATIONS)
def test_what_is_written_is_read_as_the_same(spec):
    assert read_hardware(write_hardware(spec)) == spec


@settings(deadline=None)
@given(SPECIFICATIONS)
def test_capitals_and_blanks_change_nothing(spec):
    words = write_hardware(spec)
    assert read_hardware(words.upper()) == spec
    assert read_hardware(f"  {words.replace(' ', '  ')} ") == spec


@settings(deadline=None)
@given(WORDS, WORDS)
def test_a_verdict_has_a_reason_and_never_depends_on_the_direction(here, there):
    one, other = read_hardware(here), read_hardware(there)
    found, reverse = compare_hardware(one, other), compare_hardware(other, one)
    assert found.reason
    assert found.result == reverse.result
    assert found.cautions == tuple(dict.fromkeys(found.cautions))


@settings(deadline=None)
@given(SPECIFICATIONS, SPECIFICATIONS)
def test_another_form_of_thread_never_serves(one, other):
    if one.series and other.series and one.kind == other.kind:
        angles = {all_series()[spec.series].angle for spec in (one, other)}
        if len(angles) > 1:
            assert compare_hardware(one, other).result == "never"


@settings(deadline=None)
@given(SPECIFICATIONS, SPECIFICATIONS)
def test_duty_makes_no_verdict_better(one, other):
    order = ("same", "check", "unknown", "never")
    plain = compare_hardware(one, other).result
    assert order.index(compare_hardware(one, other, "steering").result) >= order.index(plain)
