"""What the plate and the card say, as read."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from springcase.digest import digest


@dataclass(frozen=True, slots=True, kw_only=True)
class Nameplate:
    """
    What was read off one unit: the family, the options a plate or card gives, and who it is.

    Options not read are simply absent; they are never filled in here.
    """

    family: str
    family_digest: str
    options: Mapping[str, str] = field(default_factory=dict)
    tag: str = ""
    position: str = ""
    role: str = ""
    serial: str = ""


def nameplate_digest(nameplate: Nameplate) -> str:
    """Return the digest of a nameplate: of the text as read."""
    return digest(
        {
            "family": nameplate.family,
            "family_digest": nameplate.family_digest,
            "options": dict(nameplate.options),
            "tag": nameplate.tag,
            "position": nameplate.position,
            "role": nameplate.role,
            "serial": nameplate.serial,
        }
    )
