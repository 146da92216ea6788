"""Lights, indicators, horn, wiper, and the data bus with its display."""

from __future__ import annotations

from buildbook.begin.sheet import Sheet
from buildbook.begin.switched import Load, switch


def _in(sheet: Sheet, *states: str) -> str:
    """Those of the states that the vehicle has, as the description says them."""
    return f"[{', '.join(state for state in states if state in sheet.states)}]"


def lights(sheet: Sheet) -> None:
    """Two headlamps, two tail and brake lamps, and the switches at the dash."""
    sheet.systems["lighting"] = "Lighting"
    dipped, main = _in(sheet, "braking", "raining"), _in(sheet, "night")
    every = _in(sheet, "night", "braking", "raining")
    sides = "each: {side: [left, right]}"
    pins = "pins: {1: dipped beam, 2: main beam, 3: side, 4: ground}"
    rest = f"{sides}, name: <Side> headlamp, {pins}, caution: hot"
    sheet.device("headlamp-<side>", "headlamp", "nose", "lighting", rest, 4)
    rest = f"{sides}, name: <Side> tail and brake lamp, pins: {{1: tail, 2: brake, 3: ground}}"
    sheet.device("tail-<side>", "tail and brake lamp", "tail", "lighting", rest, 3)
    rest = (
        "name: Light switch, pins: {1: feed, 2: side lamps, 3: dipped beam, 4: main beam}, "
        f"contacts: [{{from: feed, to: side lamps, closed: {every}, limit: 10 A, position: lit}}, "
        f"{{from: feed, to: dipped beam, closed: {dipped}, limit: 5 A, position: dip}}, "
        f"{{from: feed, to: main beam, closed: {main}, limit: 5 A, position: main}}]"
    )
    sheet.device("light-switch", "switch", "dash", "lighting", rest, 4)
    rest = (
        "name: Brake lamp switch, pins: {1: feed, 2: output}, "
        "contacts: {closed: braking, position: brake pressed}"
    )
    sheet.device("brake-switch", "pedal switch", "dash", "lighting", rest, 2)
    sheet.feed("light switch", "lighting", "light-switch.feed")
    for beam, states in (("dipped beam", dipped), ("main beam", main)):
        to = f"headlamp-*.{beam}"
        switch(sheet, Load(beam, "lighting", to, "", "nose", states, high=f"light-switch.{beam}"))
    sheet.circuit("side lamps", "lighting", "light-switch.side lamps, headlamp-*.side, tail-*.tail")
    sheet.circuit("headlamp ground", "lighting", f"headlamp-*.ground, {sheet.ground('nose')}")
    sheet.circuit("tail lamp ground", "lighting", f"tail-*.ground, {sheet.ground('tail')}")
    sheet.feed("brake switch", "lighting", "brake-switch.feed", rest="name: Brake lamps")
    sheet.circuit("brake lamps", "lighting", "brake-switch.output, tail-*.brake")


def indicators(sheet: Sheet) -> None:
    """Four indicators; the flasher is a relay of the old kind where electronics are not made."""
    sheet.systems["signals"] = "Indicators, horn and wiper"
    ends = (
        "each: {end: [front, front, rear, rear], side: [left, right, left, right], "
        "place: [nose, nose, tail, tail]}"
    )
    rest = f"{ends}, name: <End> <side> indicator"
    sheet.points |= {"nose", "tail"}
    sheet.device("indicator-<end>-<side>", "indicator lamp", "<place>", "signals", rest, 2)
    sheet.points.discard("<place>")
    rest = (
        "name: Indicator switch, pins: {1: flasher, 2: left, 3: right}, contacts: "
        "[{from: flasher, to: left, closed: braking, limit: 10 A, position: left}, "
        "{from: flasher, to: right, closed: idle, limit: 10 A, position: right}]"
    )
    sheet.device("indicator-switch", "switch", "dash", "signals", rest, 3)
    if sheet.answers.is_positive or sheet.answers.volts == 6:
        ohms = 300 * (sheet.answers.volts / 12) ** 2
        told = (
            f"name: Flasher unit, rating: 20 A, coil: {{ohms: {ohms:g} ohm, suppressed: resistor}}"
        )
        sheet.device("flasher", "relay", "dash", "signals", told)
        sheet.feed("flasher", "signals", f"[flasher.30, flasher.{sheet.plus}]", "I")
        stud = sheet.ground("dash")
        sheet.circuit("flasher ground", "signals", f"flasher.{sheet.minus}, {stud}")
        out = "flasher.87"
    else:
        told = 'name: Flasher unit, drivers: {output: {"on": [braking, idle]}}'
        sheet.device("flasher", "flasher", "dash", "signals", told)
        sheet.feed("flasher", "signals", "flasher.feed")
        sheet.circuit("flasher ground", "signals", f"flasher.ground, {sheet.ground('dash')}")
        out = "flasher.output"
    sheet.circuit("flasher output", "signals", f"{out}, indicator-switch.flasher")
    sheet.circuits.append(
        "  <n> indicators: {each: [left, right], join: [indicator-switch.<n>, "
        "indicator-*-<n>.feed], system: signals}"
    )
    for end, at in (("front", "nose"), ("rear", "tail")):
        joined = f"indicator-{end}-*.ground, {sheet.ground(at)}"
        sheet.circuit(f"{end} indicator ground", "signals", joined)


def horn(sheet: Sheet) -> None:
    """The horn behind a relay that its button earths."""
    sheet.systems["signals"] = "Indicators, horn and wiper"
    rest = "name: Horn, pins: {1: feed, 2: ground}, draws: {in: braking}"
    sheet.device("horn", "electric horn", "nose", "signals", rest, 2)
    rest = (
        "name: Horn button, pins: {1: feed, 2: output}, "
        "contacts: {closed: braking, position: horn pressed}"
    )
    sheet.device("horn-button", "push button", "dash", "signals", rest, 2)
    load = ("horn", "signals", "horn.feed", "horn.ground", "nose", "[braking]")
    switch(sheet, Load(*load, low="horn-button.feed", coils=False))
    sheet.circuit("horn button ground", "signals", f"horn-button.output, {sheet.ground('dash')}")


def wiper(sheet: Sheet) -> None:
    """A wiper of one speed with its switch."""
    sheet.systems["signals"] = "Indicators, horn and wiper"
    told = "name: Wiper, draws: {in: raining, what: the wiper sweeps}"
    sheet.device("wiper", "wiper motor", "bulkhead", "signals", told, 2)
    rest = (
        "name: Wiper switch, pins: {1: feed, 2: output}, contacts: "
        "{from: feed, to: output, closed: raining, limit: 5 A, position: wiper on}"
    )
    sheet.device("wiper-switch", "switch", "dash", "signals", rest, 2)
    sheet.feed("wiper control", "signals", "wiper-switch.feed", "I")
    load = ("wiper", "signals", "wiper.feed", "wiper.ground", "dash", "[raining]")
    switch(sheet, Load(*load, high="wiper-switch.output"))


def data(sheet: Sheet) -> None:
    """The controller's data bus, with a display and a logger that end it."""
    sheet.systems["data"] = "Display and logger"
    sheet.controller += ["data bus high", "data bus low"]
    pins = "pins: {1: feed, 2: ground, 3: data bus high, 4: data bus low}"
    sheet.device("display", "dash display", "dash", "data", f"name: Display, {pins}", 4)
    pins = "pins: {1: switched feed, 2: ground, 3: data bus high, 4: data bus low, 5: memory feed}"
    sheet.device("logger", "data logger", "panel", "data", f"name: Data logger, {pins}", 5)
    body = sheet.ground("dash")
    sheet.feed("display and logger", "data", "[display.feed, logger.switched feed]", "I")
    sheet.feed("logger memory", "data", "logger.memory feed")
    sheet.circuit("display ground", "data", f"display.ground, {body}")
    sheet.circuit("logger ground", "data", f"logger.ground, {body}")
    sheet.cables.append(
        "  data bus cable: {type: twisted pair, cores: [data bus high, data bus low]}"
    )
    for wire in ("high", "low"):
        name = f"data bus {wire}"
        joined = f"ecu.{name}, display.{name}, logger.{name}"
        sheet.circuit(name, "data", joined, "signal: yes, splice at: dash")
