"""One writer at a time: a lock file that the system releases when a program is killed."""

from __future__ import annotations

import os
import sys
import time
from contextlib import contextmanager
from typing import TYPE_CHECKING

from .errors import busy

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

if sys.platform == "win32":
    import msvcrt

    def _try_lock(descriptor: int) -> bool:
        try:
            msvcrt.locking(descriptor, msvcrt.LK_NBLCK, 1)
        except OSError:
            return False
        return True

else:
    import fcntl

    def _try_lock(descriptor: int) -> bool:
        try:
            fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            return False
        return True


class Patience:
    """Waits a little longer each time, says so once, and gives up after ``seconds``."""

    def __init__(self, seconds: float, tell: Callable[[str], None], folder: Path) -> None:
        self._end = time.monotonic() + seconds
        self._seconds = seconds
        self._tell = tell
        self._folder = folder
        self._pause = 0.02
        self._said = False

    def wait(self) -> None:
        """Sleep until the next try.

        Raises:
            ClubBusyError: the time is used up.
        """
        left = self._end - time.monotonic()
        if left <= 0:
            raise busy(self._folder)
        if not self._said:
            self._tell(
                f"The club in {self._folder} is in use; waiting up to {self._seconds:.0f} seconds."
            )
            self._said = True
        time.sleep(min(self._pause, left))
        self._pause = min(self._pause * 1.5, 0.5)


@contextmanager
def held(file: Path, patience: Patience) -> Iterator[None]:
    """Hold the lock that ``file`` stands for.

    Raises:
        ClubBusyError: another program holds it for too long.
        OSError: the file cannot be made.
    """
    descriptor = os.open(file, os.O_RDWR | os.O_CREAT, 0o666)
    try:
        while not _try_lock(descriptor):
            patience.wait()
        yield
    finally:
        os.close(descriptor)
