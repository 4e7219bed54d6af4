"""The models of text that come inside the engine's package, made lighter before they are loaded.

A model is a file of ONNX, which is protocol buffers: fields with a number each, some of them
messages of fields again. Only weights are written anew; all else stays byte for byte.
"""

from __future__ import annotations

from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from numpy.typing import NDArray

#: Numbers of fields: of a model, of its graph, of its notes, and of a tensor.
_GRAPH, _NOTES = 7, 14
_WEIGHTS = 5
_KEY, _VALUE = 1, 2
_SIDES, _KIND, _NAME, _RAW = 1, 2, 8, 9
_FLOATS = 1
_LETTERS = "character"
#: How a field is written: a number, or so many bytes.
_NUMBER, _BYTES, _EIGHT, _FOUR = 0, 2, 1, 5


def model_of(package: str, kind: str) -> bytes:
    """Return the model of a kind ("det", "rec" or "cls") that a package carries.

    Raises:
        FileNotFoundError: it carries none.
    """
    found = find_spec(package)
    for place in (found.submodule_search_locations or ()) if found else ():
        for path in sorted(Path(place, "models").glob(f"*_{kind}_*.onnx")):
            return path.read_bytes()
    raise FileNotFoundError(f"the package {package} carries no model of text ({kind})")


def session(model: bytes, threads: int) -> Any:
    """Return a session of a model that uses so many processors while it works, and none after."""
    import onnxruntime  # noqa: PLC0415 - heavy

    options = onnxruntime.SessionOptions()
    options.log_severity_level = 4
    options.enable_cpu_mem_arena = False
    options.intra_op_num_threads = threads
    options.add_session_config_entry("session.intra_op.allow_spinning", "0")
    return onnxruntime.InferenceSession(
        model, sess_options=options, providers=["CPUExecutionProvider"]
    )


def letters_of(model: bytes) -> list[str]:
    """Return the letters that a model tells apart, as its notes have them."""
    for number, _, value in _fields(memoryview(model)):
        if number == _NOTES:
            note = {one: bytes(words).decode() for one, _, words in _fields(value)}
            if note.get(_KEY) == _LETTERS:
                return note[_VALUE].splitlines()
    raise ValueError("the model does not say which letters it knows")


def lightened(model: bytes, kept: Sequence[int] = (), of: int = 0) -> bytes:
    """Return a model that gives the same in less time.

    Weights too small to count (below 1e-38) are zero: with them a processor takes a hundred
    times as long. Of the ``of`` letters in which the model ends only those ``kept`` are told
    apart, if it ends as such models do, in a matrix and a row of so many.
    """
    view = memoryview(model)
    ends = sorted(len(tensor.shape) for tensor, _ in _floats(view) if tensor.shape[-1:] == (of,))
    letters = np.array(kept) if ends == [1, 2] else None
    return b"".join(
        _written(number, b"".join(_lighter(value, of, letters))) if number == _GRAPH else whole
        for number, whole, value in _fields(view)
    )


def _floats(model: memoryview) -> Iterator[tuple[NDArray[np.float32], memoryview]]:
    for number, _, graph in _fields(model):
        if number == _GRAPH:
            for part, _, value in _fields(graph):
                if part == _WEIGHTS and (tensor := _tensor(value)):
                    yield tensor


def _lighter(
    graph: memoryview, of: int, letters: NDArray[np.int_] | None
) -> Iterator[bytes | memoryview]:
    for number, whole, value in _fields(graph):
        found = _tensor(value) if number == _WEIGHTS else None
        if found is None:
            yield whole
            continue
        weights, name = found
        weights = np.where(np.abs(weights) < np.finfo(np.float32).tiny, np.float32(0), weights)
        if letters is not None and weights.shape[-1:] == (of,):
            weights = weights[..., letters]
        yield _written(
            _WEIGHTS,
            b"".join(_counted(_SIDES << 3 | _NUMBER) + _counted(side) for side in weights.shape)
            + _counted(_KIND << 3 | _NUMBER) + _counted(_FLOATS)
            + _written(_NAME, name) + _written(_RAW, weights.tobytes()),
        )  # fmt: skip


def _tensor(value: memoryview) -> tuple[NDArray[np.float32], memoryview] | None:
    """Return the weights and the name of a tensor of floats written as bytes, else None."""
    sides: list[int] = []
    parts: dict[int, Any] = {}
    for number, _, part in _fields(value):
        if number == _SIDES and isinstance(part, int):
            sides.append(part)
        else:
            parts[number] = part
    if parts.get(_KIND) != _FLOATS or set(parts) != {_KIND, _NAME, _RAW}:
        return None
    return np.frombuffer(parts[_RAW], np.float32).reshape(sides), parts[_NAME]


def _fields(message: memoryview) -> Iterator[tuple[int, memoryview, Any]]:
    """Yield the fields of a message: number, the whole field, and its value."""
    at = 0
    while at < len(message):
        start = at
        key, at = _count(message, at)
        value: Any
        if key & 7 == _NUMBER:
            value, at = _count(message, at)
        else:
            size = {_FOUR: 4, _EIGHT: 8}.get(key & 7)
            if size is None:
                size, at = _count(message, at)
            value, at = message[at : at + size], at + size
        yield key >> 3, message[start:at], value


def _count(message: memoryview, at: int) -> tuple[int, int]:
    """Return a number written seven bits a byte, and where it ends."""
    number = shift = 0
    while True:
        byte = message[at]
        number |= (byte & 127) << shift
        at, shift = at + 1, shift + 7
        if byte < 128:  # noqa: PLR2004 - its first bit says that more follow
            return number, at


def _counted(number: int) -> bytes:
    out = bytearray()
    while number > 127:  # noqa: PLR2004
        out.append(number & 127 | 128)
        number >>= 7
    out.append(number)
    return bytes(out)


def _written(number: int, value: bytes | memoryview) -> bytes:
    return _counted(number << 3 | _BYTES) + _counted(len(value)) + bytes(value)
