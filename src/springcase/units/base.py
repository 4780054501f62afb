"""Base conditions of gas volumes: named ones, as typed after an @, and from one to another."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from springcase.errors import UnitMismatch
from springcase.units.table import PSI, ZERO_CELSIUS


@dataclass(frozen=True, slots=True, kw_only=True)
class BaseConditions:
    """The pressure, absolute [Pa], and temperature [K] a volume of gas is stated at."""

    pressure_abs: float
    temperature: float
    name: str = ""


_SIXTY_DEGF: Final = ZERO_CELSIUS + 28 * 5 / 9
_ATMOSPHERE: Final = 101325.0
NORMAL: Final = BaseConditions(pressure_abs=_ATMOSPHERE, temperature=ZERO_CELSIUS, name="normal")
ISO_13443: Final = BaseConditions(
    pressure_abs=_ATMOSPHERE, temperature=ZERO_CELSIUS + 15, name="iso-13443"
)
# By name after an @, or as the owner's default. gpa-2172 is from memory, texas from a public copy
# of its rule, us-14.73 common practice; docs/rooms/units.md lists them with their standing.
NAMED_BASES: Final = {
    base.name: base
    for base in (
        NORMAL,
        ISO_13443,
        BaseConditions(pressure_abs=14.696 * PSI, temperature=_SIXTY_DEGF, name="gpa-2172"),
        BaseConditions(pressure_abs=14.73 * PSI, temperature=_SIXTY_DEGF, name="us-14.73"),
        BaseConditions(pressure_abs=14.65 * PSI, temperature=_SIXTY_DEGF, name="texas"),
    )
}


def base_ratio(given: BaseConditions, wanted: BaseConditions) -> float:
    """
    Return how many volumes at the wanted base one volume at the given base is. [-]

    The ideal ratio of pressures and temperatures: both compressibility factors are taken as one,
    which near one atmosphere is within about 0.1 % for natural gas.
    """
    return (given.pressure_abs / given.temperature) / (wanted.pressure_abs / wanted.temperature)


def named_base(name: str, *, field: str) -> BaseConditions:
    """
    Return base conditions by name.

    Raises UnitMismatch for a name that is not known.
    """
    found = NAMED_BASES.get(name.strip().casefold())
    if found is None:
        raise UnitMismatch("base-unknown", field=field, value=name, right=", ".join(NAMED_BASES))
    return found
