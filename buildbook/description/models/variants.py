"""Choices to compare."""

from __future__ import annotations

from typing import Any

from buildbook.description.models.base import Name, Section, Text, Title


class LeaveOut(Section):
    """What a variant does without; a system goes with its circuits and devices."""

    systems: list[Name] = []
    """With their circuits and devices; `*` for all that fit."""
    devices: list[Name] = []
    """With their wires."""
    circuits: list[Name] = []
    """Alone."""


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
