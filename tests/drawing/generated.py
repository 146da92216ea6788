"""Vehicles made up by rule: descriptions of many shapes, the same for the same shape every time."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from random import Random

import yaml

from buildbook.faultfinding.model import Faultfinding
from buildbook.faultfinding.power_up import OhmCheck, PowerUp
from buildbook.faultfinding.unplugged import unplugged
from buildbook.parts.bill import price
from buildbook.pipeline import assessed_of, held_by, sized_of, untold
from buildbook.result import Result
from tests.drawing.made_up_shapes import Shape

THROUGH = 150
"""Contacts of a connector between two harnesses."""
SENSORS_TOGETHER = 8
"""Sensors that share a supply and a ground of the controller."""
LOADS = ("lamp", "motor", "solenoid", "heater", "horn", "load")
SENSED = ("ntc", "pressure", "hall", "position")


class _Writer:
    """Writes one vehicle, section by section."""

    def __init__(self, shape: Shape) -> None:
        self.shape, self.random = shape, Random(shape.name)
        self.devices: dict[str, dict] = {}
        self.circuits: dict[str, dict] = {}
        self.cables: dict[str, dict] = {}
        self.runs: dict[str, list[dict]] = {f"h{n}": [] for n in range(shape.harnesses)}
        self.systems = [f"system-{n}" for n in range(1, shape.systems + 1)]
        self.free: list[str] = []
        """Pins of the controller that nothing is wired to yet."""
        self.places: list[tuple[str, str]] = []
        """Points of the rope and the ground there."""
        self.fuses = 0
        self.plugs = {
            f"sealed-{n}": {
                "about": f"{n}-way",
                "contact": "pin-1.5",
                "sealed": True,
                "rows": [[str(c) for c in range(1, n + 1)]],
            }
            for n in (2, 3, 4)
        }

    def name(self, what: str, n: int) -> str:
        return self.shape.words(what, n)

    def device(self, id_: str, kind: str, system: str, **more) -> str:
        title = f"{kind.capitalize()} {len(self.devices)} {self.shape.title}".strip()
        self.devices[id_] = {"kind": kind, "name": title, "system": system} | more
        return id_

    def join(self, *pins: str, system: str, **more) -> str:
        id_ = f"circuit {len(self.circuits) + 1}"
        self.circuits[id_] = {"join": list(pins), "system": system} | more
        return id_

    def supply(self) -> None:
        first = self.systems[0]
        self.device("battery", "battery", first, at="shelf")
        self.device("panel", "panel", first, at="panel", pins={"B": "battery bus"})
        self.device("G0", "ground", first, at="shelf")
        self.join("battery.+", "panel.B", system=first)
        self.join("battery.-", "G0", system=first)

    def rope(self) -> None:
        """A trunk for each harness, the next one plugged to the end of the one before."""
        start = "panel"
        self.run("h0", "shelf", "panel")
        for n, harness in enumerate(self.runs):
            if n:
                self.plugs[f"through-{n}"] = self.wide_plug(THROUGH)
                self.device(
                    f"X{n}",
                    "pass-through",
                    self.systems[0],
                    at=start,
                    plug=f"through-{n}",
                    between=[f"h{n - 1}", harness],
                )
            trunk = start
            for step in range(3):
                here = f"t{n}{step}"
                self.run(harness, trunk, here)
                for side in "ab":
                    end = f"{here}{side}"
                    self.run(harness, here, end)
                    ground = f"G{len(self.places) + 1}"
                    if (len(self.places) % 3) == 0:
                        self.device(ground, "ground", self.systems[0], at=end)
                    else:
                        ground = self.places[-1][1]
                    self.places.append((end, ground))
                trunk = here
            start = trunk

    def run(self, harness: str, a: str, b: str) -> None:
        self.runs[harness].append(
            {
                "from": a,
                "to": b,
                "length": f"{self.random.randint(12, 80) * 10} mm",
                "zone": self.random.choice(["cabin", "bay"]),
            }
        )

    def wide_plug(self, size: int, contact: str = "pin-2.8") -> dict:
        names = [str(n) for n in range(1, size + 1)]
        return {
            "about": f"{size}-way",
            "contact": contact,
            "rows": [names[n : n + 10] for n in range(0, size, 10)],
        }

    def controller(self) -> None:
        pins, system = self.shape.pins, self.systems[-1]
        if not pins:
            return
        halves = {"A": (pins + 1) // 2, "B": pins // 2}
        for letter, size in halves.items():
            self.plugs[f"ecu-{letter}"] = self.wide_plug(size, "pin-1.5")
        names = [f"{letter}{n}" for letter, size in halves.items() for n in range(1, size + 1)]
        ecu = self.device(
            self.name("ecu", 1),
            "controller",
            system,
            at=self.places[0][0],
            plugs={letter: f"ecu-{letter}" for letter in halves},
            pins={name: f"function {name}" for name in names},
            power={"feeds": "A1", "grounds": "A2"},
            drivers={},
            draws={"from": "A1", "to": "A2", "amps": "300 mA"},
        )
        self.join(self.fuse(system), f"{ecu}.A1", system=system)
        self.join(f"{ecu}.A2", self.places[0][1], system=system)
        self.free = [f"{ecu}.{name}" for name in names[2:]]
        self.ecu = ecu

    def fuse(self, system: str) -> str:
        self.fuses += 1
        id_ = self.device(f"F{self.fuses}", "fuse", system, on="panel", bus="B", slot=self.fuses)
        return f"{id_}.out"

    def load(self, n: int) -> None:
        random, system = self.random, self.systems[n % len(self.systems)]
        place, ground = random.choice(self.places)
        kind = random.choice(LOADS)
        one, two = self.shape.uses or ("1", "2")
        held = {"contact": "blade-6.3"} if self.shape.uses else {"plug": "sealed-2"}
        id_ = self.device(
            self.name(kind, n),
            kind,
            system,
            at=place,
            pins={one: "feed", two: "return"},
            draws={"amps": f"{random.randint(5, 60) / 10} A"},
            **held,
        )
        feed, back = f"{id_}.{one}", f"{id_}.{two}"
        if self.of(system, "feed") and random.random() < self.shape.shared:
            self.circuits[random.choice(self.of(system, "feed"))]["join"].append(feed)
        else:
            self.feed(n, system, feed)
        if self.free and random.random() < 0.7:
            pin = self.free.pop(0)
            self.devices[self.ecu]["drivers"][pin.split(".")[-1]] = {"side": "low", "limit": "8 A"}
            self.join(back, pin, system=system)
        elif self.of(system, "return") and random.random() < self.shape.shared:
            self.circuits[random.choice(self.of(system, "return"))]["join"].append(back)
        else:
            self.join(back, ground, system=system, about="return")

    def of(self, system: str, about: str) -> list[str]:
        return [
            id_
            for id_, c in self.circuits.items()
            if c["system"] == system and c.get("about") == about
        ]

    def feed(self, n: int, system: str, pin: str) -> None:
        """From a fuse, through a relay with its switch, through a switch, or straight."""
        draw = self.random.random()
        if draw < self.shape.relays:
            relay = self.device(
                f"K{n}",
                "relay",
                system,
                on="panel",
                slot=100 + n,
                rating="30 A",
                coil={"ohms": "90 ohm", "suppressed": self.random.choice(["diode", "none"])},
            )
            self.join(self.fuse(system), f"{relay}.30", system=system)
            self.join(f"{relay}.87", pin, system=system, about="feed")
            switched = self.switch(n, system)
            self.join(switched, f"{relay}.86", system=system)
            self.join(f"{relay}.85", self.places[0][1], system=system)
        elif draw < (1 + self.shape.relays) / 2:
            self.join(self.switch(n, system), pin, system=system, about="feed")
        else:
            self.join(self.fuse(system), pin, system=system, about="feed")

    def switch(self, n: int, system: str) -> str:
        id_ = self.device(
            self.name("switch", n),
            "switch",
            system,
            at=self.places[0][0],
            plug="sealed-2",
            pins={"1": "feed", "2": "out"},
            contacts={"from": 1, "to": 2, "closed": "on", "limit": "20 A"},
        )
        self.join(self.fuse(system), f"{id_}.1", system=system)
        return f"{id_}.2"

    def sensor(self, n: int, shared: dict[str, str]) -> None:
        system = self.systems[-1]
        place, _ = self.random.choice(self.places)
        id_ = self.device(
            self.name("sensor", n),
            "sensor",
            system,
            at=place,
            plug="sealed-3",
            senses=self.random.choice(SENSED),
            pins={"1": "supply", "2": "signal", "3": "ground"},
            draws={"from": 1, "to": 3, "ohms": "1 kohm"},
        )
        self.join(f"{id_}.2", self.free.pop(0), system=system, signal=True)
        for pin, use in (("1", "supply"), ("3", "ground")):
            if use in shared:
                self.circuits[shared[use]]["join"].append(f"{id_}.{pin}")
            else:
                shared[use] = self.join(
                    self.free.pop(0), f"{id_}.{pin}", system=system, signal=True
                )

    def cable(self, n: int) -> None:
        """A sensor on a screened pair, the screen grounded at the controller and capped."""
        system = self.systems[-1]
        place, _ = self.random.choice(self.places)
        id_ = self.device(
            self.name("pickup", n),
            "sensor",
            system,
            at=place,
            plug="sealed-2",
            senses="knock",
            pins={"1": "signal", "2": "return"},
            draws={"ohms": "5 kohm"},
        )
        cores = [
            self.join(f"{id_}.{pin}", self.free.pop(0), system=system, signal=True) for pin in "12"
        ]
        screen = self.join(self.free.pop(0), system=system, signal=True)
        self.circuits[screen]["capped at"] = place
        self.cables[f"cable {n}"] = {"type": "shielded 2", "cores": cores, "screen": screen}

    def bus(self) -> None:
        """A display on a twisted pair."""
        system = self.systems[-1]
        place, ground = self.random.choice(self.places)
        id_ = self.device(
            self.name("display", 1),
            "display",
            system,
            at=place,
            plug="sealed-4",
            pins={"1": "feed", "2": "ground", "3": "high", "4": "low"},
            power={"feeds": "1", "grounds": "2"},
            draws={"from": "1", "to": "2", "amps": "200 mA"},
        )
        self.join(self.fuse(system), f"{id_}.1", system=system)
        self.join(f"{id_}.2", ground, system=system)
        pair = [
            self.join(f"{id_}.{pin}", self.free.pop(0), system=system, signal=True) for pin in "34"
        ]
        self.cables["data bus"] = {"type": "twisted pair", "cores": pair}

    def written(self) -> dict:
        shape = self.shape
        self.supply()
        self.rope()
        self.controller()
        if shape.cables:
            self.bus()
        for n in range(shape.cables):
            self.cable(n)
        shared: dict[str, str] = {}
        for n in range(shape.sensors):
            shared = shared if n % SENSORS_TOGETHER else {}
            self.sensor(n, shared)
        for n in range(shape.loads):
            self.load(n)
        if self.free:
            names = [pin.split(".")[-1] for pin in self.free]
            device = self.devices[self.ecu]
            device["pins"] = {k: v for k, v in device["pins"].items() if k not in names}
        return {
            "vehicle": {"name": f"Made up {shape.name}", "date": "2031-05-17", "drop": "8 %"},
            "supply": {"battery": {"between": ["battery.+", "battery.-"]}},
            "states": {"at rest": {}, "on": {"share": "100 %"}},
            "zones": {"cabin": {"ambient": "30 degC"}, "bay": {"ambient": "70 degC"}},
            "systems": {
                s: {"title": f"{s.capitalize()} {shape.title}".strip()} for s in self.systems
            },
            "plugs": self.plugs,
            "devices": self.devices,
            "cables": self.cables,
            "circuits": self.circuits,
            "rope": {h: {"runs": r} for h, r in self.runs.items()},
        }


def description(shape: Shape) -> dict:
    """The whole description of a vehicle of that shape."""
    return _Writer(shape).written()


def write(shape: Shape, folder: Path) -> Path:
    """Writes the vehicle into a folder."""
    folder.mkdir(parents=True, exist_ok=True)
    text = yaml.safe_dump(description(shape), sort_keys=False, allow_unicode=True)
    (folder / "vehicle.yaml").write_text(text, encoding="utf-8")
    return folder


NO_FAULTS = Faultfinding({}, {}, (), ())
NO_POWER_UP = PowerUp("", "", OhmCheck("", 0.0), (), (), ())


def worked_out(folder: Path) -> Result:
    """Everything that drawings read of a vehicle: not its faults, nor what the checks find."""
    sized, problems = sized_of(folder, untold)
    assert sized, "\n".join(f"{p.where}: {p.what}" for p in problems)
    return Result(
        **held_by(assessed_of(sized, (), ())),
        bill=price(sized.vehicle, sized.harness, sized.sizing, sized.finished_runs),
        findings=(),
        faultfinding=NO_FAULTS,
        power_up=NO_POWER_UP,
        unplugged={},
    )


def worked_out_for_sheets(folder: Path) -> Result:
    """What the build sheets of a harness read besides: its pins, with each connector off too."""
    result = worked_out(folder)
    off = unplugged(result.vehicle, result.harness, result.solved, result.sensors)
    at_rest = replace(NO_POWER_UP, rest=result.vehicle.states[0])
    return replace(result, unplugged=off, power_up=at_rest)
