"""A real browser for tests of what people see; without one these tests are left out, and say so."""

from __future__ import annotations

import os
import shutil

import pytest

#: What a browser of this kind is called on the systems that have it.
NAMES = ("chromium", "chromium-browser", "google-chrome")


@pytest.fixture(scope="session")
def browser():
    """Chromium as the system has it; it fetches nothing."""
    found = os.environ.get("PARTMUSTER_BROWSER") or next(
        filter(None, map(shutil.which, NAMES)), None
    )
    if not found:
        pytest.skip("no browser here: install chromium, or name one in PARTMUSTER_BROWSER")
    driver = pytest.importorskip("playwright.sync_api", reason="playwright is not installed")
    with driver.sync_playwright() as playwright:
        running = playwright.chromium.launch(
            executable_path=found, headless=True, args=["--no-sandbox", "--disable-gpu"]
        )
        yield running
        running.close()


@pytest.fixture
def opened(browser):
    """Open a file in a window of a size; every window is closed at the end.

    The scheme is light, dark, or colours of the reader's own.
    """
    contexts = []

    def open_page(path, width=1280, height=900, scheme="light"):
        context = browser.new_context(
            viewport={"width": width, "height": height},
            color_scheme="light" if scheme == "light" else "dark",
            forced_colors="active" if scheme == "own colours" else "none",
            offline=True,
        )
        context.set_default_timeout(120_000)  # on a machine that has much else to do
        contexts.append(context)
        page = context.new_page()
        page.goto(path.as_uri())
        return page

    yield open_page
    for context in contexts:
        context.close()
