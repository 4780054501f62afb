"""
Reading the owner's figures: flag over setting over file over shipped.

This room reads no environment: the door passes the settings it found.
"""

from __future__ import annotations

import difflib
import os
from collections.abc import Callable, Mapping, Sequence
from types import MappingProxyType
from typing import Any, Final, NamedTuple

import msgspec

from springcase.digest import digest
from springcase.errors import SpringcaseError
from springcase.formats import Problem, convert_table, raise_problems, read_document
from springcase.owner.model import (
    Bolting,
    Figure,
    Holds,
    Lifting,
    Origin,
    Owner,
    Planning,
    Proving,
    TorqueTool,
    Units,
)
from springcase.owner.rules import JOINT_KINDS, NO_LIMIT, RENEWED_KINDS, RULES
from springcase.owner.table import OWNER_FORMAT, FigureTable, ToolTable, read_defaults
from springcase.units import parse_quantity

SETTING_PREFIX: Final = "SPRINGCASE_"
NOTHING: Final[Mapping[str, str]] = MappingProxyType({})


class _Given(NamedTuple):
    """One figure as one layer gives it, with the path a refusal names."""

    name: str
    table: FigureTable
    path: str
    origin: Origin
    where: str


def setting_name(figure: str) -> str:
    """Return the setting that overrules a figure: ``SPRINGCASE_BOLTING_SHARE_OF_PROOF``."""
    return SETTING_PREFIX + figure.replace(".", "_").replace("-", "_").upper()


def read_owner(
    path: str | os.PathLike[str] | bytes | None = None,
    *,
    settings: Mapping[str, str] = NOTHING,
    flags: Mapping[str, str] = NOTHING,
) -> Owner:
    """
    Return the owner's figures, each with where it came from.

    Parameters
    ----------
    path : path, bytes or None
        The owner's file, or its content; None for the shipped figures alone.
    settings : mapping of str to str
        ``SPRINGCASE_…`` settings by name; they overrule the file.
    flags : mapping of str to str
        Figures by their own name; they overrule everything.

    Raises
    ------
    UnreadableFile
        If the file cannot be read, or any layer names an unknown figure or an impossible value;
        every problem is in its facts.
    """
    given, _, _ = _read_file(read_defaults(), Origin.DEFAULT)
    table, source = None, "owner"
    if path is not None:
        from_file, table, source = _read_file(path, Origin.FILE)
        given += from_file
    problems: list[Problem] = []
    given += _read_words(settings, Origin.SETTING, setting_name, problems)
    given += _read_words(flags, Origin.FLAG, str, problems)
    figures = _settle(given, problems)
    tools = _read_tools(table.torque_tool if table else (), problems)
    raise_problems(problems, source)
    return _build(table.owner.name if table else "", figures, tools)


def owner_digest(owner: Owner) -> str:
    """Return the digest of the figures in force: their texts, standings and torque tools."""
    tools = [
        {
            "id": tool.id,
            "low": tool.low_text,
            "high": tool.high_text,
            "accuracy": tool.accuracy_text,
            "calibration_due": tool.calibration_due and tool.calibration_due.isoformat(),
        }
        for tool in owner.torque_tools
    ]
    figures = {
        name: {"value": figure.text, "standing": figure.standing}
        for name, figure in owner.figures.items()
    }
    head = {"format": OWNER_FORMAT.name, "version": OWNER_FORMAT.version, "name": owner.name}
    return digest({**head, "figures": figures, "torque_tools": tools})


def _read_file(
    path: str | os.PathLike[str] | bytes, origin: Origin
) -> tuple[list[_Given], Any, str]:
    """Return the figures of a file, its whole table and its name."""
    document = read_document(path, OWNER_FORMAT.name)
    table, problems = convert_table(document.tables, OWNER_FORMAT.struct, "")
    raise_problems(problems, document.name)
    given = []
    for name in RULES:
        held: Any = table
        for key in name.split("."):
            held = getattr(held, key.replace("-", "_"), msgspec.UNSET)
        if held is not msgspec.UNSET:
            figure = held if isinstance(held, FigureTable) else FigureTable(value=held)
            given.append(_Given(name, figure, name, origin, document.name))
    return given, table, document.name


def _read_words(
    words: Mapping[str, str],
    origin: Origin,
    spell: Callable[[str], str],
    problems: list[Problem],
) -> list[_Given]:
    """Return the figures given as plain words, by the names that origin spells them with."""
    known = {spell(name): name for name in RULES}
    given = []
    for word, text in words.items():
        if word in known:
            table = FigureTable(value=text)
            given.append(_Given(known[word], table, word, origin, word))
            continue
        near = difflib.get_close_matches(word[:80], list(known), n=1)
        if near:
            problems.append(Problem(code="figure-unknown-near", path=word, right=near[0]))
        else:
            problems.append(Problem(code="figure-unknown", path=word, right=list(known)))
    return given


def _settle(given: Sequence[_Given], problems: list[Problem]) -> dict[str, Figure]:
    """Return the figures in force; what comes later in `given` overrules what comes earlier."""
    figures: dict[str, Figure] = {}
    for each in given:
        # A wrong figure is named even where another overrules it: it would rule tomorrow.
        try:
            value = _read_value(each, problems)
        except SpringcaseError as error:
            problems.append(
                Problem(
                    code=error.code,
                    path=each.path,
                    id=each.name,
                    value=error.value,
                    right=error.right,
                    facts=error.facts,
                )
            )
            continue
        shipped = figures.get(each.name)
        figures[each.name] = Figure(
            name=each.name,
            text=each.table.value,
            value=value,
            words=each.table.words or (shipped.words if shipped else ""),
            source=each.table.source,
            standing=each.table.standing or "owner",
            origin=each.origin,
            where="" if each.origin is Origin.DEFAULT else each.where,
        )
    return figures


def _read_value(given: _Given, problems: list[Problem]) -> float | str | None:
    """Return a figure's SI value, or None and one problem more."""
    rule, text = RULES[given.name], given.table.value
    if rule.may_be_none and text == NO_LIMIT:
        return None
    if rule.kind == "choice":
        if text not in rule.choices:
            problems.append(
                Problem(
                    code="not-listed",
                    path=given.path,
                    id=given.name,
                    value=text,
                    right=list(rule.choices),
                )
            )
        return text
    kind = "time" if rule.kind == "seconds" else rule.kind
    value = parse_quantity(text, kind, field=given.path).value
    least = parse_quantity(rule.least, kind, field=given.path).value
    greatest = parse_quantity(rule.greatest, kind, field=given.path).value
    about: dict[str, Any] = {"path": given.path, "id": given.name, "value": text}
    if value <= least and rule.above:
        problems.append(Problem(code="number-not-above", right=rule.least, **about))
    elif value < least:
        problems.append(Problem(code="number-small", right=rule.least, **about))
    elif value > greatest:
        problems.append(Problem(code="number-large", right=rule.greatest, **about))
    elif rule.kind == "seconds" and abs(value - round(value)) > 1e-6:
        problems.append(Problem(code="figure-not-whole-seconds", **about))
    return round(value) if rule.kind == "seconds" else value


def _read_tools(tables: Sequence[ToolTable], problems: list[Problem]) -> tuple[TorqueTool, ...]:
    tools: dict[str, TorqueTool] = {}
    for place, table in enumerate(tables):
        path = f"torque_tool[{place}]"
        if table.id in tools:
            problems.append(Problem(code="tool-twice", path=f"{path}.id", value=table.id))
        try:
            tools[table.id] = _read_tool(table, path, problems)
        except SpringcaseError as error:
            problems.append(
                Problem(
                    code=error.code,
                    path=error.field,
                    id=table.id,
                    value=error.value,
                    right=error.right,
                    facts=error.facts,
                )
            )
    return tuple(tools.values())


def _read_tool(table: ToolTable, path: str, problems: list[Problem]) -> TorqueTool:
    low = parse_quantity(table.low, "torque", field=f"{path}.low")
    high = parse_quantity(table.high, "torque", field=f"{path}.high")
    accuracy = parse_quantity(table.accuracy, "ratio", field=f"{path}.accuracy")
    if not 0 <= low.value < high.value:
        problems.append(
            Problem(code="tool-range-wrong", path=f"{path}.high", value=table.high, right=table.low)
        )
    if not 0 < accuracy.value < 1:
        problems.append(
            Problem(code="tool-accuracy-wrong", path=f"{path}.accuracy", value=table.accuracy)
        )
    return TorqueTool(
        id=table.id,
        words=table.words,
        low=low.value,
        high=high.value,
        unit=high.unit,
        accuracy=accuracy.value,
        calibration_due=table.calibration_due,
        low_text=table.low,
        high_text=table.high,
        accuracy_text=table.accuracy,
    )


def _build(name: str, figures: Mapping[str, Figure], tools: tuple[TorqueTool, ...]) -> Owner:
    def group(prefix: str) -> dict[str, Any]:
        size = len(prefix) + 1
        return {
            key[size:]: figure.value
            for key, figure in figures.items()
            if key.startswith(f"{prefix}.") and "." not in key[size:]
        }

    def by_kind(prefix: str, kinds: Sequence[str]) -> Mapping[str, int]:
        return MappingProxyType({kind: group(prefix)[kind] for kind in kinds})

    return Owner(
        name=name,
        planning=Planning(
            **group("planning"),
            joint=by_kind("planning.joint", JOINT_KINDS),
            renewal=by_kind("planning.renewal", RENEWED_KINDS),
        ),
        holds=Holds(**group("hold")),
        bolting=Bolting(**group("bolting")),
        lifting=Lifting(**group("lifting")),
        proving=Proving(**group("proving")),
        units=Units(**group("units")),
        torque_tools=tools,
        figures=MappingProxyType(dict(figures)),
    )
