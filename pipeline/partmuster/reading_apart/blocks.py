"""Blocks of bytes from one process to the other: the length, then the bytes."""

from __future__ import annotations

from typing import IO

_LENGTH_BYTES = 8


def send(stream: IO[bytes], data: bytes) -> None:
    """Write a block; the stream is not flushed."""
    stream.write(len(data).to_bytes(_LENGTH_BYTES, "big"))
    stream.write(data)


def receive(stream: IO[bytes]) -> bytes:
    """Return the next block.

    Raises:
        EOFError: the stream ended before the block did.
    """
    return _exactly(stream, int.from_bytes(_exactly(stream, _LENGTH_BYTES), "big"))


def _exactly(stream: IO[bytes], size: int) -> bytes:
    data = stream.read(size)
    if len(data) < size:
        raise EOFError
    return data
