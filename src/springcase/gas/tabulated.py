"""
One gas at very many states: z and density from a bicubic table with a proven error.

The table is made from the equation of state and compared with it between its points; it is
refused unless the largest relative error is below `LARGEST_ERROR`.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from springcase.errors import OutsideValidity
from springcase.gas.composition import Gas
from springcase.gas.properties import AGA8_DETAIL, GERG_2008, state

Array = NDArray[np.float64]
Cells = NDArray[np.intp]
Pair = tuple[float, float]

LARGEST_ERROR: Final = 1e-6
# Points along temperature and pressure, tried from the coarsest.
_SIZES: Final = ((21, 41), (41, 101), (81, 201), (161, 401))
_PROBES: Final = 2000
# Rows worked at once: small enough for the nearest cache, large enough to hide the calls.
_CHUNK: Final = 8192
# The gas constants of the two equations, as their reference code has them. [J/(mol.K)]
_GAS_CONSTANTS: Final = {GERG_2008: 8.314472, AGA8_DETAIL: 8.31451}


@dataclass(frozen=True, slots=True, kw_only=True)
class GasTable:
    """
    z of one gas over a box of pressures, absolute [Pa], and temperatures [K].

    `coefficients` has one row a power of temperature and pressure and one column a cell; `error`
    is the largest relative error found between its points [-].
    """

    gas: Gas
    model: str
    pressures_abs: Pair
    temperatures: Pair
    cells: tuple[int, int]
    coefficients: Array
    density_factor: float
    error: float


def build_table(
    gas: Gas, pressures_abs: Pair, temperatures: Pair, *, model: str = GERG_2008
) -> GasTable:
    """
    Return a table over a box of pressures, absolute [Pa], and temperatures [K].

    Raises OutsideValidity for a box outside the equation or across the dew line, and for one too
    bent for a table of the largest size.
    """
    for field, (low, high) in (("pressures_abs", pressures_abs), ("temperatures", temperatures)):
        if not low < high:
            raise OutsideValidity(
                "table-outside", field=field, value=f"{low:g} to {high:g}", right="low to high",
                gas=gas.name,
            )  # fmt: skip
    probe = np.random.default_rng(627).uniform(size=(2, _PROBES))
    p = pressures_abs[0] + probe[0] * (pressures_abs[1] - pressures_abs[0])
    t = temperatures[0] + probe[1] * (temperatures[1] - temperatures[0])
    wanted = state(gas, p, t, model=model)
    error = np.inf
    for size in _SIZES:
        table = _fill(gas, pressures_abs, temperatures, model, size, wanted.molar_mass)
        z, density = table_state(table, p, t)
        error = float(
            max(np.abs(z / wanted.z - 1).max(), np.abs(density / wanted.density - 1).max())
        )
        # Half the bound: the probes need not have met the worst place.
        if error < LARGEST_ERROR / 2:
            return _with_error(table, error)
    raise OutsideValidity(
        "table-too-coarse", field="table of", value=gas.name, right=f"{1 / LARGEST_ERROR:.0f}"
    )


def _with_error(table: GasTable, error: float) -> GasTable:
    return GasTable(
        gas=table.gas,
        model=table.model,
        pressures_abs=table.pressures_abs,
        temperatures=table.temperatures,
        cells=table.cells,
        coefficients=table.coefficients,
        density_factor=table.density_factor,
        error=error,
    )


def _fill(
    gas: Gas, pressures_abs: Pair, temperatures: Pair, model: str, size: tuple[int, int],
    molar_mass: float,
) -> GasTable:  # fmt: skip
    """Return a table of one size, its error not yet known."""
    t = np.linspace(*temperatures, size[0])
    p = np.linspace(*pressures_abs, size[1])
    z = np.asarray(state(gas, p[None, :], t[:, None], model=model).z)
    cells = (size[0] - 1, size[1] - 1)
    return GasTable(
        gas=gas,
        model=model,
        pressures_abs=pressures_abs,
        temperatures=temperatures,
        cells=cells,
        coefficients=_cell_cubics(_cell_cubics(z).transpose(0, 2, 1)).transpose(1, 0, 3, 2)
        .reshape(16, cells[0] * cells[1]).copy(),
        density_factor=molar_mass / _GAS_CONSTANTS[model],
        error=np.inf,
    )  # fmt: skip


def _cell_cubics(values: Array) -> Array:
    """
    Return, for each cell along the last-but-one axis, the cubic through its nearest four points.

    The powers of the place in the cell, 0 to 1, become the first axis.
    """
    count = values.shape[-2]
    start = np.clip(np.arange(count - 1) - 1, 0, count - 4)
    found = np.empty((4, *values.shape[:-2], count - 1, values.shape[-1]))
    for offset in np.unique(np.arange(count - 1) - start):
        cells = np.flatnonzero(np.arange(count - 1) - start == offset)
        # Row j of the inverse holds the power-j coefficient each of the four points gives.
        inverse = np.linalg.inv(np.vander(np.arange(4.0) - offset, increasing=True))
        points = np.stack([values[..., start[cells] + k, :] for k in range(4)])
        found[..., cells, :] = np.tensordot(inverse, points, axes=1)
    return found


def table_state(
    table: GasTable, pressure_abs: ArrayLike, temperature: ArrayLike
) -> tuple[Array, Array]:
    """
    Return z [-] and density [kg/m3] at many states.

    Pressure absolute [Pa], temperature [K], broadcast together.

    Raises OutsideValidity for a state outside the box of the table.
    """
    p, t = np.broadcast_arrays(
        np.asarray(pressure_abs, dtype=np.float64), np.asarray(temperature, dtype=np.float64)
    )
    z, density = np.empty(p.shape), np.empty(p.shape)
    flat_p, flat_t, flat_z, flat_d = (a.reshape(-1) for a in (p, t, z, density))
    for start in range(0, len(flat_p), _CHUNK):
        part = slice(start, start + _CHUNK)
        _interpolate(table, flat_p[part], flat_t[part], flat_z[part], flat_d[part])
    return z, density


def _place(
    values: Array, ends: Pair, cells: int, table: GasTable, field: str
) -> tuple[Cells, Array]:
    """Return the cell of each value and its place there, 0 to 1."""
    low, high = ends
    # NaN makes both least and most NaN, which no comparison passes.
    if not (values.min() >= low and values.max() <= high):
        wrong = values[~((values >= low) & (values <= high))][0]
        raise OutsideValidity(
            "table-outside",
            field=field,
            value=f"{wrong:g}",
            right=f"{low:g} to {high:g}",
            gas=table.gas.name,
        )
    place = (values - low) * (cells / (high - low))
    cell = np.minimum(place.astype(np.intp), cells - 1)
    place -= cell
    return cell, place


def _interpolate(table: GasTable, p: Array, t: Array, z: Array, density: Array) -> None:
    """Write z and density of one chunk."""
    rows, columns = table.cells
    row, v = _place(t, table.temperatures, rows, table, "temperature")
    column, u = _place(p, table.pressures_abs, columns, table, "pressure_abs")
    row *= columns
    row += column
    gathered = table.coefficients.take(row, axis=1)
    total = np.zeros_like(u)
    for power_t in (3, 2, 1, 0):
        line = gathered[4 * power_t + 3]
        for power_p in (2, 1, 0):
            line *= u
            line += gathered[4 * power_t + power_p]
        total *= v
        total += line
    z[:] = total
    total *= t
    np.divide(p, total, out=density)
    density *= table.density_factor
