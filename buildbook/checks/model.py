"""What a check finds."""

from __future__ import annotations

from dataclasses import dataclass

from buildbook.problem import Where


@dataclass(frozen=True)
class Finding:
    rule: str
    severity: str
    """error, warning or note"""
    about: str
    """Id of the device, wire, circuit, fuse or connector."""
    text: str
    remedy: str
    source: str
    where: Where
    waived: str = ""
    """The author's reason, where waived."""
