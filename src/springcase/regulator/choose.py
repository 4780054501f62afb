"""
Which spring and which orifice for a service, and why each is taken or refused.

Every candidate is asked the same questions, and each answer is kept with its figures: a refusal
says what would have to be otherwise. First come the accepted, the lightest spring whose middle
covers the set point and the smallest orifice that carries the peak before the others.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Final

from springcase.errors import OutsideValidity
from springcase.regulator.force_balance import FALLING, RISING
from springcase.regulator.model import (
    GAS_CONSTANT,
    Action,
    GasState,
    Place,
    Regulator,
    Setting,
)
from springcase.regulator.performance import (
    full_lift_flow,
    held_gauge,
    lock_up,
    relief_flow,
    settle,
    wide_open_flow,
)

MIDDLE: Final = (0.25, 0.75)
"""Part of a spring's range that counts as its middle; common practice, no source. [-]"""
MACH_CAUTION: Final = 0.3
MACH_LIMIT: Final = 1.0
"""Mach number in the outlet from which it is said, and from which it is refused. [-]"""
FREEZING: Final = 273.15


class Standing(StrEnum):
    """What one question found: in order, worth knowing, or a refusal."""

    HOLDS = "holds"
    CAUTION = "caution"
    REFUSED = "refused"


@dataclass(frozen=True, slots=True, kw_only=True)
class Service:
    """
    What a reducer is wanted for: pressures [Pa], flows [kg/s], shares of the set point [-].

    `reference_flow` and the highest inlet are where it is set. `limit_gauge` is what the outlet
    may reach with the unit failed open, `protection_flow` what passes away there: None where no
    one has said, and then nothing is accepted on it. `outlet_bore` [m] is the pipe behind, None
    where it is not looked at; `outlet_temperature` and `hydrate_temperature` [K] are the gas
    room's answers for this service.
    """

    gas: GasState
    highest_inlet_abs: float
    lowest_inlet_abs: float
    set_point_gauge: float
    reference_flow: float
    peak_flow: float
    allowed_droop: float
    allowed_lock_up: float
    limit_gauge: float
    protection_flow: float | None
    atmosphere_abs: float = 101325.0
    outlet_bore: float | None = None
    outlet_temperature: float | None = None
    hydrate_temperature: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Candidate:
    """One build that could serve: its spring and orifice by name, and its physics."""

    spring: str
    orifice: str
    regulator: Regulator


@dataclass(frozen=True, slots=True, kw_only=True)
class Reason:
    """The answer to one question: its standing and the figures it stands on, in SI."""

    code: str
    standing: Standing
    facts: Mapping[str, float | str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """A candidate with every reason for and against it."""

    candidate: Candidate
    reasons: tuple[Reason, ...]

    @property
    def accepted(self) -> bool:
        """Whether no question refused it."""
        return all(reason.standing is not Standing.REFUSED for reason in self.reasons)


def rank(service: Service, candidates: Iterable[Candidate]) -> tuple[Choice, ...]:
    """
    Return every candidate with its reasons, the best first.

    Raises
    ------
    OutsideValidity
        If the service contradicts itself, or a candidate is no reducer.
    """
    _check(service)
    choices = [
        Choice(candidate=each, reasons=tuple(_reasons(service, each))) for each in candidates
    ]
    return tuple(sorted(choices, key=_order))


def _check(service: Service) -> None:
    numbers = {
        "lowest inlet": service.lowest_inlet_abs,
        "highest inlet": service.highest_inlet_abs,
        "set point": service.set_point_gauge,
        "peak flow": service.peak_flow,
        "reference flow": service.reference_flow,
    }
    for field, value in numbers.items():
        if not (math.isfinite(value) and value > 0.0):
            raise OutsideValidity(
                "choose-not-positive", field=field, value=f"{value:g}", right="more than zero"
            )
    if service.lowest_inlet_abs > service.highest_inlet_abs:
        raise OutsideValidity(
            "choose-inlets",
            field="lowest inlet",
            value=f"{service.lowest_inlet_abs:g} Pa",
            right=f"at most the highest, {service.highest_inlet_abs:g} Pa",
        )
    if service.limit_gauge < service.set_point_gauge:
        raise OutsideValidity(
            "choose-limit",
            field="outlet limit",
            value=f"{service.limit_gauge:g} Pa",
            right=f"at least the set point, {service.set_point_gauge:g} Pa",
        )


def _order(choice: Choice) -> tuple[bool, int, bool, float, float]:
    refused = sum(reason.standing is Standing.REFUSED for reason in choice.reasons)
    spring = choice.candidate.regulator.control_spring
    off_middle = any(
        reason.code == "choose-spring-range" and reason.standing is not Standing.HOLDS
        for reason in choice.reasons
    )
    bore = float(choice.candidate.regulator.bore)
    return not choice.accepted, refused, off_middle, float(spring.rate), bore


def _reasons(service: Service, candidate: Candidate) -> Iterator[Reason]:
    regulator = candidate.regulator
    if regulator.action is not Action.REDUCING:
        raise OutsideValidity(
            "performance-reducers-only", field=regulator.name, value=regulator.action.value
        )
    yield _spring_range(service, regulator)
    yield from _limits(service, regulator)
    place = Place(other_abs=service.highest_inlet_abs, atmosphere_abs=service.atmosphere_abs)
    yield _capacity(service, regulator)
    try:
        setting = settle(
            regulator,
            service.gas,
            place,
            set_point_gauge=service.set_point_gauge,
            mass_flow=service.reference_flow,
        )
    except OutsideValidity as error:
        facts = {"why": error.code, "value": str(error.value), "right": str(error.right)}
        yield Reason(code="choose-not-settable", standing=Standing.REFUSED, facts=facts)
    else:
        yield from _held(service, regulator, setting, place)
    yield from _protection(service, regulator, place)
    yield from _outlet(service)


def _judge(code: str, holds: bool, **facts: float | str) -> Reason:
    standing = Standing.HOLDS if holds else Standing.REFUSED
    return Reason(code=code, standing=standing, facts=facts)


def _spring_range(service: Service, regulator: Regulator) -> Reason:
    """Judge where in the range of its card the spring is used."""
    spring = regulator.control_spring
    low, high = spring.low_gauge, spring.high_gauge
    if low is None or high is None:
        return Reason(code="choose-no-range", standing=Standing.CAUTION, facts={})
    used = (service.set_point_gauge - low) / (high - low)
    facts: dict[str, float | str] = {"low": low, "high": high, "used": used}
    if not 0.0 <= used <= 1.0:
        standing = Standing.REFUSED
    else:
        in_middle = MIDDLE[0] <= used <= MIDDLE[1]
        standing = Standing.HOLDS if in_middle else Standing.CAUTION
    return Reason(code="choose-spring-range", standing=standing, facts=facts)


def _limits(service: Service, regulator: Regulator) -> Iterator[Reason]:
    inlet = service.highest_inlet_abs - service.atmosphere_abs
    for code, value, limit in (
        ("choose-inlet-limit", inlet, regulator.inlet_limit_gauge),
        ("choose-outlet-limit", service.set_point_gauge, regulator.outlet_limit_gauge),
        ("choose-casing-limit", service.limit_gauge, regulator.casing_limit_gauge),
    ):
        if limit is not None:
            yield _judge(code, value <= limit, value=value, limit=limit)


def _capacity(service: Service, regulator: Regulator) -> Reason:
    """Judge whether full lift carries the peak at the lowest inlet."""
    least = service.set_point_gauge * (1.0 - service.allowed_droop) + service.atmosphere_abs
    if service.lowest_inlet_abs <= least:
        return _judge("choose-capacity", False, flow=0.0, peak=service.peak_flow)
    flow = full_lift_flow(
        regulator, service.gas, inlet_abs=service.lowest_inlet_abs, outlet_abs=least
    )
    return _judge(
        "choose-capacity",
        float(flow) >= service.peak_flow,
        flow=float(flow),
        peak=service.peak_flow,
    )


def _held(
    service: Service, regulator: Regulator, setting: Setting, place: Place
) -> Iterator[Reason]:
    """Judge droop at the peak and lock-up, each at the inlet where it is worst."""
    inlets = dict.fromkeys((service.lowest_inlet_abs, service.highest_inlet_abs))
    droops, locks = [], []
    for inlet in inlets:
        here = replace(place, other_abs=inlet)
        held = float(
            held_gauge(
                regulator, service.gas, setting, here, mass_flow=service.peak_flow, motion=RISING
            )
        )
        # A flow that does not pass leaves no pressure at all.
        lost = 1.0 if math.isnan(held) else 1.0 - held / service.set_point_gauge
        droops.append((lost, inlet))
        high = float(lock_up(regulator, setting, here).held_gauge)
        locks.append((high / service.set_point_gauge - 1.0, inlet, high))
    droop, inlet = max(droops)
    yield _judge(
        "choose-droop",
        droop <= service.allowed_droop,
        droop=droop,
        allowed=service.allowed_droop,
        inlet=inlet - service.atmosphere_abs,
    )
    rise, inlet, high = max(locks)
    yield _judge(
        "choose-lock-up",
        rise <= service.allowed_lock_up,
        rise=rise,
        allowed=service.allowed_lock_up,
        held=high,
        inlet=inlet - service.atmosphere_abs,
    )
    above = [
        float(
            held_gauge(
                regulator,
                service.gas,
                setting,
                replace(place, other_abs=each),
                mass_flow=service.reference_flow,
                motion=FALLING,
            )
        )
        for each in inlets
    ]
    facts: dict[str, float | str] = {"lowest": min(above), "highest": max(above)}
    yield Reason(code="choose-inlet-effect", standing=Standing.HOLDS, facts=facts)
    if regulator.relief is not None:
        inside = float(
            relief_flow(regulator, service.gas, setting, place, outlet_gauge=service.limit_gauge)
        )
        shown: dict[str, float | str] = {"flow": inside, "limit": service.limit_gauge}
        yield Reason(code="choose-internal-relief", standing=Standing.CAUTION, facts=shown)


def _protection(service: Service, regulator: Regulator, place: Place) -> Iterator[Reason]:
    """Judge the flow failed open at the highest inlet against what protection passes."""
    outlet = min(service.limit_gauge + service.atmosphere_abs, service.highest_inlet_abs)
    flow = float(
        wide_open_flow(
            regulator, service.gas, inlet_abs=service.highest_inlet_abs, outlet_abs=outlet
        )
    )
    if service.limit_gauge + service.atmosphere_abs >= service.highest_inlet_abs:
        facts: dict[str, float | str] = {"limit": service.limit_gauge}
        yield Reason(code="choose-limit-over-inlet", standing=Standing.HOLDS, facts=facts)
    elif service.protection_flow is None:
        yield _judge("choose-no-protection", False, flow=flow, limit=service.limit_gauge)
    else:
        yield _judge(
            "choose-protection",
            flow <= service.protection_flow,
            flow=flow,
            protection=service.protection_flow,
            limit=service.limit_gauge,
            inlet=float(place.other_abs) - service.atmosphere_abs,
        )


def _outlet(service: Service) -> Iterator[Reason]:
    """Judge the speed in the outlet pipe, and say what the cooling may do."""
    gas = service.gas
    kelvin = service.outlet_temperature or float(gas.temperature)
    if service.outlet_bore is not None:
        outlet = service.set_point_gauge * (1.0 - service.allowed_droop) + service.atmosphere_abs
        specific = gas.compressibility * GAS_CONSTANT * kelvin / gas.molar_mass
        area = math.pi / 4.0 * service.outlet_bore**2
        speed = service.peak_flow * specific / (outlet * area)
        mach = float(speed / (gas.isentropic_exponent * specific) ** 0.5)
        standing = Standing.CAUTION if mach >= MACH_CAUTION else Standing.HOLDS
        if mach >= MACH_LIMIT:
            standing = Standing.REFUSED
        yield Reason(
            code="choose-outlet-speed",
            standing=standing,
            facts={"mach": mach, "bore": service.outlet_bore},
        )
    if service.outlet_temperature is None:
        return
    hydrate = service.hydrate_temperature
    is_cold = service.outlet_temperature < FREEZING
    may_form = hydrate is not None and service.outlet_temperature < hydrate
    cold: dict[str, float | str] = {"temperature": service.outlet_temperature}
    if hydrate is not None:
        cold["hydrate"] = hydrate
    yield Reason(
        code="choose-hydrate" if may_form else "choose-cooling",
        standing=Standing.CAUTION if is_cold or may_form else Standing.HOLDS,
        facts=cold,
    )


def accepted(choices: Sequence[Choice]) -> tuple[Choice, ...]:
    """Return the choices that nothing refuses, in their order."""
    return tuple(choice for choice in choices if choice.accepted)
