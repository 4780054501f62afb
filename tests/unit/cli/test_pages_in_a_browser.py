"""The sheet as HTML and the stack-up as SVG, opened in a real browser without a network."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest
from playwright.sync_api import ConsoleMessage, Page, Request

pytestmark = pytest.mark.xdist_group("browser")
SCRIPT = str(Path(sys.executable).parent / "springcase")


@pytest.fixture(scope="module")
def papers(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Write the HTML and the picture of Alder's soft parts."""
    folder = tmp_path_factory.mktemp("papers")
    words = ["plan", "--family", "alder", "--scope", "soft-parts", "--json"]
    words += ["--html", "a.html", "--picture", "a.svg"]
    subprocess.run([SCRIPT, *words], cwd=folder, check=True, capture_output=True)
    return folder


def watch(page: Page) -> tuple[list[str], list[str]]:
    """Collect what a page complains of, and what it asks the network for."""
    said: list[str] = []
    asked: list[str] = []

    def hear(message: ConsoleMessage) -> None:
        if message.type in {"error", "warning"}:
            said.append(message.text)

    def see(request: Request) -> None:
        if not request.url.startswith(("file:", "data:")):
            asked.append(request.url)

    page.on("console", hear)
    page.on("pageerror", lambda error: said.append(str(error)))
    page.on("request", see)
    return said, asked


@pytest.mark.parametrize("name", ["a.html", "a.svg"])
def test_a_paper_opens_without_complaint_or_network(page: Page, papers: Path, name: str) -> None:
    """The browser shows the paper, complains of nothing and asks the network for nothing."""
    said, asked = watch(page)
    page.goto((papers / name).as_uri())

    assert ([], []) == (said, asked)


@pytest.mark.parametrize("width", [390, 820, 1280])
def test_the_sheet_fits_the_width_of_the_screen(page: Page, papers: Path, width: int) -> None:
    """On a phone, a tablet and a desk the sheet is never wider than the screen."""
    page.set_viewport_size({"width": width, "height": 800})
    page.goto((papers / "a.html").as_uri())
    wide = page.evaluate("document.documentElement.scrollWidth")

    assert wide <= width


def test_the_picture_shows_words_and_numbers(page: Page, papers: Path) -> None:
    """The stack-up in the browser has text that is drawn, none of it outside the picture."""
    page.goto((papers / "a.svg").as_uri())
    boxes = page.evaluate(
        """() => {
            const frame = document.documentElement.getBoundingClientRect();
            return [...document.querySelectorAll('text')].map(t => {
                const b = t.getBoundingClientRect();
                return b.width > 0 && b.left >= frame.left - 1 && b.right <= frame.right + 1
                    && b.top >= frame.top - 1 && b.bottom <= frame.bottom + 1;
            });
        }"""
    )

    assert len(boxes) > 10
    assert all(boxes)
