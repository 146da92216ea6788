"""Finds notes that name a device that there is not."""

from __future__ import annotations

import re
from collections.abc import Iterator

from buildbook.checks.model import Finding
from buildbook.checks.places import where_of_note
from buildbook.checks.stages import Assessed
from buildbook.words.say import say

RULE = "note-unknown-device"
SEVERITY = "warning"
SOURCE = "this description: notes and devices"
TAG = re.compile(r"\b([A-Z]{1,2}\d{1,3})\b(?!\.\d)")
"""A label as builders write it: F12, K3, MF1, X2."""


def check(assessed: Assessed) -> Iterator[Finding]:
    """Labels in a note whose letters are those of devices, and whose number none has."""
    devices = assessed.vehicle.devices
    known = {*devices, *assessed.harness.splices}
    points = {p for run in assessed.vehicle.runs for p in (run.from_point, run.to_point)}
    pins = {pin.name for pin in assessed.vehicle.pins.values()}
    letters = {match[1] for name in devices if (match := re.fullmatch(r"([A-Z]{1,2})\d+", name))}
    for title, text in assessed.vehicle.notes.items():
        for tag in dict.fromkeys(TAG.findall(text)):
            if tag.rstrip("0123456789") not in letters or tag in known | points | pins:
                continue
            yield Finding(
                RULE,
                "warning",
                tag,
                say(
                    "The note on '{title}' names {tag}, and nothing in the vehicle is called so.",
                    title=title,
                    tag=tag,
                ),
                say("Correct the note, or describe the device."),
                SOURCE,
                where_of_note(assessed.vehicle, title),
            )
