"""
Gas through a valve by its flow coefficient: IEC 60534-2-1, turbulent, without fittings.

Fittings and the non-turbulent branch stand in `valve_fittings` and `valve_reynolds`; this module
holds the equations they share and the two explicit answers for a table of duties.

The standard's symbols: x is the pressure drop over the inlet pressure, F_gamma = gamma / 1.40,
Y the expansion factor. Kv is the water in m3/h that passes at a drop of 1 bar.
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from springcase.errors import UnknownName
from springcase.gas.numbers import (
    GAS_CONSTANT,
    Numbers,
    falls,
    give_back,
    in_blocks,
    not_negative,
    positive,
    refuse,
    within,
)
from springcase.units import INCH, PSI

HOUR: Final = 3600.0
GALLON: Final = 231.0 * INCH**3
KV_PER_CV: Final = GALLON * 60.0 / np.sqrt(PSI / 1e5)
"""One Cv (US gallons a minute at 1 psi) in Kv, both with the same water. [-]"""

CONSTANTS: Final = ("printed", "derived")
N9_PRINTED: Final = 24.6
"""N9 of table 1 for Kv, m3/h at 0 degC and kPa, as printed (``iec_60534_2_1_2011``). [-]"""

EDITIONS: Final = ("2007", "2011")
LEAST_EXPANSION: Final = 2.0 / 3.0
_EXPONENT: Final = "more than 1 and up to 2"
_XT: Final = "more than 0 and up to 1"


def kv_of_cv(cv: ArrayLike) -> Numbers:
    """
    Return a Cv as a Kv. [-]

    Raises
    ------
    OutsideValidity
        If it is negative.
    """
    return give_back(not_negative(cv, "cv") * KV_PER_CV)


def cv_of_kv(kv: ArrayLike) -> Numbers:
    """
    Return a Kv as a Cv. [-]

    Raises
    ------
    OutsideValidity
        If it is negative.
    """
    return give_back(not_negative(kv, "kv") / KV_PER_CV)


def kv_of_area(effective_area: ArrayLike) -> Numbers:
    """
    Return the Kv of an orifice from discharge x area: water of 1000 kg/m3 at 1 bar. [m2], [-]

    Raises
    ------
    OutsideValidity
        If the area is negative.
    """
    return give_back(not_negative(effective_area, "effective_area") * HOUR * np.sqrt(2e5 / 1e3))


def constant_n6() -> float:
    """Return N6 for Kv, kg/h, kPa and kg/m3 from the definition of Kv. [-]"""
    return float(np.sqrt(1000.0 * 100.0) / 100.0)


def constant_n8() -> float:
    """Return N8 for Kv, kg/h, kPa and K: N6 with the density of an ideal gas. [-]"""
    return constant_n6() / float(np.sqrt(GAS_CONSTANT))


def constant_n9(base_temperature: float = 273.15) -> float:
    """Return N9 for Kv, m3/h at 101.325 kPa and this temperature, and kPa. [K], [-]"""
    return constant_n8() * GAS_CONSTANT * base_temperature / 101.325


def n9_of(constants: str) -> float:
    """
    Return N9 at 0 degC: as the standard prints it, or derived from the definition of Kv. [-]

    Raises
    ------
    UnknownName
        If `constants` is neither "printed" nor "derived".
    """
    if constants not in CONSTANTS:
        raise UnknownName(
            "flow-not-listed", field="constants", value=constants, right=" or ".join(CONSTANTS)
        )
    return N9_PRINTED if constants == "printed" else constant_n9()


def edition_checked(edition: str) -> str:
    """
    Return an edition of the standard that is known here.

    Raises
    ------
    UnknownName
        If it is not one of `EDITIONS`.
    """
    if edition not in EDITIONS:
        raise UnknownName(
            "flow-not-listed", field="edition", value=edition, right=" or ".join(EDITIONS)
        )
    return edition


def choked_ratio(xt: ArrayLike, isentropic_exponent: ArrayLike) -> Numbers:
    """
    Return the pressure drop over inlet pressure at which a valve without fittings chokes. [-]

    Raises
    ------
    OutsideValidity
        If xT is not more than 0 and up to 1, or the exponent not more than 1 and up to 2.

    Examples
    --------
    >>> round(choked_ratio(0.60, 1.30), 7)
    0.5571429
    """
    factor = within(xt, "xt", above=0.0, up_to=1.0, right=_XT)
    return give_back(factor * _exponent(isentropic_exponent) / 1.4)


def choke_outlet_pressure(
    inlet_pressure_abs: ArrayLike, xt: ArrayLike, isentropic_exponent: ArrayLike
) -> Numbers:
    """
    Return the absolute outlet pressure below which the valve is choked. [Pa]

    Raises
    ------
    OutsideValidity
        If a value lies outside what is stated.
    """
    inlet = positive(inlet_pressure_abs, "inlet_pressure_abs")
    return give_back(inlet * (1.0 - np.asarray(choked_ratio(xt, isentropic_exponent))))


def choke_inlet_pressure(
    outlet_pressure_abs: ArrayLike, xt: ArrayLike, isentropic_exponent: ArrayLike
) -> Numbers:
    """
    Return the absolute inlet pressure above which the valve is choked. [Pa]

    Raises
    ------
    OutsideValidity
        If a value lies outside what is stated, or the valve cannot choke at any drop.
    """
    outlet = positive(outlet_pressure_abs, "outlet_pressure_abs")
    ratio = np.asarray(choked_ratio(xt, isentropic_exponent))
    refuse(ratio, ratio >= 1.0, "xt", "such that xT x gamma / 1.4 is below 1")
    return give_back(outlet / (1.0 - ratio))


def expansion_factor(drop_ratio: ArrayLike, choked_drop_ratio: ArrayLike) -> Numbers:
    """
    Return Y: 1 with no drop, falling to 2/3 where the flow chokes and held there. [-]

    Raises
    ------
    OutsideValidity
        If a drop ratio is negative, or the choked one is not more than zero.
    """
    drop = not_negative(drop_ratio, "drop_ratio")
    choked = positive(choked_drop_ratio, "choked_drop_ratio")
    return give_back(np.maximum(1.0 - drop / (3.0 * choked), LEAST_EXPANSION))


def _exponent(value: ArrayLike) -> NDArray[np.float64]:
    return within(value, "isentropic_exponent", above=1.0, up_to=2.0, right=_EXPONENT)


def _checked(
    inlet_pressure_abs: ArrayLike,
    outlet_pressure_abs: ArrayLike,
    temperature: ArrayLike,
    molar_mass: ArrayLike,
    isentropic_exponent: ArrayLike,
    compressibility: ArrayLike,
    xt: ArrayLike,
) -> tuple[NDArray[np.float64], ...]:
    """Return the duty checked, in the order the formulas take it."""
    inlet = positive(inlet_pressure_abs, "inlet_pressure_abs")
    outlet = not_negative(outlet_pressure_abs, "outlet_pressure_abs")
    falls(inlet, outlet)
    return (
        inlet,
        outlet,
        positive(temperature, "temperature"),
        positive(molar_mass, "molar_mass"),
        _exponent(isentropic_exponent),
        positive(compressibility, "compressibility"),
        within(xt, "xt", above=0.0, up_to=1.0, right=_XT),
    )


def _drop_and_expansion(
    inlet: NDArray[np.float64],
    outlet: NDArray[np.float64],
    gamma: NDArray[np.float64],
    xt: NDArray[np.float64],
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return the pressure drop ratio, at most choked, and the expansion factor Y. [-]"""
    choked = gamma * (xt / 1.4)
    drop = np.minimum(1.0 - outlet / inlet, choked)
    return drop, 1.0 - drop / (3.0 * choked)


def valve_kv(
    *,
    flow_base: ArrayLike,
    inlet_pressure_abs: ArrayLike,
    outlet_pressure_abs: ArrayLike,
    temperature: ArrayLike,
    molar_mass: ArrayLike,
    isentropic_exponent: ArrayLike,
    xt: ArrayLike,
    compressibility: ArrayLike = 1.0,
    constants: str = "printed",
) -> Numbers:
    r"""
    Return the Kv that passes a flow, turbulent and without fittings. [-]

    Parameters
    ----------
    flow_base : array_like
        Volume flow at 0 degC and 101.325 kPa. [m3/s]
    inlet_pressure_abs : array_like
        Pressure before the valve. [Pa]
    outlet_pressure_abs : array_like
        Pressure behind it, below the inlet pressure. [Pa]
    temperature : array_like
        Temperature before it. [K]
    molar_mass : array_like
        Molar mass of the gas. [kg/mol]
    isentropic_exponent : array_like
        Specific heat ratio, more than 1 and up to 2. [-]
    xt : array_like
        Pressure differential ratio factor of the valve, more than 0 and up to 1. [-]
    compressibility : array_like
        Compressibility factor Z before it. [-]
    constants : str
        "printed" as in table 1 of the standard, or "derived" from the definition of Kv.

    Raises
    ------
    OutsideValidity
        If a value lies outside what is stated, or there is no pressure drop.

    Notes
    -----
    Equations 7 to 12 of ``iec_60534_2_1_2011``, x held at the choked ratio:

    .. math:: K_v = \frac{Q}{N_9 p_1 Y}\sqrt{\frac{M T Z}{x}},\quad Y = 1 - \frac{x}{3 F_\gamma x_T}

    Examples
    --------
    >>> kv = valve_kv(flow_base=1000 / 3600, inlet_pressure_abs=5e5, outlet_pressure_abs=4e5,
    ...               temperature=288.15, molar_mass=0.017595, isentropic_exponent=1.30,
    ...               xt=0.72, compressibility=0.99)
    >>> round(kv, 5)
    14.30611
    """
    flow = not_negative(flow_base, "flow_base")
    duty = _checked(
        inlet_pressure_abs,
        outlet_pressure_abs,
        temperature,
        molar_mass,
        isentropic_exponent,
        compressibility,
        xt,
    )
    refuse(duty[1], duty[1] >= duty[0], "outlet_pressure_abs", "below the inlet pressure")
    # kPa and g/mol of the printed equation, as one factor.
    factor = HOUR * 1e3 * np.sqrt(1e3) / n9_of(constants)

    def formula(
        flow: NDArray[np.float64],
        inlet: NDArray[np.float64],
        outlet: NDArray[np.float64],
        temperature: NDArray[np.float64],
        molar_mass: NDArray[np.float64],
        gamma: NDArray[np.float64],
        z: NDArray[np.float64],
        xt: NDArray[np.float64],
    ) -> NDArray[np.float64]:
        drop, expansion = _drop_and_expansion(inlet, outlet, gamma, xt)
        root = np.sqrt(molar_mass * temperature * z / drop)
        return np.asarray(factor * flow * root / (inlet * expansion))

    return give_back(in_blocks(formula, flow, *duty))


def valve_flow(
    *,
    kv: ArrayLike,
    inlet_pressure_abs: ArrayLike,
    outlet_pressure_abs: ArrayLike,
    temperature: ArrayLike,
    molar_mass: ArrayLike,
    isentropic_exponent: ArrayLike,
    xt: ArrayLike,
    compressibility: ArrayLike = 1.0,
    constants: str = "printed",
) -> Numbers:
    """
    Return the flow a Kv passes, at 0 degC and 101.325 kPa, turbulent and without fittings. [m3/s]

    The parameters are those of `valve_kv`, of which this is the inverse. Equal pressures pass
    nothing; beyond the choked ratio the flow no longer knows the outlet pressure.

    Raises
    ------
    OutsideValidity
        If a value lies outside what is stated.

    Examples
    --------
    >>> flow = valve_flow(kv=14.30611, inlet_pressure_abs=5e5, outlet_pressure_abs=4e5,
    ...                   temperature=288.15, molar_mass=0.017595, isentropic_exponent=1.30,
    ...                   xt=0.72, compressibility=0.99)
    >>> round(flow * 3600, 2)
    1000.0
    """
    coefficient = not_negative(kv, "kv")
    duty = _checked(
        inlet_pressure_abs,
        outlet_pressure_abs,
        temperature,
        molar_mass,
        isentropic_exponent,
        compressibility,
        xt,
    )
    factor = n9_of(constants) / (HOUR * 1e3 * np.sqrt(1e3))

    def formula(
        kv: NDArray[np.float64],
        inlet: NDArray[np.float64],
        outlet: NDArray[np.float64],
        temperature: NDArray[np.float64],
        molar_mass: NDArray[np.float64],
        gamma: NDArray[np.float64],
        z: NDArray[np.float64],
        xt: NDArray[np.float64],
    ) -> NDArray[np.float64]:
        drop, expansion = _drop_and_expansion(inlet, outlet, gamma, xt)
        root = np.sqrt(drop / (molar_mass * temperature * z))
        return np.asarray(factor * kv * inlet * expansion * root)

    return give_back(in_blocks(formula, coefficient, *duty))
