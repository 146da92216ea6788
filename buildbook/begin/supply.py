"""Battery, isolator, panel and ignition switch, and what charges and starts."""

from __future__ import annotations

from buildbook.begin.sheet import Sheet


def supply(sheet: Sheet) -> None:
    """What every vehicle has: battery, isolator, main fuse, panel, ignition switch."""
    answers = sheet.answers
    live, earth = ("-", "+") if answers.is_positive else ("+", "-")
    sheet.systems["supply"] = "Supply and charging"
    sheet.supply += [
        f"  battery: {TO_BE_READ}",
        "    between: [battery.+, battery.-]",
        f"    volts: {sheet.volts(12.7)}",
        f"    resistance: {8 * answers.volts / 12:g} mohm",
        "    capacity: 45 Ah",
    ]
    sheet.device("battery", "battery", "battery", "supply", "caution: battery")
    has_key = sheet.has_ignition or answers.has("starting")
    kind, rest = ("isolator with two poles", "") if has_key else ("isolator", f", {ONE_POLE}")
    sheet.device("isolator", kind, "battery", "supply", f"name: Battery isolator{rest}")
    rating = {6: 200, 12: 200, 24: 125, 48: 100}[answers.volts]
    rated = f", rating: {rating} A" if len(answers.systems) > FEW else ""
    main = f"name: Main fuse, fuse: bolted{rated}, contact: ring-M6"
    sheet.device("MF1", "fuse", "battery", "supply", main)
    buses = "B: battery bus, I: ignition bus" if sheet.has_ignition else "B: battery bus"
    pins = f"name: Fuse and relay panel, pins: {{{buses}}}"
    sheet.device("panel", "panel", "panel", "supply", pins)
    if has_key:
        _ignition_switch(sheet)

    cable = sheet.cable()
    short = f"{cable}, way: {sheet.length(300)}"
    stud = sheet.ground("battery")
    # no fuse stands before it: as thick as a short of the battery asks for
    unfused = f"{short}, least size: {sheet.size('35 mm2')}".replace("least size: AWG 8, ", "")
    sheet.circuit("battery cable", "supply", f"battery.{live}, isolator.battery", unfused)
    sheet.circuit("battery ground", "supply", f"battery.{earth}, {stud}", short)
    sheet.circuit("main fuse feed", "supply", "isolator.vehicle, MF1.in", short)
    sheet.circuit("panel feed", "supply", "MF1.out, panel.B", f"{cable}, critical: yes")
    if has_key:
        _ignition_switch_feed(sheet)
    if sheet.has_ignition:
        _ignition_bus(sheet)


def _ignition_switch(sheet: Sheet) -> None:
    """Its places are those that something hangs on."""
    feeds = {"ignition": "awake, limit: 20 A, position: ignition on"} if sheet.has_ignition else {}
    if sheet.answers.has("starting"):
        feeds["start"] = "cranking, limit: 10 A, position: start"
    turns = [f"{{from: feed, to: {to}, closed: {rest}}}" for to, rest in feeds.items()]
    uses = ", ".join(f"{pin}: {use}" for pin, use in enumerate(("feed", *feeds), start=1))
    rest = f"name: Ignition switch, pins: {{{uses}}}, contacts: [{', '.join(turns)}]"
    sheet.device("ignition-switch", "switch", "dash", "supply", rest, len(turns) + 1)


def _ignition_switch_feed(sheet: Sheet) -> None:
    """By the isolator's second pole, which stops the engine."""
    sheet.feed(
        "isolator sense", "supply", "isolator.controller feed in", rest="name: Ignition switch"
    )
    sheet.circuit(
        "ignition switch feed", "supply", "isolator.controller feed out, ignition-switch.feed"
    )


def _ignition_bus(sheet: Sheet) -> None:
    """The relay that the ignition switch pulls in, and the bus bar behind it."""
    sheet.fuses += 1
    thick = sheet.answers.cylinders > MOST_OF_A_PLUG
    sheet.feeds.append(
        f"  ignition bus: {{fuse: F{sheet.fuses}, bus: B, type: {'bolted' if thick else 'maxi'}, "
        f"relay: {sheet.relay()}, "
        f"{sheet.plus}: ignition-switch.ignition, {sheet.minus}: {sheet.ground('dash')}, "
        "to: panel.I, circuit: ignition bus, system: supply}"
    )
    if thick:
        studs = "pins: {30: {contact: ring-M6}, 87: {contact: ring-M6}}"
        sheet.devices.append(f"  K{sheet.relays}: {{rating: 70 A, {studs}}} # on studs: all coils")


ONE_POLE = (
    "pins: {1: {use: battery, contact: ring-M8}, 2: {use: vehicle, contact: ring-M8}}, "
    "contacts: {from: battery, to: vehicle, closed: all, limit: 300 A, position: closed}"
)
"""Of an isolator without a pole that stops an engine."""
FEW = 3
"""Systems up to which the main fuse is left to be chosen; of more it has to outlast the others."""
MOST_OF_A_PLUG = 6
"""Cylinders whose coils and injectors a relay that is plugged in still feeds."""
TO_BE_READ = "# TO DO: as on its label"


def charging(sheet: Sheet) -> None:
    """An alternator with sense and lamp; a dynamo where no alternator is made for the volts."""
    if sheet.answers.has_dynamo:
        _dynamo(sheet)
        return
    sheet.supply += [
        "  alternator: # TO DO: what its sheet says it gives at which speed",
        "    between: [alternator.B+, alternator.E]",
        f"    volts: {sheet.volts(14.2)}",
        "    senses: alternator.S",
        "    excited at: alternator.L",
        f"    curve: [[600 rpm, {sheet.amps(20)}], [900 rpm, {sheet.amps(40)}], "
        f"[2000 rpm, {sheet.amps(65)}], [6000 rpm, {sheet.amps(80)}]]",
    ]
    name = "name: Alternator"
    sheet.device("alternator", "alternator with sense and lamp", "engine", "supply", name)
    fused = "name: Alternator output, fuse: bolted, contact: ring-M6"
    sheet.device("MF2", "fuse", "battery", "supply", fused)
    lamp = f"name: Charge lamp, draws: {{in: {_still(sheet)}, what: the charge lamp lights}}"
    sheet.device("charge-lamp", "warning lamp", "dash", "supply", lamp, 2)
    cable = sheet.cable()
    sheet.circuit("alternator output", "supply", "alternator.B+, MF2.out", cable)
    near = f"{cable}, way: {sheet.length(200)}"
    sheet.circuit("alternator fuse", "supply", "MF2.in, isolator.vehicle", near)
    sheet.circuit("alternator ground", "supply", f"alternator.E, {sheet.ground('engine')}", cable)
    sheet.circuit("charge lamp", "supply", "charge-lamp.ground, alternator.L")
    sheet.feed("alternator sense", "supply", "alternator.S", rest="signal: yes")
    sheet.feed("charge lamp", "supply", "charge-lamp.feed", "I", "circuit: charge lamp feed")


def _still(sheet: Sheet) -> str:
    """States with the ignition on in which nothing charges."""
    return "[ignition on, cranking]" if "cranking" in sheet.states else "[ignition on]"


def _dynamo(sheet: Sheet) -> None:
    volts = max(sheet.answers.volts, 12)
    least, more, most = (f"{a * 12 / volts:.3g} A" for a in (20, 36, 44))
    plus, minus = ("E", "D") if sheet.answers.is_positive else ("D", "E")
    sheet.supply += [
        "  dynamos:",
        "    dynamo: # TO DO: what it gives at which speed",
        f"      between: [dynamo.{plus}, dynamo.{minus}]",
        f"      volts: {sheet.volts(14.2)}",
        f"      resistance: {25 * sheet.answers.volts / 12:g} mohm",
        f"      curve: [[400 rpm, {least}], [1500 rpm, {more}], [3000 rpm, {most}]]",
        f"      cut out: {{between: [regulator.D, regulator.A], closes at: {sheet.volts(13)}}}",
    ]
    rest = "name: Dynamo, contact: ring-M5, pins: {D: live brush, E: body}"
    sheet.device("dynamo", "dynamo", "engine", "supply", f"{rest}, caution: moving")
    ends = "from: E, to: D" if sheet.answers.is_positive else "from: D, to: E"
    ohms = 80 * (sheet.answers.volts / 12) ** 2
    rest = (
        "name: Regulator and cut-out, contact: ring-M5, pins: {D: dynamo, A: battery, E: body}, "
        f"draws: {{{ends}, ohms: {ohms:g} ohm, works from: {sheet.volts(6)}, in: engine running, "
        "what: the regulator's coil hums}"
    )
    sheet.device("regulator", "switch", "panel", "supply", rest)
    sheet.device("FD", "fuse", "panel", "supply", "name: Dynamo, fuse: bolted, contact: ring-M6")
    sheet.circuit("dynamo output", "supply", "dynamo.D, regulator.D")
    sheet.circuit("dynamo earth", "supply", f"dynamo.E, {sheet.ground('engine')}")
    sheet.circuit("regulator output", "supply", "regulator.A, FD.out")
    sheet.circuit("dynamo fuse", "supply", "FD.in, panel.B")
    sheet.circuit("regulator earth", "supply", f"regulator.E, {sheet.ground('dash')}")


def starting(sheet: Sheet) -> None:
    """The starter with its solenoid, the relay that pulls it in and the key's third place."""
    sheet.systems["starting"] = "Starting"
    sheet.device(
        "starter-solenoid", "starter solenoid", "starter", "starting", "name: Starter solenoid"
    )
    sheet.device("starter", "starter motor", "starter", "starting", "name: Starter")
    thick = f"{sheet.cable()}, critical: yes"
    drop = f"drop: {sheet.volts(1)}"
    sheet.circuit(
        "starter cable", "starting", "isolator.vehicle, starter-solenoid.30", f"{thick}, {drop}"
    )
    link = f"{thick}, way: {sheet.length(150)}"
    sheet.circuit("starter link", "starting", "starter-solenoid.87, starter.M", link)
    block = sheet.ground("engine")
    sheet.circuit("starter ground", "starting", f"starter.E, {block}", thick)
    sheet.circuit("solenoid ground", "starting", f"starter-solenoid.{sheet.minus}, {block}")
    sheet.fuses += 1
    sheet.feeds.append(
        f"  start: {{fuse: F{sheet.fuses}, bus: B, relay: {sheet.relay()}, "
        f"{sheet.plus}: ignition-switch.start, {sheet.minus}: {sheet.ground('dash')}, "
        f"to: starter-solenoid.{sheet.plus}, "
        f"circuit: solenoid feed, system: starting, critical: yes, {drop}}}"
    )
