"""The list of calculators, in the order in which the list shows them."""

from __future__ import annotations

from importlib import import_module

from buildbook.calculators.model import Calculator

CALCULATORS = (
    "size",
    "drop",
    "length",
    "temperature",
    "heating",
    "fuse",
    "withstand",
    "sensor",
    "charging",
    "bundle",
    "lay",
    "bend",
    "slack",
)
"""Each is `buildbook/calculators/NAME.py` with a `CALCULATOR`; imported only when it is wanted."""


def calculator(name: str) -> Calculator:
    """The calculator of a name in `CALCULATORS`."""
    found: Calculator = import_module(f"buildbook.calculators.{name}").CALCULATOR
    return found
