"""A description in the making: what the systems add line by line, and how it is written out."""

from __future__ import annotations

import datetime
import json
from collections.abc import Iterator
from dataclasses import dataclass, field

from buildbook.begin.answers import Answers

TO_DO = "# TO DO:"
"""How a place is marked that the author is to fill in; `check` lists them."""

Run = tuple[str, str, int, str, int]
"""From, to, mm, zone and clamps."""

ROPE: tuple[Run, ...] = (
    ("panel", "battery", 900, "cabin", 3),
    ("panel", "dash", 600, "cabin", 2),
    ("panel", "bulkhead", 500, "cabin", 2),
    ("bulkhead", "engine", 700, "engine bay", 3),
    ("bulkhead", "nose", 1300, "front", 4),
    ("panel", "tank", 2100, "underfloor", 6),
    ("tank", "tail", 900, "underfloor", 3),
)
"""Of a small car (judgement, no source): all to be measured."""

POWER: tuple[Run, ...] = (
    ("battery", "panel", 900, "cabin", 3),
    ("battery", "engine", 1600, "underfloor", 5),
    ("engine", "starter", 450, "engine bay", 2),
)
"""The thick cables lie by themselves: between thin wires they could not give off their heat."""

GROUNDS = {
    "battery": "Ground of the battery on the body",
    "dash": "Ground behind the dash",
    "engine": "Ground on the engine",
    "nose": "Ground in the nose",
    "tail": "Ground in the tail",
    "tank": "Ground at the tank",
}
PLUGS = {
    "pedal switch": "switch",
    "push button": "switch",
    "inertia switch": "switch",
    "coil with driver": "coil",
    "coil without driver": "coil",
    "warning lamp": "lamp",
    "indicator lamp": "indicator",
    "tail and brake lamp": "tail-lamp",
    "wiper motor": "wiper",
    "pressure sensor": "pressure-sensor",
    "throttle position sensor": "throttle-sensor",
    "engine controller": "controller",
    "ignition controller": "controller",
}
"""Kind -> what its plug is called after; two things that are pinned differently never share one."""
INCH_MM = 25.4
AWG = {"0.5 mm2": "AWG 20", "1 mm2": "AWG 18", "25 mm2": "AWG 4", "35 mm2": "AWG 2"}


@dataclass
class Sheet:
    """Lines by section, and what is counted along the way."""

    answers: Answers
    has_ignition: bool = True
    """Whether there is a bus bar that the ignition switch puts to the battery."""
    states: dict[str, str] = field(default_factory=dict)
    systems: dict[str, str] = field(default_factory=dict)
    supply: list[str] = field(default_factory=list)
    feeds: list[str] = field(default_factory=list)
    devices: list[str] = field(default_factory=list)
    circuits: list[str] = field(default_factory=list)
    cables: list[str] = field(default_factory=list)
    plugs: dict[int, dict[str, None]] = field(default_factory=dict)
    """Number of pins -> words for the things that have a plug of so many."""
    kinds: dict[str, None] = field(default_factory=dict)
    """Kinds of the program that are in use."""
    grounds: dict[str, str] = field(default_factory=dict)
    """Point of the rope -> its ground stud."""
    controller: list[str] = field(default_factory=list)
    """What the engine controller's pins are for, in their order."""
    outputs: list[str] = field(default_factory=list)
    """Lines of the module's drivers; as many as its pins O1, O2, …"""
    inputs: list[str] = field(default_factory=list)
    senses: list[str] = field(default_factory=list)
    """What the module's inputs draw."""
    switched: list[str] = field(default_factory=list)
    """What the module's outputs feed, in their order."""
    points: set[str] = field(default_factory=lambda: {"panel", "battery", "dash"})
    fuses: int = 0
    relays: int = 0
    coils: str = ""
    """The fuse that coils hang on which a controller pulls to ground."""

    def device(
        self, name: str, kind: str, at: str, system: str, rest: str = "", pins: int = 0
    ) -> None:
        """Add a device on one line; `pins` is how many its plug has, none for studs and blades."""
        self.points.add(at)
        self.kinds.setdefault(kind)
        plug = f", plug: {self.plug(pins, name if kind == 'switch' else kind)}" if pins else ""
        more = f", {rest}" if rest else ""
        self.devices.append(f"  {name}: {{kind: {kind}, at: {at}, system: {system}{plug}{more}}}")

    def circuit(self, name: str, system: str, joined: str, rest: str = "") -> None:
        """Add a circuit; `joined` are its pins with commas between."""
        more = f", {rest}" if rest else ""
        self.circuits.append(f"  {name}: {{join: [{joined}], system: {system}{more}}}")

    def feed(self, name: str, system: str, to: str, bus: str = "B", rest: str = "") -> str:
        """Add a fuse without a relay, in a line of feeds; its name."""
        self.fuses += 1
        more = f", {rest}" if rest else ""
        self.feeds.append(
            f"  {name}: {{fuse: F{self.fuses}, bus: {bus}, to: {to}{more}, system: {system}}}"
        )
        return f"F{self.fuses}"

    def relay(self) -> str:
        """The next relay's name."""
        self.relays += 1
        self.kinds.setdefault("panel relay")
        return f"K{self.relays}"

    def ground(self, at: str) -> str:
        """The ground stud of a point, made at its first use."""
        if at not in self.grounds:
            self.grounds[at] = f"G{len(self.grounds) + 1}"
            self.points.add(at)
        return self.grounds[at]

    def plug(self, pins: int, kind: str) -> str:
        """The sealed plug of so many pins of a kind or a device, noted at its first use."""
        fits = PLUGS.get(kind, kind.split()[-1])
        self.plugs.setdefault(pins, {}).setdefault(fits)
        return f"{fits}-{pins}"

    def plug_lines(self) -> Iterator[str]:
        """The plugs, those of so many pins on one line."""
        for pins, kinds in sorted(self.plugs.items()):
            across = 10 if pins > 12 else pins if pins < 5 else (pins + 1) // 2
            numbers = [str(n) for n in range(1, pins + 1)]
            rows = [numbers[n : n + across] for n in range(0, pins, across)]
            written = ", ".join(f"[{', '.join(row)}]" for row in rows)
            contact = "pin-1.5" if pins > 4 else "pin-2.8"
            rest = (
                f"contact: {contact}, rows: [{written}], sealed: yes, temperature: 125 degC, "
                "latch: top}"
            )
            if len(kinds) == 1:
                yield f"  {next(iter(kinds))}-{pins}: {{about: Sealed plug of {pins} ways, {rest}"
            else:
                each = f"each: {{part: [{', '.join(kinds)}]}}"
                about = f"about: Sealed plug of {pins} ways of a <part>"
                yield f"  <part>-{pins}: {{{each}, {about}, {rest}"

    def volts(self, for_12: float) -> str:
        """Volts of the vehicle where one of 12 V has so many."""
        return f"{for_12 * self.answers.volts / 12:.3g} V"

    def amps(self, for_12: float) -> str:
        """Amps that give the watts that they would at 12 V."""
        return f"{for_12 * 12 / self.answers.volts:.3g} A"

    @property
    def plus(self) -> str:
        """The foot of a relay's coil on the side of the feed: 86 is the one that wants plus."""
        return "85" if self.answers.is_positive else "86"

    @property
    def minus(self) -> str:
        """The foot of a relay's coil on the side of the body."""
        return "86" if self.answers.is_positive else "85"

    def length(self, mm: float) -> str:
        if self.answers.units == "metric":
            return f"{mm:g} mm"
        return f"{round(2 * mm / INCH_MM) / 2:g} in"

    def size(self, metric: str) -> str:
        return metric if self.answers.units == "metric" else AWG[metric]

    def cable(self) -> str:
        """What a circuit of thick cable says of its wire."""
        family = "family: battery" if self.answers.units == "metric" else "least size: AWG 8"
        return f"{family}, harness: power"

    def runs(self, ropes: tuple[Run, ...]) -> list[Run]:
        """Those of the ropes that lead to the points in use."""
        needed = set(self.points)
        for start, end, *_ in reversed(ropes):
            if end in needed:
                needed.add(start)
        return [run for run in ropes if run[1] in needed]


def of_the_book(answers: Answers, date: datetime.date) -> Iterator[str]:
    """Lines of `vehicle` that follow from the answers alone, whatever else is begun from."""
    yield f"  date: {date.isoformat()}"
    yield f"  paper: {answers.paper}"
    yield f"  units: {answers.units} # in which the book says lengths and thicknesses"
    yield f"  language: {answers.language} # of the book's own words: en or de"
    yield f"  nominal: {answers.volts} V"
    yield f"  currency: {answers.currency}"


def quoted(text: str) -> str:
    """A text as YAML takes it whatever it holds."""
    return json.dumps(text, ensure_ascii=False)
