"""The examples in the docstrings of the product run and give what they show."""

from __future__ import annotations

import doctest
import importlib

import pytest

from house.tree import make_module, modules

MODULES = [module for module in modules("src/springcase/") if ">>> " in module.text]


def dotted(path: str) -> str:
    """Return the name a module of the product is imported by."""
    return path.removeprefix("src/").removesuffix(".py").removesuffix("/__init__").replace("/", ".")


@pytest.mark.parametrize("path", [module.path for module in MODULES])
def test_the_examples_of_a_module_hold(path: str) -> None:
    """Each example of a docstring gives what it shows."""
    found = doctest.testmod(importlib.import_module(dotted(path)))

    assert found.attempted > 0
    assert found.failed == 0


def test_a_package_is_imported_by_its_folder() -> None:
    """The name of a package's own module is that of its folder."""
    module = make_module("src/springcase/units/__init__.py", "")

    assert dotted(module.path) == "springcase.units"
