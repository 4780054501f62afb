"""A made-up family file of any size, written as text and read like any other."""

from __future__ import annotations

import random

TOOLS = 8

HEAD = """format = "springcase/family"
version = 1

[family]
id = "made-{parts}"
name = "Made {parts}"
words = "made-up family of {parts} parts, for measuring only"
edition = "1"
action = "reducing"
side_up = "top"
services = ["natural-gas"]

[family.chambers]
inlet = "inlet chamber"

[option.trim]
words = "trim"
default = "plain"
[option.trim.values]
plain = "plain"
quiet = "quiet"

[energy.inlet-pressure]
kind = "chamber"
words = "inlet pressure"
hold = "prove-zero"
chamber = "inlet"
where = "bleed plug"

[part.body]
words = "body"
kind = "hard"
material = "cast-iron"
chamber = "inlet"
fixed = true
"""

SCOPES = """
[scope.overhaul]
words = "take everything apart"
everything = true
[scope.seat]
words = "look at one part deep inside"
inspect = ["part-{last}"]
[scope.change-spring]
words = "reach the first part"
reach = ["part-0"]
[scope.soft-parts]
words = "reach a part half-way"
reach = ["part-{half}"]
"""


def quoted(names: list[str]) -> str:
    """Return a TOML list of names."""
    return "[" + ", ".join(f'"{name}"' for name in names) + "]"


def write_family(parts: int, seed: int) -> str:
    """
    Return a family file with so many parts.

    Each part waits for one or two of the seven before it; every tenth has a second way of
    access; every fifteenth begins a lump of three with splits; every third opens a joint.
    """
    dice = random.Random(seed)
    text = [HEAD.format(parts=parts)]
    for tool in range(TOOLS):
        text.append(
            f'[tool.spanner-{tool}]\nwords = "spanner"\nkind = "spanner"\nsize = "{10 + tool} mm"\n'
        )
    for number in range(parts):
        text.append(part_text(number, dice))
        if number % 3 == 0:
            text.append(
                f'[joint.joint-{number}]\nwords = "joint {number}"\nkind = "taper-thread"\n'
                f'turns = "2 turns past finger-tight"\nno_torque = "taper thread"\n'
                f'tool = "spanner-{number % TOOLS}"\nholds_pressure = true\nchambers = ["inlet"]\n'
            )
    for first in range(14, parts - 3, 15):
        text.append(lump_text(first, dice))
    text.append(SCOPES.format(last=parts - 1, half=parts // 2))
    return "\n".join(text)


def part_text(number: int, dice: random.Random) -> str:
    """Return one part with its ways off."""
    recent = [f"part-{other}" for other in range(max(0, number - 7), number)]
    ways = [dice.sample(recent, min(len(recent), dice.randint(1, 2)))]
    if number and number % 10 == 9:
        ways.append(dice.sample(recent, 2))
    after = "[" + ", ".join(quoted(way) for way in ways) + "]" if number else "[]"
    opens = f'opens = ["joint-{number}"]\n' if number % 3 == 0 else ""
    quiet = '[[part.part-5.variant]]\nwhen = { trim = ["quiet"] }\nsize = "large"\n'
    split = ""
    if number % 15 in {14, 0, 1} and number >= 14:
        split = (
            f"[part.part-{number}.split]\nafter = [[]]\n"
            f'tool = "spanner-{dice.randrange(TOOLS)}"\n'
            f"minutes_off = {dice.randint(1, 3)}\nminutes_on = {dice.randint(1, 3)}\n"
        )
    return (
        f'[part.part-{number}]\nwords = "part {number}"\nkind = "hard"\nmaterial = "steel"\n'
        f'chamber = "inlet"\nsize = "plain"\n'
        f"[part.part-{number}.off]\nafter = {after}\n"
        f'tool = "spanner-{dice.randrange(TOOLS)}"\nside = "{dice.choice(["top", "bottom"])}"\n'
        f"minutes_off = {dice.randint(1, 6)}\nminutes_on = {dice.randint(1, 6)}\n"
        f'{opens}energy = ["inlet-pressure"]\n{split}{quiet if number == 5 else ""}'
    )


def lump_text(first: int, dice: random.Random) -> str:
    """Return three neighbours as a lump."""
    members = [f"part-{number}" for number in range(first, first + 3)]
    return (
        f'[lump.lump-{first}]\nwords = "lump {first}"\nparts = {quoted(members)}\n'
        f'after = [["part-{first - 1}", "part-{first - 3}"]]\n'
        f'tool = "spanner-{dice.randrange(TOOLS)}"\nside = "top"\n'
        f"minutes_off = {dice.randint(1, 4)}\nminutes_on = {dice.randint(1, 4)}\n"
        f'energy = ["inlet-pressure"]\n'
    )
