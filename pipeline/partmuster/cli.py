"""The command ``partmuster``: the composition root, and the only place that names built-in plugins.

Commands import what they need when they run, so that ``--help`` starts fast and loads neither a
data library nor an outside plugin.
"""

from __future__ import annotations

import io
import os
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from partmuster_schemas.words import KINDS

from . import __version__
from .commands import FAILED_ASIDE
from .commands.building import builds, set_build
from .commands.options import as_of_options, document_options, format_option, workbook_option
from .model import PartmusterError
from .terminal_safe import visible

if TYPE_CHECKING:
    from .host import Host

#: Exit codes: everything done; something failed or waits for a person; the call was wrong.
DONE, FAILED, WRONG_CALL = 0, 1, 2

#: What questions can be about.
TOPICS = (
    "part", "vehicle", "holder", "place", "feature", "name", "reading", "marks", "layout",
    "version", "same-item", "same-sheet", "same-vehicle", "same-person",
)  # fmt: skip

BUILT_IN_PLUGINS = (
    "partmuster_plugins.spreadsheets",
    "partmuster_plugins.parts_lists",
    "partmuster_plugins.hand_notes",
    "partmuster_plugins.publishers",
)


class Failing(click.Group):
    """A group that shows a partmuster error as one clear line, without a traceback."""

    def invoke(self, ctx: click.Context) -> None:
        """Run the command."""
        try:
            super().invoke(ctx)
        except click.exceptions.Exit as end:
            ctx.exit(end.exit_code or int(FAILED_ASIDE in ctx.meta))
        except PartmusterError as error:
            click.echo(f"partmuster: {visible(str(error))}", err=True)
            ctx.exit(FAILED)
        except BrokenPipeError:
            # whoever read has seen enough; nothing is left to be flushed at the end
            os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        ctx.exit(int(FAILED_ASIDE in ctx.meta))


def plugins(*, outside: bool = True) -> Host:
    """Return the host with the built-in plugins and, if wanted, those installed beside it."""
    from importlib import import_module  # noqa: PLC0415 - plugins are loaded only when needed

    from .host import load_plugins  # noqa: PLC0415

    return load_plugins([import_module(name) for name in BUILT_IN_PLUGINS], outside=outside)


@click.group(cls=Failing, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="partmuster")
@click.option(
    "--club", type=click.Path(path_type=Path, file_okay=False), envvar="PARTMUSTER_CLUB",
    default=Path(), metavar="FOLDER",
    help="the club's folder (default: $PARTMUSTER_CLUB, else the current folder)",
)  # fmt: skip
@click.pass_context
def main(ctx: click.Context, club: Path) -> None:
    """What each vehicle really is, what it lacks, and who in the club can supply it."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")  # a terminal without some letter shows a mark
    ctx.obj = club


@main.command()
@click.option("--name", default=None, help="the club's name")
@click.option("--country", default=None, metavar="CC", help="two letters (ISO 3166-1), such as GB")
@click.pass_obj
def init(club: Path, name: str | None, country: str | None) -> None:
    """Make a new club folder."""
    from .commands.club import make_club  # noqa: PLC0415

    make_club(club, name, country)


@main.command("import")
@click.argument("paths", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option("--replaces", metavar="SOURCE", help="the file is a newer version of this source")
@click.option("--separate", is_flag=True, help="a list of its own, though much like another")
@click.option("--complete", is_flag=True, help="what a newer version leaves out has ended")
@click.option("--again", is_flag=True, help="read files again whose content is known")
@click.option("--by", default=None, help="who decides what a form says that carries no name")
@format_option
@click.pass_context
def import_(ctx: click.Context, /, paths: tuple[Path, ...], form: str, **options: Any) -> None:
    """Import files, or all files of folders. Importing twice changes nothing."""
    from .reading_apart.worker import ReadingApart, wants_process  # noqa: PLC0415

    with ReadingApart() as reading:
        if wants_process(paths):
            reading.start()  # it gets ready while this process loads its own libraries
        from .commands.importing import run_import  # noqa: PLC0415

        ctx.exit(run_import(ctx.obj, plugins(), paths, form, reading, **options))


@main.command()
@click.argument("vehicle", required=False)
@click.option("--all", "include_all", is_flag=True, help="also what was never there to be fitted")
@click.option("--open", "opened", metavar="ASSEMBLY|PART", default=None,
              help="only this assembly, or what belongs to this part, item by item")  # fmt: skip
@as_of_options
@format_option
@click.pass_obj
def lacks(club: Path, /, form: str, **asked: Any) -> None:
    """What a vehicle, or every vehicle, still lacks for what its owner wants of it."""
    from .commands.asking import show_lacks  # noqa: PLC0415

    show_lacks(club, form, **asked)


@main.command()
@click.argument("words", nargs=-1, required=True)
@as_of_options
@format_option
@click.pass_obj
def holders(club: Path, /, form: str, words: tuple[str, ...], **asked: Any) -> None:
    """Who has a part: in any words, or by its number (mudguard lh front)."""
    from .commands.asking import show_holders  # noqa: PLC0415

    show_holders(club, form, " ".join(words), **asked)


@main.command()
@click.argument("vehicle", required=False)
@click.argument("part", nargs=-1)
@click.option(
    "--all", "include_all", is_flag=True, help="also what is kept and why it is not offered"
)
@as_of_options
@format_option
@click.pass_obj
def donors(club: Path, /, form: str, part: tuple[str, ...], **asked: Any) -> None:
    """Where each missing part of a vehicle could come from, best first."""
    from .commands.asking import show_donors  # noqa: PLC0415

    show_donors(club, form, part=" ".join(part) or None, **asked)


@main.command()
@click.option("--month", default=None, metavar="YYYY-MM", help="default: the last full month")
@document_options("registrar", "members", "circulated")
@click.option("--known-now", is_flag=True,
              help="use what is known today of then, not what was recorded by then")  # fmt: skip
@click.option("--with-restricted", is_flag=True,
              help="circulated: also offer parts whose trade is restricted in many places",
)  # fmt: skip
@format_option
@click.pass_context
def report(ctx: click.Context, /, form: str, **options: Any) -> None:
    """Write the report of a month: what came, went, is wanted, lacks, and waits."""
    from .commands import reporting  # noqa: PLC0415

    ctx.exit(reporting.report(ctx.obj, plugins(), form, **options))


@main.command("vehicle-file")
@click.argument("vehicle")
@document_options("registrar", "members")
@as_of_options
@format_option
@click.pass_context
def vehicle_file(ctx: click.Context, /, form: str, vehicle: str, **options: Any) -> None:
    """Write all that is known of a vehicle: what it is, was built to, has, lacks, went through."""
    from .commands import reporting  # noqa: PLC0415

    ctx.exit(reporting.vehicle_file(ctx.obj, plugins(), form, vehicle, **options))


@main.command("yard-list")
@click.option("--vehicle", default=None, help="only for what this vehicle lacks")
@click.option("--at", default=None, metavar="HOLDER|VEHICLE",
              help="only what this holder has, or what is on this vehicle")  # fmt: skip
@document_options("registrar", "members")
@workbook_option
@format_option
@click.pass_context
def yard_list(ctx: click.Context, /, form: str, **options: Any) -> None:
    """Write what to take on a trip, which look-alike to refuse, and what to measure."""
    from .commands import reporting  # noqa: PLC0415

    ctx.exit(reporting.yard_list(ctx.obj, plugins(), form, **options))


@main.command("stock-take")
@click.argument("holder")
@workbook_option
@click.pass_obj
def stock_take(club: Path, holder: str, workbook: Path | None) -> None:
    """Write the form on which a holder counts what the lists say; import it to take it in."""
    from .commands import reporting  # noqa: PLC0415

    if workbook is None:
        raise click.UsageError("a stock-take is a form: say --workbook FILE.xlsx")
    reporting.stock_take(club, holder, workbook)


main.add_command(builds)
main.add_command(set_build)


@main.command()
@click.argument("part", nargs=-1, required=True)
@click.option("--on", default=None, metavar="BUILD|VEHICLE",
              help="a vehicle, or a build such as 'Otter Mk 1 late'")  # fmt: skip
@click.option("--with", "offered", default=None, metavar="WORDS",
              help="standard hardware to compare: '3/8 UNF bolt 1 1/4'")  # fmt: skip
@click.option("--duty", type=click.Choice(["steering", "brakes", "lifting"]), default=None,
              help="where hardware is for: there size alone is never enough")  # fmt: skip
@as_of_options
@format_option
@click.pass_obj
def fits(
    club: Path, /, form: str, part: tuple[str, ...], on: str | None, offered: str | None,
    duty: str | None, **asked: Any,
) -> None:  # fmt: skip
    """What can serve for a part there, and what never goes: by lists, statements and chains.

    With --with, whether one piece of standard hardware serves for another, by specification.
    """
    from .commands.fitting import show_fits, show_hardware_fit  # noqa: PLC0415

    if (on is None) == (offered is None):
        raise click.UsageError("say either --on BUILD|VEHICLE or --with WORDS.")
    if duty and offered is None:
        raise click.UsageError("--duty goes with --with WORDS.")
    if offered is not None:
        show_hardware_fit(form, " ".join(part), offered, duty or "")
    elif on is not None:
        show_fits(club, form, " ".join(part), on=on, **asked)


@main.command()
@click.argument("part")
@click.argument("vehicle")
@as_of_options
@format_option
@click.pass_obj
def explain(club: Path, /, form: str, part: str, **asked: Any) -> None:
    """Why each part that the club has goes, or does not go, on a vehicle."""
    from .commands.fitting import show_explanation  # noqa: PLC0415

    show_explanation(club, form, part, **asked)


@main.command()
@click.argument("identifiers", nargs=-1, required=True, metavar="ID...")
@format_option
@click.pass_obj
def trace(club: Path, form: str, identifiers: tuple[str, ...]) -> None:
    """Where a line or figure comes from: file, sheet or page, row, and the words there.

    ID is from the last column of any answer; a beginning will do that no other has.
    """
    from .commands.asking import show_trace  # noqa: PLC0415

    show_trace(club, form, " ".join(identifiers), plugins)


@main.command()
@click.argument("source", metavar="SOURCE")
@click.option("--out", type=click.Path(path_type=Path, dir_okay=False), metavar="FILE.html",
              default=None, help="the file to write (default: SOURCE-proof.html)")  # fmt: skip
@click.pass_context
def proof(ctx: click.Context, source: str, out: Path | None) -> None:
    """Show each page beside the lines read from it, in one HTML file for the registrar."""
    from .commands.proofing import write_proof  # noqa: PLC0415

    ctx.exit(write_proof(ctx.obj, plugins(), source, out))


@main.command()
@click.argument("words", nargs=-1, required=True)
@format_option
@click.pass_obj
def match(club: Path, form: str, words: tuple[str, ...]) -> None:
    """Which parts some words could mean, how sure, and why."""
    from .commands.asking import show_match  # noqa: PLC0415

    show_match(club, form, " ".join(words))


@main.command()
@format_option
@click.pass_context
def rematch(ctx: click.Context, form: str) -> None:
    """Match every description again, with the vocabulary and decisions of today."""
    from .commands.importing import run_rematch  # noqa: PLC0415

    ctx.exit(run_rematch(ctx.obj, plugins(), form))


@main.command()
@click.option("--topic", type=click.Choice(TOPICS), default=None, help="only these")
@format_option
@click.pass_obj
def questions(club: Path, form: str, topic: str | None) -> None:
    """What only a person can settle, the most lines first."""
    from .commands.deciding import show_questions  # noqa: PLC0415

    show_questions(club, form, topic)


@main.command()
@click.option("--topic", default=None, help="only these: a topic of 'questions', or unknown")
@click.option("--limit", type=click.IntRange(min=1), default=None, help="so many at most")
@click.option("--by", default=None, help="who answers: asks one by one")
@workbook_option
@format_option
@click.pass_context
def review(ctx: click.Context, /, form: str, **asked: Any) -> None:
    """What people should settle, most valuable first; one by one with --by."""
    from .commands.reviewing import review as run  # noqa: PLC0415

    ctx.exit(run(ctx.obj, plugins(), form, topics=TOPICS, **asked))


@main.command()
@format_option
@click.pass_obj
def duplicates(club: Path, form: str) -> None:
    """What stands twice, or may: items, lists, vehicles, and numbers on two vehicles."""
    from .commands.duplicates import show_duplicates  # noqa: PLC0415

    show_duplicates(club, form)


@main.command()
@click.argument("source")
@click.argument("other")
@click.option("--by", required=True, help="who says so")
@click.option("--note", default=None, help="why, in your words")
@click.pass_obj
def join(club: Path, source: str, other: str, by: str, note: str | None) -> None:
    """Say that two sources are one list under two names: what both have counts once."""
    from .commands.duplicates import join_sources  # noqa: PLC0415

    join_sources(club, plugins(), source, other, by, note)


@main.command()
@click.argument("question")
@click.argument("answer")
@click.option("--by", required=True, help="who decides")
@click.option("--note", default=None, help="why, in your words")
@click.option("--source", default=None, help="it holds for these words in this source alone")
@click.option("--line", default=None, help="it holds for this line alone")
@click.option("--alike", is_flag=True, help="also for what 'review' puts together with it")
@click.pass_context
def answer(ctx: click.Context, /, question: str, answer: str, **said: Any) -> None:
    """Settle a question; the decision is kept, with who and when, and can be undone.

    QUESTION may be the id of a line, too: then it is about the words of that line.
    """
    from .commands.deciding import settle  # noqa: PLC0415

    ctx.exit(settle(ctx.obj, plugins(), question, answer, **said))


@main.command()
@click.argument("decision")
@click.option("--by", required=True, help="who takes it back")
@click.pass_context
def undo(ctx: click.Context, decision: str, by: str) -> None:
    """Take a decision back."""
    from .commands.deciding import undo_decision  # noqa: PLC0415

    ctx.exit(undo_decision(ctx.obj, plugins(), decision, by))


@main.command()
@click.option("--effects", is_flag=True, help="also how many lines each is about, and what changed")
@format_option
@click.pass_obj
def decisions(club: Path, form: str, effects: bool) -> None:
    """What people have decided, and when."""
    from .commands.deciding import show_decisions  # noqa: PLC0415

    show_decisions(club, form, with_effects=effects)


@main.command()
@click.option("--source", default=None, help="only of this source")
@workbook_option
@format_option
@click.pass_obj
def mending(club: Path, form: str, source: str | None, workbook: Path | None) -> None:
    """Lines that could not be loaded: where, what is wrong, and what to do."""
    from .commands.mending import show_mending, write_workbook  # noqa: PLC0415

    if workbook is not None:
        write_workbook(club, workbook, source)
    else:
        show_mending(club, form, source)


@main.command()
@format_option
@click.pass_obj
def sources(club: Path, form: str) -> None:
    """What has been imported, with the sum of its lines."""
    from .commands.sources import show_sources  # noqa: PLC0415

    show_sources(club, form)


@main.command()
@click.argument("source")
@click.option("--sheet", default=None, help="the sheet meant, where there are several")
@click.option("--kind", type=click.Choice(KINDS), default=None,
              help="the kind of line this table holds")  # fmt: skip
@click.option("--field", "fields", multiple=True, metavar="HEADING=FIELD",
              help="the field a column holds")  # fmt: skip
@click.option("--mark", "marks", multiple=True, metavar="MARK=MEANING",
              help="what a mark or colour means: Y=fitted, 'colour yellow=kept'")  # fmt: skip
@click.option("--header-row", default=None, metavar="ROW",
              help="the row of the headings; 'none' where there are none")  # fmt: skip
@click.option("--holder", default=None, help="whose list it is, where no column says")
@click.option("--family", default=None, help="the family a parts list is for")
@click.option("--vehicle", default=None, help="the vehicle a survey is of")
@click.option("--basis", default=None, type=click.Choice(["vehicle", "figure", "assembly"]),
              help="what the quantities of a parts list are for")  # fmt: skip
@click.option("--by", default=None, help="who says so (needed to change anything)")
@format_option
@click.pass_context
def layout(ctx: click.Context, /, source: str, form: str, **told: Any) -> None:
    """Show what each column was taken for, or set it and read the source again."""
    from .commands.layout import show_or_set_layout  # noqa: PLC0415

    ctx.exit(show_or_set_layout(ctx.obj, plugins, source, form, **told))


@main.command()
@click.argument("name", required=False)
@click.argument("value", required=False)
@format_option
@click.pass_obj
def settings(club: Path, form: str, name: str | None, value: str | None) -> None:
    """Show or set facts about the club: country, club-name, match-error."""
    from .commands.club import show_or_set_settings  # noqa: PLC0415

    show_or_set_settings(club, form, name, value)


@main.command()
@click.argument("folder", metavar="FOLDER", type=click.Path(path_type=Path))
@click.option("--audience", type=click.Choice(["registrar", "members", "circulated"]),
              default="registrar", show_default=True, help="whom the copy is for")  # fmt: skip
@click.option("--with-archive/--without-archive", "with_archive", default=None,
              help="also the sheets themselves (default: for the registrar)")  # fmt: skip
@click.pass_context
def export(ctx: click.Context, folder: Path, audience: Any, with_archive: bool | None) -> None:
    """Write the whole club into a new FOLDER: every table as Parquet and CSV, and the sheets."""
    from .commands.moving import run_export  # noqa: PLC0415

    ctx.exit(run_export(ctx.obj, folder, audience, with_archive))


@main.command()
@click.argument("folder", metavar="FOLDER", type=click.Path(path_type=Path))
@click.pass_context
def rebuild(ctx: click.Context, folder: Path) -> None:
    """Make a new club (--club NEW) from the FOLDER that 'export' wrote."""
    from .commands.moving import run_rebuild  # noqa: PLC0415

    ctx.exit(run_rebuild(ctx.obj, folder))


@main.command()
@click.argument("file", metavar="FILE", type=click.Path(path_type=Path, dir_okay=False))
@click.pass_context
def backup(ctx: click.Context, file: Path) -> None:
    """Keep the whole club in one new FILE (ZIP), while others read it."""
    from .commands.moving import run_backup  # noqa: PLC0415

    ctx.exit(run_backup(ctx.obj, file))


@main.command()
@click.argument("file", metavar="FILE", type=click.Path(path_type=Path, dir_okay=False))
@click.pass_context
def restore(ctx: click.Context, file: Path) -> None:
    """Make a new club (--club NEW) from a backup FILE, all of it checked first."""
    from .commands.moving import run_restore  # noqa: PLC0415

    ctx.exit(run_restore(ctx.obj, file))


@main.command()
@click.argument("name")
@click.option("--by", required=True, help="who does it")
@click.option("--also", multiple=True, metavar="WORDS",
              help="words that mean this person wherever they stand")  # fmt: skip
@click.option("--yes", is_flag=True, help="do it; without this, what would be removed is shown")
@click.pass_context
def forget(ctx: click.Context, name: str, by: str, also: tuple[str, ...], yes: bool) -> None:
    """Remove a person who asks for it: name, contacts, words and sheets. What they held stays."""
    from .commands.forgetting import run_forget  # noqa: PLC0415

    ctx.exit(run_forget(ctx.obj, name, by, also, yes=yes))


@main.command()
@click.option("--keep", type=click.Path(path_type=Path), default=None,
              help="keep the demo club in this new folder")  # fmt: skip
@click.pass_context
def demo(ctx: click.Context, keep: Path | None) -> None:
    """Import an invented club and walk through the questions."""
    from .commands.demo import walk_through  # noqa: PLC0415

    ctx.exit(walk_through(plugins(outside=False), keep))


if __name__ == "__main__":
    main()
