"""Fixtures for plugin authors, offered to pytest by the package itself.

Loaded in every pytest run, so nothing heavy is imported before a fixture is used.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from partmuster.plugin_api import SourceFile


pytest.register_assert_rewrite(
    "partmuster.testing.contract", "partmuster.testing.publisher_contract"
)


@pytest.fixture
def make_source(tmp_path: Path) -> Callable[..., SourceFile]:
    """Return a maker of sources: ``make_source(name, content)``, content as bytes or text."""

    def make(name: str, content: bytes | str) -> SourceFile:
        from partmuster.host import source_file  # noqa: PLC0415 - only when used

        path = tmp_path / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content.encode() if isinstance(content, str) else content)
        return source_file(path, name)

    return make
