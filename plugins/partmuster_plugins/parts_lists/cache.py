"""What was read of page pictures, kept so that the same page is not read twice."""

from __future__ import annotations

import contextlib
import gzip
import hashlib
import json
import os
from dataclasses import asdict
from typing import TYPE_CHECKING

from .pieces import Piece
from .reading import PageText

if TYPE_CHECKING:
    from pathlib import Path

    from .engine import Grey

#: Raised when pages are read otherwise than before.
_FORM = 6


class PageCache:
    """A folder with a file for each page picture, named by the picture and the engine.

    Without a folder nothing is kept. What cannot be read back is as good as not there.
    """

    def __init__(self, folder: Path | None, engine: str) -> None:
        self._folder = None if folder is None else folder / "pages"
        self._engine = f"{_FORM} {engine}"

    def get(self, picture: Grey) -> PageText | None:
        """Return the text of a picture that was read before, or None."""
        if self._folder is None:
            return None
        try:
            told = json.loads(gzip.decompress(self._path(self._folder, picture).read_bytes()))
            pieces = [
                Piece(**one | {name: tuple(one[name]) for name in ("sure", "at", "of_kind")})
                for one in told.pop("pieces")
            ]
            return PageText(**{**told, "pieces": pieces, "shape": tuple(told["shape"])})
        except (OSError, EOFError, ValueError, TypeError, KeyError):
            return None

    def put(self, picture: Grey, text: PageText) -> None:
        """Keep the text of a picture; a full disk keeps nothing, and is no fault."""
        if self._folder is None:
            return
        path = self._path(self._folder, picture)
        with contextlib.suppress(OSError):
            path.parent.mkdir(parents=True, exist_ok=True)
            part = path.with_suffix(f".{os.getpid()}.part")
            part.write_bytes(gzip.compress(json.dumps(asdict(text)).encode(), 6))
            part.replace(path)

    def _path(self, folder: Path, picture: Grey) -> Path:
        digest = hashlib.blake2b(f"{self._engine} {picture.shape}".encode(), digest_size=20)
        digest.update(picture.tobytes())
        return folder / f"{digest.hexdigest()}.json.gz"
