"""Batteries, and what else gives current: alternators, dynamos, magnetos, converters."""

from __future__ import annotations

from pydantic import Field

from buildbook.description.amounts import (
    CapacityAh,
    CurrentA,
    NoCurrentA,
    ResistanceOhm,
    Share,
    SomeShare,
    SpeedRpm,
    SystemV,
    TemperatureC,
    TimeH,
    TurningRpm,
    VoltageV,
)
from buildbook.description.models.base import Name, Section


class Battery(Section):
    between: tuple[Name, Name]
    """Plus post, minus post; which of them is earthed follows from the circuits."""
    volts: SystemV = 12.7
    """At rest, charged, at 25 degC."""
    resistance: ResistanceOhm = 0.008
    """Inside it, from post to post."""
    cold_cranking: CurrentA | None = None
    """Its rating by SAE J537, at -18 °C; `resistance` follows from it where that is not given."""
    capacity: CapacityAh = 40.0
    """As on its label."""
    charge: NoCurrentA = 5.0
    """What the full battery takes at the regulated voltage of what charges it."""
    rated_over: TimeH = 20.0
    """Hours over which `capacity` was measured."""
    peukert: float = Field(default=1.2, ge=1, le=2)
    """Exponent of the discharge law: 1.1 to 1.3 with liquid acid, about 1.05 for lithium."""
    usable: SomeShare = 0.5
    """Share of the capacity that may go before the engine is no longer sure to start."""
    accepts: CurrentA | None = None
    """Most that the half-empty battery takes; default a quarter of its capacity an hour."""
    efficiency: SomeShare = 0.85
    """Share of the charge put in that comes out again."""


class Generator(Section):
    between: tuple[Name, Name]
    """Positive end, negative end."""
    volts: SystemV = 14.2
    """That its regulator holds: between its own ends, or where it `senses`."""
    senses: Name | None = None
    """Pin where its regulator reads the volts instead, against its negative end: a sense terminal
    that a wire joins to the battery or the panel. Where next to none come there, it goes by its
    own."""
    excited_at: Name | None = None
    """Terminal by which its charge lamp starts it (L, D+), earthed inside while it gives nothing:
    where no lamp on that circuit lights with the engine still, it gives nothing later either.
    Default it starts by itself."""
    resistance: ResistanceOhm = 0.01
    """Inside it, with its leads to its own terminals."""
    curve: list[tuple[SpeedRpm, CurrentA]]
    """Output current against engine speed, rising; no output below the first speed."""
    curve_at: TemperatureC = 25.0
    """Air temperature at which the curve holds."""
    per_kelvin: Share = 0.0
    """Share of the output lost for every degree that its place is hotter than that."""


class Alternator(Generator):
    """Diodes keep current from flowing back into it."""


class CutOut(Section):
    """The contact that lets a dynamo's current out and none back."""

    between: tuple[Name, Name]
    """Its terminal at the dynamo, then the one at the battery."""
    closes_at: SystemV
    """Volts of the dynamo from which it closes."""


class Dynamo(Generator):
    """Its armature conducts either way, so that a charge lamp lights through it at rest."""

    cut_out: CutOut
    """Its cut-out."""


class Magneto(Section):
    """Its own generator, mostly for the sparks: earthed, it stops."""

    between: tuple[Name, Name]
    """Terminal that a switch earths to stop it, then its frame."""
    volts: VoltageV
    """Root mean square with nothing drawn, at `at`; in proportion to the engine's speed."""
    at: TurningRpm
    """Speed of the engine at which it gives its `volts`."""
    resistance: ResistanceOhm
    """Of its winding."""


class Converter(Section):
    """Makes one voltage of another: 12 V of 24 V for a radio."""

    between: tuple[Name, Name]
    """What it gives: positive, negative."""
    from_: tuple[Name, Name]
    """What it is fed with: positive, negative."""
    volts: VoltageV
    """That it gives."""
    resistance: ResistanceOhm = 0.02
    """Of its output."""
    limit: CurrentA
    """Most that it gives."""
    efficiency: SomeShare = 0.85
    """Share of what it takes that it gives."""
    works_from: VoltageV
    """Volts that it needs at its input."""


class Supply(Section):
    battery: Battery | None = None
    """The one battery, called `battery`; several stand under `batteries`."""
    alternator: Alternator | None = None
    """The one alternator, called `alternator`; several stand under `alternators`."""
    batteries: dict[Name, Battery] = {}
    """Several batteries by name: in series, in parallel, tapped, as the circuits join them. The
    first is the one that states of charge and hours are told of."""
    alternators: dict[Name, Alternator] = {}
    """Several alternators by name."""
    dynamos: dict[Name, Dynamo] = {}
    """Dynamos by name, each with its cut-out."""
    magnetos: dict[Name, Magneto] = {}
    """Magnetos by name."""
    converters: dict[Name, Converter] = {}
    """What makes one voltage of another, by name."""
