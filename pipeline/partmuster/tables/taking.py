"""What a table is taken for, by its headings, its titles and its cells."""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

import polars as pl

from partmuster.reading.gone import title_says_gone
from partmuster_trade.headings import HeadingMeaning, fold_heading

from .apart import Apart, find_apart
from .assemblies import read_section
from .builds_across import build_columns, build_columns_of_words
from .changes import when_changed
from .content import fields_by_content, suits
from .headings import Heading, Taken
from .hybrids_told import told_in_sentences
from .kinds import KIND_FIELDS, KindTaken, kinds_in_titles, take_kind
from .likelihoods import Likelihoods, find_fits_across, find_likelihoods, read_key
from .matrix import first_field, heads_features
from .read_headings import read_headings
from .serial_columns import Serials, serial_columns, with_runs_of_builds
from .sides_across import side_columns
from .titles import Stated, stated_in
from .vehicle_rows import labelled_vehicle, lists_what_was_seen
from .visits import newest_first, no_more

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from .asking import Around
    from .head import Head
    from .matrix import Matrix

_HAVE = re.compile(r"(?i)\b(?:have|got|held|stock|offer\w*|sale|swaps?)\b")
_KEY_ROWS = 60
ITEM_KINDS = frozenset({"holding", "requirement", "want", "survey", "promise", "lead"})


@dataclass(frozen=True, slots=True)
class TableTaken:
    """What a table was taken for.

    ``fields``: by column. ``builds``: heading by column where each stands for a build, with
    figures in them if ``counted``; ``sides``: likewise where each counts one side.
    ``no_vehicle``: a survey that does not say of which vehicle. ``apart``: columns that make more
    of a row than fields. ``counted_on``: columns that each count what is held, and on which day,
    the newest first. ``serials``: columns that say for which serials a part or a build is.
    ``likelihoods``: columns that say how usual features are on builds.
    """

    kind: str | None
    fields: dict[str, Taken]
    reason: str
    headings: list[Heading]
    matrix: Matrix | None
    builds: dict[str, str]
    counted: bool
    sides: dict[str, str]
    no_vehicle: bool = False
    apart: Apart = field(default_factory=Apart)
    counted_on: Sequence[tuple[str, str, str]] = ()
    serials: tuple[Serials, ...] = ()
    likelihoods: Likelihoods | None = None


def take_table(
    body: pl.DataFrame, texts: Mapping[str, str | None], head: Head, matrix: Matrix | None,
    stated: Stated, around: Around,
) -> TableTaken:  # fmt: skip
    """Return what a table is taken for, by its headings (``texts``: by column), titles, content."""
    counted_on: Sequence[tuple[str, str, str]] = ()
    across = matrix.columns if matrix else frozenset()
    if matrix is not None and matrix.counted and _counts_what_is_held(texts, head, stated, around):
        counted_on = newest_first(matrix.visits, around.told.day_first)
        across = frozenset(matrix.visits)
        matrix = None
    chosen = {column: text or "" for column, text in texts.items() if column not in across}
    headings, apart = _headings(body, chosen, head, matrix, stated, around)
    likelihoods = _likelihoods(headings, body, head, around) if matrix is None else None
    if likelihoods is not None:
        headings = [replace(h, meanings=(), similarity=0.0) if h.column in likelihoods.builds else h
                    for h in headings]  # fmt: skip
        around = replace(around, kind=likelihoods.kind)
    builds, counted = build_columns(headings, body) if matrix is None else ({}, False)
    by_words = headings, head, around, stated, matrix, builds, apart.tells
    kind = told_in_sentences(headings, body, around.kind_told) or _kind(*by_words)
    if kind.kind != "requirement":
        builds = {}
    elif not builds and matrix is None and not column_of(kind.fields, ["effectivity"]):
        worded = build_columns_of_words(headings)
        said = {kind.fields[column].field for column in worded if column in kind.fields}
        builds, counted = (worded, False) if said <= {"remark"} else ({}, False)
    fields = {column: taken for column, taken in kind.fields.items() if column not in builds}
    if around.learned:
        fields = {
            column: replace(taken, reason=f"as told for {around.learned}")
            if taken.reason.startswith("told") else taken
            for column, taken in fields.items()
        }  # fmt: skip
    _fill_gaps(fields, headings, kind.kind, headless=head.at is None)
    _settle(kind.kind, fields, headings, stated)
    named = (matrix is not None and matrix.names_vehicles) or stated.vehicle
    no_vehicle = kind.kind == "survey" and not (named or column_of(fields, ["vehicle"]))
    if kind.kind == "holding" and matrix is None:
        no_vehicle = _seen_on_a_vehicle(texts, body, head, stated, around)
    uncounted = bool(across) and matrix is None and not (kind.kind == "holding" and counted_on)
    name, reason = _or_asked(kind, fields, matrix, uncounted=uncounted, no_vehicle=no_vehicle)
    sides = side_columns(headings) if matrix is None else {}
    if "quantity" not in KIND_FIELDS.get(name or "", {}):
        sides = {}
    fields = {column: taken for column, taken in fields.items() if column not in sides}
    serials: tuple[Serials, ...] = ()
    if matrix is None and not likelihoods:
        serials = _serials(kind.kind, headings, fields, body)
        spoken = {column for one in serials for column in one.columns}
        fields = {column: taken for column, taken in fields.items() if column not in spoken}
    return TableTaken(
        name, fields, reason, headings, matrix, builds, counted, sides, no_vehicle, apart,
        counted_on, serials, likelihoods,
    )  # fmt: skip


def _headings(
    body: pl.DataFrame, chosen: Mapping[str, str], head: Head, matrix: Matrix | None,
    stated: Stated, around: Around,
) -> tuple[list[Heading], Apart]:  # fmt: skip
    """Return the headings of columns, and those that make more of a row than fields."""
    headings = read_headings(body, chosen, around, of_vehicle=stated.vehicle is not None)
    if matrix is not None or around.kind_told is not None:
        return headings, Apart()
    headings = with_runs_of_builds(headings, body)
    if head.at is None:
        return headings, Apart()
    apart = find_apart(headings, body, _spoken_alone(_titles(head, around)))
    return _left_to_fields(headings, apart), apart


def _serials(
    kind: str | None, headings: Sequence[Heading], fields: Mapping[str, Taken], body: pl.DataFrame
) -> tuple[Serials, ...]:
    """Return the columns of serials; plain ends beside a series of builds are fields."""
    if kind not in {"requirement", "build"}:
        return ()
    found = serial_columns(headings, fields, body)
    if kind == "requirement":
        return found
    ends = {column for column, taken in fields.items()
            if taken.field in {"first_serial", "last_serial"}}  # fmt: skip
    return tuple(one for one in found if not one.plain and not ends & set(one.columns))


def _settle(
    kind: str | None, fields: dict[str, Taken], headings: Sequence[Heading], stated: Stated
) -> None:
    """Settle what columns say that others beside them, or titles, tell."""
    if kind == "survey":
        when_changed(fields, headings)
    if kind == "holding":
        _settle_people(fields, headings, stated)


def _of_features(headings: Sequence[Heading], head: Head, around: Around) -> bool:
    """Tell whether a matrix is of features seen, by a heading or by titles, and not of parts."""
    if around.kind_told in {"feature", "survey"}:
        return around.kind_told == "feature"
    if any(heads_features(h.text) for h in headings if h.text):
        return True
    named = {m.field for h in headings for m in h.meanings[:1]}
    return "description" not in named and "feature" in kinds_in_titles(_titles(head, around))


def _likelihoods(
    headings: Sequence[Heading], body: pl.DataFrame, head: Head, around: Around
) -> Likelihoods | None:
    """Return the columns of a family file's features by build, or None where it is none."""
    if around.kind_told not in {None, "build", "fit"} or head.at is None:
        return None
    said = kinds_in_titles(_titles(head, around))
    others = {kind for kind in said if said[kind] >= said.get("build", 0.0)} - {"build", "feature"}
    if around.kind_told == "fit" or set(said) == {"fit"}:
        return find_fits_across(headings, body)
    spoken = ("build" in said and not others) or around.kind_told == "build"
    alone = body.filter(pl.col("n") == 1)["first"].drop_nulls().head(_KEY_ROWS).to_list()
    key = read_key([*head.titles, *around.beside, *alone])
    return find_likelihoods(headings, body, spoken=spoken, key=key)


def _or_asked(
    kind: KindTaken, fields: dict[str, Taken], matrix: Matrix | None, *, uncounted: bool,
    no_vehicle: bool,
) -> tuple[str | None, str]:  # fmt: skip
    """Return the kind of a table and the reason, or no kind and what is not said."""
    if uncounted:
        return None, "counted on several days, but of what is not said"
    if kind.kind in ITEM_KINDS and not matrix and not _names_items(fields):
        return None, "no column is clearly the part's name or number"
    if no_vehicle:
        return None, "a survey, but of which vehicle is not said"
    return kind.kind, kind.reason


def _seen_on_a_vehicle(
    texts: Mapping[str, str | None], body: pl.DataFrame, head: Head, stated: Stated, around: Around
) -> bool:
    """Tell whether parts that are fitted or missing are a survey that names no vehicle."""
    if stated.holder or around.kind_told or kinds_in_titles(_titles(head, around)):
        return False
    return lists_what_was_seen(list(texts.values()), body, list(texts))


def _counts_what_is_held(
    texts: Mapping[str, str | None], head: Head, stated: Stated, around: Around
) -> bool:
    """Tell whether figures under several days count what is held, and not what is on a vehicle."""
    if around.kind_told is not None:
        return around.kind_told != "survey"
    fields = {first_field(text) for text in texts.values() if text}
    if stated.holder or fields & {"holder", "owner", "place", "location", "price", "availability"}:
        return True
    spoken = kinds_in_titles(_titles(head, around))
    return "holding" in spoken or not (stated.vehicle or "vehicle" in fields or "survey" in spoken)


def stated_by(head: Head, around: Around) -> Stated:
    """Return what titles say, the sheet's before the file name's; people's answers fill gaps."""
    titles = [*head.titles, *around.over, around.title or "", around.sheet or ""]
    near = stated_in(titles, around.told.day_first)
    stem = around.name.rpartition("/")[2].rpartition(".")[0]
    far = stated_in([stem], around.told.day_first)
    told = {name: around.told.about(around.label, name) for name in ("holder", "family", "vehicle")}
    return Stated(
        holder=near.holder or told["holder"] or far.holder,
        by_name=near.by_name if near.holder else far.by_name and not told["holder"],
        place=near.place,
        family=near.family or told["family"] or far.family,
        vehicle=near.vehicle
        or told["vehicle"]
        or around.vehicle
        or _labelled(titles)
        or far.vehicle,
        date=near.date or around.stated_on,
        gone=near.gone or (None if any(title_says_gone(t) is False for t in titles) else far.gone),
    )


def _labelled(titles: Sequence[str]) -> str | None:
    return next(filter(None, map(labelled_vehicle, titles)), None)


def _kind(
    headings: Sequence[Heading], head: Head, around: Around, stated: Stated,
    matrix: Matrix | None, builds: dict[str, str], told_apart: str | None,
) -> KindTaken:  # fmt: skip
    """Return the kind of the table's lines and the fields of its columns."""
    told = around.kind_told
    given = [name for name in ("holder", "vehicle") if getattr(stated, name) is not None
             and not (name == "holder" and stated.by_name)]  # fmt: skip
    if matrix is not None:
        of_features = _of_features(headings, head, around)
        kind = "feature" if of_features else "survey"
        taken = take_kind(headings, {}, ["vehicle", "presence"], told=kind)
        item = "feature" if of_features else "description"
        across = item if matrix.parts_across else "vehicle"
        in_cells = {"presence", "condition", "quantity", "unit", across}
        if matrix.visits:  # the vehicle may stand in a column
            in_cells -= {"vehicle"}
        fields = {c: t for c, t in taken.fields.items() if t.field not in in_cells}
        items = "features" if of_features else "parts"
        way = (f"vehicles down, {items} across" if matrix.parts_across
               else f"{items} down, vehicles across")  # fmt: skip
        return KindTaken(kind, fields, f"matrix: {way}")
    titles = _titles(head, around)
    if len(headings) == 1:  # the heading of a list of one column is its title too
        titles.append((headings[0].text, 4.0))
    spoken = kinds_in_titles(titles)
    if told_apart:
        spoken[told_apart] = 8.0
    if builds:
        spoken["requirement"] = max(spoken.get("requirement", 0.0), 4.0)
    if head.at is None and told is None:
        # A cell merged down names what its rows have in common, and no part.
        by_content = fields_by_content(
            [(h.column, h.content) for h in headings if h.column not in around.down]
        )
        fields = {c: Taken(f, "content") for c, f in by_content.items()}
        fields |= {h.column: Taken("assembly", "merged cells") for h in headings
                   if h.column in around.down and _names_assemblies(h)}  # fmt: skip
        kind = max(spoken, key=lambda k: spoken[k]) if spoken else "holding"
        twice = sum(_counts(h) for h in headings) > 1 and sum(_is_wordy(h) for h in headings) > 1
        clear = {"description", "quantity"} <= set(by_content.values()) or (
            bool(spoken) and "description" in by_content.values()
        )
        fields = {c: t for c, t in fields.items() if t.field in KIND_FIELDS[kind]}
        if clear and not twice and kind in ITEM_KINDS - {"survey", "promise"}:
            return KindTaken(kind, fields, "no headings: told by content")
        return KindTaken(None, {}, "no headings, and the content is not clear")
    seen = {m.field for h in headings for m in h.meanings} & {"presence", "condition"}
    if told is None and "survey" in spoken and not seen and side_columns(headings):
        taken = take_kind(headings, spoken, given, "survey")
        return replace(taken, reason="title, and what was seen in a column for each side")
    taken = take_kind(headings, spoken, given, told)
    if around.learned and told:
        return replace(taken, reason=f"as told for {around.learned}")
    return replace(taken, reason="words above the columns") if around.kind else taken


def _titles(head: Head, around: Around) -> list[tuple[str, float]]:
    """Return the titles above a table, of its sheet and its file, and how much each counts."""
    titles = [(text, 4.0) for text in (*head.titles, *around.over, around.title or "")]
    return [*titles, (around.sheet or "", 3.0), (around.name.rpartition("/")[2], 2.0)]


def _spoken_alone(titles: Sequence[tuple[str, float]]) -> dict[str, float]:
    """Return the kinds that titles speak for; "Have and want" speaks for none."""
    return kinds_in_titles([(text, weight) for text, weight in titles if not _HAVE.search(text)])


def _left_to_fields(headings: Sequence[Heading], apart: Apart) -> list[Heading]:
    """Return the headings that are still to be taken for fields."""
    left = [heading for heading in headings if heading.column not in apart.columns]
    if apart.both is None:
        return left
    named = (HeadingMeaning("description", (), "", 0),)
    for at, heading in enumerate(left):
        if apart.both.names and heading.column == apart.both.have:
            left[at] = replace(heading, meanings=named, similarity=1.0)
        elif apart.both.names:
            others = tuple(m for m in heading.meanings if m.field != "description")
            left[at] = replace(heading, meanings=others)
        elif heading.column in apart.both.spare_columns:
            left[at] = replace(heading, meanings=(), similarity=0.0)
    return left


def _counts(heading: Heading) -> bool:
    """Tell whether a column without heading may hold quantities."""
    cells = heading.content
    return cells is not None and cells.quantity >= 0.8 and not cells.rising and cells.date < 0.5  # noqa: PLR2004 - shares of cells


def _is_wordy(heading: Heading) -> bool:
    """Tell whether a column without heading may name parts: different words."""
    cells = heading.content
    return cells is not None and suits("description", cells) > 0


def _names_assemblies(heading: Heading) -> bool:
    """Tell whether what stands in a column names assemblies."""
    cells = heading.content
    return cells is not None and all(read_section(text).assembly for text in cells.examples)


def _fill_gaps(
    fields: dict[str, Taken], headings: Sequence[Heading], kind: str | None, *, headless: bool
) -> None:
    """Give columns without a heading the field their cells speak for, where it is wanted."""
    if kind is None or kind not in ITEM_KINDS | {"fit"}:
        return
    have = {taken.field for taken in fields.values()}
    days = {h.column for h in headings if h.text}  # "Jan 25" over figures
    bare = [(h.column, h.content) for h in headings if h.column not in fields and no_more(h.text)]
    for column, name in fields_by_content(bare).items():
        wanted = headless or name == ("quantity" if column in days else "description")
        if wanted and name in KIND_FIELDS[kind] and name not in have:
            fields[column] = Taken(name, "content")


def _settle_people(fields: dict[str, Taken], headings: Sequence[Heading], stated: Stated) -> None:
    """Take "Who" on a list of what has gone for whom it went to; else settle who has it."""
    who = {h.column for h in headings if fold_heading(h.text) in {"who", "name", "person"}}
    for column, taken in fields.items():
        if stated.gone is not None and column in who and taken.field == "holder":
            fields[column] = Taken("gone_to", "heading, on a list of what has gone")
    if stated.holder is None or stated.by_name:
        _owner_has_it(fields)


def _owner_has_it(fields: dict[str, Taken]) -> None:
    """Take the owner for the holder where a list of holdings names no other (common practice)."""
    if any(taken.field == "holder" for taken in fields.values()):
        return
    for column, taken in fields.items():
        if taken.field == "owner":
            fields[column] = Taken("holder", "heading; nobody else is named as having it")


def _names_items(fields: dict[str, Taken]) -> bool:
    """Tell whether a column names parts, by words or number."""
    return any(t.field in {"description", "part_number", "stock_number", "drawing_number",
                           "casting_number", "maker_number"} for t in fields.values())  # fmt: skip


def column_of(fields: dict[str, Taken], wanted: Sequence[str]) -> str | None:
    """Return the column of the first of the wanted fields that has one."""
    by_field = {taken.field: column for column, taken in fields.items()}
    return next((by_field[name] for name in wanted if name in by_field), None)
