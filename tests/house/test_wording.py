"""The catalogue is used whole: no key twice, none asked for that is missing, none unused."""

from __future__ import annotations

import ast
import string
from collections import Counter
from collections.abc import Iterator

import pytest

from house.tree import Module, make_module, modules
from springcase.wording.catalogue import read_catalogue, read_entries

MAKERS = {"sentence"}
KEPT_APART = ("errors_",)
"""Files whose keys are error codes; the test of the catalogue holds those to the code."""


def calls(module: Module) -> Iterator[ast.Call]:
    """Yield the calls of a module that ask for a sentence."""
    for node in ast.walk(module.tree):
        if isinstance(node, ast.Call) and ast.unparse(node.func).split(".")[-1] in MAKERS:
            yield node


def faults(module: Module) -> list[str]:
    """List the sentences a module asks for that are missing, or lack a fact they name."""
    catalogue = read_catalogue()
    found = []
    for call in calls(module):
        key = call.args[0] if call.args else None
        if not isinstance(key, ast.Constant):
            continue
        where = f"{module.path}:{call.lineno}"
        if key.value not in catalogue:
            found.append(f"{where}: {key.value} is not in the catalogue")
            continue
        named = {keyword.arg for keyword in call.keywords}
        text = catalogue[str(key.value)]
        wanted = {name for _, name, _, _ in string.Formatter().parse(text) if name}
        if None not in named and wanted - named:
            found.append(f"{where}: {key.value} lacks {sorted(wanted - named)}")
    return found


def written_in(module: Module) -> Iterator[tuple[str, bool]]:
    """Yield every piece of text in a module, and whether more is joined to its end."""
    for node in ast.walk(module.tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str):
            yield node.value, False
        if isinstance(node, ast.JoinedStr) and isinstance(node.values[0], ast.Constant):
            yield str(node.values[0].value), len(node.values) > 1


def unused(keys: list[tuple[str, str]], among: tuple[Module, ...]) -> list[str]:
    """List the (file, key) pairs no module writes out, whole or as a beginning it completes."""
    pieces = [piece for module in among for piece in written_in(module)]
    whole = {text for text, joined in pieces if not joined}
    begun = tuple({text for text, joined in pieces if joined and text.endswith(("-", "_"))})
    found = []
    for file, key in keys:
        # A file of plain words names its keys without the file's own word.
        bare = key.removeprefix(file.partition("_")[0] + "-")
        if not ({key, bare} & whole or key.startswith(begun) or bare.startswith(begun)):
            found.append(f"{file}: {key}")
    return found


def test_no_key_stands_twice() -> None:
    """Each key stands in one file of the catalogue only."""
    count = Counter(key for _, key, _ in read_entries())

    assert [] == [key for key, times in count.items() if times > 1]


def test_every_sentence_asked_for_is_there() -> None:
    """Each sentence the product asks for is in the catalogue and is given its facts."""
    assert "" == "\n".join(fault for m in modules("src/springcase/") for fault in faults(m))


def test_every_sentence_is_used() -> None:
    """Each sentence outside the errors is asked for somewhere in the product."""
    keys = [(file, key) for file, key, _ in read_entries() if not file.startswith(KEPT_APART)]

    assert [] == unused(keys, modules("src/springcase/"))


@pytest.mark.parametrize(
    "text", ["sentence('no-such-key')", "wording.sentence('and-more')", "sentence('and-more', x=1)"]
)
def test_a_planted_fault_is_found(text: str) -> None:
    """A sentence that is missing, or lacks a fact, is found."""
    assert 1 == len(faults(make_module("src/springcase/planted.py", text)))


def test_a_planted_unused_key_is_found() -> None:
    """A key is unused unless it is written out, or begun by a joined text."""
    module = make_module("src/springcase/planted.py", "sentence(f'own-{x}', y='whole-key')")
    keys = [("own_en.toml", "own-a"), ("own_en.toml", "whole-key"), ("own_en.toml", "dead-key")]

    assert ["own_en.toml: dead-key"] == unused(keys, (module,))
