"""What a bench measures, and how it is judged and printed."""

from __future__ import annotations

import contextlib
import json
import os
import subprocess
import sys
import threading
import time
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

import psutil

REPOSITORY = Path(__file__).resolve().parents[2]
#: Data to tune on, which is not part of the repository; a bench reads it where it exists.
PRACTICE = REPOSITORY.parent / "shared" / "practice"
_LOOK_EVERY = 0.05  # seconds


@dataclass(frozen=True, slots=True)
class Figure:
    """One measured value. ``judged`` is false where the small size says nothing about it."""

    name: str
    value: float
    unit: str
    target: float | None = None
    better: Literal["lower", "higher", "equal"] = "lower"
    baseline: str = ""
    baseline_value: float | None = None
    judged: bool = True

    @property
    def met(self) -> bool:
        """Whether the value reaches its target."""
        if self.target is None or not self.judged:
            return True
        if self.better == "equal":
            return self.value == self.target
        if self.better == "higher":
            return self.value >= self.target
        return self.value <= self.target

    @property
    def verdict(self) -> str:
        """The verdict in a word."""
        if self.target is None:
            return ""
        if not self.judged:
            return "not judged at this size"
        return "met" if self.met else "MISSED"


@dataclass(frozen=True, slots=True)
class Measured:
    """What a command took; memory is that of all its processes together, at its highest."""

    seconds: float
    peak_megabytes: float
    output: str


def measure(command: list[str], *, allow: tuple[int, ...] = (0,)) -> Measured:
    """Run a command of this environment; return its wall time, peak memory and output.

    Raises:
        RuntimeError: it ended with another exit code than those allowed.
    """
    started = time.perf_counter()
    process = subprocess.Popen(  # the commands are this file's own
        command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True,
        env={**os.environ, "NO_COLOR": "1"},
    )  # fmt: skip
    peak = _Peak(process.pid)
    peak.start()
    output, _ = process.communicate()
    seconds = time.perf_counter() - started
    peak.join()
    if process.returncode not in allow:
        raise RuntimeError(f"{' '.join(command)} ended with {process.returncode}:\n{output}")
    return Measured(seconds, peak.megabytes, output)


class _Peak(threading.Thread):
    """Looks again and again at what memory a process and those it started have in use."""

    def __init__(self, pid: int) -> None:
        super().__init__(daemon=True)
        self._process = psutil.Process(pid)
        self.megabytes = 0.0

    def run(self) -> None:
        with contextlib.suppress(psutil.NoSuchProcess):  # it has ended and was waited for
            while self._process.status() != psutil.STATUS_ZOMBIE:
                in_use = 0
                for one in (self._process, *self._process.children(recursive=True)):
                    with contextlib.suppress(psutil.Error):
                        in_use += one.memory_info().rss
                self.megabytes = max(self.megabytes, in_use / 1e6)
                time.sleep(_LOOK_EVERY)


def partmuster(*arguments: str | Path) -> list[str]:
    """Return the command line of partmuster in this environment."""
    return [sys.executable, "-m", "partmuster", *map(str, arguments)]


def printed(name: str, figures: list[Figure], *, as_json: bool) -> str:
    """Return the figures as a table or as JSON."""
    if as_json:
        rows = [
            {
                "figure": f.name, "value": f.value, "unit": f.unit, "target": f.target,
                "better": f.better, "baseline": f.baseline, "baseline_value": f.baseline_value,
                "verdict": f.verdict,
            }
            for f in figures
        ]  # fmt: skip
        return json.dumps({"bench": name, "figures": rows}, indent=1)
    signs = {"lower": "<=", "higher": ">=", "equal": "="}
    lines = [f"bench {name}"]
    for f in figures:
        target = "" if f.target is None else f"target {signs[f.better]} {f.target:g} {f.unit}"
        base = "" if f.baseline_value is None else f"{f.baseline}: {f.baseline_value:.3g} {f.unit}"
        lines.append(
            f"  {f.name:<46} {f.value:>12.4g} {f.unit:<8} {target:<24} {f.verdict:<10} {base}"
        )
    return "\n".join(lines)
