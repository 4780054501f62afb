"""
A control valve between its pipes: reducers, choking, small trims, both ways round.

`solve_flow` gives the flow of a Kv and `solve_kv` the least Kv that passes a flow, each with how
it was reached. Reducers follow clause 8 of IEC 60534-2-1; the 2007 edition takes the expansion
factor from the bare xT where that of 2011 takes it from xTP.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from springcase.errors import BadInput, OutsideValidity
from springcase.gas.bracketing import find_roots
from springcase.gas.numbers import (
    GAS_CONSTANT,
    Numbers,
    falls,
    give_back,
    not_negative,
    positive,
    refuse,
    within,
)
from springcase.gas.valve_flow import HOUR, LEAST_EXPANSION, edition_checked, n9_of
from springcase.gas.valve_reynolds import (
    FULL_TRIM,
    N2,
    N18,
    TURBULENT,
    expansion_of,
    factor_of,
    recovery_checked,
    reynolds_of_ratio,
)

Array = NDArray[np.float64]

N5: Final = 1.80e-3
"""N5 of table 1 for Kv and mm, as printed (``iec_60534_2_1_2011``). [-]"""
LARGEST_CAPACITY: Final = 0.047
"""Kv over N18 d2 up to which the standard is stated (``iec_60534_2_1_2011``, A.4). [-]"""
_SEARCHED_CAPACITY: Final = 0.075
_MOLES_PER_BASE: Final = 101325.0 / (GAS_CONSTANT * 273.15)


@dataclass(frozen=True, slots=True, kw_only=True)
class Duty:
    """
    What flows and between which pressures; numbers or arrays that broadcast.

    Absolute pressures [Pa], temperature before the valve [K], molar mass [kg/mol], specific
    heat ratio and compressibility factor before it [-], dynamic viscosity [Pa.s] or None where
    the flow is taken as turbulent.
    """

    inlet_pressure_abs: ArrayLike
    outlet_pressure_abs: ArrayLike
    temperature: ArrayLike
    molar_mass: ArrayLike
    isentropic_exponent: ArrayLike
    compressibility: ArrayLike = 1.0
    viscosity: ArrayLike | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Valve:
    """
    What is known of the valve: xT, and where it matters its size, its pipes and its style.

    Sizes and pipe bores [m], None for a valve of the pipe's size; FL, Fd [-]; the rated Kv
    decides whether a trim is full size or reduced, and is the Kv itself where None.
    """

    xt: ArrayLike
    diameter: ArrayLike | None = None
    inlet_pipe: ArrayLike | None = None
    outlet_pipe: ArrayLike | None = None
    pressure_recovery: ArrayLike = 0.9
    style_modifier: ArrayLike = 1.0
    rated_kv: ArrayLike | None = None
    edition: str = "2011"


@dataclass(frozen=True, slots=True, kw_only=True)
class ValveFlow:
    """
    A flow and the Kv that passes it, with the factors of the standard.

    `flow_base` at 0 degC and 101.325 kPa [m3/s]; `kv`, Y, FP, xTP, FR and the valve Reynolds
    number [-], the last None where no viscosity was given. `is_in_scope` is whether Kv over
    N18 d2 is within the standard's 0.047, None where no size was given.
    """

    flow_base: Numbers
    kv: Numbers
    is_choked: NDArray[np.bool_]
    expansion_factor: Numbers
    piping_factor: Numbers
    xtp: Numbers
    reynolds: Numbers | None
    reynolds_factor: Numbers
    is_in_scope: NDArray[np.bool_] | None


@dataclass(slots=True, kw_only=True)
class _Case:
    """A duty and a valve, checked and broadcast to one shape."""

    inlet: Array
    drop: Array
    root: Array
    gamma: Array
    mass_over_viscosity: Array | None
    xt: Array
    size: Array | None
    loss: Array
    inlet_loss: Array
    recovery: Array
    style: Array
    rated: Array | None
    edition: str

    @property
    def has_fittings(self) -> bool:
        """Whether a reducer stands at either end."""
        return bool(np.any(self.loss) or np.any(self.inlet_loss))


def fitting_losses(
    valve_diameter: ArrayLike, inlet_pipe: ArrayLike, outlet_pipe: ArrayLike
) -> tuple[Numbers, Numbers]:
    """
    Return the sum of the loss coefficients, and that of the inlet alone, eq. 16 to 19. [m], [-]

    Raises
    ------
    OutsideValidity
        If a diameter is not more than zero, or the valve is larger than a pipe.
    """
    size = positive(valve_diameter, "valve_diameter")
    shares = []
    for pipe, field in ((inlet_pipe, "inlet_pipe"), (outlet_pipe, "outlet_pipe")):
        bore = positive(pipe, field)
        refuse(bore, bore < size * (1 - 1e-9), field, "at least the size of the valve")
        shares.append(np.minimum(size / bore, 1.0) ** 2)
    before, behind = shares
    inlet_loss = 0.5 * (1.0 - before) ** 2 + 1.0 - before**2
    loss = inlet_loss + (1.0 - behind) ** 2 - (1.0 - behind**2)
    return give_back(loss), give_back(inlet_loss)


def solve_flow(duty: Duty, valve: Valve, kv: ArrayLike) -> ValveFlow:
    """
    Return the flow a Kv passes, with how it was reached. [-]

    Raises
    ------
    OutsideValidity
        If a value lies outside what is stated.
    UnknownName
        If the edition is not known.
    """
    coefficient = positive(kv, "kv")
    case = _read(duty, valve, coefficient)
    coefficient = np.broadcast_to(coefficient, case.inlet.shape).astype(np.float64)
    if case.size is not None and case.has_fittings:
        largest = _largest_kv(case)
        right = "at most what the reducers let through; take a larger valve"
        refuse(coefficient, coefficient > largest, "kv", right)
    turbulent = _turbulent_flow(case, coefficient)
    if case.mass_over_viscosity is None:
        return _answer(case, coefficient, turbulent)
    return _answer(case, coefficient, _flow_at_any_reynolds(case, coefficient, turbulent))


def solve_kv(duty: Duty, valve: Valve, flow_base: ArrayLike) -> ValveFlow:
    """
    Return the least Kv that passes a flow, at 0 degC and 101.325 kPa, with how. [m3/s]

    Raises
    ------
    OutsideValidity
        If a value lies outside what is stated, there is no pressure drop, or no Kv of a valve
        of this size between these pipes passes the flow.
    UnknownName
        If the edition is not known.
    """
    flow = positive(flow_base, "flow_base")
    case = _read(duty, valve, flow)
    flow = np.broadcast_to(flow, case.inlet.shape).astype(np.float64)
    refuse(
        case.inlet * (1 - case.drop),
        case.drop <= 0.0,
        "outlet_pressure_abs",
        "below the inlet pressure",
    )
    one = _turbulent_flow(case, np.ones(case.inlet.shape), bare=True)
    bare = flow / one
    if case.has_fittings:
        bare = _kv_between_fittings(case, flow)
    if case.mass_over_viscosity is None:
        return _answer(case, bare, flow)
    return _answer(case, _kv_at_any_reynolds(case, flow, bare), flow)


def _read(duty: Duty, valve: Valve, other: Array) -> _Case:
    """Return duty and valve checked and broadcast with the Kv or flow asked about."""
    edition = edition_checked(valve.edition)
    inlet = positive(duty.inlet_pressure_abs, "inlet_pressure_abs")
    outlet = not_negative(duty.outlet_pressure_abs, "outlet_pressure_abs")
    falls(inlet, outlet)
    molar_mass = positive(duty.molar_mass, "molar_mass")
    root = (
        molar_mass
        * positive(duty.temperature, "temperature")
        * positive(duty.compressibility, "compressibility")
    )
    right = "more than 1 and up to 2"
    gamma = within(
        duty.isentropic_exponent, "isentropic_exponent", above=1.0, up_to=2.0, right=right
    )
    xt = within(valve.xt, "xt", above=0.0, up_to=1.0, right="more than 0 and up to 1")
    size, loss, inlet_loss = _read_sizes(valve, duty.viscosity)
    over = None
    if duty.viscosity is not None:
        if edition != "2011":
            raise BadInput(
                "flow-not-listed", field="edition", value=edition, right="2011, with a viscosity"
            )
        # Mass flow over viscosity of one unit of base flow, whatever the state it is taken at.
        over = molar_mass * _MOLES_PER_BASE / positive(duty.viscosity, "viscosity")
    rated = None if valve.rated_kv is None else positive(valve.rated_kv, "rated_kv")
    given = [inlet, outlet, root, gamma, xt, loss, inlet_loss, other]
    given += [recovery_checked(valve.pressure_recovery)]
    given += [positive(valve.style_modifier, "style_modifier")]
    given += [one for one in (size, over, rated) if one is not None]
    shape = np.broadcast_shapes(*(one.shape for one in given))

    def spread(one: Array) -> Array:
        return np.broadcast_to(one, shape)

    return _Case(
        inlet=spread(inlet),
        drop=spread(1.0 - outlet / inlet),
        root=spread(root),
        gamma=spread(gamma),
        mass_over_viscosity=None if over is None else spread(over),
        xt=spread(xt),
        size=None if size is None else spread(size),
        loss=spread(loss),
        inlet_loss=spread(inlet_loss),
        recovery=spread(given[8]),
        style=spread(given[9]),
        rated=None if rated is None else spread(rated),
        edition=edition,
    )


def _read_sizes(valve: Valve, viscosity: ArrayLike | None) -> tuple[Array | None, Array, Array]:
    """Return the valve's size with the losses of its reducers; no size means none are known."""
    nothing = np.asarray(0.0)
    if valve.diameter is None:
        for pipe, field in ((valve.inlet_pipe, "inlet_pipe"), (valve.outlet_pipe, "outlet_pipe")):
            if pipe is not None:
                raise BadInput("flow-needs", field=field, value=str(pipe), right="valve_diameter")
        if viscosity is not None:
            raise BadInput(
                "flow-needs", field="viscosity", value=str(viscosity), right="valve_diameter"
            )
        return None, nothing, nothing
    size = positive(valve.diameter, "valve_diameter")
    before = size if valve.inlet_pipe is None else valve.inlet_pipe
    behind = size if valve.outlet_pipe is None else valve.outlet_pipe
    loss, inlet_loss = fitting_losses(size, before, behind)
    return size, np.asarray(loss), np.asarray(inlet_loss)


def _capacity_squared(case: _Case, kv: Array) -> Array:
    """Return (C / d2) squared in the standard's units; zero where no size is known."""
    if case.size is None:
        return np.zeros(case.inlet.shape)
    return np.asarray((kv / (1e3 * case.size) ** 2) ** 2)


def _factors(case: _Case, kv: Array) -> tuple[Array, Array]:
    """Return FP and xTP, equations 15 and 22."""
    capacity = _capacity_squared(case, kv)
    piping = 1.0 / np.sqrt(1.0 + case.loss / N2 * capacity)
    xtp = case.xt / piping**2 / (1.0 + case.xt * case.inlet_loss / N5 * capacity)
    return piping, xtp


def _expansion(case: _Case, xtp: Array) -> tuple[Array, Array]:
    """Return the drop ratio held at the choked one, and Y by the edition."""
    choked = case.gamma / 1.4 * xtp
    held = np.minimum(case.drop, choked)
    basis = choked if case.edition == "2011" else case.gamma / 1.4 * case.xt
    return held, np.maximum(1.0 - held / (3.0 * basis), LEAST_EXPANSION)


def _turbulent_flow(case: _Case, kv: Array, *, bare: bool = False) -> Array:
    """Return the base flow of a Kv by equation 7; `bare` leaves the reducers out."""
    piping, xtp = (np.asarray(1.0), case.xt) if bare else _factors(case, kv)
    held, expansion = _expansion(case, xtp)
    factor = n9_of("printed") / (HOUR * 1e3 * np.sqrt(1e3))
    return np.asarray(factor * kv * piping * case.inlet * expansion * np.sqrt(held / case.root))


def _largest_kv(case: _Case) -> Array:
    """Return the largest Kv searched: C.4 of the standard, and C.5 where FP has a pole."""
    assert case.size is not None
    square = (1e3 * case.size) ** 2
    pole = 0.99 * square * np.sqrt(N2 / np.maximum(-case.loss, 1e-12))
    return np.minimum(_SEARCHED_CAPACITY * N18 * square, pole)


def _kv_between_fittings(case: _Case, flow: Array) -> Array:
    """Return the Kv that passes a turbulent flow between reducers."""
    largest = _largest_kv(case)
    missing = _turbulent_flow(case, largest) < flow
    if missing.any():
        raise OutsideValidity(
            "flow-valve-too-small",
            field="valve_diameter",
            value=f"{float(np.asarray(case.size)[missing].flat[0]):.6g}",
            right="a larger valve, or a smaller flow",
        )
    return find_roots(
        lambda kv: _turbulent_flow(case, kv) - flow, np.zeros(case.inlet.shape), largest
    )


def _reynolds(case: _Case, kv: Array, flow: Array) -> Array:
    assert case.size is not None
    assert case.mass_over_viscosity is not None
    ratio = flow * case.mass_over_viscosity
    return reynolds_of_ratio(kv, ratio, case.size, case.recovery, case.style)


def _slow_flow(case: _Case, kv: Array, flow: Array) -> tuple[Array, Array, Array]:
    """Return what equation A.4 passes where the Reynolds number is that of `flow`, with FR, Y."""
    assert case.size is not None
    reynolds = _reynolds(case, kv, np.maximum(flow, 1e-300))
    rated = kv if case.rated is None else case.rated
    full = rated / (N18 * (1e3 * case.size) ** 2) >= FULL_TRIM
    share = factor_of(kv, reynolds, case.size, case.recovery, full)
    # "Equations involving FP are not applicable": a small trim is taken as of its pipe's size.
    expansion = expansion_of(reynolds, case.drop, case.gamma / 1.4 * case.xt)
    # N22 is N9 over the root of 2, printed 17.3: the drop times the sum of the pressures.
    factor = n9_of("printed") / (HOUR * 1e3 * np.sqrt(1e3))
    root = np.sqrt(case.drop * (1.0 - case.drop / 2.0) / case.root)
    passed = factor * kv * share * expansion * case.inlet * root
    return np.asarray(passed), share, expansion


def _flow_at_any_reynolds(case: _Case, kv: Array, turbulent: Array) -> Array:
    """Return the flow of a Kv: turbulent where it is, by annex A where it is not."""
    is_turbulent = _reynolds(case, kv, turbulent) >= TURBULENT
    flows = turbulent > 0.0
    if (is_turbulent | ~flows).all():
        return turbulent
    found = find_roots(
        lambda flow: flow - _slow_flow(case, kv, flow)[0], turbulent * 1e-12, turbulent
    )
    return np.where(is_turbulent | ~flows, turbulent, found)


def _kv_at_any_reynolds(case: _Case, flow: Array, turbulent_kv: Array) -> Array:
    """Return the least Kv that passes a flow, from the turbulent one up."""
    is_turbulent = _reynolds(case, turbulent_kv, flow) >= TURBULENT
    if is_turbulent.all():
        return turbulent_kv
    high = turbulent_kv * 2.0
    for _ in range(200):
        short = _slow_flow(case, high, flow)[0] < flow
        if not (short & ~is_turbulent).any():
            break
        high = np.where(short, high * 2.0, high)
    slow = find_roots(lambda kv: _slow_flow(case, kv, flow)[0] - flow, turbulent_kv, high)
    # Between the branches the least Kv is the one whose own flow just turns turbulent.
    own = find_roots(
        lambda kv: _reynolds(case, kv, _turbulent_flow(case, kv, bare=True)) - TURBULENT,
        turbulent_kv,
        np.maximum(high, slow),
    )
    reaches = _reynolds(case, own, _turbulent_flow(case, own, bare=True)) >= TURBULENT * (1 - 1e-9)
    least = np.where(reaches, np.minimum(slow, own), slow)
    return np.where(is_turbulent, turbulent_kv, least)


def _answer(case: _Case, kv: Array, flow: Array) -> ValveFlow:
    """Return the flow and the Kv with the factors that hold there."""
    piping, xtp = _factors(case, kv)
    _, expansion = _expansion(case, xtp)
    reynolds, share = None, np.ones(case.inlet.shape)
    if case.mass_over_viscosity is not None:
        number = _reynolds(case, kv, flow)
        is_slow = number < TURBULENT * (1 - 1e-9)
        _, slow_share, slow_expansion = _slow_flow(case, kv, flow)
        share = np.where(is_slow, slow_share, share)
        expansion = np.where(is_slow, slow_expansion, expansion)
        piping, xtp = np.where(is_slow, 1.0, piping), np.where(is_slow, case.xt, xtp)
        reynolds = give_back(number)
    in_scope = None
    if case.size is not None:
        in_scope = np.asarray(kv / (N18 * (1e3 * case.size) ** 2) <= LARGEST_CAPACITY)
    return ValveFlow(
        flow_base=give_back(np.asarray(flow)),
        kv=give_back(np.asarray(kv)),
        is_choked=np.asarray(case.drop >= case.gamma / 1.4 * xtp),
        expansion_factor=give_back(expansion),
        piping_factor=give_back(np.asarray(piping)),
        xtp=give_back(np.asarray(xtp)),
        reynolds=reynolds,
        reynolds_factor=give_back(share),
        is_in_scope=in_scope,
    )
