"""The small family with its access, rules and joints changed at random."""

from __future__ import annotations

import random
from typing import Any

from unit.assembly.small_family import tables

NAMES = ("body", "cap", "spring", "screws", "diaphragm", "plate", "damper", "disc", "orifice")
JOINTS = ("cap-joint", "casing", "orifice-thread")
TIMES = {"minutes_off": 1, "minutes_on": 1}


def mutated(rng: random.Random) -> dict[str, Any]:
    """Return the tables of the small family after one to four changes."""
    made = tables()
    for _ in range(rng.randint(1, 4)):
        rng.choice(_CHANGES)(rng, made)
    return made


def _some(rng: random.Random, names: tuple[str, ...], most: int = 2) -> list[str]:
    return rng.sample(names, rng.randint(1, most))


def _operation(rng: random.Random, made: dict[str, Any]) -> dict[str, Any]:
    parts = made["part"].values()
    tables_ = [part[key] for part in parts for key in ("off", "split") if key in part]
    chosen: dict[str, Any] = rng.choice([*tables_, *made["lump"].values()])
    return chosen


def _access(rng: random.Random, made: dict[str, Any]) -> None:
    _operation(rng, made)["after"] = [_some(rng, NAMES) for _ in range(rng.randint(1, 2))]


def _touch(rng: random.Random, made: dict[str, Any]) -> None:
    operation = _operation(rng, made)
    operation["opens"] = _some(rng, JOINTS)
    operation[rng.choice(("withdraws", "exposes"))] = _some(rng, NAMES)
    if rng.random() < 0.3:
        operation["energy"] = ["spring-load"]


def _act(rng: random.Random, made: dict[str, Any]) -> None:
    act = made["act"].setdefault(rng.choice(("slack", "turn")), {"words": "act"})
    act["after_fit"] = _some(rng, NAMES)
    act["before_fit"] = _some(rng, NAMES) if rng.random() < 0.5 else []
    act["before_joint"] = rng.choice(("", *JOINTS))


def _arc(rng: random.Random, made: dict[str, Any]) -> None:
    first, then = rng.sample(NAMES, 2)
    made["rebuild"].append({"first": first, "then": then, "why": "so"})


def _check(rng: random.Random, made: dict[str, Any]) -> None:
    check = {"words": "stroke", "accept": "free", "reject": "binds"}
    if rng.random() < 0.7:
        check["after_fit"] = _some(rng, NAMES)  # type: ignore[assignment]
        check["before_fit"] = _some(rng, NAMES) if rng.random() < 0.5 else []  # type: ignore[assignment]
        check["before_joint"] = rng.choice(("", *JOINTS))
    elif rng.random() < 0.5:
        check["after"] = [_some(rng, NAMES)]  # type: ignore[assignment]
    made["part"][rng.choice(NAMES)].setdefault("check", {})["stroke"] = check


def _way_off(rng: random.Random, made: dict[str, Any]) -> None:
    part = made["part"][rng.choice(NAMES)]
    kind = rng.choice(("off", "split"))
    part[kind] = {**TIMES, "after": [_some(rng, NAMES)] if rng.random() < 0.5 else []}
    if kind == "split" and rng.random() < 0.4:
        part[kind]["leaves"] = _some(rng, NAMES)


def _lump(rng: random.Random, made: dict[str, Any]) -> None:
    chosen = rng.sample(NAMES[1:], rng.randint(2, 4))
    made["lump"][rng.choice(("set", "other"))] = {**TIMES, "words": "lump", "parts": chosen}


def _part(rng: random.Random, made: dict[str, Any]) -> None:
    part = made["part"][rng.choice(NAMES)]
    part["kind"] = rng.choice(("soft", "hard", "locking", "consumable", "fastener"))
    part["renew"] = rng.choice(("always", "on-finding", "never"))
    part["chamber"] = rng.choice(("inlet", "case"))
    part["kit"] = rng.choice(("", "kit"))
    part["look"] = rng.random() < 0.3
    part["count"] = rng.choice((1, 3))


def _joint(rng: random.Random, made: dict[str, Any]) -> None:
    joint = made["joint"][rng.choice(JOINTS)]
    joint["seals"] = _some(rng, NAMES)
    joint["chambers"] = [rng.choice(("inlet", "case"))]
    joint["retorque"] = rng.random() < 0.5
    joint["holds_pressure"] = rng.random() < 0.5


def _mark(rng: random.Random, made: dict[str, Any]) -> None:
    made["mark"]["vent"]["part"] = rng.choice(NAMES)


_CHANGES = (
    *(_access, _touch, _act, _arc, _check, _way_off, _lump, _part, _joint, _mark),
)  # fmt: skip
