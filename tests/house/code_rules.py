"""
The house rules of the code, each a function from a module to the breaches found in it.

Every rule is used twice: on this checkout, where it must find nothing, and on a planted
breach, which it must find.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

from house.tree import PACKAGE, Module

Function = ast.FunctionDef | ast.AsyncFunctionDef

LONGEST_MODULE = 600
LONGEST_FUNCTION = 60
DOORS = {"cli", "main"}
FORMULA_ROOMS = {"units", "standards", "bolting", "assembly", "owner", "gas", "measurement"}
UNCLEAR_NAMES = {"utils", "util", "helpers", "helper", "common", "misc"}
CLOCK_MODULES = {"logging", "time", "locale", "random"}
CLOCK_CALLS = {"now", "utcnow", "today"}
HEAVY = {"numpy", "typst", "matplotlib", "segno", "pyaga8", "pyarrow", "openpyxl", "pyhanko"}
# Rooms whose formulas are on arrays; the doors import these rooms only when they are asked.
ARRAY_ROOMS = {"gas", "regulator", "station"}
ARRAY_PACKAGES = {"numpy", "pyaga8"}
ONLY_IN_TESTS = {
    "fluids",
    "CoolProp",
    "pint",
    "networkx",
    "ortools",
    "hypothesis",
    "pytest",
    "playwright",
    "pypdfium2",
}
UNITS = {
    *("-", "1", "%", "SI", "m", "m2", "m3", "mm", "mm2", "in", "in2", "kg", "s", "min", "h", "K"),
    *("N", "N.m", "N/m", "Pa", "Pa.m", "rad", "deg", "years", "lbf.in", "lbf.ft", "m/s", "1/m"),
    *("kg/m3", "m3/s", "kg/s", "J", "kg/mol"),
    *("J/mol", "J/m3", "J/(mol.K)", "m3/mol", "Pa.s"),
}


def functions(module: Module) -> Iterator[Function]:
    """Yield every function and method of a module."""
    for node in ast.walk(module.tree):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            yield node


def public_functions(module: Module) -> Iterator[Function]:
    """Yield the public functions of a module and the public methods of its public classes."""
    for node in module.tree.body:
        holders = [node]
        if isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
            holders = list(node.body)
        for held in holders:
            is_function = isinstance(held, ast.FunctionDef | ast.AsyncFunctionDef)
            if is_function and not held.name.startswith("_"):
                yield held


def at(module: Module, node: ast.AST, what: str) -> str:
    """Say where a breach is."""
    return f"{module.path}:{getattr(node, 'lineno', 0)}: {what}"


def arguments(function: Function) -> list[ast.arg]:
    """Return every parameter of a function except self and cls."""
    spec = function.args
    every = [*spec.posonlyargs, *spec.args, *spec.kwonlyargs]
    return [a for a in every if a.arg not in {"self", "cls"}]


def says_float(annotation: ast.expr | None) -> bool:
    """Whether an annotation is a bare float, or a float that may be missing."""
    return annotation is not None and ast.unparse(annotation) in {"float", "float | None"}


def too_long(module: Module) -> Iterator[str]:
    """Modules and functions past the cap."""
    lines = module.text.count("\n")
    if lines > LONGEST_MODULE:
        yield f"{module.path}: {lines} lines, at most {LONGEST_MODULE}"
    for function in functions(module):
        body = function.body[1:] if ast.get_docstring(function) else function.body
        length = (function.end_lineno or 0) - body[0].lineno + 1 if body else 0
        if length > LONGEST_FUNCTION:
            yield at(module, function, f"{function.name} has {length} lines, at most 60")


def unclear_name(module: Module) -> Iterator[str]:
    """Files that say nothing about what they hold."""
    for part in Path(module.path).with_suffix("").parts:
        if part in UNCLEAR_NAMES:
            yield f"{module.path}: a file or folder named {part} says nothing"


def imported(node: ast.AST) -> list[str]:
    """Return the full names an import statement brings in."""
    if isinstance(node, ast.Import):
        return [alias.name for alias in node.names]
    if isinstance(node, ast.ImportFrom) and node.module:
        return [f"{node.module}.{alias.name}" for alias in node.names]
    return []


def speaks_below_the_doors(module: Module) -> Iterator[str]:
    """Printing, logging, clocks and settings in a room that is not a door."""
    if not module.room or module.room in DOORS:
        return
    for node in ast.walk(module.tree):
        for name in imported(node):
            if name.split(".")[0] in CLOCK_MODULES:
                yield at(module, node, f"imports {name}")
            if name in {"os.environ", "os.getenv"}:
                yield at(module, node, f"reads settings: {name}")
        if isinstance(node, ast.Call) and ast.unparse(node.func) in {"print", "input"}:
            yield at(module, node, f"calls {ast.unparse(node.func)}")
        if isinstance(node, ast.Attribute):
            whole = ast.unparse(node)
            if whole in {"os.environ", "os.getenv", "sys.stdout", "sys.stderr", "sys.argv"}:
                yield at(module, node, f"uses {whole}")
            if node.attr in CLOCK_CALLS and whole.split(".")[0] in {"datetime", "date"}:
                yield at(module, node, f"reads the clock: {whole}")


def bare_pressure(module: Module) -> Iterator[str]:
    """Float parameters that are a pressure without reference, or a flow without base."""
    if not module.room or module.room in DOORS:
        return
    for function in functions(module):
        for argument in arguments(function):
            name = argument.arg
            is_number = argument.annotation is None or says_float(argument.annotation)
            bare = re.search(r"(^|_)(pressure|flow)$", name) and name != "mass_flow"
            if is_number and bare:
                yield at(module, function, f"{function.name}({name}) names no reference")


def unit_missing(module: Module) -> Iterator[str]:
    """Functions of the formula rooms whose floats have no unit, in docstring or argument."""
    if module.room not in FORMULA_ROOMS:
        return
    for function in public_functions(module):
        text = ast.get_docstring(function) or ""
        named = re.findall(r"(?<![`\w])\[([^\]\s]+)\]", text)
        floats = [a.arg for a in arguments(function) if says_float(a.annotation)]
        if any(a.arg.endswith("unit") for a in arguments(function)):
            continue
        if (floats or says_float(function.returns)) and not set(named) & UNITS:
            yield at(module, function, f"{function.name} has floats and names no unit in brackets")
        if "Parameters\n----" in text:
            yield from _parameter_table(module, function, text, floats)


def _parameter_table(
    module: Module, function: Function, text: str, floats: list[str]
) -> Iterator[str]:
    section = re.split(r"\n\w+\n-{3,}\n", text.split("Parameters\n", 1)[1].split("\n", 1)[1])[0]
    entries = re.findall(r"^([\w, ]+?) ?: ?[^\n]*\n((?:    [^\n]*\n?)*)", section + "\n", re.M)
    known = {a.arg for a in arguments(function)}
    for names, words in entries:
        listed = set(re.split(r", *", names))
        unit = re.search(r"\[([^\]]+)\]\.?\s*$", words)
        if not listed <= known:
            yield at(module, function, f"{function.name} documents {names}, which it does not take")
        if listed & set(floats) and (unit is None or unit[1] not in UNITS):
            yield at(module, function, f"{function.name}: {names} does not end in a unit")


def docstring_not_a_sentence(module: Module) -> Iterator[str]:
    """Public docstrings whose first paragraph is not a sentence."""
    if not module.room:
        return
    for function in public_functions(module):
        text = ast.get_docstring(function)
        if text and not re.search(r"[.\]:!?]$", text.split("\n\n")[0].strip()):
            yield at(
                module, function, f"{function.name}: the docstring's first line is no sentence"
            )


def loose_dataclass(module: Module) -> Iterator[str]:
    """Dataclasses without slots, and public ones not frozen or not keyword-only."""
    if not module.room:
        return
    for node in ast.walk(module.tree):
        if not isinstance(node, ast.ClassDef):
            continue
        for decorator in node.decorator_list:
            words = ast.unparse(decorator)
            if words.split("(")[0].split(".")[-1] != "dataclass":
                continue
            needs = ["slots=True"]
            if not node.name.startswith("_"):
                needs += ["frozen=True", "kw_only=True"]
            for need in needs:
                if need not in words:
                    yield at(module, node, f"dataclass {node.name} lacks {need}")


def heavy_import(module: Module) -> Iterator[str]:
    """Heavy packages imported when a module is, and test packages imported at all."""
    if not module.room:
        return
    for node in ast.walk(module.tree):
        for name in imported(node):
            top = name.split(".")[0]
            if top in ONLY_IN_TESTS:
                yield at(module, node, f"imports {top}, which only tests and benchmarks may")
    for node in module.tree.body:
        for name in imported(node):
            top = name.split(".")[0]
            is_array_room = module.room in ARRAY_ROOMS and top in ARRAY_PACKAGES
            if top in HEAVY and not is_array_room:
                yield at(module, node, f"imports {name} at the top: import it where it is used")


def root_or_star_import(module: Module) -> Iterator[str]:
    """Star imports anywhere, and names of the root package (not of its rooms) used inside it."""
    rooms = {path.stem for path in PACKAGE.iterdir()} | {"__version__"}
    for node in ast.walk(module.tree):
        names = imported(node)
        if any(name.endswith(".*") for name in names):
            yield at(module, node, "star import")
        from_root = isinstance(node, ast.ImportFrom) and node.module == "springcase"
        if module.room and from_root and not {name.split(".")[1] for name in names} <= rooms:
            yield at(module, node, "imports a name of the root package")
        if module.room and isinstance(node, ast.Import) and "springcase" in names:
            yield at(module, node, "imports the root package")


def checker_imports(module: Module) -> Iterator[str]:
    """The checker importing anything of ours but the frozen data classes."""
    if not module.path.startswith("src/springcase/assembly/check"):
        return
    ours = ("springcase.assembly.model.", "springcase.assembly.check.")
    for node in ast.walk(module.tree):
        if isinstance(node, ast.ImportFrom) and node.level:
            yield at(module, node, "relative import")
        for name in imported(node):
            if name.startswith("springcase") and not name.startswith(ours):
                yield at(module, node, f"imports {name}")


def swallowed_error(module: Module) -> Iterator[str]:
    """Bare excepts, handlers whose whole body is pass, and asserts that are no type narrowing."""
    if not module.room:
        return
    for node in ast.walk(module.tree):
        if isinstance(node, ast.ExceptHandler):
            only_pass = all(isinstance(held, ast.Pass) for held in node.body)
            if node.type is None or only_pass:
                yield at(module, node, "an error is swallowed")
        if isinstance(node, ast.Assert):
            words = ast.unparse(node.test)
            if not words.endswith(" is not None") and not words.startswith("isinstance("):
                yield at(module, node, "assert in the product: raise a deliberate error")


def is_test(function: Function) -> bool:
    """Whether pytest would collect this function."""
    return function.name.startswith("test_") and "Module" not in ast.unparse(function.args)


def test_without_sentence(module: Module) -> Iterator[str]:
    """Tests without a one-sentence docstring."""
    for function in functions(module):
        if not is_test(function):
            continue
        text = ast.get_docstring(function) or ""
        if not text.endswith(".") or "\n\n" in text:
            yield at(module, function, f"{function.name} needs a docstring of one sentence")


def raises_unread(module: Module) -> Iterator[str]:
    """`raises` without match, or of any Exception."""
    for node in ast.walk(module.tree):
        if not isinstance(node, ast.Call) or ast.unparse(node.func) != "pytest.raises":
            continue
        if "match" not in {keyword.arg for keyword in node.keywords}:
            yield at(module, node, "raises without match")
        if node.args and ast.unparse(node.args[0]) in {"Exception", "BaseException"}:
            yield at(module, node, "raises any exception")


def asserts_nothing(module: Module) -> Iterator[str]:
    """Tests that hold no assert, no raises and no call of an assert_ function."""
    for function in functions(module):
        if not is_test(function):
            continue
        held = list(ast.walk(function))
        calls = [ast.unparse(node.func) for node in held if isinstance(node, ast.Call)]
        checks = [
            c for c in calls if c == "pytest.raises" or c.split(".")[-1].startswith("assert_")
        ]
        if not checks and not any(isinstance(node, ast.Assert) for node in held):
            yield at(module, function, f"{function.name} asserts nothing")


PRODUCT_RULES = (
    unclear_name,
    speaks_below_the_doors,
    bare_pressure,
    unit_missing,
    docstring_not_a_sentence,
    loose_dataclass,
    heavy_import,
    root_or_star_import,
    checker_imports,
    swallowed_error,
)
EVERYWHERE_RULES = (too_long,)
TEST_RULES = (test_without_sentence, raises_unread, asserts_nothing)
