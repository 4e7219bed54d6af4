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

_OUTSIDE = ("socket.connect", "socket.getaddrinfo", "subprocess.Popen", "os.system", "os.exec")
_FREE = (os.devnull, "/dev/urandom", "/proc/self", "/usr/share/zoneinfo")

_watch: list[tuple[Path, list[str]]] = []


@contextmanager
def what_was_touched(allowed: Path) -> Iterator[list[str]]:
    """Collect what is opened or called inside the block, beside one file and Python's modules.

    Native code that opens files without Python is not seen.
    """
    _listen()
    touched: list[str] = []
    _watch.append((allowed.resolve(), touched))
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
    allowed, touched = _watch[-1]
    if event in _OUTSIDE:
        touched.append(f"{event} {arguments[:2]}")
    elif event == "open" and isinstance(arguments[0], (str, bytes, os.PathLike)):
        path = Path(os.fsdecode(arguments[0])).absolute()
        if path not in {allowed, allowed.absolute()} and not _is_free(path):
            touched.append(f"opened {path}")


def _is_free(path: Path) -> bool:
    if str(path).startswith(_FREE) or "__pycache__" in path.parts:
        return True
    homes = [Path(entry) for entry in (*sys.path, sys.prefix, sys.base_prefix) if entry]
    module = path.suffix in {".py", ".pyc", ".so", ".pyd", ".pth"}
    # a library's own version is looked up in its metadata, on every place of modules
    metadata = path in homes or path.parent.suffix == ".dist-info"
    return (module or metadata) and any(path.is_relative_to(home) for home in homes)
