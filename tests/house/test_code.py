"""The code keeps the house rules, and every rule finds a breach planted for it."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import pytest

from house import code_rules
from house.tree import Module, make_module, modules

Rule = Callable[[Module], Iterator[str]]

ROOM = "src/springcase/bolting/planted.py"
TEST = "tests/unit/bolting/test_planted.py"
PLANTED = [
    (code_rules.too_long, ROOM, "x = 1\n" * 601),
    (code_rules.too_long, ROOM, "def long():\n" + "    x = 1\n" * 61),
    (code_rules.unclear_name, "src/springcase/units/helpers.py", ""),
    (code_rules.unclear_name, "src/springcase/common/any.py", ""),
    (code_rules.speaks_below_the_doors, ROOM, "import logging"),
    (code_rules.speaks_below_the_doors, ROOM, "from time import monotonic"),
    (code_rules.speaks_below_the_doors, ROOM, "print('x')"),
    (code_rules.speaks_below_the_doors, ROOM, "import os\nx = os.environ['HOME']"),
    (code_rules.speaks_below_the_doors, ROOM, "import datetime\nx = datetime.datetime.now()"),
    (code_rules.speaks_below_the_doors, ROOM, "from datetime import date\nx = date.today()"),
    (code_rules.bare_pressure, ROOM, "def f(pressure: float) -> float: ..."),
    (code_rules.bare_pressure, ROOM, "def f(inlet_pressure: float) -> float: ..."),
    (code_rules.bare_pressure, ROOM, "def f(*, flow: float) -> float: ..."),
    (code_rules.unit_missing, ROOM, 'def f(x: float) -> float:\n    """Give x."""'),
    (
        code_rules.unit_missing,
        ROOM,
        'def f(x: float, y: float) -> float:\n    """\n    Give x.\n\n'
        "    Parameters\n    ----------\n    x : float\n        The one. [N]\n"
        '    z : float\n        The other. [N]\n    """',
    ),
    (code_rules.docstring_not_a_sentence, ROOM, 'def f():\n    """Give x"""'),
    (code_rules.loose_dataclass, ROOM, "@dataclass(frozen=True)\nclass A: ..."),
    (code_rules.heavy_import, ROOM, "import numpy as np"),
    (code_rules.heavy_import, ROOM, "def f():\n    import networkx"),
    (code_rules.root_or_star_import, ROOM, "from springcase.units import *"),
    (code_rules.root_or_star_import, ROOM, "from springcase import anything"),
    (
        code_rules.checker_imports,
        "src/springcase/assembly/check/planted.py",
        "from springcase.assembly.problem import make_problem",
    ),
    (code_rules.swallowed_error, ROOM, "try:\n    f()\nexcept ValueError:\n    pass"),
    (code_rules.swallowed_error, ROOM, "assert x > 0"),
    (code_rules.test_without_sentence, TEST, "def test_a():\n    assert True"),
    (code_rules.test_without_sentence, TEST, 'def test_a():\n    """No stop"""'),
    (code_rules.raises_unread, TEST, "with pytest.raises(ValueError): f()"),
    (code_rules.raises_unread, TEST, "with pytest.raises(Exception, match='x'): f()"),
    (code_rules.asserts_nothing, TEST, "def test_a():\n    f()"),
]


def breaches(rules: tuple[Rule, ...], below: str) -> str:
    """List, a line each, what the rules find in the modules whose name starts so."""
    found = [breach for module in modules(below) for rule in rules for breach in rule(module)]
    return "\n".join(found)


@pytest.mark.parametrize("rule", code_rules.PRODUCT_RULES, ids=lambda rule: rule.__name__)
def test_the_product_keeps_the_rule(rule: Rule) -> None:
    """No module of the product breaks this rule."""
    assert "" == breaches((rule,), "src/springcase/")


@pytest.mark.parametrize("rule", code_rules.TEST_RULES, ids=lambda rule: rule.__name__)
def test_the_tests_keep_the_rule(rule: Rule) -> None:
    """No test module breaks this rule."""
    assert "" == breaches((rule,), "tests/")


def test_modules_and_functions_are_short() -> None:
    """No module of product, tests, tools or benchmarks is past 600 lines, no function past 60."""
    assert "" == breaches(code_rules.EVERYWHERE_RULES, "")


@pytest.mark.parametrize(("rule", "path", "text"), PLANTED)
def test_a_planted_breach_is_found(rule: Rule, path: str, text: str) -> None:
    """A breach planted for a rule is found by that rule."""
    found = list(rule(make_module(path, text)))

    assert found != []


def test_every_rule_has_a_planted_breach() -> None:
    """No rule goes without a breach planted for it."""
    every = {*code_rules.PRODUCT_RULES, *code_rules.TEST_RULES, *code_rules.EVERYWHERE_RULES}

    assert every == {rule for rule, _, _ in PLANTED}
