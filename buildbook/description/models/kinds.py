"""Kinds of your own: what many devices have in common."""

from __future__ import annotations

from typing import Any

from pydantic import ConfigDict

from buildbook.description.models.base import Name, Section, Text


class OwnKind(Section):
    """What all devices of a kind have in common: any keys of a device, laid over its own kind. One
    that has the name of a kind of the program changes that."""

    model_config = ConfigDict(extra="allow")

    kind: Name | None = None
    """The kind that it is made of."""
    about: Text = ""
    """What it is, in a line."""
    source: Text = ""
    """Where its values come from: a data sheet, a standard, a measurement."""
    draws: Any = None
    """As at a device, or by name: `draws: {motor: {…}, sensor: {…}}`, so that a device may change
    one of them."""
