"""Refusing numbers no measurement can have."""

from __future__ import annotations

import math

from springcase.errors import BadInput, OutsideValidity


def finite(value: float, field: str) -> float:
    """
    Return a number of any unit if it is finite. [SI]

    Raises BadInput.
    """
    if not math.isfinite(value):
        raise BadInput("measurement-not-finite", field=field, value=value, right="a finite number")
    return value


def positive(value: float, field: str) -> float:
    """
    Return a number of any unit if it is finite and more than zero. [SI]

    Raises BadInput, OutsideValidity.
    """
    if finite(value, field) <= 0:
        raise OutsideValidity("not-positive", field=field, value=value, right="more than zero")
    return value


def not_negative(value: float, field: str) -> float:
    """
    Return a number of any unit if it is finite and not below zero. [SI]

    Raises BadInput, OutsideValidity.
    """
    if finite(value, field) < 0:
        raise OutsideValidity("not-positive", field=field, value=value, right="zero or more")
    return value


def probability(value: float, field: str) -> float:
    """
    Return a probability if it lies between 0 and 1, neither of them. [-]

    Raises OutsideValidity.
    """
    if not 0 < value < 1:
        raise OutsideValidity(
            "probability-outside", field=field, value=value, right="more than 0 and less than 1"
        )
    return value
