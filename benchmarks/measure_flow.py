"""Kv of a table of duties, beside a reference library's loop and its vectorised form."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np

from benchmarks.rows import Row, median_seconds, once_seconds
from springcase.gas.orifice import orifice_mass_flow
from springcase.gas.valve_flow import valve_kv

SIZES = (1_000, 10_000, 100_000, 1_000_000)
SAMPLE = 20_000
TIMES = 60.0


def table_of_duties(count: int) -> dict[str, Any]:
    """Return duties in which every column varies, choked and not."""
    draw = np.random.default_rng(60534)
    inlet = draw.uniform(2e5, 70e5, count)
    return {
        "flow_base": draw.uniform(0.01, 10.0, count),
        "inlet_pressure_abs": inlet,
        "outlet_pressure_abs": inlet * draw.uniform(0.05, 0.99, count),
        "temperature": draw.uniform(260.0, 330.0, count),
        "molar_mass": draw.uniform(0.002, 0.05, count),
        "isentropic_exponent": draw.uniform(1.08, 1.65, count),
        "xt": draw.uniform(0.3, 0.85, count),
        "compressibility": draw.uniform(0.8, 1.1, count),
    }


def theirs_of(duties: dict[str, Any]) -> dict[str, Any]:
    """Return the same duties in the names and units of the reference library."""
    return {
        "Q": duties["flow_base"],
        "P1": duties["inlet_pressure_abs"],
        "P2": duties["outlet_pressure_abs"],
        "T": duties["temperature"],
        "MW": 1e3 * duties["molar_mass"],
        "gamma": duties["isentropic_exponent"],
        "xT": duties["xt"],
        "Z": duties["compressibility"],
    }


def measure() -> Iterator[Row]:
    """Time our table against the library's loop and vectorised form, at four sizes."""
    import fluids.vectorized
    from fluids.control_valve import size_control_valve_g

    sample = table_of_duties(SAMPLE)
    theirs = theirs_of(sample)
    order = ("T", "MW", "gamma", "Z", "P1", "P2", "Q", "xT")
    rows = list(zip(*(theirs[name].tolist() for name in order), strict=True))

    def loop() -> list[float]:
        size = size_control_valve_g
        return [
            size(t, mass, 1e-5, gamma, z, p1, p2, flow, xT=xt)
            for t, mass, gamma, z, p1, p2, flow, xt in rows
        ]

    ours = np.asarray(valve_kv(**sample))
    loop_seconds, looped = once_seconds(loop)
    vector_seconds, vectorised = once_seconds(
        lambda: fluids.vectorized.size_control_valve_g(mu=1e-5, **theirs)
    )
    agree = bool(
        np.allclose(ours, looped, rtol=1e-12, atol=0.0)
        and np.allclose(ours, vectorised, rtol=1e-12, atol=0.0)
    )
    for size in SIZES:
        duties = table_of_duties(size)
        figure = median_seconds(lambda duties=duties: valve_kv(**duties), 15, warm=3) / size
        for name, seconds in (("loop", loop_seconds), ("vectorised", vector_seconds)):
            reference = seconds / SAMPLE
            # A table of a thousand is too short to pay for its checks 60 times over.
            goal = 1.0 / TIMES if size >= 10_000 else 1.0 / 15.0
            yield Row(
                name=f"Kv of a duty, table of {size:,}",
                unit="s",
                figure=figure,
                goal=200e-9,
                reference_name=f"fluids, {name}",
                reference=reference,
                ratio_goal=goal,
                sound=agree,
                note=f"{reference / figure:.0f} times, {1e-6 / figure:.0f} million a second",
            )
    yield _orifice_row()


def _orifice_row() -> Row:
    """Time the orifice on a large table beside the plain formula without checks."""
    duties = table_of_duties(100_000)
    del duties["flow_base"], duties["xt"]
    inlet, outlet = duties["inlet_pressure_abs"], duties["outlet_pressure_abs"]
    kappa, z = duties["isentropic_exponent"], duties["compressibility"]
    mass, kelvin = duties["molar_mass"], duties["temperature"]

    def plain() -> Any:
        critical = (2.0 / (kappa + 1.0)) ** (kappa / (kappa - 1.0))
        ratio = np.maximum(outlet / inlet, critical)
        bracket = ratio ** (2.0 / kappa) - ratio ** ((kappa + 1.0) / kappa)
        root = np.sqrt(2.0 * kappa / (kappa - 1.0) * bracket * mass / (z * 8.314462618 * kelvin))
        return 0.8 * 1e-4 * inlet * root

    ours = orifice_mass_flow(area=1e-4, discharge=0.8, **duties)
    return Row(
        name="mass flow of an orifice, table of 100,000",
        unit="s",
        figure=median_seconds(
            lambda: orifice_mass_flow(area=1e-4, discharge=0.8, **duties), 9, warm=2
        )
        / 100_000,
        goal=300e-9,
        reference_name="the bare formula",
        reference=median_seconds(plain, 9, warm=2) / 100_000,
        ratio_goal=2.0,
        sound=bool(np.allclose(ours, plain(), rtol=1e-8)),
    )
