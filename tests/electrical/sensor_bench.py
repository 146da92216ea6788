"""A vehicle made up for the tests of sensors: one of every kind, few enough to sum up by hand."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from pathlib import Path
from tempfile import mkdtemp

from buildbook.description.read import read_folder
from buildbook.electrical.model import Sensors, SensorTable, Solved
from buildbook.electrical.readings import Readings, readings
from buildbook.electrical.sensing import sense
from buildbook.electrical.solve import Solver
from buildbook.harness.build import build_harness
from buildbook.harness.model import Harness
from buildbook.vehicle.join import join
from buildbook.vehicle.model import Vehicle

BENCH = """
vehicle: {name: Sensor bench, about: One sensor of every kind., date: 2026-03-01}

supply:
  battery: {between: [battery.+, battery.-], volts: 12.6 V, resistance: 5 mohm, capacity: 40 Ah}

states:
  "off": {about: Main switch open}
  standing: {about: 'Main switch on, brake released', share: 50 %}
  braking: {about: 'Main switch on, brake pressed', share: 25 %}
  turning: {about: 'As standing, the shaft turns', engine: 1000 rpm, share: 25 %}

zones: {frame: {ambient: 40 degC}}
systems: {control: {title: Control}}

plugs:
  six: {about: Six ways, contact: pin-1.5, rows: [["1", "2", "3", "4", "5", "6"]]}
  ten:
    about: Twenty ways
    contact: pin-1.5
    rows: [["1", "2", "3", "4", "5", "6", "7", "8", "9", "10"],
      ["11", "12", "13", "14", "15", "16", "17", "18", "19", "20"]]

devices:
  battery: {kind: battery, name: Battery, at: box, system: control}
  ground: {kind: ground, name: Frame ground, at: box, system: control}
  main-switch:
    kind: isolator
    name: Main switch
    at: box
    system: control
    pins: {in: {use: battery, contact: ring-M6}, out: {use: panel, contact: ring-M6}}
    contacts: {from: in, to: out, closed: {except: ["off"]}, limit: 100 A, position: "on"}
  panel: {kind: panel, name: Fuse panel, at: box, system: control, pins: {B: supply stud}}
  F1: {kind: fuse, name: Controller, "on": panel, bus: B, slot: 1, system: control}

  ecu:
    kind: controller
    name: Controller
    at: box
    system: control
    plug: ten
    pins: {1: feed, 2: power ground, 3: sensor ground, 4: 5 V supply, 5: temperature, 6: pressure,
      7: pickup, 8: speed, 9: speed return, 10: transmitter, 11: brake, 12: track 1, 13: track 2,
      14: button, 15: valve, 16: spare}
    unused: ["17", "18", "19", "20"]
    power: {feeds: ["1"], grounds: ["2", "3", "9"], works from: 6 V}
    draws:
      - {from: 1, to: 2, amps: 500 mA, at: 12 V, works from: 6 V, in: {except: ["off"]},
        what: the controller answers}
      - {from: 10, to: 2, ohms: 250 ohm, works from: 800 mV, in: {except: ["off"]},
        what: the controller sees the level}
      - {from: 11, to: 2, ohms: 10 kohm, works from: 6 V, in: [braking],
        what: the controller sees the brake}
    drivers:
      15: {side: low, limit: 5 A, ohms: 100 mohm, "on": [turning], suppressed: yes}
    inputs:
      5: {pull up: 1 kohm, to: 5 V, ground: "3", tolerance: 2 %, volts tolerance: 1 %}
      6: {pull up: 10 kohm, to: 5 V, ground: "3"}
      7: {pull up: 2 kohm, to: 5 V, ground: "3", low: 1.5 V, high: 3.5 V}
      8: {pull up: 5 kohm, to: 2.5 V, ground: "9"}
      12: {pull up: 10 kohm, to: 5 V, ground: "3"}
      13: {pull up: 10 kohm, to: 5 V, ground: "3"}
      14: {pull up: 1 kohm, to: 5 V, ground: "3", low: 1 V, high: 4 V, volts tolerance: 3 %}
    sources:
      4: {volts: 5 V, limit: 250 mA, through: 1 ohm, ground: "3", tolerance: 4 %}

  temperature:
    kind: sensor
    name: Temperature sensor
    at: nose
    system: control
    plug: six
    senses: ntc
    unused: ["3", "4", "5", "6"]
    pins: {1: signal, 2: return}
    draws: {ohms: 1 kohm, works from: 200 mV, in: {except: ["off"]}, what: the temperature is seen}
    gives: {1: {ntc: {points: [[20 degC, 1 kohm], [50 degC, 400 ohm]], tolerance: 10 %}}}
  pressure:
    kind: sensor
    name: Pressure sensor
    at: nose
    system: control
    plug: six
    senses: pressure
    unused: ["4", "5", "6"]
    pins: {1: 5 V supply, 2: signal, 3: ground}
    draws:
      - {from: 1, to: 3, ohms: 250 ohm, works from: 4.5 V, in: {except: ["off"]},
        what: the pressure sensor is powered}
      - {from: 2, to: 3, ohms: 10 kohm, works from: 200 mV, in: {except: ["off"]},
        what: the pressure is seen}
    gives:
      2: {return: 3, supply: 1, volts: {of: 5 V, points: [[0 bar, 0.5 V], [10 bar, 4.5 V]],
        tolerance: 1 %}, show: [0 bar, 5 bar, 10 bar]}
  pickup:
    kind: sensor
    name: Shaft pickup
    at: nose
    system: control
    plug: six
    senses: hall
    unused: ["4", "5", "6"]
    pins: {1: 5 V supply, 2: signal, 3: ground}
    draws:
      - {from: 1, to: 3, ohms: 1 kohm, works from: 4.5 V, in: {except: ["off"]},
        what: the pickup is powered}
      - {from: 2, to: 3, ohms: 1 kohm, works from: 200 mV, in: {except: ["off"]},
        what: the shaft is seen}
    gives: {2: {return: 3, supply: 1, hall: {"on": tooth, "off": gap}}}
  speed:
    kind: sensor
    name: Wheel pickup
    at: nose
    system: control
    plug: six
    senses: inductive
    unused: ["3", "4", "5", "6"]
    pins: {1: signal, 2: return}
    draws: {ohms: 500 ohm, works from: 100 mV, in: {except: ["off"]}, what: the wheel is seen}
    gives: {1: {inductive: {ohms: 500 ohm, volts: 1 V, at: 500 rpm}, show: [500 rpm, 1500 rpm]}}
  transmitter:
    kind: sensor
    name: Level transmitter
    at: nose
    system: control
    plug: six
    senses: pressure
    unused: ["3", "4", "5", "6"]
    pins: {1: feed, 2: signal}
    draws: {amps: 4 mA, like: transmitter, works from: 8 V, in: {except: ["off"]},
      what: the transmitter is powered}
    gives:
      2: {return: 1, current: {points: [[0 %, 4 mA], [100 %, 20 mA]], into: 250 ohm,
        into tolerance: 0.5 %}, show: [0 %, 50 %, 100 %]}
  tracks:
    kind: sensor
    name: Pedal
    at: nose
    system: control
    plug: six
    senses: position
    unused: ["5", "6"]
    pins: {1: 5 V supply, 2: ground, 3: track 1, 4: track 2}
    draws:
      - {from: 1, to: 2, ohms: 1 kohm, works from: 4.5 V, in: {except: ["off"]},
        what: the pedal is powered}
      - {from: 3, to: 2, ohms: 2.5 kohm, works from: 200 mV, in: {except: ["off"]},
        what: track 1 is seen}
      - {from: 4, to: 2, ohms: 2.5 kohm, works from: 200 mV, in: {except: ["off"]},
        what: track 2 is seen}
    gives:
      3: {return: 2, supply: 1, volts: {of: 5 V, points: [[0 %, 0.5 V], [100 %, 4.5 V]],
        tolerance: 1 %}, show: [0 %, 25 %, 100 %]}
      4: {return: 2, supply: 1, volts: {of: 5 V, points: [[0 %, 4.5 V], [100 %, 0.5 V]],
        tolerance: 1 %}, show: [0 %, 25 %, 100 %]}
    pairs: {tracks: [3, 4], sum: 5 V, within: 4 %}
  brake-switch:
    kind: switch
    name: Brake switch
    at: nose
    system: control
    plug: six
    unused: ["3", "4", "5", "6"]
    pins: {1: feed, 2: controller}
    contacts: {from: 1, to: 2, closed: [braking], limit: 8 A, position: brake pressed}
    gives: {2: {switch: {closed: brake pressed, open: brake released}}}
  button:
    kind: switch
    name: Button
    at: nose
    system: control
    plug: six
    unused: ["3", "4", "5", "6"]
    pins: {1: controller, 2: ground}
    contacts: {from: 1, to: 2, closed: [braking], limit: 1 A, position: pressed}
    gives: {1: {return: 2, switch: {closed: pressed, open: released}}}
  sender:
    kind: sensor
    name: Level sender
    at: nose
    system: control
    plug: six
    senses: position
    unused: ["3", "4", "5", "6"]
    pins: {1: gauge, 2: ground}
    draws: {ohms: 100 ohm, works from: 200 mV, in: {except: ["off"]}, what: the level is seen}
    gives: {1: {ohms: {points: [[0 %, 20 ohm], [100 %, 180 ohm]], tolerance: 10 %}}}
  gauge:
    kind: load
    name: Gauge
    at: box
    system: control
    plug: six
    unused: ["3", "4", "5", "6"]
    pins: {1: feed, 2: sender}
    draws: {ohms: 100 ohm, works from: 4 V, in: {except: ["off"]}, what: the gauge moves}
  valve:
    kind: solenoid
    name: Valve
    at: nose
    system: control
    plug: six
    unused: ["3", "4", "5", "6"]
    pins: {1: feed, 2: controller}
    draws: {ohms: 10 ohm, duty: 40 %, in: [turning], works from: 8 V, what: the valve hums}

circuits:
  battery to switch: {join: [battery.+, main-switch.in], system: control}
  panel feed: {join: [main-switch.out, panel.B], system: control}
  battery ground: {join: [battery.-, ground], system: control}
  feed: {join: [F1.out, ecu.1, transmitter.1, brake-switch.1, valve.1, gauge.1], system: control}
  power ground: {join: [ecu.2, ground], system: control}
  sensor ground:
    {join: [ecu.3, temperature.2, pressure.3, pickup.3, tracks.2, button.2], system: control}
  sensor supply: {join: [ecu.4, pressure.1, pickup.1, tracks.1], system: control}
  temperature signal: {join: [ecu.5, temperature.1], system: control, signal: yes}
  pressure signal: {join: [ecu.6, pressure.2], system: control, signal: yes}
  pickup signal: {join: [ecu.7, pickup.2], system: control, signal: yes}
  speed signal: {join: [ecu.8, speed.1], system: control, signal: yes}
  speed return: {join: [ecu.9, speed.2], system: control, signal: yes}
  level signal: {join: [ecu.10, transmitter.2], system: control, signal: yes}
  brake signal: {join: [ecu.11, brake-switch.2], system: control}
  track <n> signal:
    {each: {n: [1, 2], pin: [3, 4], cavity: [12, 13]}, join: [ecu.<cavity>, tracks.<pin>],
    system: control, signal: yes}
  button signal: {join: [ecu.14, button.1], system: control, signal: yes}
  sender signal: {join: [gauge.2, sender.1], system: control}
  sender ground: {join: [sender.2, ground], system: control}
  valve switched: {join: [valve.2, ecu.15], system: control}

rope:
  main:
    title: Bench harness
    runs:
      - {from: box, to: nose, length: 2 m, zone: frame, clamps: 4}
"""


WIRE_OHM = 0.1
"""Of every wire, whatever its length, so that what is lost on the way is a sum of wires."""
CONTACT_OHM = 0.006
"""Of every contact of the sensors' plugs and the controller's: family pin-1.5."""


@dataclass(frozen=True)
class Bench:
    vehicle: Vehicle
    harness: Harness
    solved: Solved
    sensors: Sensors
    readings: dict[str, Readings]

    def table(self, pin: str) -> SensorTable:
        return next(table for table in self.sensors.tables if table.pin == pin)


@cache
def bench(*changes: tuple[str, str]) -> Bench:
    """The bench with every wire at `WIRE_OHM`, words of its description changed for others."""
    text = BENCH
    for old, new in changes:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    folder = Path(mkdtemp())
    (folder / "vehicle.yaml").write_text(text, encoding="utf-8")
    reading, problems = read_folder(folder)
    assert not problems, problems
    vehicle, problems = join(reading)
    assert not problems, problems
    harness, problems = build_harness(vehicle)
    assert not problems, problems
    solved = Solver(vehicle, harness).solve(dict.fromkeys(harness.wires, WIRE_OHM), {})
    sensors = sense(vehicle, harness, solved)
    return Bench(vehicle, harness, solved, sensors, readings(vehicle, harness, solved, sensors))
