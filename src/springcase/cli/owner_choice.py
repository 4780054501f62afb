"""The owner's figures of one command line: flags over settings over file over shipped."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from springcase.errors import BadInput

if TYPE_CHECKING:
    from springcase.owner import Owner


def chosen_owner(arguments: argparse.Namespace) -> Owner:
    """
    Return the owner's figures a command was given.

    Raises
    ------
    BadInput
        If a `--figure` is not NAME=VALUE, or a figure is unknown or impossible.
    """
    from springcase.owner import read_owner

    figures = {}
    for word in arguments.figure:
        name, equals, value = word.partition("=")
        if not equals:
            raise BadInput("figure-not-assigned", field="--figure", value=word, right="NAME=VALUE")
        figures[name.strip()] = value.strip()
    return read_owner(arguments.owner, settings=arguments.settings, flags=figures)
