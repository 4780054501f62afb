"""
Refresh the output shown below the commands of the README, where only figures have changed.

A shown line is looked for among the real lines with its digits left out, in order; `…` alone
stands for any lines. Where a line is no longer there the block is named and must be written
anew by hand.

    python -m tools.tour
"""

from __future__ import annotations

import re
import shlex
import subprocess
import sys
from pathlib import Path

README = Path(__file__).resolve().parents[1] / "README.md"
SCRIPT = str(Path(sys.executable).parent / "springcase")
ANY = "…"


def without_figures(line: str) -> str:
    """Return a line without digits and spaces, to be found again when they changed."""
    return re.sub(r"[\d.\s]", "", line)


def refresh(shown: list[str], real: list[str]) -> list[str]:
    """
    Return the shown lines as they are now.

    Raises
    ------
    LookupError
        If a shown line is not among the real ones any more.
    """
    fresh, place = [], 0
    for line in shown:
        if line == ANY:
            fresh.append(line)
            continue
        wanted = without_figures(line)
        while place < len(real) and without_figures(real[place]) != wanted:
            place += 1
        if place == len(real):
            raise LookupError(line)
        fresh.append(real[place])
        place += 1
    return fresh


def refresh_block(block: re.Match[str]) -> str:
    """Return one console block with its output as it is now."""
    command, *shown = block[1].rstrip("\n").split("\n")
    words = shlex.split(command.removeprefix("$ "))
    done = subprocess.run([SCRIPT, *words[1:]], capture_output=True, text=True, check=False)
    real = [line.rstrip() for line in (done.stdout + done.stderr).splitlines()]
    try:
        lines = refresh(shown, real)
    except LookupError as error:
        print(f"{command}\n  no longer prints: {error}", file=sys.stderr)
        return block[0]
    return "```console\n" + "\n".join([command, *lines]) + "\n```"


def main() -> None:
    """Refresh the README."""
    text = README.read_text(encoding="utf-8")
    fresh = re.sub(r"^```console\n(\$ .*?)^```$", refresh_block, text, flags=re.M | re.S)
    README.write_text(fresh, encoding="utf-8")


if __name__ == "__main__":
    main()
