"""Which signals are weak enough to be disturbed by what runs beside them."""

from __future__ import annotations

WEAK = frozenset({"inductive", "knock", "thermocouple"})
"""What a sensor senses by, whose signal is millivolts or has edges that a spark imitates."""
