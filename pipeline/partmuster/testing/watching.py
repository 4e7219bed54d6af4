"""Sees which files, connections and programs a piece of code touches, by Python's audit events."""

from __future__ import annotations

import os
import sys
from contextlib import contextmanager
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Iterator

#: What changes files without opening them.
_CHANGES = (
    "os.chmod", "os.link", "os.mkdir", "os.remove", "os.rename", "os.rmdir", "os.symlink",
    "os.truncate", "os.utime",
)  # fmt: skip
_WRITES = os.O_WRONLY | os.O_RDWR | os.O_CREAT | os.O_APPEND | os.O_TRUNC
_OUTSIDE = ("socket.connect", "socket.getaddrinfo", "subprocess.Popen", "os.system", "os.exec")
_FREE = (os.devnull, "/dev/urandom", "/proc/self", "/usr/share/zoneinfo")

_watch: list[tuple[Path, bool, list[str]]] = []


@contextmanager
def what_was_touched(allowed: Path, *, libraries: bool = False) -> Iterator[list[str]]:
    """Collect what is opened, changed or called inside the block.

    One file or folder is free, and so are Python's modules; with ``libraries`` all that came with
    them may be read. Native code that opens files without Python is not seen.
    """
    _listen()
    touched: list[str] = []
    _watch.append((allowed.resolve(), libraries, touched))
    try:
        yield touched
    finally:
        _watch.pop()


@lru_cache(maxsize=1)
def _listen() -> None:
    sys.addaudithook(_heard)  # cannot be taken away again, so it is set once and mostly idle


def _heard(event: str, arguments: tuple[Any, ...]) -> None:
    if not _watch:
        return
    allowed, libraries, touched = _watch[-1]
    if event in _OUTSIDE:
        touched.append(f"{event} {arguments[:2]}")
    elif event == "open" or event in _CHANGES:
        reads = event == "open" and not int(arguments[2] or 0) & _WRITES
        for path in _paths(event, arguments):
            free = _is_free(path) or (libraries and reads and _is_of_a_library(path))
            if not free and not path.is_relative_to(allowed):
                touched.append(f"{'opened' if event == 'open' else event} {path}")


def _paths(event: str, arguments: tuple[Any, ...]) -> Iterator[Path]:
    """Yield the files that an event names; files that are open already have numbers instead."""
    for named in arguments[: 2 if event in ("os.rename", "os.link", "os.symlink") else 1]:
        if isinstance(named, (str, bytes, os.PathLike)):
            yield Path(os.fsdecode(named)).absolute()


def _is_free(path: Path) -> bool:
    if str(path).startswith(_FREE) or "__pycache__" in path.parts:
        return True
    module = path.suffix in {".py", ".pyc", ".so", ".pyd", ".pth"}
    # a library's own version is looked up in its metadata, on every place of modules
    metadata = path in _homes() or path.parent.suffix == ".dist-info"
    return (module or metadata) and _is_of_a_library(path)


def _is_of_a_library(path: Path) -> bool:
    return any(path.is_relative_to(home) for home in _homes())


def _homes() -> list[Path]:
    return [Path(entry) for entry in (*sys.path, sys.prefix, sys.base_prefix) if entry]
