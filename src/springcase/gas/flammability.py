"""
Flammable limits in air, by the table of a named edition, mixed by Le Chatelier's rule.

The limits are those of gas in air at room conditions; limits in oxygen are others. Le Chatelier
is well kept by mixtures of paraffins, and only roughly where hydrogen or hydrogen sulphide is in
them; inert parts are counted as thinning and nothing more.
"""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any, Final

from springcase.errors import BadInput, OutsideValidity
from springcase.gas.composition import Gas
from springcase.standards.tables import unknown_name

BUMINES_627: Final = "bumines_627"
IEC_60079_20_1: Final = "iec_60079_20_1"
EDITIONS: Final = (BUMINES_627, IEC_60079_20_1)
# 49 CFR 192.625(a): a gas must be smelt at one fifth of its lower limit.
ODORANT_SHARE: Final = 0.2
_INERT: Final = frozenset(("nitrogen", "carbon_dioxide", "water", "helium", "argon"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """Lower and upper flammable limit in air as shares by volume [-], with their sources."""

    low: float
    high: float
    edition: str
    sources: tuple[str, ...]


@cache
def _table() -> dict[str, Any]:
    return tomllib.loads(Path(__file__).with_name("flammability.toml").read_text(encoding="utf-8"))


def _edition(edition: str) -> dict[str, Any]:
    if edition not in EDITIONS:
        raise BadInput(
            "flammability-edition-unknown",
            field="edition",
            value=edition,
            right=" or ".join(EDITIONS),
        )
    found: dict[str, Any] = _table()[edition]
    return found


def substance_limits(substance: str, *, edition: str = BUMINES_627) -> Limits:
    """
    Return the limits of one substance of a table. [-]

    Raises BadInput for an edition, UnknownName for a substance that is not there.
    """
    table = _edition(edition)
    row = table["limits"].get(substance)
    if row is None:
        raise unknown_name("substance", substance, table["limits"])
    source = row.get("source", table["source"])
    return Limits(low=row["low"], high=row["high"], edition=edition, sources=(source,))


def flammable_limits(gas: Gas, *, edition: str = BUMINES_627) -> Limits:
    """
    Return the limits of a gas in air by Le Chatelier's rule: 1 / sum of x / limit. [-]

    Oxygen in the gas is refused, for the rule is for fuel in air.

    Raises BadInput for an edition that is not there, OutsideValidity for a gas that does not burn
    or has a part the table lacks.
    """
    table = _edition(edition)
    fuels = [(name, x) for name, x in gas.fractions if name not in _INERT]
    lacking = [name for name, _ in fuels if name not in table["limits"]]
    if lacking or not fuels:
        raise OutsideValidity(
            "flammability-none", field="gas", value=gas.name, right=", ".join(lacking) or "a fuel"
        )
    rows = [(substance_limits(name, edition=edition), x) for name, x in fuels]
    low = 1 / sum(x / one.low for one, x in rows)
    # A gas thinned by inert parts until nothing burns would come out above one.
    high = min(1.0, 1 / sum(x / one.high for one, x in rows))
    if not low < high:
        raise OutsideValidity(
            "flammability-none", field="gas", value=gas.name, right="enough of a fuel"
        )
    sources = tuple(dict.fromkeys(source for one, _ in rows for source in one.sources))
    return Limits(low=low, high=high, edition=edition, sources=sources)
