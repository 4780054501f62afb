"""The worked examples of the room pages run and give what the pages print."""

from __future__ import annotations

import doctest
import re
from pathlib import Path

import pytest

from house.tree import ROOT

PAGES = sorted(ROOT.glob("docs/rooms/*.md"))
FLAGS = doctest.NORMALIZE_WHITESPACE | doctest.ELLIPSIS


def python_blocks(text: str) -> list[str]:
    """Return the python blocks of a page; `test_readme.py` runs those of the command line."""
    return re.findall(r"^```python\n(.*?)^```$", text, re.M | re.S)


def faults(name: str, text: str) -> str:
    """Return what doctest says of the python blocks of a page, taken as one session."""
    session = "\n".join(python_blocks(text))
    case = doctest.DocTestParser().get_doctest(session, {}, name, name, 0)
    said: list[str] = []
    doctest.DocTestRunner(verbose=False, optionflags=FLAGS).run(case, out=said.append)
    return "".join(said)


@pytest.mark.parametrize("path", PAGES, ids=lambda path: path.stem)
def test_the_examples_of_a_page_hold(path: Path) -> None:
    """A room page has python examples, and each gives what it shows."""
    text = path.read_text(encoding="utf-8")

    assert ">>> " in "".join(python_blocks(text))
    assert "" == faults(path.name, text)


def test_a_planted_wrong_answer_is_found() -> None:
    """An example whose answer is wrong is found."""
    assert "Expected:\n    3" in faults("planted", "```python\n>>> 1 + 1\n3\n```\n")
