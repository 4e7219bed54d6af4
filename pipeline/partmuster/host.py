"""Finds plugins, isolates their failures, and settles which importer reads a file.

No data library is loaded here; outside plugins are looked for only when asked.
"""

from __future__ import annotations

import math
import tempfile
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal

import pluggy

from .hooks import PROJECT, Importer, Matcher, PageDrawer, Publisher, Specification
from .model import Claim, PageDrawing, PartmusterError, SourceFile, SourceUnreadableError

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence
    from importlib.metadata import EntryPoint

    from .hooks import ClubView

#: How much of a file a source carries for sniffing, in bytes.
HEAD_BYTES = 4096

#: What a plugin may raise and be left out for: polars panics and ``sys.exit`` are no Exceptions.
_PASS_ON = (KeyboardInterrupt, GeneratorExit)


@dataclass(frozen=True, slots=True)
class ClaimFailure:
    """Why no importer reads a file: nobody claims it, or several do equally."""

    kind: Literal["not claimed", "claimed equally"]
    text: str
    importers: tuple[str, ...] = ()


@dataclass(slots=True)
class Host:
    """The plugins at hand, and what went wrong with the others: (plugin name, text).

    ``built_in`` names the importers that come with this program.
    """

    importers: list[Importer] = field(default_factory=list)
    matchers: list[Matcher] = field(default_factory=list)
    publishers: list[Publisher] = field(default_factory=list)
    failures: list[tuple[str, str]] = field(default_factory=list)
    built_in: set[str] = field(default_factory=set)

    def claim(self, source: SourceFile) -> Importer | ClaimFailure:
        """Return the importer with the strongest claim, or why there is none.

        An importer that raises, or answers with something that is no claim, is added to
        ``failures`` and counts as claiming nothing.
        """
        claims = [
            (importer, claim.strength)
            for importer in self.importers
            if (claim := self._sniff(importer, source)) is not None
        ]
        if not claims:
            return ClaimFailure("not claimed", f"{source.name}: no importer reads files like this")
        strongest = max(strength for _, strength in claims)
        first, *others = [importer for importer, strength in claims if strength == strongest]
        if not others:
            return first
        names = tuple(importer.name for importer in (first, *others))
        listed = " and ".join(f"'{name}'" for name in names)
        text = (
            f"{source.name}: the importers {listed} claim it equally ({strongest:g}). "
            "Remove one of these plugins, or ask its author for a weaker claim."
        )
        return ClaimFailure("claimed equally", text, names)

    def _sniff(self, importer: Importer, source: SourceFile) -> Claim | None:
        try:
            claim: object = importer.sniff(source)
        except _PASS_ON:
            raise
        except BaseException as fault:  # noqa: BLE001 - one bad plugin never stops the rest
            self._fail(importer.name, f"failed while looking at {source.name}: {_words(fault)}")
            return None
        if claim is None:
            return None
        if not isinstance(claim, Claim):
            self._fail(importer.name, f"answered {_short(claim)} for {source.name}, not a Claim")
            return None
        if not _is_strength(claim.strength):
            self._fail(
                importer.name,
                f"claimed {source.name} with strength {_short(claim.strength)}, not from 0 to 1",
            )
            return None
        return claim

    def draw(self, importer: str, source: SourceFile, page: int) -> PageDrawing | str:
        """Return a page as the importer of that name shows it, or why it is not shown.

        An importer that fails, or hands over what is no picture, is added to ``failures``.
        """
        drawer = next((one for one in self.importers if one.name == importer), None)
        if drawer is None:
            return f"the plugin '{importer}' that read it is not installed"
        if not isinstance(drawer, PageDrawer):
            return f"the plugin '{importer}' that read it shows no pages"
        place = f"page {page} of {source.name}"
        try:
            drawing: object = drawer.draw(source, page)
        except _PASS_ON:
            raise
        except SourceUnreadableError as fault:
            return str(fault)
        except BaseException as fault:  # noqa: BLE001 - one bad plugin never stops the rest
            self._fail(importer, f"failed while drawing {place}: {_words(fault)}")
            return "the page could not be drawn"
        if not isinstance(drawing, PageDrawing) or not _is_drawing(drawing):
            self._fail(importer, f"drew {_short(drawing)} for {place}, not a picture with its size")
            return "the page could not be drawn"
        return drawing

    def publish(self, publisher: Publisher, view: ClubView, folder: Path) -> list[Path] | str:
        """Let a publisher write a document into a folder, all of its files or none.

        Returns the files, or why there are none; what a publisher does wrong is named in
        ``failures`` as well. Files that stand there under the same names are written anew.
        """
        with tempfile.TemporaryDirectory(dir=folder, prefix=".publishing-") as aside:
            try:
                made = [Path(one).resolve() for one in publisher.publish(view, Path(aside))]
            except _PASS_ON:
                raise
            except PartmusterError as fault:
                return str(fault)
            except BaseException as fault:  # noqa: BLE001 - one bad plugin never stops the rest
                self._fail(publisher.name, f"failed while writing {view.title}: {_words(fault)}")
                return self.failures[-1][1]
            root = Path(aside).resolve()
            wrong = [one for one in made if root not in one.parents or not one.is_file()]
            if wrong or not made:
                what = f"named a file that it did not write: {wrong[0].name}" if wrong else (
                    "wrote nothing"
                )  # fmt: skip
                self._fail(publisher.name, f"{what} ({view.title})")
                return self.failures[-1][1]
            written = []
            for one in made:
                target = folder / one.relative_to(root)
                target.parent.mkdir(parents=True, exist_ok=True)
                one.replace(target)
                written.append(target)
        return written

    def _fail(self, plugin: str, text: str) -> None:
        self.failures.append((plugin, f"plugin '{plugin}' {text}"))


def source_file(path: Path, name: str | None = None) -> SourceFile:
    """Return a file as importers see it, under the name given (else its own).

    Raises:
        OSError: the file cannot be opened.
    """
    with path.open("rb") as stream:
        head = stream.read(HEAD_BYTES)
    return SourceFile(path=path, name=name or path.name, size=path.stat().st_size, head=head)


def load_plugins(builtins: Sequence[object], outside: bool = True) -> Host:
    """Return a host of the built-in plugins and, if asked, those installed beside it.

    Outside plugins come by the entry point group "partmuster", one by one: one that cannot be
    loaded, misspells a hook or hands over nonsense is named in ``failures`` and left out.
    """
    host = Host()
    manager = pluggy.PluginManager(PROJECT)
    manager.add_hookspecs(Specification)
    for plugin in builtins:
        _register(manager, host, str(getattr(plugin, "__name__", type(plugin).__name__)), plugin)
    if outside:
        for entry in _entry_points():
            try:
                plugin = entry.load()
            except _PASS_ON:
                raise
            except BaseException as fault:  # noqa: BLE001 - one bad plugin never stops the rest
                host._fail(entry.name, f"could not be loaded: {_words(fault)}")  # noqa: SLF001 - same module
                continue
            _register(manager, host, entry.name, plugin)
    host.importers = list(_handed_over(manager, host, "importers", _importer_fault, builtins))
    host.matchers = list(_handed_over(manager, host, "matchers", _matcher_fault))
    host.publishers = list(_handed_over(manager, host, "publishers", _publisher_fault))
    return host


def _entry_points() -> list[EntryPoint]:
    """Return the installed plugins' entry points in a settled order, each once."""
    from importlib.metadata import entry_points  # noqa: PLC0415 - slow, only when asked

    found = {(entry.name, entry.value): entry for entry in entry_points(group=PROJECT)}
    return [found[key] for key in sorted(found)]


def _register(manager: pluggy.PluginManager, host: Host, name: str, plugin: object) -> None:
    """Register one plugin; name it as failed and leave it out if it misuses the hooks."""
    fail = host._fail  # noqa: SLF001 - same module
    try:
        if manager.register(plugin, name) is None:
            return
        manager.check_pending()
        if not manager.get_hookcallers(plugin):
            manager.unregister(plugin)
            fail(name, "was left out: it fills none of the hooks (are they marked @hookimpl?)")
    except _PASS_ON:
        raise
    except BaseException as fault:  # noqa: BLE001 - one bad plugin never stops the rest
        if manager.get_plugin(name) is plugin:
            manager.unregister(plugin)
        fail(name, f"was left out: {_words(fault)}")


def _handed_over(
    manager: pluggy.PluginManager,
    host: Host,
    what: str,
    fault_of: Callable[[Any], str | None],
    builtins: Sequence[object] = (),
) -> Iterator[Any]:
    """Yield the objects that the plugins hand over by one hook, without the unusable ones.

    Those of ``builtins`` are noted as built in.
    """
    fail = host._fail  # noqa: SLF001 - same module
    taken: dict[str, str] = {}
    hook = getattr(manager.hook, f"partmuster_{what}")
    for implementation in hook.get_hookimpls():
        plugin = implementation.plugin_name
        try:
            handed: object = implementation.function()
        except _PASS_ON:
            raise
        except BaseException as fault:  # noqa: BLE001 - one bad plugin never stops the rest
            fail(plugin, f"failed in the hook partmuster_{what}: {_words(fault)}")
            continue
        if not isinstance(handed, (list, tuple)):
            fail(plugin, f"handed over {_short(handed)} as {what}, not a list")
            continue
        for item in handed:
            fault_text = fault_of(item)
            if fault_text is None and item.name in taken:
                fault_text = f"its name '{item.name}' is taken by plugin '{taken[item.name]}'"
            if fault_text is not None:
                fail(plugin, f"handed over {_short(item)} among its {what}: {fault_text}")
                continue
            taken[item.name] = plugin
            if any(implementation.plugin is one for one in builtins):
                host.built_in.add(item.name)
            yield item


def _importer_fault(item: object) -> str | None:
    return _protocol_fault(item, Importer, ("sniff", "read"))


def _matcher_fault(item: object) -> str | None:
    return _protocol_fault(item, Matcher, ("candidates",))


def _publisher_fault(item: object) -> str | None:
    return _protocol_fault(item, Publisher, ("publish",))


def _protocol_fault(item: object, protocol: type, methods: tuple[str, ...]) -> str | None:
    """Return why an object is not what its hook asks for, or None."""
    if isinstance(item, type):
        return "it is a class; hand over an instance"
    try:
        if not isinstance(item, protocol):
            wanted = ", ".join(("name", "version", *methods))
            return f"it is no {protocol.__name__} (needs {wanted})"
        texts = [getattr(item, attribute) for attribute in ("name", "version")]
        calls = [getattr(item, method) for method in methods]
    except _PASS_ON:
        raise
    except BaseException as fault:  # noqa: BLE001 - a property of a plugin's object may do anything
        return f"it cannot be looked at: {_words(fault)}"
    if not all(isinstance(text, str) and text for text in texts):
        return "its name and version must be texts"
    if not all(callable(call) for call in calls):
        return f"its {' and '.join(methods)} must be callable"
    return None


def _is_drawing(drawing: PageDrawing) -> bool:
    sides = (drawing.width, drawing.height)
    if not isinstance(drawing.picture, bytes) or drawing.media_type is None:
        return False
    return all(isinstance(side, (int, float)) and 0 < side < math.inf for side in sides)


def _is_strength(strength: object) -> bool:
    number = isinstance(strength, (int, float)) and not isinstance(strength, bool)
    return number and not math.isnan(strength) and 0 <= strength <= 1  # type: ignore[arg-type,operator]


def _words(fault: BaseException) -> str:
    """Return a fault in one line: its type and text."""
    text = " ".join(str(fault).split())
    return f"{type(fault).__name__}: {text}" if text else type(fault).__name__


def _short(value: object) -> str:
    """Return an object's words, cut short; a plugin's own ``__repr__`` may fail."""
    try:
        words = repr(value)
    except Exception:  # noqa: BLE001 - named by its type then
        words = f"a {type(value).__name__}"
    return words if len(words) <= 60 else words[:57] + "..."  # noqa: PLR2004 - one line of text
