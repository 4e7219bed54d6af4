"""The three questions, and where an answer comes from, as a person asks them."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

import click
import polars as pl

from partmuster.output import plain, say_wrapped, show
from partmuster.running.standard import standard_in_force
from partmuster.running.words import identifier_of
from partmuster.store.club import Club
from partmuster_schemas import words as w
from partmuster_schemas.answers import LACKING

from .club import say, vocabulary_of

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Callable
    from pathlib import Path

    from partmuster.host import Host
    from partmuster_trade import Vocabulary

    from .on_pages import OnPages


#: What a table shows of an answer, and what it leaves out first where the terminal is narrow. The
#: vehicle is the table's title, hand and position stand with the part, `from` with the source.
_LACKS_SHOWN = ("assembly", "part", "state", "quantity", "required", "remark", "build", "seen_on",
                "disagrees", "trace")  # fmt: skip
_LACKS_SPARE = ("disagrees", "build", "assembly", "seen_on", "remark")
_HOLDERS_SHOWN = ("holder", "part", "quantity", "condition", "availability", "place", "builds",
                  "match", "match_reason", "said_on", "trace")  # fmt: skip
_HOLDERS_SPARE = ("said_on", "builds", "match_reason", "match", "place")
_DONORS_SHOWN = ("part", "lacking", "rank", "standing", "source", "fit", "correctness", "reason",
                 "condition", "quantity", "distance_km", "trace")  # fmt: skip
_DONORS_SPARE = ("quantity", "lacking", "distance_km", "correctness", "condition", "trace")
_WHOLE_SHOWN = ("vehicle", "aim", "sort", "assembly", "required", "had", "not_looked_at",
                "complete")  # fmt: skip

#: Words of closed lists as a person writes them: without hyphens.
_PLAIN_WORDS = {
    word: word.replace("-", " ")
    for word in (*w.GRADES, *w.CONDITION_GRADES, *w.PRESENCES, *w.AIMS, *LACKING)
    if word != "stand-in"
}
_WHERE_FROM = {
    "surplus left over by a restoration": "left over",
    "hulk being broken": "being broken",
    "incomplete hulk, if its owner agrees": "hulk",
}

#: Ids of figures of a report: 2026-10:wants:new.
_FIGURES = re.compile(r"\b\d{4}-\d\d(\+now)?:\w+:")

#: Of a trace, what stands once for a line; the rest is said of each conclusion from it.
_OF_LINE = (
    "id", "kind", "revision", "file", "sheet", "page", "row", "column", "box", "words", "rule",
    "sure", "first_hand", "said_by", "said_on", "said_on_basis", "said_until", "recorded_from",
    "recorded_to",
)  # fmt: skip


def show_lacks(  # one option each
    folder: Path,
    form: str,
    *,
    vehicle: str | None,
    include_all: bool,
    as_of: dt.date | None,
    known_now: bool,
    opened: str | None = None,
) -> None:
    """Show what is lacking, by assembly, and how complete the vehicle is."""
    from partmuster.answers.lacks import lacks  # noqa: PLC0415 - each answer loads its own

    club = Club.open(folder, tell=say)
    vocabulary = vocabulary_of(club)
    with club.reading() as con:
        answer = lacks(
            con, vocabulary, vehicle=vehicle, include_all=include_all, as_of=as_of,
            known_now=known_now, opened=opened,
        )  # fmt: skip
    if form != "table":
        show(answer.rows, form)
        return
    rows = _lacks_in_words(answer.rows, vocabulary)
    show(rows, form, columns=_LACKS_SHOWN, spare=_LACKS_SPARE, by="vehicle",
         nothing="nothing is lacking, as far as lists and surveys say")  # fmt: skip
    _how_to_open(rows)
    _completeness(answer.completeness, vocabulary, one=vehicle is not None)
    _cautions(_in_words(answer.rows, vocabulary))


def show_holders(
    folder: Path, form: str, words: str, *, as_of: dt.date | None, known_now: bool
) -> None:
    """Show who has a part."""
    from partmuster.answers.holders import holders  # noqa: PLC0415 - as above

    club = Club.open(folder, tell=say)
    vocabulary = vocabulary_of(club)
    with club.reading() as con:
        rows = holders(
            con, vocabulary, words, identify=identifier_of(con, vocabulary), as_of=as_of,
            known_now=known_now,
        )  # fmt: skip
    if form == "table":
        rows = _in_words(rows, vocabulary)
    show(rows, form, columns=_HOLDERS_SHOWN, spare=_HOLDERS_SPARE,
         nothing=f"nobody is known to have: {words}")  # fmt: skip


def show_donors(
    folder: Path,
    form: str,
    *,
    vehicle: str | None,
    part: str | None,
    include_all: bool,
    as_of: dt.date | None,
    known_now: bool,
) -> None:
    """Show where each missing part could come from."""
    from partmuster.answers.donors import donors  # noqa: PLC0415 - as above
    from partmuster.answers.vehicles import UnknownVehicleError  # noqa: PLC0415 - as above

    club = Club.open(folder, tell=say)
    vocabulary = vocabulary_of(club)
    with club.reading() as con:
        identify = identifier_of(con, vocabulary)
        asked: dict[str, Any] = {"include_all": include_all, "as_of": as_of, "known_now": known_now}
        try:
            rows = donors(con, vocabulary, vehicle, part, identify, **asked)
        except UnknownVehicleError:
            # `donors radiator`: the first word names a part, and all vehicles are meant
            if not identify(vehicle or "").get_column("accepted").any():
                raise
            vehicle, part = None, " ".join(filter(None, (vehicle, part)))
            rows = donors(con, vocabulary, vehicle, part, identify, **asked)
    if form != "table":
        show(rows, form)
        return
    rows = _in_words(rows, vocabulary)
    lacking = f"{vehicle} does not lack" if vehicle else "no vehicle lacks"
    show(rows, form, columns=_DONORS_SHOWN, spare=_DONORS_SPARE, by="vehicle",
         nothing=f"{lacking} {part or 'anything'}, as far as lists and surveys say")  # fmt: skip
    _cautions(rows)


def show_trace(
    folder: Path, form: str, identifiers: str, plugins: Callable[[], Host] | None = None
) -> None:
    """Show where lines come from, and what was concluded from them.

    ``plugins`` are asked how large a page is on which a line stands.
    """
    from partmuster.answers.trace import trace  # noqa: PLC0415 - as above

    club = Club.open(folder, tell=say)
    on_pages: OnPages | None = None
    with club.reading() as con:
        if _FIGURES.search(identifiers):
            from .reporting import figure_lines  # noqa: PLC0415 - as above

            identifiers = figure_lines(con, vocabulary_of(club), identifiers)
        rows = trace(con, identifiers)
        if plugins is not None and form == "table" and rows.get_column("page").count():
            from .on_pages import OnPages  # noqa: PLC0415 - as above

            on_pages = OnPages(club.archive, plugins)
            on_pages.find(con, rows.get_column("id").unique().to_list())
    if form != "table":
        show(rows, form)
        return
    # A trace is read down, not across: a line once, with each conclusion drawn from it.
    said: dict[str, Any] | None = None
    for row in rows.iter_rows(named=True):
        of_line = {name: row[name] for name in _OF_LINE}
        if of_line != said:
            _down(_with_page(of_line, on_pages), "")
            said = of_line
        _down({name: value for name, value in row.items() if name not in of_line}, "  ")


def _with_page(of_line: dict[str, Any], on_pages: OnPages | None) -> dict[str, Any]:
    """Return what is said of a line with the size of its page, and how to see it there."""
    if on_pages is None or of_line["page"] is None:
        return of_line
    box = of_line["box"] and on_pages.box(of_line["id"], of_line["box"])
    return of_line | {"box": box, "to_see_it": on_pages.how_to_see(of_line["id"])}


def show_match(folder: Path, form: str, words: str) -> None:
    """Show which parts some words could mean."""
    club = Club.open(folder, tell=say)
    vocabulary = vocabulary_of(club)
    with club.reading() as con:
        found = identifier_of(con, vocabulary)(words)
        standard = standard_in_force(con)
    show(found, form, nothing="this names nothing in the vocabulary")
    if form == "table":
        click.echo(standard.words()[:1].upper() + standard.words()[1:] + ".")
        if found.height and not found.get_column("accepted").any():
            click.echo(f"It waits for a person: {standard.why_waiting(*_leading(found))}.")


def _leading(found: pl.DataFrame) -> tuple[float, str]:
    """Return how likely the first candidate is, and the reasons given for it."""
    return found.select("probability", "reasons").row(0)


def _down(values: dict[str, Any], indent: str) -> None:
    """Print what is known, a line each; nothing where all is empty."""
    known = {name: plain(value) for name, value in values.items() if plain(value)}
    for name, value in known.items():
        click.echo(f"{indent}{name.replace('_', ' '):>16}: {value}")
    if known:
        click.echo()


def _in_words(rows: pl.DataFrame, vocabulary: Vocabulary) -> pl.DataFrame:
    """Return an answer as a table shows it: plain names, what belongs together in one cell."""
    parts = {part.part_id: part.name for part in vocabulary.parts}
    assemblies = {one.assembly_id: one.name for one in vocabulary.assemblies()}
    shown = [
        pl.col(column).replace(names)
        for column, names in (("part", parts), ("assembly", assemblies))
        if column in rows.columns
    ]
    shown += [
        pl.col(column).replace(_PLAIN_WORDS)
        for column in ("state", "fit", "verdict", "condition", "aim")
        if column in rows.columns
    ]
    if "build" in rows.columns:
        shown.append(
            pl.col("build").str.replace(
                " (taken from the vehicle's mark)", ", by its mark", literal=True
            )
        )
    rows = rows.with_columns(shown)
    if "hand" in rows.columns:
        which = pl.concat_str("hand", "position", separator=" ", ignore_nulls=True)
        item = pl.concat_str(pl.col("part"), pl.when(which != "").then(which), separator=", ",
                             ignore_nulls=True)  # fmt: skip
        rows = rows.with_columns(part=item)
    if {"from", "source"} <= set(rows.columns):
        where = pl.format("({})", pl.col("from").replace_strict(_WHERE_FROM, default=None))
        source = pl.concat_str("source", where, separator=" ", ignore_nulls=True)
        rows = rows.with_columns(source=source)
    return rows


def _lacks_in_words(rows: pl.DataFrame, vocabulary: Vocabulary) -> pl.DataFrame:
    """Return lacks as a table shows them: what a row opens into beside its part, remarks in one."""
    items = pl.when(pl.col("opens_into") == 1).then(pl.lit("item")).otherwise(pl.lit("items"))
    opens = pl.format("({} {})", pl.col("opens_into"), items)
    shown = _in_words(rows, vocabulary)
    return shown.with_columns(
        part=pl.concat_str(pl.col("part").replace("", None).fill_null("all of it"), opens,
                           separator=" ", ignore_nulls=True),
        remark=pl.concat_str(
            "depends_on", "later_change", pl.format("comes free {}", pl.col("comes_free")),
            separator="; ", ignore_nulls=True,
        ),
    )  # fmt: skip


def _how_to_open(rows: pl.DataFrame) -> None:
    """Say how the rows that stand for many items are opened, with the first of them."""
    folded = rows.filter(pl.col("opens_into").is_not_null())
    if folded.height:
        first = folded.row(0, named=True)
        what = first["assembly"] if first["part"].startswith("all of it") else (
            re.sub(r" \(\d+ items?\)$", "", first["part"]).split(",")[0]
        )  # fmt: skip
        say_wrapped("A line that stands for several items is opened with, for one: partmuster "
                    f'lacks "{first["vehicle"]}" --open "{what}"')  # fmt: skip


def _completeness(rows: pl.DataFrame, vocabulary: Vocabulary, *, one: bool) -> None:
    """Show how complete vehicles are: the whole and, of one vehicle, the assemblies short of it."""
    whole = pl.col("assembly").is_null()
    percent = pl.struct("low", "high").map_elements(_percent, return_dtype=pl.String)
    shown = _in_words(
        rows.filter(whole | (pl.lit(one) & (pl.col("low") < 1))), vocabulary
    ).with_columns(complete=percent, assembly=pl.col("assembly").fill_null("all"))
    show(shown, "table", title="How complete", columns=_WHOLE_SHOWN, spare=("sort",),
         nothing="nothing is required of it, as far as the parts lists say")  # fmt: skip


def _percent(share: dict[str, float]) -> str:
    """Return a range in whole percent, rounded so that only what is whole reads as 100."""
    low, high = int(share["low"] * 100 + 1e-9), int(share["high"] * 100 + 1e-9)
    return f"{low} %" if low == high else f"{low} to {high} %"


def _cautions(rows: pl.DataFrame) -> None:
    """Print the cautions of the parts shown, each once, with the parts it is for."""
    said = (
        rows.filter(pl.col("caution").is_not_null() & (pl.col("caution") != ""))
        .group_by("caution", maintain_order=True)
        .agg(pl.col("part").unique(maintain_order=True).str.join(", "))
    )
    for caution, parts in said.iter_rows():
        say_wrapped(f"Caution ({parts}): {caution}")
    if said.height:
        say_wrapped("Local law and licensed practice decide what may be done, and by whom.")
