"""What gives current to the vehicle: every source by operating state, and which post is earthed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from buildbook.description import models as written
from buildbook.problem import Where
from buildbook.words.say import mark

GENERATORS = (mark("alternator"), mark("dynamo"))
"""What charges by the engine's speed."""


@dataclass(frozen=True)
class PowerSource:
    """Battery, alternator, dynamo, magneto or converter: volts behind ohms between two pins.

    With V across its pins it gives (emf - V) / ohms, and no more than its limit; where V is above
    its emf it takes (V - emf) / back_ohms, which is nothing where these are endless. The mappings
    hold every operating state.
    """

    id: str
    """Name in the section `supply`; 'battery' and 'alternator' in its simple form."""
    kind: Literal["battery", "alternator", "dynamo", "magneto", "converter"]
    plus_pin: str
    minus_pin: str
    emf_v: Mapping[str, float]
    ohms: Mapping[str, float]
    back_ohms: Mapping[str, float]
    limit_a: Mapping[str, float]
    """Endless for a battery and a magneto; 0 where a generator turns too slowly to give any."""
    written: written.Battery | written.Generator | written.Magneto | written.Converter
    where: Where
    highest_v: float = 0.0
    """Most volts behind its ohms: of a battery on charge, of a generator that turns."""
    capacity_ah: Mapping[str, float] = field(default_factory=dict)
    """Of a battery, as warm as it is: all of it, whatever its charge."""
    curve: tuple[tuple[float, float], ...] = ()
    """Of a generator, as hot as its place is: (engine rpm, A)."""
    air_c: float | None = None
    """Hottest zone that a generator's wires come through; None where none does."""
    sense_pin: str = ""
    """Of a generator, where its regulator reads the volts; '' for its own positive end."""
    excited_pin: str = ""
    """Of a generator, by which its charge lamp starts it; '' where it starts by itself."""
    input_pins: tuple[str, str] | None = None
    """Pins by which a converter is fed: it takes there what it gives, by its efficiency."""

    @property
    def alternating(self) -> bool:
        """Its volts are root mean square, and a meter must be set to alternating current."""
        return self.kind == "magneto"


@dataclass(frozen=True)
class Supply:
    """All that gives current, and which post of it is earthed."""

    sources: tuple[PowerSource, ...]
    """Batteries first, in written order: the first is the one that charge and hours are of."""
    earthed_pin: str
    """Post of a battery that the body is joined to; where none is, its minus."""
    live_pin: str
    """Post of a battery that stands furthest from that."""
    earth: Literal["negative", "positive", "none"]
    live_pins: tuple[str, ...]
    """Pins of sources that no wire joins to the body, those of batteries first."""
    string: tuple[str, ...] = ()
    """Ids of the batteries between the two posts: several where they stand on one another."""

    @property
    def reading_sign(self) -> int:
        """Of a reading against the earthed post: with the plus earthed the red lead is held there
        and the black one on the place, so that a live place reads above zero."""
        return -1 if self.earth == "positive" else 1

    @property
    def posts(self) -> tuple[str, str]:
        """The two posts between which its whole voltage stands, the positive one first."""
        if self.earth == "positive":
            return self.earthed_pin, self.live_pin
        return self.live_pin, self.earthed_pin

    @property
    def batteries(self) -> tuple[PowerSource, ...]:
        return tuple(s for s in self.sources if s.kind == "battery")

    @property
    def battery(self) -> PowerSource:
        """The first battery."""
        return self.sources[0]

    @property
    def battery_data(self) -> written.Battery:
        """What the description says of the first battery."""
        data = self.battery.written
        assert isinstance(data, written.Battery)
        return data

    @property
    def generators(self) -> tuple[PowerSource, ...]:
        """What charges by the engine's speed: alternators and dynamos."""
        return tuple(s for s in self.sources if s.kind in GENERATORS)

    @property
    def generator(self) -> PowerSource | None:
        """The first of them."""
        return next(iter(self.generators), None)

    @property
    def generator_word(self) -> str:
        """What it is called: alternator, dynamo. A message, to be said where it is printed."""
        return self.generator.kind if self.generator else GENERATORS[0]

    @property
    def generator_data(self) -> written.Generator | None:
        """What the description says of it."""
        data = self.generator.written if self.generator else None
        return data if isinstance(data, written.Generator) else None

    @property
    def is_series(self) -> bool:
        """Batteries stand on one another."""
        return len(self.string) > 1

    @property
    def earthed_battery(self) -> PowerSource:
        """The battery of the earthed post."""
        found = (s for s in self.batteries if self.earthed_pin in (s.plus_pin, s.minus_pin))
        return next(found)
