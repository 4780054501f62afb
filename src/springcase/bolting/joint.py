"""
Joints that are not all bolts in tension: what bounds the torque of each kind.

Only a metal-to-metal joint is computed from preload. The others carry a stated range, bounded
below by sealing and above by the least of clamp stress on the soft part, the weakest thread,
the cover, and the share of proof load, which is a ceiling and never a target.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from springcase.bolting.preload import (
    preload_at_share,
    preload_for_torque,
    torque_for_preload,
)
from springcase.errors import BadInput, OutsideValidity, SpringcaseError
from springcase.owner.rules import JOINT_KINDS
from springcase.standards.strength import Grade, thread_material
from springcase.standards.tables import unknown_name
from springcase.standards.threads import Thread
from springcase.units import format_value, parse_quantity

KINDS: Final = JOINT_KINDS
KINDS_WITHOUT_TORQUE: Final = ("taper-thread", "tube-fitting")
# Shear strength as a share of tensile strength, and how much of it a maintained thread may use:
# common practice, no source.
SHEAR_SHARE: Final = 0.6
STRIP_SHARE: Final = 0.5
# Engaged thread at the major and at the minor diameter, as a share of the pitch: basic 60-degree
# profile, an eighth of the height cut from the crest and a quarter from the root (`statics`).
_AT_MAJOR: Final = 0.875
_AT_MINOR: Final = 0.75
_BASIC_MINOR: Final = 1.082532
_ROUNDING: Final = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class JointLimits:
    """What a joint's parts can bear; None where nothing is stated. [m], [m2], [Pa], [N.m], [-]"""

    tapped: str = ""
    engagement: float | None = None
    clamp_area: float | None = None
    clamp_stress: float | None = None
    sealing_stress: float | None = None
    cover_torque: float | None = None
    nut_factor: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Limit:
    """One bound on a joint: preload of one fastener, its torque, where the bound is from."""

    name: str
    preload: float
    torque: float
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Ceiling:
    """
    The bounds on the torque of one joint.

    `limit` is the least of the upper bounds and None where no bound is known; `preload` is what
    it means per fastener; `sealing` is the least torque that seals, None where not stated.
    [N.m], [N]
    """

    limit: float | None
    governed_by: str
    preload: float | None
    each: tuple[Limit, ...]
    sealing: Limit | None


_LIMIT_KINDS: Final = {
    "engagement": ("engagement", "length"),
    "clamp_area": ("clamp_area", "area"),
    "clamp_stress": ("clamp_stress", "stress"),
    "sealing_stress": ("sealing_stress", "stress"),
    "cover": ("cover_torque", "torque"),
    "nut_factor": ("nut_factor", "ratio"),
}


def read_limits(limits: Mapping[str, str], *, field: str) -> JointLimits:
    """
    Return the limits of a joint as its family file states them, in SI.

    Raises UnknownName for a key or material not known, BadInput for a quantity that cannot be
    read, OutsideValidity for one that is not more than zero.
    """
    values: dict[str, float] = {}
    tapped = ""
    for key, text in limits.items():
        if key == "tapped":
            thread_material(text, field=f"{field}.tapped")
            tapped = text
            continue
        if key not in _LIMIT_KINDS:
            raise unknown_name(field, key, ("tapped", *_LIMIT_KINDS))
        name, kind = _LIMIT_KINDS[key]
        value = parse_quantity(text, kind, field=f"{field}.{key}").value
        if value <= 0:
            raise OutsideValidity(
                "not-positive", field=f"{field}.{key}", value=text, right="more than zero"
            )
        values[name] = value
    return JointLimits(tapped=tapped, **values)


def internal_strip_load(thread: Thread, engagement: float, tensile_strength: float) -> float:
    """
    Return the load at which a tapped thread may be used up to, per fastener. [N]

    Shear of the internal thread at the screw's major diameter: pi D L 7/8 (`statics`) times
    0.6 of the tensile strength, half of it used (common practice). [m], [Pa]
    """
    area = math.pi * thread.diameter * engagement * _AT_MAJOR
    return area * tensile_strength * SHEAR_SHARE * STRIP_SHARE


def external_strip_load(thread: Thread, engagement: float, tensile_strength: float) -> float:
    """
    Return the load at which a screw's own thread may be used up to, per fastener. [N]

    Shear of the external thread at the nut's minor diameter: pi D1 L 3/4 (`statics`) times 0.6
    of the tensile strength, half of it used (common practice). [m], [Pa]
    """
    minor = thread.diameter - _BASIC_MINOR * thread.pitch
    return math.pi * minor * engagement * _AT_MINOR * tensile_strength * SHEAR_SHARE * STRIP_SHARE


def metal_joint_torque(thread: Thread, grade: Grade, share: float, nut_factor: float) -> float:
    """
    Return the torque of a metal-to-metal joint from its preload. [N.m]

    Raises OutsideValidity for a share outside 0 to 1 or a grade without proof stress.
    """
    preload = preload_at_share(thread, grade, share)
    return torque_for_preload(preload, thread.diameter, nut_factor)


def _strip_limits(
    thread: Thread, grade: Grade | None, limits: JointLimits, screw_material: str
) -> list[tuple[str, float, str]]:
    if limits.engagement is None:
        return []
    found = []
    if limits.tapped:
        tapped = thread_material(limits.tapped)
        load = internal_strip_load(thread, limits.engagement, tapped.value)
        found.append((f"thread tapped in {limits.tapped}", load, tapped.source))
    if grade is not None:
        load = external_strip_load(thread, limits.engagement, grade.tensile_stress)
        found.append(("thread of the screw", load, grade.source))
    elif screw_material:
        screw = thread_material(screw_material, field="material")
        load = external_strip_load(thread, limits.engagement, screw.value)
        found.append((f"thread cut on {screw_material}", load, screw.source))
    return found


def torque_ceiling(
    *,
    thread: Thread | None,
    grade: Grade | None,
    count: int,
    limits: JointLimits,
    nut_factor: float,
    proof_share: float,
    yield_share: float = 0.5,
    screw_material: str = "",
) -> Ceiling:
    """
    Return what bounds the torque of a joint's fasteners, each bound by itself and the least.

    `nut_factor` is used unless the joint states its own; `yield_share` stands in where a grade
    has no proof stress; `screw_material` is that of a thread without a grade (a brass seat). [-]

    Raises OutsideValidity for a share outside 0 to 1, UnknownName for a material of no table.
    """
    factor = limits.nut_factor or nut_factor
    loads: list[tuple[str, float, str]] = []
    sealing = None
    each: list[Limit] = []
    if thread is not None:
        if grade is not None:
            basis = "yield" if grade.proof_stress is None else "proof"
            share = yield_share if grade.proof_stress is None else proof_share
            load = preload_at_share(thread, grade, share, of=basis)
            loads.append((f"{100 * share:g} % of {basis} load", load, grade.source))
        loads += _strip_limits(thread, grade, limits, screw_material)
        if limits.clamp_area is not None and limits.clamp_stress is not None:
            load = limits.clamp_stress * limits.clamp_area / count
            loads.append(("clamp stress on the soft part", load, "statics"))
        each = [_limit(name, load, thread, factor, source) for name, load, source in loads]
        if limits.clamp_area is not None and limits.sealing_stress is not None:
            load = limits.sealing_stress * limits.clamp_area / count
            sealing = _limit("sealing stress", load, thread, factor, "statics")
    if limits.cover_torque is not None:
        preload = 0.0
        if thread is not None:
            preload = preload_for_torque(limits.cover_torque, thread.diameter, factor)
        each.append(
            Limit(
                name="cover",
                preload=preload,
                torque=limits.cover_torque,
                source="common_practice",
            )
        )
    least = min(each, key=lambda limit: limit.torque, default=None)
    return Ceiling(
        limit=None if least is None else least.torque,
        governed_by="" if least is None else least.name,
        preload=None if least is None or thread is None else least.preload,
        each=tuple(each),
        sealing=sealing,
    )


def _limit(name: str, preload: float, thread: Thread, factor: float, source: str) -> Limit:
    torque = torque_for_preload(preload, thread.diameter, factor)
    return Limit(name=name, preload=preload, torque=torque, source=source)


def judge_torque(
    *,
    kind: str,
    torque: float | None,
    low: float | None,
    high: float | None,
    ceiling: Ceiling,
    field: str,
) -> tuple[SpringcaseError, ...]:
    """
    Return what is wrong with a stated torque and range, as errors that are not raised. [N.m]

    Raises UnknownName for a joint kind that does not exist.
    """
    if kind not in KINDS:
        raise unknown_name(f"{field}.kind", kind, KINDS)
    if kind in KINDS_WITHOUT_TORQUE:
        if torque is None:
            return ()
        return (
            BadInput(
                "torque-not-wanted",
                field=field,
                value=format_value(torque, "N.m", 3),
                right="turns past finger-tight",
                kind=kind,
            ),
        )
    if torque is None:
        return (BadInput("torque-missing", field=field, value=kind, right="a torque or a reason"),)
    found: list[SpringcaseError] = []
    if low is None or high is None:
        if kind != "metal":
            found.append(
                BadInput(
                    "torque-range-missing", field=field, value=kind, right="such as 10 to 12 N.m"
                )
            )
        low, high = torque, torque
    elif not low <= torque <= high:
        found.append(
            OutsideValidity(
                "torque-outside-range",
                field=field,
                value=format_value(torque, "N.m", 3),
                right=_between(low, high),
            )
        )
    return (*found, *_judge_bounds(max(torque, high), min(torque, low), ceiling, field))


def _between(low: float, high: float) -> str:
    return f"{format_value(low, 'N.m', 3)} to {format_value(high, 'N.m', 3)}"


def _judge_bounds(
    highest: float, lowest: float, ceiling: Ceiling, field: str
) -> tuple[SpringcaseError, ...]:
    found: list[SpringcaseError] = []
    if ceiling.limit is None:
        found.append(
            BadInput(
                "torque-without-ceiling",
                field=field,
                value=format_value(highest, "N.m", 3),
                right="a thread with its grade, an engagement, a clamp stress or a cover limit",
            )
        )
    elif highest > ceiling.limit * (1 + _ROUNDING):
        found.append(
            OutsideValidity(
                "torque-above-ceiling",
                field=field,
                value=format_value(highest, "N.m", 3),
                right=f"at most {format_value(ceiling.limit, 'N.m', 3)}",
                governed_by=ceiling.governed_by,
            )
        )
    if ceiling.sealing is not None and lowest < ceiling.sealing.torque * (1 - _ROUNDING):
        found.append(
            OutsideValidity(
                "torque-below-sealing",
                field=field,
                value=format_value(lowest, "N.m", 3),
                right=f"at least {format_value(ceiling.sealing.torque, 'N.m', 3)}",
            )
        )
    return tuple(found)


def lubrication_fault(
    *,
    lubricated_before: bool,
    lubricated_after: bool,
    torque_before: float,
    torque_after: float,
    field: str,
) -> SpringcaseError | None:
    """
    Return the fault of changing dry to lubricated, or back, without changing the figure. [N.m]

    The same torque on a lubricated thread means more preload: K falls by a tenth to a third
    (`shigley_9e`, table 8-15).
    """
    if lubricated_before == lubricated_after or torque_before != torque_after:
        return None
    return BadInput(
        "lubrication-without-figure",
        field=field,
        value=format_value(torque_after, "N.m", 3),
        right="a figure of its own for the dry and for the lubricated thread",
        state="lubricated" if lubricated_after else "dry",
    )
