"""The one catalogue of sentences, used at the doors."""

from __future__ import annotations

from springcase.wording.catalogue import LANGUAGES, read_catalogue, read_entries, sentence
from springcase.wording.explain import explain, explain_problem

__all__ = ["LANGUAGES", "explain", "explain_problem", "read_catalogue", "read_entries", "sentence"]
