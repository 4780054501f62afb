"""
Published cases: what a source prints, what we are asked for it, and how close is close.

A case file `cases/<source>.toml` names the module of its calls (`calls = "bolting"` means
`published/calls_bolting.py`, which offers `CALLS`: name to a function from the given texts to a
number in SI, or to a text). A case is one `[[case]]`, or one row of a `[[table]]` whose
`columns` name what each cell is; a locator may hold `{column}`.

The tolerance is half the last printed digit. A case may state another with its reason; a case
that `deviates` stays with its reason and must still deviate.
"""

from __future__ import annotations

import importlib
import tomllib
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from pathlib import Path
from typing import Any

from springcase.units import convert

FOLDER = Path(__file__).with_name("cases")
TAGS = {"published", "computed", "library", "memory", "common-practice"}
RATIOS = {"-": 1.0, "%": 0.01}
Call = Callable[[Mapping[str, str]], float | str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """One printed figure and the call that must give it."""

    source: str
    locator: str
    call: str
    calls: str
    given: Mapping[str, str]
    printed: str
    unit: str
    tag: str
    tolerance: float | None
    reason: str
    deviates: str

    @property
    def id(self) -> str:
        """The source and the place in it, as the test is named."""
        return f"{self.source}-{self.locator}-{self.call}"


def read_cases(folder: Path = FOLDER) -> list[Case]:
    """Return every case of every file."""
    return [case for file in sorted(folder.glob("*.toml")) for case in _read_file(file)]


def _read_file(file: Path) -> Iterator[Case]:
    whole = tomllib.loads(file.read_text(encoding="utf-8"))
    for row in whole.get("case", []):
        yield _make_case(file, whole, row, row.get("given", {}))
    for table in whole.get("table", []):
        for cells in table["rows"]:
            filled = dict(zip(table["columns"], cells, strict=True))
            row = {**table, **{key: filled[key] for key in filled.keys() & _ROW_KEYS}}
            given = {**table.get("given", {}), **filled}
            row["locator"] = row["locator"].format(**filled)
            yield _make_case(file, whole, row, {key: str(given[key]) for key in given})


_ROW_KEYS = {"call", "printed", "unit", "tag", "tolerance", "reason", "deviates"}


def _make_case(
    file: Path, whole: Mapping[str, Any], row: Mapping[str, Any], given: Mapping[str, str]
) -> Case:
    tag = row.get("tag", whole.get("tag", "published"))
    if tag not in TAGS:
        raise ValueError(f"{file.name}: {row['locator']}: tag {tag} is none of {sorted(TAGS)}")
    if ("tolerance" in row) != ("reason" in row):
        raise ValueError(f"{file.name}: {row['locator']}: a tolerance needs its reason")
    return Case(
        source=row.get("source", whole["source"]),
        locator=row["locator"],
        call=row["call"],
        calls=whole["calls"],
        given={key: text for key, text in given.items() if key not in _ROW_KEYS},
        printed=str(row["printed"]),
        unit=row.get("unit", "-"),
        tag=tag,
        tolerance=row.get("tolerance"),
        reason=row.get("reason", ""),
        deviates=row.get("deviates", ""),
    )


def find_call(case: Case) -> Call:
    """Return the function a case calls."""
    module = importlib.import_module(f"published.calls_{case.calls}")
    found: Call = module.CALLS[case.call]
    return found


def computed(case: Case) -> float | str:
    """Return what we give for a case, in its printed unit."""
    value = find_call(case)(case.given)
    if isinstance(value, str) or case.unit == "text":
        return str(value)
    return value / RATIOS[case.unit] if case.unit in RATIOS else convert(value, case.unit)


def allowed(case: Case) -> float:
    """Return how far we may be from a printed number: half its last digit, or as stated."""
    printed = Decimal(case.printed)
    if case.tolerance is not None:
        return case.tolerance * abs(float(printed))
    exponent = printed.as_tuple().exponent
    return 0.5 * 10.0 ** int(exponent) * (1 + 1e-9)


def agrees(case: Case) -> bool:
    """Return whether what we give is what the source prints."""
    value = computed(case)
    try:
        printed = Decimal(case.printed)
    except InvalidOperation:
        return str(value) == case.printed
    if isinstance(value, str):
        return value == case.printed
    return abs(value - float(printed)) <= allowed(case)


def needs_confirmation(cases: list[Case]) -> str:
    """Return the report of every case whose printed figure is from memory."""
    lines = [
        f"{case.source}, {case.locator}: {case.call} = {case.printed} {case.unit}".rstrip("- ")
        for case in cases
        if case.tag == "memory"
    ]
    head = (
        "Expected values from memory: each needs confirmation in its source before it is relied on."
    )
    return "\n".join([head, f"{len(lines)} cases.", "", *sorted(lines)]) + "\n"
