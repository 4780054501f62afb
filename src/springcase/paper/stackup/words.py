"""The words on the drawing, from the catalogue of one language."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from functools import lru_cache
from importlib.resources import files

from springcase.errors import BadInput


@lru_cache(maxsize=4)
def load_words(language: str) -> Mapping[str, str]:
    """
    Return the words of the drawing in a language.

    Raises BadInput for a language without a catalogue.
    """
    room = files("springcase.wording")
    known = sorted(
        entry.name.removeprefix("stackup_").removesuffix(".toml")
        for entry in room.iterdir()
        if entry.name.startswith("stackup_")
    )
    if language not in known:
        raise BadInput(
            "picture-language-unknown", field="language", value=language, right=", ".join(known)
        )
    text = room.joinpath(f"stackup_{language}.toml").read_text(encoding="utf-8")
    words: dict[str, str] = tomllib.loads(text)
    return words
