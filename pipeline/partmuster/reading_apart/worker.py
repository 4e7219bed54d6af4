"""Reads files in one process beside this one, so that no file can end, stop or fill an import.

No data library is loaded here, so that the process can be started before this one loads any.
"""

from __future__ import annotations

import contextlib
import os
import pickle
import queue
import signal
import subprocess
import sys
import tempfile
import threading
import time
from collections import deque
from dataclasses import dataclass, field
from typing import IO, TYPE_CHECKING, Any, Self

from partmuster.forms.recognising import is_form
from partmuster.model import SourceUnreadableError

from .blocks import receive, send
from .child import BATCH

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable
    from pathlib import Path

    from partmuster.hooks import Importer
    from partmuster.model import SourceFile
    from partmuster.stages.read import ReadResult


@dataclass(frozen=True, slots=True)
class Limits:
    """What reading one file may take: memory beyond the start (Linux only), and time."""

    memory_bytes: int = 4 << 30
    seconds: float = 600

    @property
    def memory(self) -> str:
        """The limit of memory in words."""
        return f"{self.memory_bytes / (1 << 30):g} GB of memory"


#: Threads of the data library in the reading process; each takes address space.
_THREADS = 2
#: Beyond its time limit the process is waited for this long to end itself, in seconds.
_GRACE = 5.0
#: Small enough to be read here: starting the process costs half a second, reading this 50 ms.
_SMALL = 1_000_000
_TEXT_SUFFIXES = frozenset({".csv", ".tsv", ".tab", ".psv", ".txt"})
_NO_PLAIN_TEXT = (b"%PDF", b"<", b"{", b"PK")
_CONTROLS = bytes({*range(32), 127} - set(b"\t\n\f\r\x1a"))
_LAST_WORDS = 4096
_SERVE = (
    "import sys\nsys.path[:] = {path!r}\n"
    "from partmuster.reading_apart.child import serve\n"
    "serve({memory}, {seconds}, {parent})"
)


def is_small_text(source: SourceFile) -> bool:
    """Return whether a file is small plain text by its name and its start."""
    return (
        source.size <= _SMALL
        and source.suffix in _TEXT_SUFFIXES
        and not source.head.lstrip(b"\xef\xbb\xbf \t\r\n").startswith(_NO_PLAIN_TEXT)
        and len(source.head.translate(None, _CONTROLS)) == len(source.head)
    )


def wants_process(paths: Iterable[Path]) -> bool:
    """Return whether any of some files and folders is likely to be read in the other process."""
    for path in paths:
        for file in path.rglob("*") if path.is_dir() else (path,):
            if not file.is_file() or is_form(file):  # forms are read here
                continue
            if file.suffix.lower() not in _TEXT_SUFFIXES or file.stat().st_size > _SMALL:
                return True
    return False


@dataclass(slots=True)
class _Asked:
    """A file that the process was asked to read."""

    importer: Importer
    source: SourceFile
    request: bytes
    began: float


@dataclass(slots=True)
class _Process:
    """A process under way; ``answers`` ends with None when it does."""

    popen: subprocess.Popen[bytes]
    last_words: IO[bytes]
    answers: queue.SimpleQueue[tuple[bytes, Any] | None] = field(default_factory=queue.SimpleQueue)


class ReadingApart:
    """One process that reads files, started when it is needed and again after its death.

    Use it in a ``with`` block, at the end of which the process is ended. It ends also when this
    process dies. An importer that cannot be pickled, or whose module the other process cannot
    import (a plugin made in a notebook), is read in this process, without limits. ``read`` of an
    importer must not count on what it changed in the importer before.
    """

    def __init__(self, limits: Limits | None = None) -> None:
        self.limits = limits or Limits()
        #: Told the name of a file that takes long, and how many of its batches are read.
        self.heard: Callable[[str, int], None] = lambda _name, _number: None
        self._process: _Process | None = None
        self._asked: deque[_Asked] = deque()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    @property
    def pid(self) -> int | None:
        """The number of the process, or None where there is none."""
        return self._process.popen.pid if self._process else None

    def start(self) -> None:
        """Start the process, unless there is one; return at once.

        Raises:
            SourceUnreadableError: the system starts no more processes.
        """
        if self._process is not None:
            return
        code = _SERVE.format(
            path=sys.path, memory=self.limits.memory_bytes, seconds=self.limits.seconds,
            parent=os.getpid(),
        )  # fmt: skip
        last_words = tempfile.TemporaryFile()  # noqa: SIM115 - lives as long as the process
        try:
            popen = subprocess.Popen(  # noqa: S603 - our own interpreter and text
                [sys.executable, "-c", code], stdin=subprocess.PIPE, stdout=subprocess.PIPE,
                stderr=last_words, env={**os.environ, "POLARS_MAX_THREADS": str(_THREADS)},
            )  # fmt: skip
        except OSError as fault:
            last_words.close()
            raise SourceUnreadableError(
                f"the process that reads files cannot be started ({fault.strerror}). "
                "Close some programs and import again."
            ) from fault
        self._process = _Process(popen, last_words)
        threading.Thread(target=_hear, args=(self._process,), daemon=True).start()

    def ahead(self, importer: Importer, source: SourceFile, *, trusted: bool = False) -> bool:
        """Let a file be read while nobody waits for it; return whether it will be.

        ``read`` then gives it. It is for one file at a time: the next to be asked for.
        """
        if self._asked or (trusted and is_small_text(source)):
            return False
        request = _pickled(importer, source)
        if request is None:
            return False
        self.start()
        self._ask(_Asked(importer, source, request, time.monotonic()))
        return True

    def read(self, importer: Importer, source: SourceFile, *, trusted: bool = False) -> ReadResult:
        """Return the batches that an importer yields for a source, as ``read_source`` does.

        ``trusted``: the importer comes with this program; small plain text is then read here.

        Raises:
            SourceUnreadableError: the importer failed, crashed, or went beyond a limit.
        """
        if trusted and is_small_text(source):
            return _read_here(importer, source)
        request = _pickled(importer, source)
        if request is None:
            return _read_here(importer, source)
        if not any(_is_same(asked, importer, source) for asked in self._asked):
            self.start()
            self._ask(_Asked(importer, source, request, time.monotonic()))
        while True:
            asked, (word, answer) = self._next_answer()
            if _is_same(asked, importer, source):
                break
        if word == b"read":
            result: ReadResult = answer
            return result
        if word == b"importer":
            return _read_here(importer, source)
        raise SourceUnreadableError(
            answer if word == b"unreadable" else self._words(asked, word, answer)
        )

    def close(self) -> None:
        """End the process, whatever it is doing."""
        self._asked.clear()
        if self._process is not None:
            self._end(self._process)

    def _ask(self, asked: _Asked) -> None:
        assert self._process is not None
        stdin = self._process.popen.stdin
        assert stdin is not None
        self._asked.append(asked)
        with contextlib.suppress(OSError):  # it died meanwhile: told when its answer is wanted
            send(stdin, asked.request)
            stdin.flush()

    def _next_answer(self) -> tuple[_Asked, tuple[bytes, Any]]:
        """Return the first file asked for, and its answer, the end of the process being one."""
        asked, process = self._asked[0], self._process
        assert process is not None
        answer: tuple[bytes, Any] | None = BATCH, "0"
        while answer is not None and answer[0] == BATCH:
            left = asked.began + self.limits.seconds + _GRACE - time.monotonic()
            try:
                answer = process.answers.get(timeout=max(left, 0.01))
            except queue.Empty:
                self._end(process)
                answer = b"time", ""
                break
            if answer is not None and answer[0] == BATCH:
                asked.began = time.monotonic()
                self.heard(asked.source.name, int(answer[1]))
        if answer is None:
            answer = self._obituary(process)
        self._asked.popleft()
        if self._process is None and self._asked:
            rest, self._asked = list(self._asked), deque()
            self.start()
            for one in rest:
                self._ask(one)
        if self._asked:
            self._asked[0].began = time.monotonic()
        return asked, answer

    def _obituary(self, process: _Process) -> tuple[bytes, str]:
        """Return how a process ended, and its last words."""
        try:
            code = process.popen.wait(_GRACE)
        except subprocess.TimeoutExpired:  # it lives, and says what nobody understands
            process.popen.kill()
            code = process.popen.wait()
        process.last_words.seek(0, os.SEEK_END)
        process.last_words.seek(max(0, process.last_words.tell() - _LAST_WORDS))
        lines = process.last_words.read().decode(errors="replace").split("\n")
        last = next((" ".join(line.split()) for line in reversed(lines) if line.strip()), "")
        self._end(process)
        if hasattr(signal, "SIGALRM") and code == -signal.SIGALRM:
            return b"time", ""
        if any("memory allocation of" in line or "MemoryError" in line for line in lines):
            return b"memory", ""
        try:
            ended = signal.Signals(-code).name
        except ValueError:
            ended = f"exit code {code}"
        return b"crash", f"{ended}: {last[:200]}" if last else ended

    def _words(self, asked: _Asked, word: bytes, answer: str) -> str:
        place = f"{asked.source.name} (importer '{asked.importer.name}'):"
        end = "Nothing of this file was taken."
        if word == b"time":
            return (
                f"{place} reading it was given up after {self.limits.seconds:g} seconds. {end} "
                "Save the sheet you need as a file of its own, or as .csv, and import that."
            )
        if word == b"memory":
            return (
                f"{place} reading it took more than {self.limits.memory}. {end} Split it, or save "
                "the sheet you need as a file of its own, and import that."
            )
        return (
            f"{place} the importer broke down ({answer}); it may take {self.limits.memory} and "
            f"{self.limits.seconds:g} seconds. {end} It may be damaged: open it in the program "
            "that made it, save it again and import that. Report this to the author of the plugin."
        )

    def _end(self, process: _Process) -> None:
        self._process = None
        process.popen.kill()
        process.popen.wait()
        for stream in (process.popen.stdin, process.last_words):
            assert stream is not None
            with contextlib.suppress(OSError):
                stream.close()


def _hear(process: _Process) -> None:
    """Take a process's answers as they come, until it ends."""
    from .passing import receive_result  # noqa: PLC0415 - a data library

    stream = process.popen.stdout
    assert stream is not None
    with stream, contextlib.suppress(Exception):  # whatever it was, there are no more answers
        try:
            while True:
                word = receive(stream)
                answer: Any = ""
                if word == b"read":
                    answer = receive_result(stream)
                elif word != b"importer":
                    answer = receive(stream).decode()
                process.answers.put((word, answer))
                answer = None  # a long file is not to be held here until the next one comes
        finally:
            process.answers.put(None)


def _pickled(importer: Importer, source: SourceFile) -> bytes | None:
    """Return a request, or None for an importer that cannot be sent."""
    try:
        return pickle.dumps((importer, source))
    except Exception:  # noqa: BLE001 - a plugin's object may do anything
        return None


def _is_same(asked: _Asked, importer: Importer, source: SourceFile) -> bool:
    return asked.importer is importer and asked.source == source


def _read_here(importer: Importer, source: SourceFile) -> ReadResult:
    from partmuster.stages.read import read_source  # noqa: PLC0415 - a data library

    return read_source(importer, source)
