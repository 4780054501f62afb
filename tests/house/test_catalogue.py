"""Code and catalogue hold together: every error has its sentence, every sentence its error."""

from __future__ import annotations

import ast
import string
from collections.abc import Iterator
from typing import NamedTuple

import pytest

from house.tree import Module, make_module, modules
from springcase import errors
from springcase.wording.catalogue import read_catalogue, read_entries

ERRORS = {
    name
    for name, kind in vars(errors).items()
    if isinstance(kind, type) and issubclass(kind, errors.SpringcaseError)
}
# `build` is added to a family's problems when they are gathered over all builds.
ALWAYS = {"field", "value", "right", "problems", "build"}


class Raised(NamedTuple):
    """An error or a problem made in code: its code, and the facts it is given."""

    where: str
    code: str
    facts: frozenset[str] | None


def raised_in(module: Module) -> Iterator[Raised]:
    """Yield the errors and problems a module makes whose code is written out."""
    for node in ast.walk(module.tree):
        if not isinstance(node, ast.Call):
            continue
        name = ast.unparse(node.func).split(".")[-1]
        named = {keyword.arg: keyword.value for keyword in node.keywords}
        code = node.args[0] if name in ERRORS and node.args else named.get("code")
        if name not in ERRORS | {"Problem"} or not isinstance(code, ast.Constant):
            continue
        facts: frozenset[str] | None = frozenset(key for key in named if key)
        if name == "Problem":
            given = named.get("facts")
            keys = given.keys if isinstance(given, ast.Dict) else []
            facts = frozenset(key.value for key in keys if isinstance(key, ast.Constant))
            facts = None if given is not None and not isinstance(given, ast.Dict) else facts
        if None in named:
            facts = None
        yield Raised(f"{module.path}:{node.lineno}", str(code.value), facts)


def faults(module: Module) -> list[str]:
    """List the errors of a module without sentence, or whose sentence wants a fact they lack."""
    catalogue = read_catalogue()
    found = []
    for raised in raised_in(module):
        if raised.code not in catalogue:
            found.append(f"{raised.where}: {raised.code} has no sentence")
            continue
        wanted = {
            name for _, name, _, _ in string.Formatter().parse(catalogue[raised.code]) if name
        }
        wanted = {name.split(".")[0].split("[")[0] for name in wanted}
        lacking = wanted - ALWAYS - (raised.facts or frozenset())
        if raised.facts is not None and lacking:
            found.append(f"{raised.where}: {raised.code} lacks {sorted(lacking)}")
    return found


def test_every_error_has_its_sentence() -> None:
    """Each error made in code has a sentence, and gives every fact that sentence names."""
    found = [fault for module in modules("src/springcase/") for fault in faults(module)]

    assert "" == "\n".join(found)


@pytest.mark.parametrize(
    "text",
    ["raise BadInput('no-such-code')", "raise UnknownName('command-unknown-near-x', field='f')"],
)
def test_a_planted_error_without_sentence_is_found(text: str) -> None:
    """An error whose code is not in the catalogue is found."""
    assert 1 == len(faults(make_module("src/springcase/units.py", text)))


def test_every_sentence_has_its_error() -> None:
    """Each sentence of an errors file stands for a code that is written out in the product."""
    written = {
        node.value
        for module in modules("src/springcase/")
        for node in ast.walk(module.tree)
        if isinstance(node, ast.Constant) and isinstance(node.value, str)
    }
    dead = [
        f"{file}: {key}"
        for file, key, _ in read_entries()
        if file.startswith("errors_") and key not in written
    ]

    assert "" == "\n".join(dead)
