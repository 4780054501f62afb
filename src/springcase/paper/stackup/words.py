"""The words on the drawing, from the catalogue of one language."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import Final

from springcase.errors import BadInput
from springcase.wording.catalogue import LANGUAGES, read_catalogue

PREFIX: Final = "stackup-"


@cache
def load_words(language: str) -> Mapping[str, str]:
    """
    Return the words of the drawing in a language, by their key on the drawing.

    Raises BadInput for a language without a catalogue.
    """
    if language not in LANGUAGES:
        raise BadInput(
            "picture-language-unknown",
            field="language",
            value=language,
            right=", ".join(LANGUAGES),
        )
    entries = read_catalogue(language).items()
    return {key.removeprefix(PREFIX): text for key, text in entries if key.startswith(PREFIX)}
