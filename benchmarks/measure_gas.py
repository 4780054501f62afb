"""Gas at many states beside the bare wheel and an independent library; the start of convert."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Iterator
from operator import attrgetter
from typing import Any

import numpy as np

from benchmarks.rows import Row, median_seconds
from springcase.gas.composition import Gas, read_gas, wheel_composition
from springcase.gas.properties import GERG_2008, MODELS, state, states_of_gases
from springcase.gas.tabulated import LARGEST_ERROR, build_table, table_state

ROWS = 1_000_000
STATES = 20_000
ORACLE_STATES = 1_000
BLENDS = 400
PRESSURES = (1e4, 10e6)
TEMPERATURES = (263.15, 333.15)
READ = attrgetter("z", "d", "w", "kappa", "cp", "jt")


def random_states(count: int) -> tuple[Any, Any]:
    """Return random pressures [Pa] and temperatures [K] in the box of the table."""
    rng = np.random.default_rng(20761)
    return rng.uniform(*PRESSURES, count), rng.uniform(*TEMPERATURES, count)


def make_wheel(model: str) -> tuple[Any, tuple[int, ...]]:
    """Return the wheel's own equation and what its density call wants."""
    import pyaga8

    return (pyaga8.Gerg2008(), (0,)) if model == GERG_2008 else (pyaga8.Detail(), ())


def wheel_loop(model: str, gas: Gas, pressures: Any, kelvins: Any) -> list[Any]:
    """Ask the wheel itself for the same states, one by one, and keep what it says."""
    equation, flag = make_wheel(model)
    equation.set_composition(wheel_composition(gas))
    equation.calc_molar_mass()
    kept = []
    for pressure, kelvin in zip((pressures / 1000).tolist(), kelvins.tolist(), strict=True):
        equation.temperature, equation.pressure = kelvin, pressure
        equation.calc_density(*flag)
        equation.calc_properties()
        kept.append(READ(equation))
    return kept


def wheel_gases(gases: list[Gas], pressures: Any, kelvins: Any) -> list[Any]:
    """Ask the wheel itself for many gases, one state each."""
    equation, flag = make_wheel(GERG_2008)
    kept = []
    for gas, pressure, kelvin in zip(
        gases, (pressures / 1000).tolist(), kelvins.tolist(), strict=True
    ):
        equation.set_composition(wheel_composition(gas))
        equation.calc_molar_mass()
        equation.temperature, equation.pressure = kelvin, pressure
        equation.calc_density(*flag)
        equation.calc_properties()
        kept.append(READ(equation))
    return kept


def oracle_loop(gas: Gas, pressures: Any, kelvins: Any) -> list[float]:
    """Ask an independent library for z of the same gas."""
    import CoolProp.CoolProp as oracle

    names = {"nitrogen": "Nitrogen", "methane": "Methane"}
    made = oracle.AbstractState("HEOS", "&".join(names[name] for name, _ in gas.fractions))
    made.set_mole_fractions([share for _, share in gas.fractions])
    made.specify_phase(oracle.iphase_gas)
    found = []
    for pressure, kelvin in zip(pressures.tolist(), kelvins.tolist(), strict=True):
        made.update(oracle.PT_INPUTS, pressure, kelvin)
        found.append(made.compressibility_factor())
    return found


def measure() -> Iterator[Row]:
    """Tabulated z and density, all properties, many gases, many states elsewhere, the start."""
    yield from measure_table()
    yield from measure_properties()
    yield measure_oracle()
    yield measure_start()


def measure_table() -> Iterator[Row]:
    """z and density of one gas at a million states, and what its table costs."""
    gas = read_gas("gulf-coast")
    table = build_table(gas, PRESSURES, TEMPERATURES)
    pressures, kelvins = random_states(ROWS)
    few = slice(0, STATES)
    wanted = state(gas, pressures[few], kelvins[few])
    z, density = table_state(table, pressures[few], kelvins[few])
    error = max(np.abs(z / wanted.z - 1).max(), np.abs(density / wanted.density - 1).max())
    wheel = (
        median_seconds(lambda: wheel_loop(GERG_2008, gas, pressures[few], kelvins[few]), 3) / STATES
    )
    for count in (1_000, 10_000, 100_000, ROWS):
        part = slice(0, count)
        ours = median_seconds(
            lambda part=part: table_state(table, pressures[part], kelvins[part]), 5
        )
        yield Row(
            name=f"z and density of one gas, {count:,} states, each",
            unit="s",
            figure=ours / count,
            goal=1 / 5e6,
            reference_name="wheel loop, all properties",
            reference=wheel,
            ratio_goal=0.1,
            sound=bool(error < LARGEST_ERROR),
            note=f"largest error {error:.1e}",
        )
    yield Row(
        name="build the table",
        unit="s",
        figure=median_seconds(lambda: build_table(gas, PRESSURES, TEMPERATURES), 3),
        goal=0.5,
        reference_name="wheel at a million states",
        reference=wheel * ROWS,
        ratio_goal=0.2,
    )


def measure_properties() -> Iterator[Row]:
    """All properties of one gas by each equation, and of many gases, beside the wheel's loop."""
    gas = read_gas("gulf-coast")
    pressures, kelvins = random_states(STATES)
    for model in MODELS:
        found = state(gas, pressures, kelvins, model=model)
        alone = [row[0] for row in wheel_loop(model, gas, pressures, kelvins)]
        yield Row(
            name=f"all properties, {model}, each",
            unit="s",
            figure=median_seconds(
                lambda model=model: state(gas, pressures, kelvins, model=model), 5
            )
            / STATES,
            goal=20e-6,
            reference_name="wheel loop",
            reference=median_seconds(
                lambda model=model: wheel_loop(model, gas, pressures, kelvins), 5
            )
            / STATES,
            ratio_goal=1.3,
            sound=found.z.tolist() == alone,
        )
    gases = [
        read_gas(f"amarillo + {20 * index / BLENDS:.3f} % hydrogen") for index in range(BLENDS)
    ]
    part = slice(0, BLENDS)
    many = states_of_gases(gases, pressures[part], kelvins[part])
    rows = wheel_gases(gases, pressures[part], kelvins[part])
    yield Row(
        name="many gases, each",
        unit="s",
        figure=median_seconds(lambda: states_of_gases(gases, pressures[part], kelvins[part]), 15)
        / BLENDS,
        goal=40e-6,
        reference_name="wheel loop",
        reference=median_seconds(lambda: wheel_gases(gases, pressures[part], kelvins[part]), 15)
        / BLENDS,
        ratio_goal=1.3,
        sound=many["z"].tolist() == [row[0] for row in rows],
    )


def measure_oracle() -> Row:
    """z of a mixture beside an independent library."""
    gas = read_gas("methane=0.9,nitrogen=0.1")
    pressures, kelvins = random_states(ORACLE_STATES)
    wanted = np.array(oracle_loop(gas, pressures, kelvins))
    found = state(gas, pressures, kelvins).z
    return Row(
        name="z of a mixture, each",
        unit="s",
        figure=median_seconds(lambda: state(gas, pressures, kelvins), 5) / ORACLE_STATES,
        goal=30e-6,
        reference_name="CoolProp",
        reference=median_seconds(lambda: oracle_loop(gas, pressures, kelvins), 3) / ORACLE_STATES,
        ratio_goal=0.5,
        sound=bool(np.abs(found / wanted - 1).max() < 3e-4),
    )


def measure_start() -> Row:
    """The start of `springcase convert`, in a process of its own."""
    start = [sys.executable, "-c", "from springcase.main import run; run()"]
    words = ["convert", "7 in w.c.", "--to", "psi", "--json"]
    units = "import pint; print(pint.UnitRegistry().Quantity(7, 'inch_H2O').to('psi'))"

    def run(*command: str) -> None:
        subprocess.run(command, check=True, capture_output=True)

    return Row(
        name="springcase convert, a process",
        unit="s",
        figure=median_seconds(lambda: run(*start, *words), 7),
        goal=0.15,
        reference_name="pint, a process",
        reference=median_seconds(lambda: run(sys.executable, "-c", units), 3),
        ratio_goal=0.6,
    )
