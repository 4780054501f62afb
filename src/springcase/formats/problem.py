"""One thing wrong with a file, as data; and the error that carries all of them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from springcase.errors import UnreadableFile


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """
    One thing wrong with a file: where, what stands there and what would be right.

    `path` is the key as the file spells it (``part.orifice.off.minutes_on``), `id` the thing it
    belongs to (``orifice``). The sentence for `code` is in the catalogue of `wording`.
    """

    code: str
    path: str
    id: str = ""
    value: object = ""
    right: object = ""
    facts: Mapping[str, object] = field(default_factory=dict)


def raise_problems(problems: Sequence[Problem], source: str = "") -> None:
    """
    Raise one error that carries every problem of a file; return if there is none.

    Parameters
    ----------
    problems : sequence of Problem
        All problems found, in the order of the file.
    source : str
        The file's name as the person gave it.

    Raises
    ------
    UnreadableFile
        With code `file-has-problems`, the problems in its facts, if there is at least one.
    """
    if problems:
        raise UnreadableFile(
            "file-has-problems", field=source, value=len(problems), problems=tuple(problems)
        )
