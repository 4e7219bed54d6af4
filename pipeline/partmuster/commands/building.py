"""What each assembly of a vehicle was built to: asked for, and set by the registrar."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

import click

from .options import as_of_options, format_option

if TYPE_CHECKING:
    import datetime as dt
    from pathlib import Path

    import polars as pl

    from partmuster.answers.builds import BuildsAnswer

#: An id as a table shows it: cut to a beginning that no other has.
_LONG_ID = re.compile(r"\b([a-z]+-[0-9a-f]{8})[0-9a-f]+(\.\d+)\b")
_SHOWN = ("build", "probability", "standing", "agrees")
_EVIDENCE_SHOWN = ("bits", "evidence", "sort", "feature_group", "not_counted", "trace")
_BESIDE_SHOWN = ("assembly", "evidence", "not_counted", "trace")
_EVIDENCE_SPARE = ("feature_group", "sort")


@click.command()
@click.argument("vehicle")
@click.option("--assembly", default=None, help="only this assembly")
@as_of_options
@format_option
@click.pass_obj
def builds(club: Path, /, form: str, vehicle: str, **asked: Any) -> None:
    """Tell what each assembly of a vehicle was built to, and what speaks for and against it."""
    show_builds(club, form, vehicle, **asked)


def show_builds(
    club: Path,
    form: str,
    vehicle: str,
    *,
    assembly: str | None = None,
    as_of: dt.date | None = None,
    known_now: bool = False,
) -> None:
    """Show what the assemblies of a vehicle (None = all of them) were built to."""
    from partmuster.answers.builds import builds as answer_builds  # noqa: PLC0415 - when it runs
    from partmuster.output import show  # noqa: PLC0415 - as above
    from partmuster.store.club import Club  # noqa: PLC0415 - as above

    from .club import say, vocabulary_of  # noqa: PLC0415 - as above

    opened = Club.open(club, tell=say)
    vocabulary = vocabulary_of(opened)
    with opened.reading() as con:
        answer = answer_builds(con, vocabulary, vehicle, assembly, as_of, known_now)
    if form != "table":
        show(answer.rows, form)
        return
    _show_in_words(answer, {one.assembly_id: one.name for one in vocabulary.assemblies()})


def _show_in_words(answer: BuildsAnswer, names: dict[str, str]) -> None:
    """Print an assembly after the other: candidates, evidence, contradictions, what to look at."""
    from partmuster.output import say_wrapped, show  # noqa: PLC0415 - when it runs

    if not answer.rows.height:
        click.echo("nothing is known that tells the build of an assembly of its own")
    for (assembly,), rows in answer.rows.group_by("assembly", maintain_order=True):
        leading = rows.row(0, named=True)
        show(_rounded(rows), "table", title=names.get(str(assembly), str(assembly)),
             columns=_SHOWN)  # fmt: skip
        evidence = _evidence(answer, str(assembly), leading["build"])
        if evidence.height:
            show(_rounded(evidence), "table", title=f"For and against {leading['build']}",
                 columns=_EVIDENCE_SHOWN, spare=_EVIDENCE_SPARE)  # fmt: skip
        if leading["contradiction"]:
            said = _LONG_ID.sub(r"\1\2", leading["contradiction"])
            say_wrapped(f"The evidence contradicts itself: {said}")
        if leading["look_at"]:
            say_wrapped(f"To look at next: {leading['look_at']}")
    told = answer.rows.get_column("assembly").unique()
    beside = answer.evidence.filter(~answer.evidence.get_column("assembly").is_in(told.to_list()))
    if beside.height:
        show(beside, "table", title="Seen, and tells nothing", columns=_BESIDE_SHOWN)
    if answer.hybrid:
        say_wrapped(answer.hybrid[0].upper() + answer.hybrid[1:])
    if (answer.rows.get_column("standing") == "not settled").any():
        click.echo("Settle one with: partmuster set-build VEHICLE ASSEMBLY BUILD --by YOUR-NAME")


def _evidence(answer: BuildsAnswer, assembly: str, build: str) -> pl.DataFrame:
    """Return the evidence about a candidate, in order of weight, then what does not count."""
    import polars as pl  # noqa: PLC0415 - when it runs

    of_it = answer.evidence.filter(pl.col("assembly") == assembly)
    shown = of_it.filter((pl.col("build") == build) | pl.col("build").is_null())
    if shown.height:
        return shown
    # a build that no family file names: what speaks for those that it names
    return of_it.with_columns(
        evidence=pl.concat_str("evidence", "build", separator=" -> ", ignore_nulls=True)
    )


def _rounded(rows: pl.DataFrame) -> pl.DataFrame:
    import polars as pl  # noqa: PLC0415 - when it runs

    return rows.with_columns(
        [pl.col(name).round(places) for name, places in (("probability", 3), ("bits", 1))
         if name in rows.columns]
    )  # fmt: skip


@click.command("set-build")
@click.argument("vehicle")
@click.argument("assembly")
@click.argument("build")
@click.option("--by", required=True, help="who decides")
@click.option("--note", default=None, help="why, in your words")
@click.pass_obj
def set_build(  # one option each
    club: Path, /, vehicle: str, assembly: str, build: str, by: str, note: str | None
) -> None:
    """Set what an assembly of a vehicle was built to; the decision is kept and can be undone.

    BUILD is a mark, a phase or both ("Mk 2 early"), or 'none' where it is no known build.
    """
    import datetime as dt  # noqa: PLC0415 - when it runs
    import secrets  # noqa: PLC0415 - as above

    from partmuster.answers.builds import builds as answer_builds  # noqa: PLC0415 - as above
    from partmuster.answers.builds import find_assembly  # noqa: PLC0415 - as above
    from partmuster.answers.vehicles import find_vehicle  # noqa: PLC0415 - as above
    from partmuster.output import say_wrapped  # noqa: PLC0415 - as above
    from partmuster.store.club import Club  # noqa: PLC0415 - as above
    from partmuster.store.decisions import record_decision  # noqa: PLC0415 - as above

    from .club import say, vocabulary_of  # noqa: PLC0415 - as above
    from .deciding import tell_contradiction  # noqa: PLC0415 - as above

    opened = Club.open(club, tell=say)
    vocabulary = vocabulary_of(opened)
    answer = _build(build)
    assembly_id = find_assembly(vocabulary, assembly)
    with opened.reading() as con:
        vehicle_id = find_vehicle(con, vehicle)
    decision_id = secrets.token_hex(6)
    subject = f"{vehicle_id}|{assembly_id}"
    with opened.writing() as con:
        record_decision(
            con, topic="build", subject=subject, answer=answer, decided_by=by,
            decided_at=dt.datetime.now(), decision_id=decision_id, note=note,  # noqa: DTZ005 - a club keeps its own local time
        )  # fmt: skip
    tell_contradiction(opened, "build", subject)
    click.echo(f"decision {decision_id} is kept; take it back with: partmuster undo {decision_id}")
    with opened.reading() as con:
        rows = answer_builds(con, vocabulary, vehicle, assembly_id).rows.to_dicts()
    for row in rows:
        if row["standing"] == "set by the registrar":
            say_wrapped(f"{assembly_id} {row['build']}: {row['agrees']}")
    named = [row["build"] for row in rows if row["standing"] == "settled otherwise"]
    if named and not any(row["evidence_for"] or row["evidence_against"] for row in rows[:1]):
        others = ", ".join(name for name in named if not name.startswith("none"))
        say_wrapped(f"No list tells it by any feature; lists tell of {others}")


def _build(words: str) -> str:
    """Return a build as a decision keeps it: 'Mk 2 early', or 'none'.

    Raises:
        PartmusterError: the words are no one build.
    """
    from partmuster.model import PartmusterError  # noqa: PLC0415 - when it runs
    from partmuster.reading.builds import read_build  # noqa: PLC0415 - as above
    from partmuster.store.decisions import NONE  # noqa: PLC0415 - as above

    if words.strip().lower().startswith((NONE, "converted")):
        return NONE
    reading = read_build(words)
    if reading.problem or not (reading.mark or reading.phase):
        raise PartmusterError(
            f"'{words}' is no build: give a mark, a phase or both, such as 'Mk 2 early', or 'none' "
            "where it is none of the known builds, or converted"
        )
    return " ".join(filter(None, (reading.mark, reading.phase)))
