"""An error or a problem of ours as one sentence."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any, Final

from springcase.errors import SpringcaseError
from springcase.wording.catalogue import as_text, sentence

if TYPE_CHECKING:
    from springcase.formats import Problem

LONGEST_VALUE: Final = 80
MOST_PROBLEMS: Final = 100


def explain(error: SpringcaseError, *, language: str = "en") -> str:
    """
    Return an error as one sentence that names the field, the value and what would be right.

    Raises
    ------
    KeyError
        If its code is not in the catalogue, or the sentence wants a fact it lacks.
    """
    facts = dict(error.facts)
    problems: Any = facts.get("problems")
    if problems:
        facts["problems"] = _join(problems, language)
    made = sentence(
        error.code,
        language=language,
        field=error.field,
        value=quote(error.value),
        right=error.right,
        **facts,
    )
    return made.rstrip(".") + "."


def explain_problem(problem: Problem, *, language: str = "en") -> str:
    """
    Return a problem of a file as one clause without a full stop, to stand alone or in a list.

    Raises
    ------
    KeyError
        If its code is not in the catalogue, or the sentence wants a fact it lacks.
    """
    made = sentence(
        problem.code,
        language=language,
        field=problem.path,
        value=quote(problem.value),
        right=problem.right,
        **problem.facts,
    )
    return made.rstrip(".")


def quote(value: object) -> object:
    """Return text in quotes, shortened if it is long; anything else as it is."""
    if isinstance(value, list | tuple | dict):
        return _shorten(as_text(value))
    return f'"{_shorten(as_text(value))}"' if isinstance(value, str) else value


def _shorten(text: str) -> str:
    return text if len(text) <= LONGEST_VALUE else text[: LONGEST_VALUE - 1] + "…"


def _join(problems: Sequence[Problem], language: str) -> str:
    clauses = [explain_problem(problem, language=language) for problem in problems[:MOST_PROBLEMS]]
    if len(problems) > MOST_PROBLEMS:
        clauses.append(sentence("and-more", language=language, count=len(problems) - MOST_PROBLEMS))
    return "; ".join(clauses)
