"""Finds devices that a builder cannot tell apart by name."""

from __future__ import annotations

import re
from collections.abc import Iterator

from buildbook.checks.model import PRACTICE, Finding
from buildbook.checks.stages import Assessed

RULE = "names-alike"
SEVERITY = "warning"
SOURCE = f"{PRACTICE}: two labels that read alike get swapped"


def check(assessed: Assessed) -> Iterator[Finding]:
    """Compare devices of one kind, without case, spaces and dashes; a fuse is named as its load."""
    seen: dict[tuple[str, str], str] = {}
    for device in assessed.vehicle.devices.values():
        for plain in dict.fromkeys((_plain(device.title), _plain(device.id))):
            name = (device.kind, plain)
            other = seen.get(name, device.id)
            if other != device.id:
                yield Finding(
                    RULE,
                    "warning",
                    device.id,
                    f"{device.id} and {other} carry the same name, {device.title}: their labels "
                    "read alike.",
                    "Give each a name that says which it is: left, right, front, rear, a number.",
                    SOURCE,
                    device.where,
                )
                break
            seen[name] = device.id


def _plain(name: str) -> str:
    return re.sub(r"[\s_-]+", "", name.lower())
