"""What tests of several rooms share: the browser."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page, sync_playwright

FLAGS = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)


def find_chromium() -> str | None:
    """Return the path of a Chromium: named by CHROMIUM, or found on the path."""
    named = os.environ.get("CHROMIUM")
    return named or shutil.which("chromium") or shutil.which("chromium-browser")


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """Start a Chromium; skip where none can be had, fail where CI says one must."""
    path = find_chromium()
    if path is None:
        sentence = "no Chromium on this machine: install one, or name it in CHROMIUM"
        if os.environ.get("SPRINGCASE_NEED_BROWSER"):
            pytest.fail(sentence)
        pytest.skip(sentence)
    with sync_playwright() as playwright:
        started = playwright.chromium.launch(executable_path=path, args=list(FLAGS))
        yield started
        started.close()


@pytest.fixture
def page(browser: Browser) -> Iterator[Page]:
    """Open an empty page that may load nothing from the network."""
    context = browser.new_context(offline=True)
    yield context.new_page()
    context.close()
