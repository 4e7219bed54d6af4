"""The reading process: reads one file after another, and ends when nobody listens any more.

Started by ``worker``; it gets requests by its standard input and answers by its standard output.
What importers print goes where the standard error goes.
"""

from __future__ import annotations

import os
import pickle
import queue
import signal
import sys
import threading
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from .blocks import receive, send

if TYPE_CHECKING:
    from typing import IO

#: What an answer begins with.
READ, UNREADABLE, TOO_LARGE, NOT_TO_BE_HAD = b"read", b"unreadable", b"memory", b"importer"
#: What comes before it, of importers that take long for each batch: how many are read.
BATCH = b"batch"

_PARENT_DEATH_SIGNAL = 1  # prctl's number for it, Linux


def serve(memory_bytes: int, seconds: float, parent: int) -> None:
    """Answer requests until the standard input ends.

    ``memory_bytes``: address space that may be used beyond what is in use once the libraries are
    loaded; only Linux has this limit. ``seconds``: for one file; only systems with alarms end the
    process by themselves, elsewhere the other side does. ``parent``: the other side's process id.
    """
    if hasattr(signal, "SIGINT"):
        signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C is the other side's: it ends us
    end_with(parent)
    requests, answers = _streams()
    waiting: queue.SimpleQueue[bytes] = queue.SimpleQueue()
    threading.Thread(target=_listen, args=(requests, waiting), daemon=True).start()

    from partmuster.reading_apart.passing import send_result  # noqa: PLC0415 - listen first
    from partmuster.stages.read import read_source  # noqa: PLC0415 - a data library

    _limit_memory(memory_bytes)
    while True:
        request = waiting.get()
        try:
            importer, source = pickle.loads(request)  # noqa: S301 - by the process that began this
        except Exception:  # noqa: BLE001 - whatever a plugin's module may raise here
            send(answers, NOT_TO_BE_HAD)
            answers.flush()
            continue
        _alarm(seconds)
        slow = getattr(importer, "slow_batches", False)
        try:
            result = read_source(
                importer, source, partial(_heard, answers, seconds) if slow else _nothing
            )
        except Exception as fault:  # noqa: BLE001 - the reading stage makes all faults into one
            _alarm(0)
            send(answers, TOO_LARGE if isinstance(fault.__cause__, MemoryError) else UNREADABLE)
            send(answers, str(fault).encode(errors="replace"))
            answers.flush()
            continue
        _alarm(0)
        send(answers, READ)
        send_result(answers, result)
        del result


def _nothing(_number: int) -> None:
    """Tell nobody."""


def _heard(answers: IO[bytes], seconds: float, number: int) -> None:
    """Tell that a batch is read, and begin the time for the next."""
    _alarm(seconds)
    send(answers, BATCH)
    send(answers, str(number).encode())
    answers.flush()


def _streams() -> tuple[IO[bytes], IO[bytes]]:
    """Return the streams of requests and answers, out of reach for what importers print or read."""
    requests, answers = os.fdopen(os.dup(0), "rb"), os.fdopen(os.dup(1), "wb")
    nothing = os.open(os.devnull, os.O_RDONLY)
    os.dup2(nothing, 0)
    os.close(nothing)
    os.dup2(2, 1)
    return requests, answers


def _listen(requests: IO[bytes], waiting: queue.SimpleQueue[bytes]) -> None:
    """Take requests as they come; end the process when the other side is gone."""
    try:
        while True:
            waiting.put(receive(requests))
    except (EOFError, OSError):
        os._exit(0)


def end_with(parent: int) -> None:
    """Have this process killed when its parent dies, even while a library lets no thread run."""
    if not sys.platform.startswith("linux"):
        return
    import ctypes  # noqa: PLC0415 - only where it is used

    ctypes.CDLL(None).prctl(_PARENT_DEATH_SIGNAL, signal.SIGKILL)
    if os.getppid() != parent:  # it died before we asked
        os._exit(0)


def _limit_memory(memory_bytes: int) -> None:
    """Limit the address space, where the system tells how much is in use."""
    try:
        pages = int(Path("/proc/self/statm").read_text(encoding="ascii").split()[0])
    except OSError:
        return
    import resource  # noqa: PLC0415 - not on every system

    most = pages * resource.getpagesize() + memory_bytes
    _, hard = resource.getrlimit(resource.RLIMIT_AS)
    if hard != resource.RLIM_INFINITY:
        most = min(most, hard)
    resource.setrlimit(resource.RLIMIT_AS, (most, hard))
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))


def _alarm(seconds: float) -> None:
    """Have the system end this process after some seconds; 0: not any more."""
    if hasattr(signal, "setitimer"):
        signal.setitimer(signal.ITIMER_REAL, seconds)
