"""Files that appear whole or not at all."""

from __future__ import annotations

import os
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pathlib import Path


def sync_file(file: Path) -> None:
    """Have the system write a file's bytes to the disk."""
    descriptor = os.open(file, os.O_RDWR)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)


def sync_folder(folder: Path) -> None:
    """Have the system write a folder's list of names to the disk."""
    if os.name == "nt":  # folders cannot be opened there, and need not be
        return
    descriptor = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)


def swap_in(made: Path, place: Path) -> None:
    """Put a finished file in its place in one step; both lie on the same disk."""
    sync_file(made)
    made.replace(place)
    sync_folder(place.parent)
