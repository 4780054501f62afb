"""The README names the two commands, and every command it shows gives what it shows."""

from __future__ import annotations

import re
import shlex
import subprocess
import sys
from pathlib import Path
from typing import NamedTuple

import pytest

from house.tree import ROOT

README = (ROOT / "README.md").read_text(encoding="utf-8")
ROOMS = (path.relative_to(ROOT).as_posix() for path in sorted(ROOT.glob("docs/rooms/*.md")))
PAGES = (
    *("README.md", "docs/walk/nameplate.md", "docs/walk/build.md", "docs/walk/plan.md"),
    *ROOMS,
)


class Shown(NamedTuple):
    """A command on a page, and the output shown below it; `…` alone stands for any lines."""

    page: str
    command: str
    output: tuple[str, ...]


def shown_commands(page: str) -> list[Shown]:
    """Return the commands of the console blocks of a page."""
    text = (ROOT / page).read_text(encoding="utf-8")
    found = []
    for block in re.findall(r"^```console\n(.*?)^```", text, re.M | re.S):
        for part in re.split(r"^\$ ", block, flags=re.M)[1:]:
            command, *output = part.rstrip("\n").split("\n")
            found.append(Shown(page, command, tuple(line.rstrip() for line in output)))
    return found


SHOWN = [shown for page in PAGES for shown in shown_commands(page)]


def matches(shown: tuple[str, ...], real: list[str]) -> bool:
    """Whether real lines are the lines shown, `…` standing for any number of them."""
    pattern = "".join(r"(?:.*\n)*?" if s == "…" else re.escape(s) + r"\n" for s in shown)
    return re.fullmatch(pattern, "".join(line.rstrip() + "\n" for line in real)) is not None


@pytest.mark.parametrize("shown", SHOWN, ids=lambda shown: f"{shown.page}: {shown.command}")
def test_a_command_shown_gives_what_is_shown(shown: Shown, tmp_path: Path) -> None:
    """A springcase command of a page runs, and its output is the one shown below it."""
    words = shlex.split(shown.command)
    assert "springcase" == words[0]
    script = str(Path(sys.executable).parent / "springcase")
    done = subprocess.run(
        [script, *words[1:]], cwd=tmp_path, capture_output=True, text=True, timeout=60, check=False
    )

    assert done.returncode in {0, 1, 2}, done.stderr
    assert matches(shown.output, (done.stdout + done.stderr).splitlines()), (
        done.stdout + done.stderr
    )


def test_output_that_differs_is_found() -> None:
    """Lines that differ, are missing or are too many do not match; elided ones do."""
    real = ["one", "two", "three"]

    assert [True, True, True] == [matches(s, real) for s in (("one", "…"), ("…",), tuple(real))]
    assert [False, False] == [matches(s, real) for s in (("one", "two"), ("…", "four"))]


def test_the_two_commands_come_first() -> None:
    """The README opens with the job, then the two commands, a picture, a tour, cautions."""
    order = (
        "# Springcase",
        "make demo",
        "make test",
        ".svg",
        "## A two-minute tour",
        "## Cautions",
    )
    places = [README.find(word) for word in order]

    assert sorted(places) == places
    assert -1 not in places


def test_the_tour_shows_commands() -> None:
    """The README shows at least five commands with their output."""
    assert 5 <= sum(1 for shown in SHOWN if shown.page == "README.md" and shown.output)
