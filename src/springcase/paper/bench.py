"""What every line of a sheet is made from: the plan, its words, tools, units and reading boxes."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Final

from springcase.assembly.model import Check, Plan, Step, Structure
from springcase.errors import BadInput
from springcase.paper.document import Line, Reading, clean
from springcase.paper.given import Drawings, SheetOwner, TorqueTool
from springcase.paper.numbering import number_text
from springcase.units import parse_range

_BARE_HANDS: Final = ("", "hand")


@dataclass(frozen=True, slots=True, kw_only=True)
class Bench:
    """All that a line of the sheet may need to know."""

    structure: Structure
    plan: Plan
    numbers: Mapping[str, int]
    owner: SheetOwner
    wrenches: Mapping[str, TorqueTool]
    drawings: Drawings
    say: Callable[..., str]

    def words(self, parts: tuple[str, ...]) -> str:
        """Return parts in words, each once."""
        found = dict.fromkeys(self.structure.parts[part].words for part in parts)
        return ", ".join(clean(words) for words in found)

    def number(self, parts: tuple[str, ...]) -> str:
        """Return the stack-up numbers of parts."""
        return number_text(parts, self.numbers)

    def tool(self, tool: str) -> str:
        """Return a tool with its size in words; bare hands are said, not left blank."""
        found = self.structure.tools.get(tool)
        if tool in _BARE_HANDS and found is None:
            return self.say("sheet-by-hand")
        return clean(f"{found.words} {found.size}") if found is not None else clean(tool)

    def lubricant(self, lubricant: str) -> str:
        """Return a lubricant in words."""
        found = self.structure.lubricants.get(lubricant)
        return clean(found.words if found is not None else lubricant)

    def pressure_unit(self, step: str) -> str:
        """Return the unit a pressure is read in."""
        if step == "read:as-found-inlet":
            return clean(self.owner.inlet_pressure_unit)
        return self.outlet_unit()

    def chamber_unit(self, chamber: str) -> str:
        """Return the unit a chamber's pressure is read in."""
        is_inlet = chamber == "inlet"
        return clean(self.owner.inlet_pressure_unit) if is_inlet else self.outlet_unit()

    def outlet_unit(self) -> str:
        """Return the unit of the set range, or the owner's where it names none."""
        try:
            unit = parse_range(self.structure.set_range, "pressure-difference", field="set_range")[
                1
            ].unit
        except BadInput:
            # The set range is free words; where it names no unit the owner's stands.
            return clean(self.owner.outlet_pressure_unit)
        return self.say("sheet-gauge", unit=clean(unit))

    def check(self, step: Step) -> Check | None:
        """Return the check a step makes."""
        part = self.structure.parts.get(step.check.partition("/")[0]) if step.check else None
        for holder in [part] if part else [self.structure.parts[name] for name in step.parts]:
            for check in holder.checks:
                if step.check in (check.id, f"{holder.id}/{check.id}"):
                    return check
        return None


def verb_line(bench: Bench, key: str, **facts: object) -> Line:
    """Return a line with its verb and words from the catalogue, and one tick."""
    return Line(
        verb=bench.say(f"sheet-{key}-verb"), words=bench.say(f"sheet-{key}", **facts), ticks=1
    )


# What a reading is, where the box has no unit of its own.
_UNITLESS: Final = frozenset(("time", "count", "number", "name", *("rags in", "rags out")))


def readings_of(step: Step, bench: Bench, *labels: str) -> tuple[Reading, ...]:
    """Return the step's reading boxes; labels stand where a unit would not say enough."""
    if labels:
        return tuple(Reading(label=bench.say(f"sheet-label-{label}")) for label in labels)
    if step.reading in ("", "seen"):
        return ()
    if step.reading == "pressure":
        return (Reading(unit=bench.pressure_unit(step.id)),)
    return (Reading(unit="" if step.reading in _UNITLESS else clean(step.reading)),)
