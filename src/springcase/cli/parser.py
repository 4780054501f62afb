"""An argument parser that refuses in our words: one sentence, nothing printed, no exit."""

from __future__ import annotations

import argparse
import re
from collections.abc import Sequence
from typing import NoReturn

from springcase.errors import BadInput, UnknownName

_CHOICE = re.compile(r"^invalid choice: '?(?P<value>.*?)'? \(choose from (?P<right>.*)\)$", re.S)
_NUMBER = re.compile(r"^invalid (?P<kind>int|float) value: '(?P<value>.*)'$", re.S)
_MISSING = re.compile(r"^the following arguments are required: (?P<right>.*)$", re.S)
_KINDS = {"int": "whole number", "float": "number"}


class Parser(argparse.ArgumentParser):
    """argparse with every refusal turned into an error of ours."""

    def __init__(self, prog: str, description: str) -> None:
        super().__init__(
            prog=prog, description=description, allow_abbrev=False, exit_on_error=False
        )

    def error(self, message: str) -> NoReturn:
        """
        Refuse what argparse refuses.

        Raises
        ------
        BadInput
            Always.
        """
        missing = _MISSING.match(message)
        if missing:
            raise BadInput("arguments-missing", field=self.prog, right=missing["right"].split(", "))
        raise BadInput("argument-wrong", field=self.prog, reason=message.rstrip("."))

    def read(self, words: Sequence[str]) -> argparse.Namespace:
        """
        Return the arguments of a command.

        Raises
        ------
        BadInput
            If they cannot be used.
        UnknownName
            If an option or a choice is not among the known ones.
        """
        try:
            arguments, left = self.parse_known_args(list(words))
        except argparse.ArgumentError as error:
            self._refuse(error)
        if left:
            self._refuse_left(left[0])
        return arguments

    def _refuse(self, error: argparse.ArgumentError) -> NoReturn:
        field = error.argument_name
        if field is None:
            self.error(error.message)
        choice = _CHOICE.match(error.message)
        if choice:
            right = [word.strip("'") for word in choice["right"].split(", ")]
            raise UnknownName(
                "argument-not-listed", field=field, value=choice["value"], right=right
            )
        number = _NUMBER.match(error.message)
        if number:
            right_kind = _KINDS[number["kind"]]
            raise BadInput(
                "argument-not-number", field=field, value=number["value"], right=right_kind
            )
        raise BadInput("argument-wrong", field=field, reason=error.message.rstrip("."))

    def _refuse_left(self, word: str) -> NoReturn:
        option = word.partition("=")[0]
        if not option.startswith("-"):
            raise BadInput("argument-unexpected", field=self.prog, value=word)
        known = sorted(name for name in self._option_string_actions if name.startswith("--"))
        near = nearest(option, known)
        if near:
            raise UnknownName("flag-unknown-near", field=self.prog, value=option, right=near)
        raise UnknownName("flag-unknown", field=self.prog, value=option, right=known)


def nearest(word: str, known: Sequence[str]) -> str:
    """Return the known word most like another, or nothing where none is near."""
    import difflib

    found = difflib.get_close_matches(word[:60], known, n=1, cutoff=0.6)
    return found[0] if found else ""
