"""How the kit's groups and lines are called, on the sheet and on the day's list."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from springcase.assembly.kit import LOOSE, SHARED_GROUPS
from springcase.assembly.model import KitLine
from springcase.paper.document import clean
from springcase.wording import sentence

_NAMED: Final = ("consumable:", "gauge:", "paper:", "tool:")


def group_words(group: str, *, say: Callable[..., str] = sentence) -> str:
    """Return the heading of a group: one of ours, or a kit by its id."""
    if group == LOOSE or group in SHARED_GROUPS:
        return say(f"sheet-kit-{group}")
    return say("sheet-kit-of", kit=clean(group.replace("-", " ")))


def line_words(line: KitLine, *, say: Callable[..., str] = sentence) -> str:
    """Return what a line of the kit is: the family's words, or ours for what is always taken."""
    if line.id.startswith(_NAMED):
        return say("sheet-kit-" + line.id.replace(":", "-"))
    return clean(line.words)
