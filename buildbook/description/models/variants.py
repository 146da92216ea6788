"""Choices to compare."""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import BeforeValidator

from buildbook.description.amounts import RunLengthM
from buildbook.description.models.base import Name, Section, Text, Title


class LeaveOut(Section):
    """What a variant does without; a system goes with its circuits and devices."""

    systems: list[Name] = []
    """With their circuits and devices; `*` for all that fit."""
    devices: list[Name] = []
    """With their wires."""
    circuits: list[Name] = []
    """Alone."""


class Move(Section):
    """Where a device goes, and the rope that leads there."""

    to: Name
    """Point of the rope, or place of the plan. What a panel carries goes with it; what merely
    stands at the same point stays, unless it is moved too."""
    from_: Name | None = None
    """Point where rope that is missing leaves its harness; left out, the one from which the wires
    are shortest."""
    zone: Name | None = None
    """What that rope crosses; left out, as the rope at its ends."""
    measured: dict[Name, RunLengthM] = {}
    """Harness -> length of that rope as read off the tape. Without it the length is an estimate:
    the straight line on the plan, longer as the runs beside it are longer than theirs."""


def _move(value: Any) -> Any:
    return value if isinstance(value, dict) or value is None else {"to": value}


class Variant(Section):
    """A choice to compare: what is left out, and what is written otherwise."""

    title: Title = ""
    """What it is called where variants stand side by side."""
    about: Text = ""
    """What speaks for it."""
    leave_out: LeaveOut = LeaveOut()
    """What it does without."""
    change: dict[Name, Any] = {}
    """Sections as they are written elsewhere, laid over the rest; an empty entry takes out."""
    move: dict[Name, Annotated[Move, BeforeValidator(_move)]] = {}
    """Device -> the point or place where it goes, `*` for all that fit: its wires take the rope
    there, and what rope only it needed falls away."""
