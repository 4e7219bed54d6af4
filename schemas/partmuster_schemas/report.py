"""What stands in a report: its sections, their columns, and who may see them.

One pandera model a section, in the order of its columns; ``about`` says what a column means and
for whom it is. ``SECTIONS`` names them in the order in which they are read. What a circulated copy
leaves out or replaces row by row is in ``partmuster.answers.documents.audience``.
"""

from __future__ import annotations

from dataclasses import dataclass

import pandera.polars as pa
import polars as pl

from . import words as w
from .answers import CONDITIONS, CORRECTNESS, LACKING, STANDINGS, WHERE_FROM, Answer
from .columns import Audience, about

#: What can happen to a holding between two days.
MOVES = ("came in", "went out", "moved", "more", "fewer", "condition changed")
#: How a want stands at the end of a month.
WANT_STATES = ("new", "open", "found")
#: What is new of a match between a want and an offer.
MATCH_NEWS = ("newly wanted", "newly offered", "both new")
#: What a line waits for.
WAITS_FOR = ("decision", "mending")


class Figure(Answer):
    """The month in figures."""

    subject: pl.String = about("what the figure is about", "circulated", nullable=False)
    figure: pl.String = about("what is counted", "circulated", nullable=False)
    value: pl.Float64 = about("at the end of the month, or during it", "circulated",
                               nullable=False)  # fmt: skip
    before: pl.Float64 = about("the same for the month before; empty where nothing was known",
                                "circulated")  # fmt: skip
    change: pl.Float64 = about("by how much it changed", "circulated")
    trace: pl.String = about("id of the figure", "circulated", nullable=False)


class HolderSum(Answer):
    """What each holder has, in sums."""

    holder: pl.String = about("who has it", "members")
    code: pl.String = about("the holder's code in circulated copies", "members")
    region: pl.String = about("region of the holder", "members")
    lines: pl.Int64 = about("lines of the holder's lists", "members", nullable=False)
    identified: pl.Int64 = about("of these, lines whose part is known", "members", nullable=False)
    pieces: pl.Float64 = about("how many pieces there surely are of these", "members",
                                nullable=False)  # fmt: skip
    offered: pl.Int64 = about("lines offered, for sale or swap", "members", nullable=False)
    not_said: pl.Int64 = about("lines of which nobody says whether they are offered", "members",
                                nullable=False)  # fmt: skip
    unsighted: pl.Int64 = about("lines that nobody has sighted for a year", "members",
                                 nullable=False)  # fmt: skip
    trace: pl.String = about("id of the figure", "members", nullable=False)


class Held(Answer):
    """A loose part that somebody has."""

    holder: pl.String = about("who has it", "members")
    code: pl.String = about("the holder's code", "members")
    part: pl.String = about("the part; empty where nobody has identified it", "members")
    hand: pl.String = about("left or right", "members", isin=w.HANDS)
    position: pl.String = about("position, or size of hardware", "members")
    part_number: pl.String = about("part number as written", "members")
    quantity: pl.Float64 = about("how many there surely are", "members")
    condition: pl.String = about("condition, or unserviceable", "members", isin=CONDITIONS)
    availability: pl.String = about("offered, swap, kept, promised or unknown", "members")
    builds: pl.String = about("builds it is for, as said")
    place: pl.String = about("where it is kept")
    words: pl.String = about("the words of the list")
    said_on: pl.Date = about("the day it was said", "members")
    caution: pl.String = about("what is dangerous about the part", "members")
    trace: pl.String = about("line ids; ';' between", "members", nullable=False)


class Offered(Answer):
    """A loose part that somebody offers."""

    part: pl.String = about("the part", "circulated", nullable=False)
    hand: pl.String = about("left or right", "circulated", isin=w.HANDS)
    position: pl.String = about("position, or size of hardware", "circulated")
    quantity: pl.Float64 = about("how many there surely are", "circulated")
    condition: pl.String = about("condition, or unserviceable", "circulated", isin=CONDITIONS)
    availability: pl.String = about("offered or swap", "circulated")
    holder: pl.String = about("who offers it", "members")
    code: pl.String = about("the holder's code", "circulated")
    region: pl.String = about("region of the holder", "circulated")
    said_on: pl.Date = about("the day it was said", "circulated")
    caution: pl.String = about("what is dangerous about the part", "circulated")
    trace: pl.String = about("line ids; ';' between", "circulated", nullable=False)


class Move(Answer):
    """What became of a holding between the end of the month before and the end of this one."""

    what: pl.String = about("came in, went out, moved, more, fewer, condition changed", "members",
                             nullable=False, isin=MOVES)  # fmt: skip
    part: pl.String = about("the part; empty where nobody has identified it", "members")
    hand: pl.String = about("left or right", "members", isin=w.HANDS)
    position: pl.String = about("position, or size of hardware", "members")
    holder_before: pl.String = about("who had it", "members")
    holder: pl.String = about("who has it now", "members")
    quantity_before: pl.Float64 = about("how many there were", "members")
    quantity: pl.Float64 = about("how many there are", "members")
    condition_before: pl.String = about("condition before", "members")
    condition: pl.String = about("condition now", "members")
    place_before: pl.String = about("where it was kept")
    place: pl.String = about("where it is kept now")
    why: pl.String = about("what tells it", "members", nullable=False)
    words: pl.String = about("the words of the list")
    said_on: pl.Date = about("the day it was said", "members")
    trace: pl.String = about("line ids; ';' between", "members", nullable=False)


class Wanted(Answer):
    """A part that somebody looks for."""

    state: pl.String = about("new this month, open, or found this month", "circulated",
                              nullable=False, isin=WANT_STATES)  # fmt: skip
    part: pl.String = about("the part; empty where nobody has identified it", "circulated")
    hand: pl.String = about("left or right", "circulated", isin=w.HANDS)
    position: pl.String = about("position, or size of hardware", "circulated")
    quantity: pl.Float64 = about("how many are wanted", "circulated")
    holder: pl.String = about("who looks for it", "members")
    code: pl.String = about("the code of who looks for it", "circulated")
    region: pl.String = about("region of who looks for it", "circulated")
    vehicle: pl.String = about("for which vehicle", "members")
    since: pl.Date = about("wanted since", "circulated")
    words: pl.String = about("the words of the list")
    caution: pl.String = about("what is dangerous about the part", "circulated")
    trace: pl.String = about("line ids; ';' between", "circulated", nullable=False)


class Match(Answer):
    """A want and an offer of the same part, one of them new this month."""

    news: pl.String = about("which of the two is new", "circulated", nullable=False,
                             isin=MATCH_NEWS)  # fmt: skip
    part: pl.String = about("the part", "circulated", nullable=False)
    hand: pl.String = about("left or right", "circulated", isin=w.HANDS)
    position: pl.String = about("position, or size of hardware", "circulated")
    wanted_by: pl.String = about("who looks for it", "members")
    wanted_code: pl.String = about("the code of who looks for it", "circulated")
    vehicle: pl.String = about("for which vehicle", "members")
    holder: pl.String = about("who offers it", "members")
    code: pl.String = about("the holder's code", "circulated")
    region: pl.String = about("region of the holder", "circulated")
    quantity: pl.Float64 = about("how many are offered", "circulated")
    condition: pl.String = about("condition, or unserviceable", "circulated", isin=CONDITIONS)
    ask: pl.String = about("what to ask: a hand or position that is not said", "circulated")
    caution: pl.String = about("what is dangerous about the part", "circulated")
    trace: pl.String = about("line ids; ';' between", "circulated", nullable=False)


class VehicleSum(Answer):
    """How far each vehicle is."""

    vehicle: pl.String = about("the vehicle's name", "members")
    family: pl.String = about("family", "members")
    mark: pl.String = about("mark of the whole", "members")
    owner: pl.String = about("whose it is", "members")
    role: pl.String = about("kept whole, under restoration, hulk, breaking, on loan", "members")
    aim: pl.String = about("what its owner wants of it; of a vehicle without a stated aim: "
                            "a full original", "members", nullable=False, isin=w.AIMS)  # fmt: skip
    low: pl.Float64 = about("share of its parts that it surely has", "members", ge=0, le=1)
    high: pl.Float64 = about("the same, if all that nobody looked at is there", "members",
                              ge=0, le=1)  # fmt: skip
    low_before: pl.Float64 = about("the share a month before", "members", ge=0, le=1)
    high_before: pl.Float64 = about("the same, if all is there", "members", ge=0, le=1)
    change: pl.Float64 = about("change of the surer share", "members")
    lacking: pl.Int64 = about("lines of what it lacks: missing, not working, stand-ins",
                               "members", nullable=False)  # fmt: skip
    lacking_before: pl.Int64 = about("the same a month before", "members")
    stand_ins: pl.Int64 = about("stand-ins still to replace", "members", nullable=False)
    not_looked_at: pl.Int64 = about("lines of what nobody looked at", "members", nullable=False)
    hinges: pl.Int64 = about("lines that hinge on a build that is not settled", "members",
                              nullable=False)  # fmt: skip
    trace: pl.String = about("id of the figure", "members", nullable=False)


class AssemblySum(Answer):
    """How far each assembly of a vehicle is, where it lacks anything."""

    vehicle: pl.String = about("the vehicle's name", "members")
    assembly: pl.String = about("assembly", "members", nullable=False)
    build: pl.String = about("its build on the vehicle", "members")
    lacking: pl.Int64 = about("lines of what it lacks", "members", nullable=False)
    stand_ins: pl.Int64 = about("stand-ins still to replace", "members", nullable=False)
    not_looked_at: pl.Int64 = about("lines of what nobody looked at", "members", nullable=False)
    low: pl.Float64 = about("share of its parts that it surely has", "members", ge=0, le=1)
    high: pl.Float64 = about("the same, if all that nobody looked at is there", "members",
                              ge=0, le=1)  # fmt: skip
    low_before: pl.Float64 = about("the share a month before", "members", ge=0, le=1)
    trace: pl.String = about("id of the figure", "members", nullable=False)


class LackLine(Answer):
    """What a vehicle lacks."""

    vehicle: pl.String = about("the vehicle's name", "members")
    assembly: pl.String = about("assembly", "members", nullable=False)
    part: pl.String = about("the part; empty where a line stands for a whole assembly", "members")
    hand: pl.String = about("left or right", "members", isin=w.HANDS)
    position: pl.String = about("position, or size of hardware", "members")
    state: pl.String = about("missing, unserviceable, stand-in, not looked at, build not known",
                              "members", nullable=False, isin=LACKING)  # fmt: skip
    quantity: pl.Float64 = about("how many are in this state", "members")
    required: pl.Float64 = about("how many the vehicle should have", "members")
    opens_into: pl.Int64 = about("how many items the line stands for", "members")
    needed_for: pl.String = about("aims for which it counts; ';' between", "members")
    new: pl.Boolean = about("lacking now and not a month before", "members", nullable=False)
    seen_on: pl.Date = about("day of the survey that says so", "members")
    depends_on: pl.String = about("the remaining builds on which it depends", "members")
    caution: pl.String = about("what is dangerous about the part", "members")
    trace: pl.String = about("line ids; ';' between", "members")


class StandIn(Answer):
    """A part of another make, or made to serve, that still stands in for an original."""

    vehicle: pl.String = about("the vehicle's name", "members")
    assembly: pl.String = about("assembly", "members", nullable=False)
    part: pl.String = about("the part it stands in for", "members")
    hand: pl.String = about("left or right", "members", isin=w.HANDS)
    position: pl.String = about("position, or size of hardware", "members")
    quantity: pl.Float64 = about("how many", "members")
    needed_for: pl.String = about("aims for which it must be replaced; ';' between", "members")
    offered: pl.Int64 = about("offers of an original that goes on", "members", nullable=False)
    seen_on: pl.Date = about("day of the survey that says so", "members")
    trace: pl.String = about("line ids; ';' between", "members")


class Hinge(Answer):
    """What hinges on a build that is not settled."""

    vehicle: pl.String = about("the vehicle's name", "members")
    assembly: pl.String = about("assembly whose build is not settled", "members", nullable=False)
    builds: pl.String = about("the remaining builds, with their probabilities", "members",
                               nullable=False)  # fmt: skip
    lines: pl.Int64 = about("lines of the lacks that hinge on it", "members", nullable=False)
    parts: pl.String = about("the parts, as far as they are few", "members")
    trace: pl.String = about("line ids; ';' between", "members")


class Offer(Answer):
    """Something on offer that could close a lack now."""

    vehicle: pl.String = about("the vehicle that lacks it", "members")
    part: pl.String = about("the part that is lacking", "members", nullable=False)
    hand: pl.String = about("left or right", "members", isin=w.HANDS)
    position: pl.String = about("position, or size of hardware", "members")
    state: pl.String = about("missing, unserviceable or stand-in", "members")
    lacking: pl.Float64 = about("how many are lacking", "members")
    rank: pl.Int64 = about("1 for the best", "members", ge=1)
    source: pl.String = about("who has it, or the vehicle it is on", "members")
    from_: pl.String = pa.Field(alias="from", nullable=True, isin=WHERE_FROM, metadata={
        "doc": "kind of place it is taken from", "audience": "members"})  # fmt: skip
    fit: pl.String = about("as is, one way, with work, only as a set", "members", isin=w.GRADES)
    correctness: pl.String = about("is it right for the vehicle's build", "members",
                                    isin=CORRECTNESS)  # fmt: skip
    standing: pl.String = about("offered", "members", isin=STANDINGS)
    reason: pl.String = about("why it fits, and what to ask")
    work: pl.String = about("the work it takes, as said")
    companions: pl.String = about("what must come with it, as said")
    condition: pl.String = about("condition, or unserviceable", "members", isin=CONDITIONS)
    quantity: pl.String = about("how many there are, as written")
    place: pl.String = about("where it is kept")
    distance_km: pl.Float64 = about("great-circle distance to the vehicle", ge=0)
    caution: pl.String = about("what is dangerous about the part", "members")
    trace: pl.String = about("line ids; ';' between", "members")


class Scarce(Answer):
    """A part of which more is wanted than is offered."""

    part: pl.String = about("the part", "circulated", nullable=False)
    hand: pl.String = about("left or right", "circulated", isin=w.HANDS)
    position: pl.String = about("position, or size of hardware", "circulated")
    wanted: pl.Float64 = about("how many are lacking or wanted", "circulated", nullable=False)
    vehicles: pl.Int64 = about("vehicles that lack it", "circulated", nullable=False)
    offered: pl.Float64 = about("pieces on offer that go on at least one of them", "circulated",
                                 nullable=False)  # fmt: skip
    to_ask: pl.Float64 = about("pieces that go on, and that nobody says are offered",
                                "circulated", nullable=False)  # fmt: skip
    short: pl.Float64 = about("wanted less offered", "circulated", nullable=False)
    caution: pl.String = about("what is dangerous about the part", "circulated")
    trace: pl.String = about("line ids; ';' between", "circulated", nullable=False)


class Unsighted(Answer):
    """Stock that nobody has sighted for a year."""

    holder: pl.String = about("who has it", "members")
    part: pl.String = about("the part; empty where nobody has identified it", "members")
    hand: pl.String = about("left or right", "members", isin=w.HANDS)
    position: pl.String = about("position, or size of hardware", "members")
    quantity: pl.Float64 = about("how many there were", "members")
    availability: pl.String = about("offered, swap, kept, promised or unknown", "members")
    place: pl.String = about("where it was kept")
    words: pl.String = about("the words of the list")
    said_on: pl.Date = about("the day of the last sighting", "members")
    days: pl.Int64 = about("how many days ago that was, at the end of the month", "members",
                            nullable=False)  # fmt: skip
    trace: pl.String = about("line ids; ';' between", "members", nullable=False)


class Waiting(Answer):
    """Lines that wait for a decision, or for mending."""

    waits_for: pl.String = about("decision or mending", "members", nullable=False, isin=WAITS_FOR)
    topic: pl.String = about("what the question is about, or the field at fault", "members")
    lines: pl.Int64 = about("lines that it settles", "members", nullable=False)
    question: pl.String = about("the question, or what is wrong")
    what_to_do: pl.String = about("how to settle it")
    source: pl.String = about("file, sheet and row, where it is one")
    asked_on: pl.Date = about("since when it waits", "members")
    trace: pl.String = about("id of the question, or of the raw line", "members", nullable=False)


class Disagreement(Answer):
    """Where sources say different things."""

    subject: pl.String = about("the vehicle, or the sort of number", "registrar")
    assembly: pl.String = about("assembly", "registrar")
    part: pl.String = about("the part", "registrar")
    hand: pl.String = about("left or right", "registrar", isin=w.HANDS)
    position: pl.String = about("position, or size of hardware", "registrar")
    taken: pl.String = about("what counts", "registrar")
    otherwise: pl.String = about("what others say, with where it stands", "registrar",
                                  nullable=False)  # fmt: skip
    trace: pl.String = about("line ids; ';' between", "registrar")


class CautionLine(Answer):
    """What is dangerous about parts that this report lists."""

    caution: pl.String = about("the caution", "circulated", nullable=False)
    authority: pl.String = about("whose rules say more; local law decides", "circulated")
    parts: pl.String = about("the parts it is for", "circulated", nullable=False)
    restricted: pl.Boolean = about("passing these on is restricted by law in many places",
                                    "circulated", nullable=False)  # fmt: skip


class Basis(Answer):
    """What the figures rest on."""

    source: pl.String = about("the file")
    version: pl.Int64 = about("how often it was taken in", "members", nullable=False)
    said_on: pl.Date = about("the day the source itself states", "members")
    recorded_on: pl.Date = about("the day it was taken in", "members", nullable=False)
    lines_read: pl.Int64 = about("lines read", "members", nullable=False)
    accepted: pl.Int64 = about("lines that count", "members", nullable=False)
    in_review: pl.Int64 = about("lines that wait for a decision", "members", nullable=False)
    to_mend: pl.Int64 = about("lines that wait for mending", "members", nullable=False)
    not_data: pl.Int64 = about("lines that are no data", "members", nullable=False)
    trace: pl.String = about("id of the figure", "members", nullable=False)


@dataclass(frozen=True, slots=True)
class ReportSection:
    """One section: its rows' model, its title, how it is counted, and the widest circle for it.

    ``chart``: the column of words and those of numbers that are worth looking at; see
    ``partmuster.model.Section``.
    """

    model: type[pa.DataFrameModel]
    title: str
    lead: str
    audience: Audience
    if_empty: str
    chart: tuple[str, ...] = ()


SECTIONS: dict[str, ReportSection] = {
    "figures": ReportSection(
        Figure, "The month in figures",
        "Each figure beside that of the month before. `partmuster trace` takes its id.",
        "circulated", "Nothing is known of this month.",
    ),
    "vehicles": ReportSection(
        VehicleSum, "How far each vehicle is",
        "Completeness for the aim of its owner, as a range: what it surely has, and what it has if "
        "all that nobody looked at is there. The mean of its assemblies by their weight.",
        "members", "The club's register has no vehicles.",
        ("vehicle", "low", "high"),
    ),
    "assemblies": ReportSection(
        AssemblySum, "What lacks, by assembly",
        "Assemblies that lack anything, or of which something was not looked at.",
        "members", "No assembly lacks anything, as far as lists and surveys say.",
    ),
    "lacks": ReportSection(
        LackLine, "What each vehicle lacks",
        "Missing, not working, with a stand-in, not looked at, or hinging on a build. A whole that "
        "is gone is one line that stands for its parts.",
        "members", "Nothing is lacking, as far as lists and surveys say.",
    ),
    "stand_ins": ReportSection(
        StandIn, "Stand-ins still to replace",
        "What serves for now and is no original; what its owner accepted is left out.",
        "members", "No stand-in is known that still has to be replaced.",
    ),
    "hinges": ReportSection(
        Hinge, "What hinges on a build that is not settled",
        "These lines hold for some of the builds that remain, and not for others.",
        "members", "Nothing hinges on a build that is not settled.",
    ),
    "offers": ReportSection(
        Offer, "Offers that could close a lack now",
        "What is offered and goes on, the best three for each lack. What has to be asked for "
        "first, and what nobody has said goes, is left out.",
        "members", "Nothing on offer would close a lack.",
    ),
    "matches": ReportSection(
        Match, "New matches of wants and offers",
        "One of the two is new this month. Same part; a hand or position that is not said has to "
        "be asked.",
        "circulated", "No new want met an offer, and no new offer a want.",
    ),
    "wants": ReportSection(
        Wanted, "Wanted",
        "New this month, still open, and found this month: closed in its list, or no longer there.",
        "circulated", "Nobody looks for anything.",
    ),
    "offered": ReportSection(
        Offered, "Offered",
        "Loose parts that their holders offer, for sale or swap, and whose part is known.",
        "circulated", "Nobody offers anything.",
    ),
    "scarcest": ReportSection(
        Scarce, "The scarcest parts",
        "Wanted less offered, most first. Wanted: what vehicles lack that parts are looked for, "
        "and wants that name no such vehicle. Offered: pieces on offer that go on at least one of "
        "the vehicles that lack it (as is, one way, with work, as a set), each counted once.",
        "circulated", "Of nothing more is wanted than is offered.",
        ("part", "wanted", "offered"),
    ),
    "moves": ReportSection(
        Move, "What came in, went out or moved",
        "Lists at the end of this month against those at the end of the month before. A line that "
        "left one list while a like one came into another's is a move.",
        "members", "Nothing came in, went out or moved.",
    ),
    "holders": ReportSection(
        HolderSum, "Holdings by holder",
        "Loose parts. What is sold or used up is left out; an item in two lists counts once where "
        "people said that it is one.",
        "members", "Nobody holds anything.",
        ("holder", "identified", "offered"),
    ),
    "holdings": ReportSection(
        Held, "Holdings, line by line",
        "Loose parts of each holder.",
        "members", "Nobody holds anything.",
    ),
    "unsighted": ReportSection(
        Unsighted, "Not sighted for a year",
        "Stock whose last word is older than a year: sight it before travelling.",
        "members", "All stock was sighted within a year.",
    ),
    "waiting": ReportSection(
        Waiting, "Waiting for a decision or for mending",
        "What settles most comes first.",
        "members", "No line waits.",
    ),
    "disagreements": ReportSection(
        Disagreement, "Where sources disagree",
        "What counts, and what others say. Sure counts before hedged, first-hand before hearsay, "
        "dated before undated, then the later day.",
        "registrar", "No two sources disagree.",
    ),
    "cautions": ReportSection(
        CautionLine, "Cautions",
        "For parts that this report lists. Local law and licensed practice decide what may be "
        "done, and by whom.",
        "circulated", "None of the parts listed carries a caution.",
    ),
    "basis": ReportSection(
        Basis, "What the figures rest on",
        "Sources taken in by the end of the month. "
        "Read = accepted + in review + to mend + no data.",
        "members", "Nothing had been taken in.",
    ),
}  # fmt: skip
