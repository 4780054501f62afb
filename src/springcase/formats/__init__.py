"""Versioned file formats: reading tables with every problem named."""

from __future__ import annotations

from springcase.formats.convert import convert_table
from springcase.formats.problem import Problem, raise_problems
from springcase.formats.read import LARGEST_FILE, Document, read_document, read_json_document
from springcase.formats.registry import (
    ID_PATTERN,
    Format,
    find_format,
    known_formats,
    register_format,
    register_upgrade,
    schema,
    upgrade,
)

__all__ = [
    "ID_PATTERN",
    "LARGEST_FILE",
    "Document",
    "Format",
    "Problem",
    "convert_table",
    "find_format",
    "known_formats",
    "raise_problems",
    "read_document",
    "read_json_document",
    "register_format",
    "register_upgrade",
    "schema",
    "upgrade",
]
