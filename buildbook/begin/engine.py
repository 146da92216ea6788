"""What the engine needs: sparks, injectors with their controller, fuel and air to cool it."""

from __future__ import annotations

from buildbook.begin.sheet import Sheet
from buildbook.begin.switched import Load, switch

THROTTLE = "throttle position sensor"
SENSORS = {
    "crank-sensor": ("hall pickup", "Crank sensor", "crank signal"),
    "throttle-sensor": (THROTTLE, "Throttle position sensor", "throttle position 1"),
    "manifold-pressure": ("pressure sensor", "Manifold pressure sensor", "manifold pressure"),
    "coolant-temperature": ("thermistor", "Coolant temperature sensor", "coolant temperature"),
    "air-temperature": ("thermistor", "Inlet air temperature sensor", "air temperature"),
}
"""Device -> kind, title, what the controller's pin is for."""


def injection(sheet: Sheet) -> None:
    """An engine controller with an injector a cylinder and the sensors that it lives by."""
    count = sheet.answers.cylinders
    sheet.systems["control"] = "Engine control"
    pins = sheet.controller
    pins += ["feed", "power ground", "power ground", "sensor ground", "5 V supply"]
    pins += [f"injector {n}" for n in range(1, count + 1)]
    sheet.coils = sheet.feed("engine controller", "control", "ecu.feed", "I", "critical: yes")
    body = sheet.ground("dash")
    sheet.circuit("controller ground", "control", f"ecu.2, ecu.3, {body}")
    for name, (kind, title, use) in SENSORS.items():
        rest = f"name: {title}"
        ways = 2 if kind == "thermistor" else 3
        sheet.device(name, kind, "engine", "control", rest, ways)
        pins.append(use)
        sheet.circuit(use, "control", f"{name}.signal, ecu.{use}", "signal: yes")
    fed = ", ".join(f"{n}.5 V supply" for n, told in SENSORS.items() if told[0] != "thermistor")
    back = ", ".join(
        f"{n}.{'return' if told[0] == 'thermistor' else 'ground'}" for n, told in SENSORS.items()
    )
    sheet.circuit("sensor supply", "control", f"ecu.5 V supply, {fed}", "signal: yes")
    sheet.circuit("sensor ground", "control", f"ecu.sensor ground, {back}", "signal: yes")

    sheet.systems["injection"] = "Injection"
    alike = f"count: {count}, name: Injector <n>"
    sheet.device("injector", "port injector", "engine", "injection", alike, 2)
    sheet.feed("injector", "injection", "injector-*.feed", "I", "name: Injectors")
    sheet.circuits.append(
        f"  injector <n>: {{count: {count}, join: [injector-<n>.controller, ecu.injector <n>], "
        "system: injection}"
    )
    probe = "name: Exhaust probe"
    sheet.device("exhaust-probe", "heated exhaust probe", "engine", "injection", probe, 4)
    pins += ["exhaust probe heater", "exhaust probe"]
    sheet.feed("exhaust probe", "injection", "exhaust-probe.heater feed", "I")
    heater = "exhaust-probe.heater controller, ecu.exhaust probe heater"
    sheet.circuit("exhaust probe heater", "injection", heater)
    signal = "exhaust-probe.signal, ecu.exhaust probe"
    sheet.circuit("exhaust probe signal", "injection", signal, "signal: yes")
    sheet.circuits = [
        line.replace("ecu.sensor ground, ", "ecu.sensor ground, exhaust-probe.return, ")
        for line in sheet.circuits
    ]


def controller(sheet: Sheet) -> None:
    """The controller itself, once all that its pins are for is known."""
    if not sheet.controller:
        return
    plug = sheet.plug(len(sheet.controller), "engine controller")
    pins = ", ".join(f"{n}: {use}" for n, use in enumerate(sheet.controller, start=1))
    fan = ['    drivers: {radiator fan relay: {"on": engine running}}']
    sheet.points.add("dash")
    sheet.kinds.setdefault("engine controller")
    sheet.devices += [
        "  ecu: # TO DO: the pins of your controller's plug, by what they are for",
        "    kind: engine controller",
        "    name: Engine controller",
        "    at: dash",
        "    system: control",
        f"    plug: {plug}",
        f"    pins: {{{pins}}}",
        *(fan if "radiator fan relay" in sheet.controller else []),
    ]


BANK = 4
"""Coils on one fuse."""


def ignition(sheet: Sheet) -> None:
    """Coils that the engine controller triggers, else a controller of their own, else points."""
    sheet.systems["ignition"] = "Ignition"
    if sheet.answers.has("injection"):
        _triggered(sheet)
    elif sheet.answers.has_points:
        _points(sheet)
    else:
        _controlled(sheet)


def _triggered(sheet: Sheet) -> None:
    count = sheet.answers.cylinders
    sheet.controller += [f"coil {n} trigger" for n in range(1, count + 1)]
    alike = f"count: {count}, name: Coil <n>"
    sheet.device("coil", "coil with driver", "engine", "ignition", alike, 3)
    for first in range(1, count + 1, BANK):
        last = min(first + BANK - 1, count)
        coils = ", ".join(f"coil-{n}" for n in range(first, last + 1))
        title = f"Coils {first} to {last}" if last > first else f"Coil {first}"
        rest = f"name: {title}, ground: {sheet.ground('engine')}, critical: yes"
        sheet.feed(f"coils from {first}", "ignition", f"[{coils}]", "I", rest)
    sheet.circuits.append(
        f"  coil <n> trigger: {{count: {count}, join: [ecu.coil <n> trigger, coil-<n>.trigger], "
        "system: ignition, signal: yes}"
    )


def _controlled(sheet: Sheet) -> None:
    count = sheet.answers.cylinders
    ways = count + 4
    plug = sheet.plug(ways, "ignition controller")
    coils = ", ".join(f"{n + 4}: coil {n}" for n in range(1, count + 1))
    sheet.points.add("dash")
    sheet.kinds.setdefault("ignition controller")
    sheet.devices += [
        "  ignition-controller: # TO DO: the pins of its plug, by what they are for",
        f"    {{kind: ignition controller, name: Ignition controller, at: dash, system: ignition, "
        f"plug: {plug},",
        f"    pins: {{1: feed, 2: ground, 3: pick-up, 4: pick-up return, {coils}}}}}",
    ]
    title = "name: Crank pick-up, draws: {what: the controller sees the engine turn}"
    sheet.device("pick-up", "inductive pickup", "engine", "ignition", title, 2)
    alike = f"count: {count}, name: Coil <n>"
    pins = "pins: {1: feed, 2: controller}"
    sheet.device("coil", "coil without driver", "engine", "ignition", f"{alike}, {pins}", 2)
    rest = "name: Ignition, critical: yes"
    sheet.feed("ignition", "ignition", "[ignition-controller, coil-*]", "I", rest)
    body = sheet.ground("dash")
    sheet.circuit("ignition controller ground", "ignition", f"ignition-controller.ground, {body}")
    for end in ("signal", "return"):
        use = "pick-up" if end == "signal" else "pick-up return"
        joined = f"pick-up.{end}, ignition-controller.{use}"
        sheet.circuit(f"pick-up {end}", "ignition", joined, "signal: yes")
    sheet.circuits.append(
        f"  coil <n>: {{count: {count}, join: [coil-<n>.controller, ignition-controller.coil <n>], "
        "system: ignition}"
    )


def _points(sheet: Sheet) -> None:
    pins = "pins: {1: feed, 2: controller}"
    sheet.device("coil", "coil without driver", "engine", "ignition", f"name: Coil, {pins}", 2)
    rest = (
        "name: Points in the distributor, contact: blade-6.3, pins: {1: coil, 2: body}, contacts: "
        "{from: coil, to: body, closed: engine turning, limit: 5 A, position: points closed}"
    )
    sheet.device("points", "switch", "engine", "ignition", rest)
    sheet.feed("coil", "ignition", "coil.feed", "I", "critical: yes")
    sheet.circuit("points", "ignition", "coil.controller, points.coil")
    sheet.circuit("points ground", "ignition", f"points.body, {sheet.ground('engine')}")


def pump(sheet: Sheet) -> None:
    """The fuel pump, which a controller or an inertia switch stops."""
    sheet.systems["fuel"] = "Fuel"
    told = "name: Fuel pump, pins: {1: feed, 2: return}"
    sheet.device("fuel-pump", "fuel pump", "tank", "fuel", told, 2)
    high, low = "", ""
    if sheet.answers.has("injection"):
        sheet.controller.append("fuel pump relay")
        low = "ecu.fuel pump relay"
    else:
        rest = "name: Inertia switch, pins: {1: feed, 2: output}, contacts: {closed: awake}"
        sheet.device("inertia-switch", "inertia switch", "dash", "fuel", rest, 2)
        sheet.feed("pump control", "fuel", "inertia-switch.feed", "I", "critical: yes")
        high = "inertia-switch.output"
    ends = ("pump", "fuel", "fuel-pump.feed", "fuel-pump.return", "tank", "awake")
    switch(sheet, Load(*ends, high=high, low=low, critical=True))


def fan(sheet: Sheet) -> None:
    """The radiator fan, switched by the controller or by a switch in the coolant."""
    sheet.systems["cooling"] = "Cooling"
    sheet.device("fan", "radiator fan", "nose", "cooling", "name: Radiator fan", 2)
    high, low = "", ""
    if sheet.answers.has("injection"):
        sheet.controller.append("radiator fan relay")
        low = "ecu.radiator fan relay"
    else:
        rest = (
            "name: Fan switch in the coolant, pins: {1: feed, 2: output}, contacts: {from: feed, "
            "to: output, closed: engine running, limit: 5 A, position: coolant hot}"
        )
        sheet.device("fan-switch", "switch", "engine", "cooling", rest, 2)
        sheet.feed("fan control", "cooling", "fan-switch.feed", "I")
        high = "fan-switch.output"
    ends = ("fan", "cooling", "fan.feed", "fan.ground", "nose", "engine running")
    switch(sheet, Load(*ends, high=high, low=low))
