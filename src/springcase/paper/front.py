"""Page 1: which unit, what differs, who proved it isolated, what is dangerous, what is read now."""

from __future__ import annotations

import math
from collections.abc import Sequence
from datetime import date
from typing import Final

from springcase.assembly.planner import NextPolicy
from springcase.paper.bench import Bench
from springcase.paper.document import Block, Fact, Facts, Line, Picture, Ticks, clean
from springcase.paper.given import UnitCard

# Which service gases burn, and which feed a fire; every gas but air and oxygen displaces the
# air one breathes. General chemistry; a gas not listed is asked about on the sheet.
_FLAMMABLE: Final = frozenset(
    (
        "natural-gas",
        "methane",
        "propane",
        "butane",
        "lpg",
        "hydrogen",
        "biogas",
        "town-gas",
        "fuel-gas",
        "ethylene",
    )
)
_INERT: Final = frozenset(("nitrogen", "argon", "helium", "carbon-dioxide"))
_BREATHABLE: Final = frozenset(("air", "oxygen"))
_POISONOUS: Final = frozenset(("carbon-monoxide", "town-gas", "ammonia"))


def gas_words(gas: str) -> str:
    """Return a service gas in words."""
    return clean(gas.replace("-", " "))


def front_facts(
    bench: Bench, unit: UnitCard | None, next_policy: NextPolicy | None, today: date | None
) -> list[Block]:
    """Return the blocks that say which unit, which build, which scope."""
    plan = bench.plan
    card = unit or UnitCard()
    who = [
        _fact(bench, "tag", card.tag),
        _fact(bench, "serial", card.serial),
        _fact(bench, "position", card.position),
        _fact(bench, "role", card.role),
        _fact(bench, "set-point", card.set_point),
        _fact(bench, "inlet", card.inlet),
        _fact(bench, "gas", gas_words(plan.question.gas)),
        _fact(bench, "date", today.isoformat() if today is not None else ""),
    ]
    blocks: list[Block] = [
        Facts(rows=tuple(who), columns=2),
        Facts(rows=tuple(_build_rows(bench, next_policy))),
        Facts(rows=tuple(_unusual_rows(bench)), boxed=True),
    ]
    return blocks


def _fact(bench: Bench, label: str, value: str) -> Fact:
    return Fact(label=bench.say(f"sheet-fact-{label}"), value=clean(value))


def _build_rows(bench: Bench, next_policy: NextPolicy | None) -> list[Fact]:
    structure, plan = bench.structure, bench.plan
    family = bench.say(
        "sheet-family",
        name=clean(structure.name),
        words=clean(structure.words),
        range=clean(structure.set_range) or bench.say("sheet-not-stated"),
    )
    rows = [_fact(bench, "family", family), _fact(bench, "build", _build_words(bench))]
    if structure.defaulted:
        rows.append(_fact(bench, "defaulted", _option_list(bench, structure.defaulted)))
    rows.append(_fact(bench, "scope", _scope_words(bench)))
    if not plan.optimal:
        gap = 100 * (plan.cost - plan.bound) / plan.cost if plan.cost else 0
        rows.append(
            _fact(
                bench,
                "bound",
                bench.say(
                    "sheet-bound",
                    cost=minutes(plan.cost),
                    bound=minutes(plan.bound, down=True),
                    gap=math.ceil(gap),
                ),
            )
        )
    if next_policy is not None:
        rows.append(_fact(bench, "next-policy", _next_words(bench, next_policy)))
    if structure.on_loss:
        lost = "; ".join(
            bench.say("sheet-on-loss", what=_loss_words(bench, what), act=_loss_words(bench, act))
            for what, act in structure.on_loss.items()
        )
        rows.append(_fact(bench, "on-loss", lost))
    return rows


def _loss_words(bench: Bench, key: str) -> str:
    return bench.say(f"sheet-loss-{key}")


def _build_words(bench: Bench) -> str:
    """Return the options that were read; those that were not have a row of their own."""
    structure = bench.structure
    read = tuple(option for option in structure.options if option not in structure.defaulted)
    if read:
        return _option_list(bench, read)
    return bench.say("sheet-plain-build" if structure.options else "sheet-one-build")


def _option_list(bench: Bench, options: tuple[str, ...]) -> str:
    structure = bench.structure
    return "; ".join(
        bench.say(
            "sheet-option",
            option=clean(structure.option_words.get(option, option)),
            value=clean(structure.value_words.get(option, structure.options[option])),
        )
        for option in options
    )


def _unusual_rows(bench: Bench) -> list[Fact]:
    structure = bench.structure
    rows = [
        Fact(
            label=bench.say(
                "sheet-differs", option=clean(structure.option_words.get(option, option))
            ),
            value=clean(structure.value_words.get(option, structure.options[option])),
        )
        for option in structure.unusual
    ]
    return rows or [_fact(bench, "plain", bench.say("sheet-plain"))]


def _scope_words(bench: Bench) -> str:
    structure, plan = bench.structure, bench.plan
    question = plan.question
    scope = structure.scopes.get(question.scope)
    words = clean(scope.words) if scope is not None else ""
    goals = "; ".join(
        bench.say(
            f"sheet-goal-{goal.kind}",
            part=clean(
                structure.parts[goal.part].words
                if goal.part in structure.parts
                else goal.part.replace("/", ": ")
            ),
        )
        for goal in question.goals
    )
    return bench.say(
        "sheet-scope",
        scope=words or goals,
        place=bench.say(f"sheet-place-{question.place}"),
        policy=bench.say(f"sheet-policy-{question.policy}"),
        minutes=minutes(plan.seconds_whole),
    )


def _next_words(bench: Bench, following: NextPolicy) -> str:
    structure = bench.structure
    policy = bench.say(f"sheet-policy-{following.policy}")
    if not following.adds:
        return bench.say("sheet-next-nothing", policy=policy)
    words = dict.fromkeys(structure.parts[part].words for part in following.adds)
    return bench.say(
        "sheet-next",
        policy=policy,
        parts=clean(", ".join(words)),
        count=len(following.adds),
        minutes=minutes(following.seconds),
    )


def minutes(seconds: int, *, down: bool = False) -> int:
    """Return whole minutes, up unless a bound must not be overstated. [min]"""
    return seconds // 60 if down else -(-seconds // 60)


def isolation_block(bench: Bench) -> Facts:
    """Return the lines that say who proved the isolation, and when."""
    labels = ("isolated-by", "isolated-when", "permit", "control-room")
    return Facts(
        rows=tuple(_fact(bench, label, "") for label in labels),
        heading=bench.say("sheet-isolation"),
        columns=2,
    )


def hazards_block(bench: Bench) -> Ticks:
    """Return the hazards of this build and gas, a tick each."""
    structure, gas = bench.structure, bench.plan.question.gas
    said = [
        bench.say("sheet-hazard-pressure", chamber=clean(words))
        for words in structure.chambers.values()
    ]
    said += [
        bench.say("sheet-hazard-spring", energy=clean(energy.words))
        for energy in structure.energies.values()
        if energy.kind != "chamber"
    ]
    said += [bench.say(f"sheet-hazard-{key}", gas=gas_words(gas)) for key in _gas_hazards(gas)]
    said += [
        bench.say(f"sheet-hazard-{key}")
        for key in ("ignition", "black-deposits", "old-gaskets")
        if key != "ignition" or gas not in _INERT
    ]
    return Ticks(
        heading=bench.say("sheet-hazards"),
        lines=tuple(
            Line(number=f"H{number}", words=words, ticks=1)
            for number, words in enumerate(said, start=1)
        ),
    )


def _gas_hazards(gas: str) -> list[str]:
    known = _FLAMMABLE | _INERT | _BREATHABLE | _POISONOUS
    if gas not in known:
        return ["unknown-gas"]
    hazards = []
    if gas in _FLAMMABLE or gas == "carbon-monoxide":
        hazards.append("flammable")
    if gas in _POISONOUS:
        hazards.append("poisonous")
    if gas == "oxygen":
        hazards.append("oxygen")
    if gas not in _BREATHABLE:
        hazards.append("asphyxiating")
    return hazards


def record_blocks(bench: Bench, marks: Sequence[Line], readings: Sequence[Line]) -> list[Block]:
    """Return what is recorded before the strip: positions, as-found readings, or why not."""
    blocks: list[Block] = []
    if marks:
        blocks.append(Ticks(heading=bench.say("sheet-record-now"), lines=tuple(marks)))
    if readings:
        blocks.append(Ticks(heading=bench.say("sheet-as-found"), lines=tuple(readings)))
    blocks.append(Facts(rows=(_fact(bench, "reason", ""),), boxed=True))
    return blocks


def clock_picture(bench: Bench) -> Picture:
    """Return a clock face to mark a direction on: a ring, twelve ticks, four figures."""
    ticks = []
    for hour in range(12):
        angle = math.radians(30 * hour)
        inner, outer = (35.0 if hour % 3 == 0 else 39.0), 45.0
        ticks.append(
            f'<line x1="{50 + inner * math.sin(angle):.2f}" y1="{50 - inner * math.cos(angle):.2f}"'
            f' x2="{50 + outer * math.sin(angle):.2f}" y2="{50 - outer * math.cos(angle):.2f}"/>'
        )
    figures = "".join(
        f'<text x="{x}" y="{y}" text-anchor="middle">{figure}</text>'
        for figure, x, y in (("12", 50, 29), ("3", 79, 55.5), ("6", 50, 82), ("9", 21, 55.5))
    )
    svg = (
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 100">'
        '<circle cx="50" cy="50" r="46" fill="#ffffff" stroke="#000000" stroke-width="3"/>'
        f'<g stroke="#000000" stroke-width="2.5">{"".join(ticks)}</g>'
        '<circle cx="50" cy="50" r="2.5" fill="#000000"/>'
        f'<g fill="#000000" font-family="DejaVu Sans Mono" font-weight="bold" font-size="15">'
        f"{figures}</g></svg>"
    )
    return Picture(svg=svg, words=bench.say("sheet-clock-words"))
