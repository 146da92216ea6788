"""Choices to compare."""

from __future__ import annotations

from typing import Any

from buildbook.description.models.base import Name, Section, Text, Title


class LeaveOut(Section):
    """What a variant does without; a system goes with its circuits and devices."""

    systems: list[Name] = []
    devices: list[Name] = []
    circuits: list[Name] = []


class Variant(Section):
    """A choice to compare: what is left out, and what is written otherwise."""

    title: Title = ""
    about: Text = ""
    leave_out: LeaveOut = LeaveOut()
    change: dict[Name, Any] = {}
    """Sections as they are written elsewhere, laid over the rest; an empty entry takes out."""
