"""What is asked of somebody who begins, and which answers do not go together."""

from __future__ import annotations

from dataclasses import dataclass

VOLTS = (6, 12, 24, 48)
EARTHED = ("negative", "positive")
UNITS = ("metric", "inch")
PAPERS = ("A4", "Letter")
SWITCHING = ("relays", "modules")
MOST_CYLINDERS = 12

SYSTEMS = {
    "charging": "an alternator, or a dynamo with its regulator, and a charge lamp",
    "starting": "a starter with its solenoid, relay and key",
    "ignition": "coils, with points, a controller of their own or the engine controller",
    "injection": "an engine controller with its injectors and sensors",
    "pump": "an electric fuel pump behind an inertia switch or the controller",
    "fan": "an electric radiator fan",
    "lights": "headlamps, tail and brake lamps with their switches",
    "indicators": "four indicators with flasher and switch",
    "horn": "a horn with relay and button",
    "wiper": "a wiper with its switch",
    "data": "a data bus with display and logger",
}
"""What a vehicle may have, and what is written for it."""

COMMON = ("charging", "starting", "ignition", "pump", "lights", "horn")
"""What is written where nobody says which systems there are."""


@dataclass(frozen=True)
class Answers:
    """What a vehicle is to be like."""

    name: str = "My car"
    volts: int = 12
    earthed: str = "negative"
    """The post of the battery that is joined to the body."""
    cylinders: int = 4
    systems: tuple[str, ...] = COMMON
    units: str = "metric"
    paper: str = "A4"
    language: str = "en"
    """Of the book's own words."""
    currency: str = "EUR"
    switching: str = "relays"
    """Whether pump, fan, beams, horn and wiper are switched by relays or a solid-state module."""

    def has(self, *systems: str) -> bool:
        """Whether it has one of these."""
        return any(system in self.systems for system in systems)

    @property
    def is_positive(self) -> bool:
        return self.earthed == "positive"

    @property
    def has_points(self) -> bool:
        """Whether its ignition is the old kind: no controller lives on so few or such volts."""
        return self.has("ignition") and (self.volts == 6 or self.is_positive)

    @property
    def has_dynamo(self) -> bool:
        return self.has("charging") and (self.volts == 6 or self.is_positive)


def why_no_electronics(volts: int, earthed: str) -> str:
    """Why a vehicle has no controllers, data bus or modules; '' where it may have them."""
    if earthed == "positive":
        return "controllers and modules are made for a battery whose negative post is earthed"
    if volts < 12:
        return "controllers and modules are made for 12 V or more"
    return ""


def refusal(answers: Answers) -> tuple[str, str] | None:
    """The first pair of answers that do not go together: what and a hint; None where all do."""
    why = why_no_electronics(answers.volts, answers.earthed)
    if why and answers.has("injection"):
        return f"no injection: {why}", "leave `injection` out, or say other volts or earth"
    if answers.has("data") and not answers.has("injection"):
        return "a data bus needs somebody who talks on it", "add `injection`, or leave `data` out"
    if why and answers.switching == "modules":
        return f"no solid-state module: {why}", "say `--switching relays`"
    return None
