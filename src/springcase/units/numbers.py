"""Numbers as people write them: decimal comma, fractions, exponents; unclear marks are refused."""

from __future__ import annotations

import math
import re
from typing import Final

from springcase.errors import BadInput
from springcase.units.table import EXAMPLES

LONGEST_TEXT: Final = 200

_NUMBER: Final = re.compile(
    r"\s*([+-]?)\s*([0-9][0-9.,]*|\.[0-9]+)(?:[eE]([+-]?[0-9]{1,4}))?"
    r"(?:\s*/\s*([0-9]+)|(?:\s+|-)([0-9]+)\s*/\s*([0-9]+))?(.*)",
    re.DOTALL,
)
_GROUPED: Final = re.compile(r"[1-9][0-9]{0,2}(?:([.,])[0-9]{3})(?:\1[0-9]{3})*")
TYPOGRAPHY: Final = str.maketrans(
    {
        "−": "-",
        "\u00a0": " ",
        "\u202f": " ",
        "²": "2",
        "³": "3",
        "″": '"',
        "”": '"',
        "′": "'",
        "’": "'",
        "º": "°",
        "½": " 1/2",
        "¼": " 1/4",
        "¾": " 3/4",
        "⅛": " 1/8",
        "⅜": " 3/8",
        "⅝": " 5/8",
        "⅞": " 7/8",
        "(": " ",
        ")": " ",
    }
)


def _decimal(whole: str, *, text: str, field: str) -> float:
    """Return the number a run of digits, points and commas stands for."""
    points, commas = whole.count("."), whole.count(",")
    if points + commas == 0:
        return float(whole)
    if commas == 1 and points == 0 and _GROUPED.fullmatch(whole):
        raise BadInput(
            "number-thousands",
            field=field,
            value=text,
            right=f"{whole.replace(',', '')} or {whole.replace(',', '.')}",
        )
    if points == 1 and commas == 0:
        plain = whole
    elif commas == 1 and points == 0:
        plain = whole.replace(",", ".")
    else:
        mark = max(whole.rfind("."), whole.rfind(","))
        is_last_unique = whole.count(whole[mark]) == 1
        grouped = whole[:mark] if is_last_unique else whole
        group_mark = {"." if whole[mark] == "," else ","} if is_last_unique else {whole[mark]}
        clear = _GROUPED.fullmatch(grouped) and set(grouped) & {".", ","} == group_mark
        digits = re.sub("[.,]", "", grouped)
        plain = (digits + "." + whole[mark + 1 :] if is_last_unique else digits) if clear else ""
    if not plain or plain.endswith("."):
        raise BadInput(
            "number-unreadable", field=field, value=text, right="a number such as 12.5 or 1234"
        )
    return float(plain)


def check_text(text: str, kind: str, field: str) -> None:
    """
    Refuse a text that is empty or longer than any quantity.

    Raises BadInput.
    """
    if len(text) > LONGEST_TEXT:
        raise BadInput(
            "text-too-long", field=field, value=text[:30] + " …", right=f"{LONGEST_TEXT} characters"
        )
    if not text.strip():
        raise BadInput("quantity-empty", field=field, value=text, right=EXAMPLES[kind])


def split_number(text: str, kind: str, field: str) -> tuple[float, str]:
    """
    Return the number a text begins with [-], and the rest of the text.

    Raises BadInput where it begins with none, or with one that reads two ways.
    """
    found = _NUMBER.fullmatch(text.translate(TYPOGRAPHY).strip())
    if found is None:
        raise BadInput("number-unreadable", field=field, value=text, right=EXAMPLES[kind])
    sign, whole, exponent, under_whole, numerator, denominator, rest = found.groups()
    number = _decimal(whole, text=text, field=field)
    if exponent is not None:
        number *= math.pow(10.0, int(exponent)) if int(exponent) < 308 else math.inf
    divisor = under_whole or denominator
    if divisor is not None:
        if exponent is not None or not whole.isdigit() or int(divisor) == 0:
            raise BadInput(
                "number-unreadable", field=field, value=text, right="a fraction such as 1 1/8 in"
            )
        number = number / int(divisor) if under_whole else number + int(numerator) / int(divisor)
    if rest.lstrip()[:1].isdigit():
        raise BadInput(
            "number-unreadable", field=field, value=text, right="one number, no spaces inside it"
        )
    return (-number if sign == "-" else number), rest.strip(" -")
