"""Reads the pages of a file one after the other, several at once where there are processors."""

from __future__ import annotations

import os
from collections import deque
from concurrent.futures import Future, ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass, replace
from importlib.metadata import version
from typing import TYPE_CHECKING, Self

import cv2

from .cache import PageCache
from .pages import NoPage, Picture
from .rapid import Rapid
from .reading import PageText, read_page

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator
    from pathlib import Path


#: Two processors read a page in little more than half the time of one; more help little more.
_THREADS_A_PAGE = 2
#: An engine at work takes some 600 MB: more pages at once would meet the limit of memory.
_MOST_AT_ONCE = 4
#: So many pages of one file are read as pictures: an hour's work.
MOST_PICTURES = 1_000


@dataclass(frozen=True, slots=True)
class ReadPage:
    """A page and its text."""

    number: int
    text: PageText


class PageReader:
    """Reads pages; what was read of a picture is kept in ``cache``, if there is one.

    Use it in a ``with`` block, at the end of which pages that nobody waits for are given up.
    """

    def __init__(self, cache: Path | None) -> None:
        self._cache = PageCache(cache, f"{Rapid.name} {version(Rapid.name)}")
        self._at_once = max(1, min(_MOST_AT_ONCE, (os.cpu_count() or 1) // _THREADS_A_PAGE))
        self._pool = ThreadPoolExecutor(self._at_once)

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self._pool.shutdown(wait=True, cancel_futures=True)

    def texts(self, pages: Iterable[Picture | ReadPage | NoPage]) -> Iterator[ReadPage | NoPage]:
        """Yield pages with their text, in order; pictures are read."""
        waiting: deque[ReadPage | NoPage | Future[ReadPage | NoPage]] = deque()
        pictures = 0
        for page in pages:
            if isinstance(page, Picture):
                pictures += 1
                waiting.append(
                    self._pool.submit(self._read, page)
                    if pictures <= MOST_PICTURES
                    else NoPage(page.number, f"{MOST_PICTURES:,} pages of this file were read as "
                                "pictures, and this one is beyond. Import it as a file of its own")
                )  # fmt: skip
            else:
                waiting.append(page)
            while len(waiting) > self._at_once:
                yield _done(waiting.popleft())
        while waiting:
            yield _done(waiting.popleft())

    def _read(self, page: Picture) -> ReadPage | NoPage:
        text = self._cache.get(page.grey)
        if text is None:
            try:
                with _an_engine() as engine:
                    text = read_page(page.grey, engine)
            except (ArithmeticError, RuntimeError, ValueError, cv2.error) as fault:
                why = " ".join(str(fault).split())[:200]
                return NoPage(page.number, f"the page could not be read ({why})")
            self._cache.put(page.grey, text)
        return ReadPage(page.number, replace(text, scale=text.scale * page.pixels))


def _done(page: ReadPage | NoPage | Future[ReadPage | NoPage]) -> ReadPage | NoPage:
    return page.result() if isinstance(page, Future) else page


@contextmanager
def _an_engine() -> Iterator[Rapid]:
    """Lend an engine that nobody uses: loading one takes a second, and two pages share none."""
    try:
        engine = _idle.pop()
    except IndexError:
        engine = Rapid(_THREADS_A_PAGE)
    yield engine
    _idle.append(engine)


#: Engines of this process that wait for a page.
_idle: list[Rapid] = []
