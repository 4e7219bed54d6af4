"""Tells which heavy libraries are loaded when a module is imported."""

from __future__ import annotations

import subprocess
import sys

#: Libraries that cost start-up time; a plugin's module must not load them before they are needed.
HEAVY = (
    "polars", "pandas", "numpy", "openpyxl", "fastexcel", "xlsxwriter", "duckdb", "pandera",
    "onnxruntime", "jinja2", "reportlab", "matplotlib",
)  # fmt: skip


def heavy_loaded(module: str) -> list[str]:
    """Return the heavy libraries that importing a module loads, in a process of its own."""
    code = (
        f"import sys; sys.path[:] = {sys.path!r}; import {module}; "
        f"print(*sorted(set({HEAVY!r}) & set(sys.modules)))"
    )
    done = subprocess.run(  # noqa: S603 - our own interpreter and text
        [sys.executable, "-c", code], capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
    return done.stdout.split()
