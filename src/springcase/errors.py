"""
Every deliberate error of Springcase, as data.

An error is data first (code, field, value, what is right, and further facts) and a
sentence second: the sentence is made at the door from the catalogue in `wording`.

    SpringcaseError
    ├── BadInput            what was given cannot be used                (exit 2)
    │   ├── UnreadableFile  a file that cannot be read as what it claims
    │   ├── UnknownName     a name that is not among the known ones
    │   └── UnitMismatch    a quantity without unit, or of the wrong kind
    ├── NoPlan              the goals cannot be reached, or a circle bars the way
    ├── OutsideValidity     a formula asked outside the range it is stated for
    ├── MissingExtra        a package of an extra is not installed
    └── BrokenPlan          our own plan failed its independent check    (exit 3)
"""

from __future__ import annotations


class SpringcaseError(Exception):
    """The base of every deliberate error: code, field, value, what is right, further facts."""

    def __init__(
        self, code: str, *, field: str = "", value: object = "", right: object = "", **facts: object
    ) -> None:
        self.code = code
        self.field = field
        self.value = value
        self.right = right
        self.facts = facts
        super().__init__(code, field, value, right, facts)

    def __str__(self) -> str:
        parts = [f"[{self.code}]", f"{self.field}:", repr(self.value)]
        if self.right != "":
            parts.append(f"(right: {self.right})")
        parts.extend(f"{name}={fact!r}" for name, fact in self.facts.items())
        return " ".join(parts)


class BadInput(SpringcaseError, ValueError):
    """What was given cannot be used."""


class UnreadableFile(BadInput):
    """A file cannot be read as what it claims to be."""


class UnknownName(BadInput):
    """A name is not among the known ones."""


class UnitMismatch(BadInput):
    """A quantity has no unit, an unknown one, or one of the wrong kind."""


class NoPlan(SpringcaseError, ValueError):
    """The goals cannot be reached from the state the unit is in."""


class OutsideValidity(SpringcaseError, ValueError):
    """A formula was asked outside the range it is stated for."""


class MissingExtra(SpringcaseError, ImportError):
    """A package that belongs to an optional extra is not installed."""


class BrokenPlan(SpringcaseError, RuntimeError):
    """A plan of ours was refused by the independent checker: our own fault."""
