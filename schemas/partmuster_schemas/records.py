"""The club's other tables: sources, raw lines, identifications, decisions, questions.

One pandera model a table; ``TABLES`` names them. The said lines of each kind are in ``said``.
"""

from __future__ import annotations

import pandera.polars as pa
import polars as pl

from . import words as w
from .columns import about


class Record(pa.DataFrameModel):
    """Frames are cast before they are checked, so nothing is coerced here."""

    class Config:
        """Exact columns only."""

        strict = True
        coerce = False


class Source(Record):
    """One sheet, list or note of somebody's, over all its versions."""

    source_id: pl.String = about("permanent id", "members", nullable=False)
    name: pl.String = about("relative path under which it was first imported", nullable=False)
    first_recorded: pl.Datetime = about("first import", "members", nullable=False)


class SourceVersion(Record):
    """One content of a source."""

    source_id: pl.String = about("the source", "members", nullable=False)
    version: pl.Int32 = about("1, 2, 3 ...", "members", nullable=False, ge=1)
    name: pl.String = about("relative path of this version", nullable=False)
    content_hash: pl.String = about("SHA-256 of the file; also its name in the archive",
                                     "members", nullable=False)  # fmt: skip
    size: pl.Int64 = about("bytes", "members", nullable=False)
    importer: pl.String = about("plugin that read it", "members", nullable=False)
    importer_version: pl.String = about("version of that plugin", "members", nullable=False)
    said_on: pl.Date = about("the day the source itself states", "members")
    said_on_basis: pl.String = about("what gave that day", "members", isin=w.SAID_ON_BASES)
    recorded_from: pl.Datetime = about("when it was imported", "members", nullable=False)
    lines_read: pl.Int64 = about("raw lines read", "members", nullable=False, ge=0)
    lines_loaded: pl.Int64 = about("raw lines loaded", "members", nullable=False, ge=0)
    lines_decision: pl.Int64 = about("raw lines that need a decision", "members",
                                      nullable=False, ge=0)  # fmt: skip
    lines_mending: pl.Int64 = about("raw lines that need mending", "members",
                                     nullable=False, ge=0)  # fmt: skip
    lines_not_data: pl.Int64 = about("raw lines that are not data", "members",
                                      nullable=False, ge=0)  # fmt: skip
    partial: pl.Boolean = about("looked partial: ended nothing until confirmed", "members",
                                 nullable=False)  # fmt: skip


class RawLine(Record):
    """A row, a matrix cell or a statement in a note, as it was read, and what became of it."""

    source_id: pl.String = about("the source", "members", nullable=False)
    source_version: pl.Int32 = about("its version", "members", nullable=False)
    raw_number: pl.Int64 = about("counts the raw lines of the version", "members",
                                  nullable=False, ge=1)  # fmt: skip
    sheet: pl.String = about("sheet, where the file has sheets")
    page: pl.Int32 = about("page, where it has pages", "members")
    row: pl.Int32 = about("row or line in the file, from 1", "members")
    column: pl.Int32 = about("column of a matrix cell, from 1", "members")
    box: pl.String = about("left,top,right,bottom on the page picture")
    words: pl.String = about("the words as they stand")
    outcome: pl.String = about("loaded, decision, mending, not-data (at import)", "members",
                                nullable=False, isin=w.OUTCOMES)  # fmt: skip
    reason: pl.String = about("why, where it was not simply loaded", "members")


class LineOrigin(Record):
    """Which raw line of a version says a line."""

    line_id: pl.String = about("the line", "circulated", nullable=False)
    source_id: pl.String = about("the source", "members", nullable=False)
    source_version: pl.Int32 = about("its version", "members", nullable=False)
    raw_number: pl.Int64 = about("the raw line", "members", nullable=False)


class ChoiceName(Record):
    """A name that choices between readings of statements hung on, and what was known of it."""

    source_id: pl.String = about("the source", "members", nullable=False)
    source_version: pl.Int32 = about("its version", "members", nullable=False)
    role: pl.String = about("vehicle, holder, or choice: a person's choice between known names",
                             "members", nullable=False)  # fmt: skip
    key: pl.String = about("the name, folded", nullable=False)
    meaning: pl.String = about("what was known of it, and the ids it can mean", nullable=False)
    asked: pl.Boolean = about("a person is asked about it", "members", nullable=False)


class Effectivity(Record):
    """One clause or serial interval of a line's effectivity."""

    line_id: pl.String = about("the line", "circulated", nullable=False)
    revision: pl.Int32 = about("its revision", "circulated", nullable=False)
    assembly: pl.String = about("assembly the clause names; empty = the line's own", "circulated")
    mark: pl.String = about("mark; empty = any", "circulated")
    phase: pl.String = about("phase; empty = any", "circulated", isin=w.PHASES)
    reach: pl.String = about(
        "which marks: that one (empty), that and later or earlier ones, any other, that one with a "
        "phase that may not be meant", "circulated", isin=w.REACHES,
    )  # fmt: skip
    series: pl.String = about("serial series of the interval; empty = the assembly's own",
                               "circulated")  # fmt: skip
    first_serial: pl.Int64 = about("first serial; empty = open", "circulated")
    last_serial: pl.Int64 = about("last serial; empty = open", "circulated")
    is_interval: pl.Boolean = about("a serial interval, not a build", "circulated",
                                     nullable=False)  # fmt: skip


class ItemKey(Record):
    """Distinct ways an item is described: what the matcher works on, once each."""

    item_key: pl.String = about("hash of the columns below", "circulated", nullable=False)
    description: pl.String = about("the words")
    part_number_normal: pl.String = about("part number without separators", "circulated")
    casting_number: pl.String = about("casting number", "circulated")
    stock_number: pl.String = about("stock number", "circulated")
    maker: pl.String = about("maker", "circulated")
    supply_class: pl.String = about("supply class", "circulated")
    side: pl.String = about("side as said", "circulated", isin=w.SIDES)
    position: pl.String = about("position words", "circulated")
    family: pl.String = about("family context", "circulated")
    assembly: pl.String = about("assembly context", "circulated")
    region: pl.String = about("region of the words: UK, US, AU", "circulated")


class Identification(Record):
    """What a description or a name is taken to mean, from when to when."""

    role: pl.String = about("part, vehicle, holder, place, feature, item", "circulated",
                             nullable=False, isin=w.ROLES_OF_NAMES)  # fmt: skip
    key: pl.String = about("item key, or the name as said, folded", nullable=False)
    rank: pl.Int32 = about("1 for the leading reading", "circulated", nullable=False, ge=1)
    target: pl.String = about("part, vehicle, person or place id; empty = names nothing known")
    probability: pl.Float64 = about("how sure, 0 to 1", "circulated", nullable=False,
                                     ge=0, le=1)  # fmt: skip
    method: pl.String = about("number, exact, fuzzy, name or decision", "circulated",
                               nullable=False, isin=w.METHODS)  # fmt: skip
    reasons: pl.String = about("the reasons, in words")
    accepted: pl.Boolean = about("counts in answers", "circulated", nullable=False)
    recorded_from: pl.Datetime = about("concluded", "circulated", nullable=False)
    recorded_to: pl.Datetime = about("concluded otherwise", "circulated")


class Mending(Record):
    """A fault that keeps a raw line from being loaded, with what to do about it."""

    source_id: pl.String = about("the source", "members", nullable=False)
    source_version: pl.Int32 = about("its version", "members", nullable=False)
    raw_number: pl.Int64 = about("the raw line", "members", nullable=False)
    line_kind: pl.String = about("kind of line it would have been", "members", isin=w.KINDS)
    field: pl.String = about("the field at fault", "members")
    value: pl.String = about("what stands there")
    code: pl.String = about("stable code of the fault", "members", nullable=False)
    problem: pl.String = about("what is wrong", nullable=False)
    what_to_do: pl.String = about("what to do", "members", nullable=False)


class Mended(Record):
    """A value that a person put in place of one that could not be read; the words stay."""

    source_id: pl.String = about("the source", "members", nullable=False)
    source_version: pl.Int32 = about("its version", "members", nullable=False)
    raw_number: pl.Int64 = about("the raw line", "members", nullable=False)
    field: pl.String = about("the field", "members", nullable=False)
    stood: pl.String = about("what stands there; empty = nothing")
    put: pl.String = about("what was put in its place; empty = nothing")
    left_out: pl.Boolean = about("the whole raw line was left out", "members", nullable=False)
    subject: pl.String = about("subject of the decision", nullable=False)


class Question(Record):
    """Something only a person can settle."""

    question_id: pl.String = about("stable id: same question, same id", "members",
                                    nullable=False)  # fmt: skip
    topic: pl.String = about("part, vehicle, place, marks, layout, version, side", "members",
                              nullable=False)  # fmt: skip
    subject: pl.String = about("the key the answer applies to", nullable=False)
    source_id: pl.String = about("source it arose from", "members")
    question: pl.String = about("the question in words", nullable=False)
    choices: pl.String = about("possible answers; ';' between")
    lines: pl.Int64 = about("lines an answer settles", "members", nullable=False, ge=0)
    recorded_from: pl.Datetime = about("asked", "members", nullable=False)
    recorded_to: pl.Datetime = about("no longer open", "members")


class Decision(Record):
    """What a person decided; append-only, undone by a later row."""

    decision_id: pl.String = about("permanent id", "members", nullable=False)
    topic: pl.String = about("part, vehicle, place, marks, layout, mending, version", "members",
                              nullable=False)  # fmt: skip
    subject: pl.String = about("what it applies to", nullable=False)
    answer: pl.String = about("the answer")
    decided_by: pl.String = about("who", nullable=False)
    decided_at: pl.Datetime = about("when", "members", nullable=False)
    undoes: pl.String = about("the decision it takes back", "members")
    note: pl.String = about("in their words")


class Forgotten(Record):
    """What was removed at a person's request, a row a version of a source; never the name."""

    forgotten_id: pl.String = about("permanent id of the request", "members", nullable=False)
    pseudonym: pl.String = about("what stands for the person since", "members", nullable=False)
    forgotten_at: pl.Datetime = about("when", "members", nullable=False)
    decided_by: pl.String = about("who did it", nullable=False)
    source_id: pl.String = about("source that named the person", "members")
    source_version: pl.Int32 = about("its version", "members")
    content_hash: pl.String = about("the file that was removed from the archive", "members")
    lines: pl.Int64 = about("lines of the version whose words were removed", "members",
                             nullable=False, ge=0)  # fmt: skip
    raw_lines: pl.Int64 = about("raw lines of it whose words were removed", "members",
                                 nullable=False, ge=0)  # fmt: skip


class ArchivedLayout(Record):
    """How a sheet was understood: kind of line, and the field of each column."""

    source_id: pl.String = about("the source", "members", nullable=False)
    source_version: pl.Int32 = about("its version", "members", nullable=False)
    sheet: pl.String = about("the sheet")
    table_number: pl.Int32 = about("counts the tables of the sheet", "members", nullable=False)
    line_kind: pl.String = about("kind of line", "members", nullable=False)
    header_row: pl.Int32 = about("row of the headings", "members")
    column: pl.Int32 = about("column, from 1", "members", nullable=False)
    heading: pl.String = about("heading as it stands")
    field: pl.String = about("field it was taken for; empty = remark", "members")
    reason: pl.String = about("what told so", "members")


class Setting(Record):
    """Facts about the club's records themselves."""

    name: pl.String = about("schema-version, generation, country, club-name ...", "members",
                             nullable=False)  # fmt: skip
    value: pl.String = about("the value")


class VocabularyPart(Record):
    """A part of the vocabulary, as the answers need it; written anew when that changes."""

    part_id: pl.String = about("permanent id", "circulated", nullable=False)
    name: pl.String = about("plain name", "circulated", nullable=False)
    noun_first: pl.String = about("name as parts lists print it", "circulated")
    assembly: pl.String = about("assembly it belongs to", "circulated")
    handed: pl.String = about("handed, same or reversible", "circulated", nullable=False,
                               isin=("handed", "same", "reversible"))  # fmt: skip
    positions: pl.String = about("positions by which items differ; ';' between", "circulated",
                                  nullable=False)  # fmt: skip
    unit: pl.String = about("usual unit", "circulated")
    needed_for: pl.String = about("aims it counts for besides full original; ';' between",
                                   "circulated", nullable=False)  # fmt: skip
    sort: pl.String = about("part, hardware or consumable", "circulated", nullable=False,
                             isin=("part", "hardware", "consumable"))  # fmt: skip
    mated_with: pl.String = about("parts only ever from one source; ';' between", "circulated",
                                   nullable=False)  # fmt: skip
    companions: pl.String = about("parts that must come with it; ';' between", "circulated",
                                   nullable=False)  # fmt: skip
    caution: pl.String = about("what is dangerous about it, in plain words", "circulated")
    identity_bearing: pl.Boolean = about("carries the identity of its vehicle", "circulated",
                                          nullable=False)  # fmt: skip
    replaced_by: pl.String = about("the part that took its place", "circulated")


class VocabularyAssembly(Record):
    """An assembly of the vocabulary, with its share in completeness."""

    assembly_id: pl.String = about("permanent id", "circulated", nullable=False)
    name: pl.String = about("plain name", "circulated", nullable=False)
    weight: pl.Float64 = about("share in completeness", "circulated", nullable=False, ge=0)
    whole_part: pl.String = about("the part that is the whole of it", "circulated")


TABLES: dict[str, type[pa.DataFrameModel]] = {
    "source": Source,
    "source_version": SourceVersion,
    "raw_line": RawLine,
    "line_origin": LineOrigin,
    "choice_name": ChoiceName,
    "effectivity": Effectivity,
    "item_key": ItemKey,
    "identification": Identification,
    "mending": Mending,
    "mended": Mended,
    "question": Question,
    "decision": Decision,
    "forgotten": Forgotten,
    "layout_taken": ArchivedLayout,
    "setting": Setting,
    "part": VocabularyPart,
    "assembly": VocabularyAssembly,
}
