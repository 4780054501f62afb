"""
Quantities as typed, turned into SI floats at the door and back.

`parse_quantity` reads one, `convert` and `format_value` write one, `convert_quantity` goes from
any unit to any other of its kind. Base conditions of gas volumes are in `base`, the air that
turns gauge into absolute in `atmosphere`.
"""

from springcase.units.atmosphere import (
    check_barometer,
    standard_atmosphere,
    to_absolute,
    to_gauge,
)
from springcase.units.base import (
    ISO_13443,
    NAMED_BASES,
    NORMAL,
    BaseConditions,
    base_ratio,
    named_base,
)
from springcase.units.conversion import Conversion, ConversionBasis, convert_quantity
from springcase.units.numbers import LONGEST_TEXT
from springcase.units.quantity import (
    Quantity,
    convert,
    format_value,
    parse_quantity,
    parse_range,
    read_base,
)
from springcase.units.table import (
    EXAMPLES,
    INCH,
    INCH_OF_MERCURY,
    INCH_OF_WATER,
    POUND,
    POUND_FORCE,
    PSI,
    STANDARD_GRAVITY,
    UNIT_NAMES,
    ZERO_CELSIUS,
)

__all__ = [
    "EXAMPLES",
    "INCH",
    "INCH_OF_MERCURY",
    "INCH_OF_WATER",
    "ISO_13443",
    "LONGEST_TEXT",
    "NAMED_BASES",
    "NORMAL",
    "POUND",
    "POUND_FORCE",
    "PSI",
    "STANDARD_GRAVITY",
    "UNIT_NAMES",
    "ZERO_CELSIUS",
    "BaseConditions",
    "Conversion",
    "ConversionBasis",
    "Quantity",
    "base_ratio",
    "check_barometer",
    "convert",
    "convert_quantity",
    "format_value",
    "named_base",
    "parse_quantity",
    "parse_range",
    "read_base",
    "standard_atmosphere",
    "to_absolute",
    "to_gauge",
]
