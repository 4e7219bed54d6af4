"""Matching shared among processes, where there are descriptions enough to be worth it.

Each description is matched by itself, so a frame of item keys can be cut anywhere. The other
processes are our own interpreter with our own code; they end when their input does.
"""

from __future__ import annotations

import gc
import io
import os
import pickle
import subprocess
import sys
import threading
from collections import deque
from contextlib import suppress
from typing import IO, TYPE_CHECKING, Any

import polars as pl

from partmuster.reading_apart.blocks import receive, send
from partmuster.reading_apart.child import end_with
from partmuster.stages.match import match
from partmuster.stages.matching.index import index_of

if TYPE_CHECKING:
    from collections.abc import Sequence
    from typing import Self

    from partmuster.hooks import Matcher
    from partmuster.stages.matching.trust import Standard
    from partmuster_trade import Vocabulary

#: Keys from which a second process pays: it takes a second to start (measured, two processors).
WORTH_SHARING = 8_000
_KEYS_AT_ONCE = 5_000
_MOST_PROCESSES = 4
_SERVE = (
    "import sys\n"
    "sys.path[:] = {path!r}\n"
    "from partmuster.running.shared_matching import serve\n"
    "serve({parent})"
)


class SharedMatching:
    """This process and others beside it; use it in a ``with`` block, which ends the others."""

    def __init__(self, vocabulary: Vocabulary, processes: int | None = None) -> None:
        """Make ready for ``processes`` in all: else as many as there are processors, up to four."""
        self._vocabulary = vocabulary
        self._others = min(processes or _processors(), _MOST_PROCESSES) - 1
        self._started: list[subprocess.Popen[bytes]] = []
        self._greetings: list[threading.Thread] = []

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def close(self) -> None:
        """End the other processes; they are started again where they are needed again."""
        for process in self._started:
            process.kill()
            process.wait()
            for stream in (process.stdin, process.stdout):
                assert stream is not None
                with suppress(OSError):
                    stream.close()
        self._started.clear()
        self._greetings.clear()

    def start(self) -> None:
        """Start the other processes, unless they are; they make ready while others work."""
        code = _SERVE.format(path=sys.path, parent=os.getpid())
        try:
            while len(self._started) < self._others:
                process = subprocess.Popen(  # noqa: S603 - our own interpreter and text
                    [sys.executable, "-c", code], stdin=subprocess.PIPE, stdout=subprocess.PIPE,
                    stderr=subprocess.DEVNULL, env={**os.environ, "POLARS_MAX_THREADS": "1"},
                )  # fmt: skip
                self._started.append(process)
                # It listens only when it has loaded its libraries: nobody is to wait for that.
                greeting = threading.Thread(target=self._greet, args=(process,), daemon=True)
                greeting.start()
                self._greetings.append(greeting)
        except OSError:  # no room for more: then this process does it all
            self._others = 0

    def _greet(self, process: subprocess.Popen[bytes]) -> None:
        assert process.stdin is not None
        with suppress(OSError, ValueError):  # it died or was ended: told when it is asked
            send(process.stdin, pickle.dumps(self._vocabulary))
            process.stdin.flush()

    def match(
        self,
        keys: pl.DataFrame,
        vocabulary: Vocabulary,
        known_numbers: pl.DataFrame,
        decisions: pl.DataFrame,
        other_matchers: Sequence[Matcher] = (),
        region: str | None = None,
        families: Sequence[str] = (),
        failures: list[str] | None = None,
        family_parts: pl.DataFrame | None = None,
        standard: Standard | None = None,
    ) -> pl.DataFrame:
        """Return what :func:`partmuster.stages.match.match` does.

        A plugin's matcher sees all descriptions at once, so with one nothing is shared; nor are
        keys too few to be worth it.
        """
        if keys.height < WORTH_SHARING or other_matchers or vocabulary is not self._vocabulary:
            return match(keys, vocabulary, known_numbers, decisions, other_matchers, region,
                         families, failures, family_parts, standard)  # fmt: skip
        self.start()
        waiting = _Waiting(keys.unique("item_key"), len(self._started) + 1)
        rest = (known_numbers, decisions, (), region, families, None, family_parts, standard)
        done: list[pl.DataFrame] = []
        threads = [
            threading.Thread(target=_feed, args=(*one, waiting, number, rest, done), daemon=True)
            for number, one in enumerate(zip(self._started, self._greetings, strict=True), 1)
        ]
        for thread in threads:
            thread.start()
        while True:
            while (some := waiting.take(0)) is not None:
                done.append(match(some, vocabulary, *rest))
            for thread in threads:
                thread.join()
            if not waiting:  # what a process left behind when it died waits again
                break
        return pl.concat(done).sort("key", "rank")


class _Waiting:
    """Keys that wait to be matched, equal descriptions always for the same process.

    It remembers what it has read, and descriptions with numbers are read twice. A process that
    has done its own takes from the others.
    """

    def __init__(self, keys: pl.DataFrame, processes: int) -> None:
        whose = keys.get_column("description").hash(seed=0) % processes
        self._queues = [
            deque(keys.filter(whose == number).sort("description", "item_key")
                  .iter_slices(_KEYS_AT_ONCE))
            for number in range(processes)
        ]  # fmt: skip

    def __bool__(self) -> bool:
        return any(self._queues)

    def take(self, number: int) -> pl.DataFrame | None:
        """Return some keys for a process, or None where none wait."""
        others = sorted(self._queues, key=len, reverse=True)
        for queue in (self._queues[number], *others):
            with suppress(IndexError):
                found = queue.popleft()
                if found.height:
                    return found
        return None

    def give_back(self, number: int, keys: pl.DataFrame) -> None:
        """Let keys wait again that a process did not match."""
        self._queues[number].append(keys)


def serve(parent: int) -> None:
    """Match what comes by standard input until it ends; the other side's process is ``parent``."""
    end_with(parent)
    requests, answers = os.fdopen(os.dup(0), "rb"), os.fdopen(os.dup(1), "wb")
    os.dup2(2, 1)
    try:
        vocabulary = pickle.loads(receive(requests))  # noqa: S301 - by the process that began this
        index_of(vocabulary)
        gc.freeze()  # it stays; what is remembered of descriptions makes no circles
        gc.set_threshold(200_000)
        while True:
            keys, rest = pickle.loads(receive(requests))  # noqa: S301 - as above
            found = io.BytesIO()
            match(keys, vocabulary, *rest).write_ipc_stream(found)
            send(answers, found.getvalue())
            answers.flush()
    except (EOFError, OSError, KeyboardInterrupt):
        return


def _feed(
    process: subprocess.Popen[bytes],
    greeting: threading.Thread,
    waiting: _Waiting,
    number: int,
    rest: tuple[Any, ...],
    done: list[pl.DataFrame],
) -> None:
    """Give a process keys as long as there are any; those of one that dies wait again."""
    requests, answers = process.stdin, process.stdout
    assert requests is not None
    assert answers is not None
    greeting.join()
    while (keys := waiting.take(number)) is not None:
        try:
            done.append(_asked(requests, answers, (keys, rest)))
        except (EOFError, OSError, ValueError, pl.exceptions.PolarsError):
            waiting.give_back(number, keys)
            return


def _asked(requests: IO[bytes], answers: IO[bytes], request: tuple[Any, ...]) -> pl.DataFrame:
    send(requests, pickle.dumps(request))
    requests.flush()
    return pl.read_ipc_stream(io.BytesIO(receive(answers)))


def _processors() -> int:
    """Return how many processors this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1
